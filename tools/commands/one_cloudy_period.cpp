#include "tools/commands/one_cloudy_period.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>
#include <numeric>
#include <optional>

#include "scenarios/design/design.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/text/assumed_inputs.hpp"
#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/files/result_file.hpp"
#include "sim/files/table_file.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/sweep/output_file.hpp"
#include "tools/answers/cloudy_period_table.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/common_options.hpp"
#include "tools/commands/option_checks.hpp"
#include "tools/progress/progress_line.hpp"
#include "tools/progress/stop_on_signal.hpp"
#include "tools/show/date_text.hpp"
#include "tools/show/json_text.hpp"
#include "tools/show/provenance_view.hpp"
#include "tools/show/reason_words.hpp"
#include "tools/show/run_strip.hpp"
#include "tools/show/store_words.hpp"
#include "tools/show/units.hpp"

namespace holdwater::tools {
namespace {

// NaN: a well without a moving level.
double well_level_m(sim::CloudyPeriodStart const& s) { return s.begins.well ? s.begins.well->level_m : NAN; }

nlohmann::ordered_json start_json(sim::CloudyPeriodStart const& s, int hours) {
    return {{"start", month_and_day(s.first_day)},
            {"start_soc", s.begins.soc},
            {"start_cistern_m3", s.begins.cistern_m3},
            {"start_trough_m3", s.begins.trough_m3},
            {"start_well_level_m", json_number(well_level_m(s))},
            {"start_battery_c", json_number(s.begins.battery_c.value_or(NAN))},
            {"power_lost_h", json_number(s.power_lost_h)},
            {"first_shortage_h", json_number(s.first_shortage_h)},
            {"cause", words(s.reason)},
            {"shortage_hours", s.shortage_hours},
            {"hours_with_water", hours - s.shortage_hours},
            {"water_short_m3", s.water_short_m3},
            {"soc_min", s.lowest_level},
            {"generator_run_h", s.generator_h},
            {"generator_fuel_l", s.generator_fuel_l},
            {"grid_kwh", s.grid_kwh},
            {"full_again_h", json_number(s.full_again_h)},
            {"shortage_after_h", json_number(s.dry_after_h)},
            {"shortage_hours_after", s.dry_hours_after}};
}

// Hours of events that never happen are null.
void print_json(sim::CloudyPeriodAnswer const& a, std::vector<std::string> const& provenance) {
    nlohmann::ordered_json json;
    json["cloudy_period"] = a.cloudy_period_text;
    json["days"] = a.hours / 24.0;
    json["hours"] = a.hours;
    json["start_hour"] = a.start_hour;
    json["begins_with"] = start_levels_text(a, Units::metric);
    json["backup"] = backup_word(a.backup);
    json["start_dates"] = a.outcome.starts.size();
    json["survival"] = a.outcome.survival;
    json["median_until_shortage_h"] = json_number(a.median_until_shortage_h);
    json["worst"] = start_json(a.outcome.starts[a.outcome.worst], a.hours);
    json["first_cause"] = nlohmann::ordered_json::array();
    for (auto const& [reason, days] : a.failed_first)
        json["first_cause"].push_back({{"cause", words(reason)}, {"start_dates", days}});
    json["slowest_to_full"] = start_json(a.outcome.starts[a.slowest], a.hours);
    json["never_full_again"] = a.never_full;
    json["short_after"] = a.short_after;
    json["sized_without_backup"] = a.sized_without_backup;
    json["battery_kwh"] = a.battery_kwh;
    json["battery_needed_kwh"] =
        a.battery_factor ? json_number(a.battery_kwh * *a.battery_factor) : json_number(NAN);
    json["array_kw"] = a.array_kw;
    json["array_needed_kw"] = a.array_factor ? json_number(a.array_kw * *a.array_factor) : json_number(NAN);
    if (a.has_cistern) {
        json["cistern_m3"] = a.cistern_m3;
        json["cistern_needed_m3"] = json_number(a.cistern_needed_m3.value_or(NAN));
    }
    json["bridging_generator"] = {{"most_h", a.bridge.most_h},
                                  {"most_start", month_and_day(a.bridge.most_first_day)},
                                  {"mean_h", a.bridge.mean_h},
                                  {"charger_kw", a.bridge.charger_w * 1e-3},
                                  {"charger_assumed", a.bridge.assumed_charger},
                                  {"survival", a.bridge.outcome.survival.back()}};
    for (auto const& s : a.outcome.starts) json["starts"].push_back(start_json(s, a.hours));
    add_provenance(json, provenance);
    fmt::print("{}\n", json.dump(2));
}

sim::Table starts_table(std::vector<sim::CloudyPeriodStart> const& starts) {
    sim::Table table{"starts", {}};
    auto const add = [&](char const* name, char const* unit, char const* long_name, auto const& get) {
        std::vector<double> values;
        values.reserve(starts.size());
        for (auto const& s : starts) values.push_back(static_cast<double>(get(s)));
        table.columns.push_back({name, unit, long_name, std::move(values)});
    };
    using S = sim::CloudyPeriodStart const&;
    add("first_day", "1", "first day of the period, 0 = 1 January", [](S s) { return s.first_day; });
    add("start_soc", "1", "state of charge when it begins", [](S s) { return s.begins.soc; });
    add("start_cistern_m3", "m3", "water in the cistern when it begins",
        [](S s) { return s.begins.cistern_m3; });
    add("start_trough_m3", "m3", "water in the trough when it begins",
        [](S s) { return s.begins.trough_m3; });
    add("start_well_level_m", "m", "water in the well below the wellhead when it begins; nan: not modeled",
        well_level_m);
    add("start_battery_c", "degC",
        "temperature of the battery when it begins; nan: not modeled, or that of its place",
        [](S s) { return s.begins.battery_c.value_or(NAN); });
    add("power_lost_h", "h", "inverter off for the first time, from its beginning; inf: not in the period",
        [](S s) { return s.power_lost_h; });
    add("first_shortage_h", "h", "start of the first hour short of water; inf: none in the period",
        [](S s) { return s.first_shortage_h; });
    add("limit_reason", "1", "why water was short then, numbered as in /series/limit_reason of a run",
        [](S s) { return static_cast<int>(s.reason); });
    add("shortage_hours", "h", "hours short of water in the period", [](S s) { return s.shortage_hours; });
    add("water_short_m3", "m3", "demand not delivered in the period", [](S s) { return s.water_short_m3; });
    add("soc_min", "1", "lowest state of charge at an hour's end in the period",
        [](S s) { return s.lowest_level; });
    add("generator_run_h", "h", "generator running time in the period", [](S s) { return s.generator_h; });
    add("generator_fuel_l", "L", "generator fuel in the period", [](S s) { return s.generator_fuel_l; });
    add("grid_kwh", "kWh", "energy from the grid in the period", [](S s) { return s.grid_kwh; });
    add("full_again_h", "h", "from its end until everything is full again; inf: not in the rest of a year",
        [](S s) { return s.full_again_h; });
    add("shortage_after_h", "h", "from its end to the first hour short of water, until full again; inf: none",
        [](S s) { return s.dry_after_h; });
    add("shortage_hours_after", "h", "hours short of water after its end, until full again",
        [](S s) { return s.dry_hours_after; });
    return table;
}

// The worst start date hour by hour, through the period and until all is full again, at most 45 days after
// it.
sim::Table worst_table(sim::RunResult const& run, int period_hours, double full_again_h) {
    auto const hours = static_cast<std::size_t>(
        std::min<double>(static_cast<double>(run.hours.size()), period_hours + full_again_h));
    sim::Table table{"worst", {}};
    std::vector<double> hour(hours);
    std::iota(hour.begin(), hour.end(), 0);
    table.columns.push_back({"hour", "h", "since the beginning of the period", hour});
    for (auto const& field : sim::series_fields()) {
        std::vector<double> values;
        for (std::size_t i = 0; i < hours; ++i) values.push_back(run.hours[i].*field.value);
        table.columns.push_back({std::string(field.name), std::string(field.unit),
                                 std::string(field.long_name), std::move(values)});
    }
    return table;
}

sim::Table clearness_table(std::vector<sim::CloudyPeriodByClearness> const& rows) {
    std::vector<double> clearness, wet, worst_h;
    for (auto const& r : rows) {
        clearness.push_back(r.clearness);
        wet.push_back(r.wet);
        worst_h.push_back(r.worst_until_shortage_h);
    }
    return {
        "by_clearness",
        {{"clearness", "1", "of every day of the period", clearness},
         {"share_held", "1", "share of the start dates with no hour short of water in the whole period", wet},
         {"worst_until_shortage_h", "h",
          "to the first hour short of water from the worst start date; inf: none", worst_h}}};
}

void write_file(CloudyPeriodArguments const& o, sim::CloudyPeriodAnswer const& a,
                scenarios::Scenario const& scenario, weather::WeatherYear const& year,
                sim::System const& design, sim::CloudyPeriodInputs const& inputs,
                std::vector<int> const& first_days) {
    auto const system = o.no_backup ? sim::without_backup(design) : design;
    auto const levels = sim::start_levels(design, inputs.own, a.named);
    std::string const& scenario_text = scenario.text;
    std::vector<double> lengths;
    for (std::size_t n = 1; n <= a.outcome.survival.size(); ++n)
        lengths.push_back(std::min(static_cast<double>(n), a.hours / 24.0));
    sim::Table survival{"survival",
                        {{"days", "day", "length of the period", lengths},
                         {"share_held", "1", "share of the start dates with no hour short of water so far",
                          a.outcome.survival}}};
    auto const& worst = a.outcome.starts[a.outcome.worst];
    sim::write_tables(o.out,
                      {{"scenario_path", o.scenario},
                       {"scenario_hash_fnv1a64", sim::text_hash(scenario_text)},
                       {"weather_path", year.path},
                       {"weather_station", year.station},
                       {"cloudy_period", a.cloudy_period_text},
                       {"days", a.hours / 24.0},
                       {"start_hour", static_cast<double>(a.start_hour)},
                       {"begins_with", start_levels_text(a, Units::metric)},
                       {"backup", std::string(backup_word(a.backup))},
                       {"version", HOLDWATER_VERSION}},
                      {{"scenario", scenario_text},
                       {"provenance", provenance_file_text(scenarios::provenance_lines_of_run(scenario))}},
                      {survival, starts_table(a.outcome.starts),
                       worst_table(sim::run_one_cloudy_period(system, inputs, worst.first_day, levels, 45),
                                   a.hours, worst.full_again_h),
                       clearness_table(sim::cloudy_periods_by_clearness(system, scenario, year, o.period,
                                                                        first_days, levels))});
}

// The part of the requirement that does not hold, in words; empty: it holds.
std::string failure(sim::CloudyPeriodAnswer const& a, int days) {
    sim::CloudyPeriodStart const& w = a.outcome.starts[a.outcome.worst];
    switch (sim::failure_of(a, days)) {
        case sim::PeriodFailure::shortage:
            return fmt::format("{} days without shortage required, first shortage after {} from {} ({})",
                               days,
                               sim::figure_text(w.first_shortage_h / 24,
                                                sim::digits_apart(w.first_shortage_h / 24, days, 1)),
                               date_text(w.first_day), words(w.reason));
        case sim::PeriodFailure::never_full_again:
            return fmt::format("{} NEVER full again within a year after {} of the {} start dates",
                               stores_are(a.has_cistern, a.has_trough), a.never_full,
                               a.outcome.starts.size());
        case sim::PeriodFailure::none:
            break;
    }
    return "";
}

void print(CloudyPeriodArguments const& o, scenarios::Scenario const& scenario,
           sim::CloudyPeriodAnswer const& a) {
    auto const provenance = scenarios::provenance_lines_of_run(scenario);
    if (o.json) return print_json(a, provenance);
    auto const screen = look_at_screen(o.plain);
    fmt::print("{}{}{}",
               cloudy_period_answer_table(scenario, a, units_of(o.units, scenario), !screen.pictures),
               cloudy_period_strip(a.outcome, a.hours, screen),
               provenance_text(provenance, units_of(o.units, scenario)));
    if (!o.out.empty()) fmt::print("\nStart by start: {}\n", o.out);
}

// As a share of what is stored when full.
std::optional<double> share_of(std::optional<double> share, double full_m3) {
    if (!share) return std::nullopt;
    return *share * full_m3;
}

sim::NamedLevels named_levels(CloudyPeriodArguments const& o, scenarios::Scenario const& scenario,
                              sim::System const& design) {
    if (o.soc && *o.soc < scenario.battery.min_soc)
        throw CLI::ValidationError(
            "--soc", fmt::format("{:g} is below the battery's minimum SOC {:g} (1 - battery.usable_fraction)",
                                 *o.soc, scenario.battery.min_soc));
    if (o.cistern && !design.cistern) throw CLI::ValidationError("--cistern", "the design has no [cistern]");
    if (o.trough && !design.trough) throw CLI::ValidationError("--trough", "the design has no [trough]");
    return {o.soc, share_of(o.cistern, design.cistern ? design.cistern->cistern.fill_stop_m3 : 0),
            share_of(o.trough, design.trough ? design.trough->full_m3 : 0)};
}

// Hours without the grid from the beginning of the period; without a number, the whole period.
std::optional<double> outage_of(CloudyPeriodArguments const& o, int hours, sim::System const& design) {
    if (!o.with_outage) return std::nullopt;
    if (o.no_backup || design.rules.backup != sim::Backup::grid)
        throw CLI::ValidationError("--outage", o.no_backup ? "--no-backup leaves no grid that could fail"
                                                           : "the design has no grid that could fail");
    if (o.outage.empty()) return hours;
    double value = 0;
    auto const* const last = o.outage.data() + o.outage.size();
    auto const read = std::from_chars(o.outage.data(), last, value);
    if (read.ec != std::errc{} || read.ptr != last || !(value > 0 && value <= hours))
        throw CLI::ValidationError(
            "--outage", fmt::format("'{}' is not a number of hours above 0 and at most the period's {}; give "
                                    "--hours for a longer period, or --outage alone for all of it",
                                    o.outage, hours));
    return value;
}

sim::CloudyPeriodWeather sky_of(CloudyPeriodArguments const& o) {
    auto sky = o.period;
    sky.hours = o.hours ? *o.hours : 24 * o.days.value_or(10);
    if (o.worst) sky.kind = sim::CloudyPeriodKind::worst_of_file;
    if (!o.sun.empty()) {
        sky.kind = sim::CloudyPeriodKind::clear_sky_share;
        sky.values = o.sun;
    }
    if (!o.clearness.empty()) sky.values = o.clearness;
    if (!o.worst && 24 * static_cast<int>(sky.values.size()) >= sky.hours + 24)
        throw CLI::ValidationError(
            o.sun.empty() ? "--clearness" : "--sun",
            fmt::format("{} values are for {} periods of 24 h, and {} h have {}", sky.values.size(),
                        sky.values.size(), sky.hours, (sky.hours + 23) / 24));
    return sky;
}

}  // namespace

std::vector<CLI::Option*> add_cloudy_period_options(CLI::App& command, CloudyPeriodArguments& o) {
    CLI::Option_group& c = *command.add_option_group("One cloudy period, from every start date");
    std::vector<CLI::Option*> own;
    auto const add = [&](CLI::Option* option) {
        own.push_back(option);
        return option;
    };
    add(c.add_flag("--period", o.in_detail, "One cloudy period in detail, in place of the table"));
    add(c.add_option("--hours", o.hours, "Its length in hours, in place of --days")
            ->check(CLI::Range(1, 1440)));
    add(c.add_option("--start", o.starts,
                     "Day on which it begins, MM-DD; repeatable (default: every day of the year)"));
    add(c.add_option("--start-hour", o.period.start_hour, "Hour of the day at which it begins")
            ->check(CLI::Range(0, 23))
            ->capture_default_str());
    add(c.add_option("--soc", o.soc,
                     "SOC when it begins (default: as in the design's typical year at that date and hour)")
            ->check(CLI::Range(0.0, 1.0)));
    add(c.add_option(
             "--cistern", o.cistern,
             "Water in the cistern when it begins, share of its fill_stop (default: as in the typical year)")
            ->check(CLI::Range(0.0, 1.0)));
    add(c.add_option(
             "--trough", o.trough,
             "Water in the trough when it begins, share of its volume (default: as in the typical year)")
            ->check(CLI::Range(0.0, 1.0)));
    auto* const sun = add(c.add_option("--sun", o.sun,
                                       "Sun of each day as a share of a clear day, in place of --clearness; "
                                       "0.5,0.25: half in the first 24 h, a quarter after")
                              ->delimiter(',')
                              ->check(CLI::Range(0.0, 1.0)));
    add(c.add_flag("--worst", o.worst,
                   "The cloudiest days of the weather file in place of --clearness, moved to each start date")
            ->excludes(sun));
    add(c.add_option(
             "--outage", o.outage,
             "The grid is down for this many HOURS from the start; without a number, for the whole period. "
             "Replaces the scenario's outages")
            ->expected(0, 1)
            ->option_text("[HOURS]"));
    add(c.add_option("--require", o.require,
                     "Exit with 1 unless every start date is without a shortage for this many DAYS, and "
                     "everything is full again within a year")
            ->check(CLI::Range(1, 60)));
    add(c.add_flag("--no-backup", o.no_backup, "Without the scenario's backup"));
    add(c.add_flag("--plain", o.plain, "Plain characters, no chart"));
    return own;
}

void answer_one_cloudy_period(CloudyPeriodArguments o, int& exit_code) {
    o.period = sky_of(o);
    if (24 * o.require >= o.period.hours + 24)
        throw CLI::ValidationError("--require", fmt::format("{} days are longer than the period's {:.3g}: "
                                                            "give --days {} too",
                                                            o.require, o.period.hours / 24.0, o.require));
    sim::check_output(o.out, sim::outputs::cloudy_period, {o.scenario, o.weather});
    auto first_days = sim::every_start_day();
    if (!o.starts.empty()) {
        first_days.clear();
        for (auto const& text : o.starts) first_days.push_back(day_of(text, "--start"));
    }
    auto const scenario = scenarios::named_design(scenarios::read_design_file(o.scenario), o.option).scenario;
    auto const year = scenarios::read_scenario_weather(scenario, o.weather);
    auto const design = sim::make_system(scenario);
    auto const named = named_levels(o, scenario, design);
    o.period.outage_h = outage_of(o, o.period.hours, design);
    auto const inputs = sim::make_cloudy_period_inputs(scenario, year, o.period);
    StopOnSignal const signal;
    std::optional<ProgressLine> line("period");
    sim::CloudyPeriodAnswer a;
    try {
        a = sim::answer_cloudy_period(scenario, design, o.no_backup, inputs, first_days, named,
                                      &signal.stop(), line->share());
    } catch (sim::StudyStopped const&) {
        line.reset();
        fmt::print(stderr, "stopped: there is no answer yet\n");
        exit_code = signal.exit_code();
        return;
    }
    line.reset();

    if (!o.out.empty()) write_file(o, a, scenario, year, design, inputs, first_days);
    print_warnings(scenario.warnings, units_of(o.units, scenario));
    print(o, scenario, a);
    if (o.require == 0) return;
    if (auto const what = failure(a, o.require); !what.empty()) {
        fmt::print(stderr, "requirement failed: {}\n", what);
        exit_code = requirement_failed;
    }
}

}  // namespace holdwater::tools
