#include <fmt/format.h>

#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>
#include <numeric>
#include <optional>

#include "scenarios/assumed_inputs.hpp"
#include "scenarios/design.hpp"
#include "scenarios/scenario_weather.hpp"
#include "sim/cloudy_spell_run.hpp"
#include "sim/figure_text.hpp"
#include "sim/make_system.hpp"
#include "sim/output_file.hpp"
#include "sim/result_file.hpp"
#include "sim/table_file.hpp"
#include "tools/commands.hpp"
#include "tools/common_options.hpp"
#include "tools/json_text.hpp"
#include "tools/provenance_view.hpp"
#include "tools/run_strip.hpp"
#include "tools/spell_answer.hpp"
#include "tools/units.hpp"

namespace holdwater::tools {
namespace {

struct SpellArguments {
    std::string scenario, option, weather, out;
    std::vector<std::string> starts;
    sim::SpellWeather spell;
    double level = 1;
    std::optional<double> clearness, clear_sky_percent;
    bool worst = false, no_backup = false, json = false, plain = false;
    int require = 0;
    Units units = Units::si;
};

nlohmann::ordered_json start_json(sim::SpellStart const& s, int days) {
    return {{"start", day_name(s.first_day)},
            {"power_lost_h", json_number(s.power_lost_h)},
            {"first_dry_h", json_number(s.first_dry_h)},
            {"failed_first", words(s.reason)},
            {"dry_hours", s.dry_hours},
            {"tap_hours", 24 * days - s.dry_hours},
            {"lowest_level", s.lowest_level},
            {"generator_h", s.generator_h},
            {"generator_fuel_l", s.generator_fuel_l},
            {"grid_kwh", s.grid_kwh},
            {"full_again_h", json_number(s.full_again_h)}};
}

// Hours that are never reached are null.
void print_json(SpellAnswer const& a, std::vector<std::string> const& provenance) {
    nlohmann::ordered_json json;
    json["spell"] = a.spell_text;
    json["days"] = a.days;
    json["level"] = a.level;
    json["backup"] = a.backup;
    json["start_days"] = a.outcome.starts.size();
    json["survival"] = a.outcome.survival;
    json["median_wet_h"] = json_number(a.median_wet_h);
    json["worst"] = start_json(a.outcome.starts[a.outcome.worst], a.days);
    json["failed_first"] = nlohmann::ordered_json::array();
    for (auto const& [reason, days] : a.failed_first)
        json["failed_first"].push_back({{"what", words(reason)}, {"start_days", days}});
    json["slowest_to_full"] = start_json(a.outcome.starts[a.slowest], a.days);
    json["never_full_again"] = a.never_full;
    json["sized_without_backup"] = a.sized_without_backup;
    json["bank_kwh"] = a.bank_kwh;
    json["bank_needed_kwh"] = a.bank_factor ? json_number(a.bank_kwh * *a.bank_factor) : json_number(NAN);
    json["array_kw"] = a.array_kw;
    json["array_needed_kw"] = a.array_factor ? json_number(a.array_kw * *a.array_factor) : json_number(NAN);
    json["bridging_generator"] = {{"most_h", a.bridge.most_h},
                                  {"most_start", day_name(a.bridge.most_first_day)},
                                  {"mean_h", a.bridge.mean_h},
                                  {"charger_kw", a.bridge.charger_w * 1e-3},
                                  {"charger_assumed", a.bridge.assumed_charger},
                                  {"survival", a.bridge.outcome.survival.back()}};
    for (auto const& s : a.outcome.starts) json["starts"].push_back(start_json(s, a.days));
    add_provenance(json, provenance);
    fmt::print("{}\n", json.dump(2));
}

sim::Table starts_table(std::vector<sim::SpellStart> const& starts) {
    sim::Table table{"starts", {}};
    auto const add = [&](char const* name, char const* unit, char const* long_name, auto const& get) {
        std::vector<double> values;
        values.reserve(starts.size());
        for (auto const& s : starts) values.push_back(static_cast<double>(get(s)));
        table.columns.push_back({name, unit, long_name, std::move(values)});
    };
    using S = sim::SpellStart const&;
    add("first_day", "1", "first day of the spell, 0 = 1 January", [](S s) { return s.first_day; });
    add("power_lost_h", "h", "inverter off for the first time, from the spell's start; inf: not in the spell",
        [](S s) { return s.power_lost_h; });
    add("first_dry_h", "h", "start of the first hour with unmet water; inf: none in the spell",
        [](S s) { return s.first_dry_h; });
    add("limit_reason", "1", "why that water did not come, numbered as in /series/limit_reason of a run",
        [](S s) { return static_cast<int>(s.reason); });
    add("dry_hours", "h", "hours with unmet water in the spell", [](S s) { return s.dry_hours; });
    add("lowest_level", "1", "lowest state of charge at an hour's end in the spell",
        [](S s) { return s.lowest_level; });
    add("generator_h", "h", "generator running time in the spell", [](S s) { return s.generator_h; });
    add("generator_fuel_l", "L", "generator fuel in the spell", [](S s) { return s.generator_fuel_l; });
    add("grid_kwh", "kWh", "energy from the grid in the spell", [](S s) { return s.grid_kwh; });
    add("full_again_h", "h", "from the spell's end to a full bank; inf: not in the rest of a year",
        [](S s) { return s.full_again_h; });
    return table;
}

// The worst start hour by hour, through the spell until the bank is full again, at most 45 days after it.
sim::Table worst_table(sim::RunResult const& run, int spell_days) {
    std::size_t hours = run.hours.size();
    for (std::size_t i = 24 * static_cast<std::size_t>(spell_days); i < hours; ++i)
        if (run.hours[i].battery_soc >= sim::full_level) {
            hours = i + 1;
            break;
        }
    sim::Table table{"worst", {}};
    std::vector<double> hour(hours);
    std::iota(hour.begin(), hour.end(), 0);
    table.columns.push_back({"hour", "h", "since 00:00 of the spell's first day", hour});
    for (auto const& field : sim::series_fields()) {
        std::vector<double> values;
        for (std::size_t i = 0; i < hours; ++i) values.push_back(run.hours[i].*field.value);
        table.columns.push_back({std::string(field.name), std::string(field.unit),
                                 std::string(field.long_name), std::move(values)});
    }
    return table;
}

sim::Table clearness_table(std::vector<sim::SpellByClearness> const& rows) {
    std::vector<double> clearness, wet, worst_h;
    for (auto const& r : rows) {
        clearness.push_back(r.clearness);
        wet.push_back(r.wet);
        worst_h.push_back(r.worst_wet_h);
    }
    return {"by_clearness",
            {{"clearness", "1", "of every day of the spell", clearness},
             {"share_wet", "1", "share of the start days with no dry hour in the whole spell", wet},
             {"worst_wet_h", "h", "to the first dry hour from the worst start day; inf: none", worst_h}}};
}

void write_file(SpellArguments const& o, SpellAnswer const& a, scenarios::Scenario const& scenario,
                weather::WeatherYear const& year, sim::System const& system, sim::SpellInputs const& inputs,
                std::vector<int> const& first_days) {
    std::string const& scenario_text = scenario.text;
    std::vector<double> lengths(a.outcome.survival.size());
    std::iota(lengths.begin(), lengths.end(), 1);
    sim::Table survival{
        "survival",
        {{"days", "day", "length of the spell", lengths},
         {"share_wet", "1", "share of the start days with no dry hour so far", a.outcome.survival}}};
    sim::write_tables(
        o.out,
        {{"scenario_path", o.scenario},
         {"scenario_hash_fnv1a64", sim::text_hash(scenario_text)},
         {"weather_path", year.path},
         {"weather_station", year.station},
         {"spell", a.spell_text},
         {"days", static_cast<double>(a.days)},
         {"level", a.level},
         {"backup", a.backup},
         {"version", HOLDWATER_VERSION}},
        {{"scenario", scenario_text},
         {"provenance", provenance_file_text(scenarios::provenance_lines_of_run(scenario))}},
        {survival, starts_table(a.outcome.starts),
         worst_table(sim::run_one_spell(system, inputs, a.outcome.starts[a.outcome.worst].first_day, 45),
                     a.days),
         clearness_table(sim::spells_by_clearness(system, scenario, year, a.days, first_days))});
}

// What of the requirement does not hold, in words; empty: it holds.
std::string failure(SpellAnswer const& a, int days) {
    sim::SpellStart const& w = a.outcome.starts[a.outcome.worst];
    if (w.first_dry_h < 24.0 * days)
        return fmt::format(
            "{} wet days required, dry after {} from {} ({})", days,
            sim::figure_text(w.first_dry_h / 24, sim::digits_apart(w.first_dry_h / 24, days, 1)),
            day_name(w.first_day), words(w.reason));
    if (a.never_full > 0)
        return fmt::format("the bank is NEVER full again within a year after {} of the {} start days",
                           a.never_full, a.outcome.starts.size());
    return "";
}

void print(SpellArguments const& o, scenarios::Scenario const& scenario, SpellAnswer const& a) {
    auto const provenance = scenarios::provenance_lines_of_run(scenario);
    if (o.json) return print_json(a, provenance);
    auto const screen = look_at_screen(o.plain);
    fmt::print("{}{}{}", spell_answer_table(scenario, a, o.units, !screen.pictures),
               spell_strip(a.outcome, a.days, screen), provenance_text(provenance));
    if (!o.out.empty()) fmt::print("\nStart by start: {}\n", o.out);
}

void run(SpellArguments const& o, int& exit_code) {
    if (o.require > o.spell.days)
        throw CLI::ValidationError("--require", fmt::format("{} days are longer than the spell's {}: give "
                                                            "--days {} too",
                                                            o.require, o.spell.days, o.require));
    sim::check_output(o.out, sim::outputs::spell, {o.scenario, o.weather});
    auto first_days = sim::every_start_day();
    if (!o.starts.empty()) {
        first_days.clear();
        for (auto const& text : o.starts) first_days.push_back(day_of(text, "--start"));
    }
    auto const scenario = scenarios::named_design(scenarios::read_design_file(o.scenario), o.option).scenario;
    auto const year = scenarios::read_scenario_weather(scenario, o.weather);
    if (o.level < scenario.bank.floor_soc)
        throw CLI::ValidationError(
            "--level", fmt::format("{:g} is below the bank's floor {:g} (1 - bank.usable_fraction)", o.level,
                                   scenario.bank.floor_soc));
    auto spell = o.spell;
    if (o.worst) spell.kind = sim::SpellKind::poorest_of_year;
    if (o.clear_sky_percent) {
        spell.kind = sim::SpellKind::clear_sky_share;
        spell.value = *o.clear_sky_percent / 100;
    }
    if (o.clearness) spell.value = *o.clearness;
    auto system = sim::make_system(scenario);
    system.start_soc = o.level;
    auto const inputs = sim::make_spell_inputs(scenario, year, spell);
    auto const a = answer_spell(scenario, system, o.no_backup, inputs, first_days);

    if (!o.out.empty())
        write_file(o, a, scenario, year, o.no_backup ? sim::without_backup(system) : system, inputs,
                   first_days);
    for (auto const& warning : scenario.warnings) fmt::print(stderr, "warning: {}\n", warning);
    print(o, scenario, a);
    if (o.require == 0) return;
    if (auto const what = failure(a, o.require); !what.empty()) {
        fmt::print(stderr, "requirement failed: {}\n", what);
        exit_code = requirement_failed;
    }
}

}  // namespace

void add_spell_command(CLI::App& app, int& exit_code) {
    auto const o = std::make_shared<SpellArguments>();
    CLI::App* const c = app.add_subcommand(
        "spell", "How long does the water last when the sun stays away? A dull spell from every start day");
    c->add_option("SCENARIO", o->scenario, "Scenario file (TOML)")->required();
    c->add_option("--option", o->option, "One of the scenario's options by its name");
    c->add_option("--weather", o->weather, "Weather file in place of the scenario's");
    c->add_option("--days", o->spell.days, "Longest spell, days")
        ->check(CLI::Range(1, 60))
        ->capture_default_str();
    c->add_option("--start", o->starts,
                  "First day of the spell, MM-DD; repeatable (default: every day of the year)");
    c->add_option("--level", o->level, "State of charge of the bank when it begins")
        ->check(CLI::Range(0.0, 1.0))
        ->capture_default_str();
    auto* const clearness =
        c->add_option(
             "--clearness", o->clearness,
             "Clearness of the spell's days: 0.05-0.10 dense overcast, 0.15-0.25 ordinary (default 0.12)")
            ->check(CLI::Range(0.0, 0.8));
    auto* const share = c->add_option("--clear-sky-percent", o->clear_sky_percent,
                                      "Instead: each day at this share of its clear sky")
                            ->check(CLI::Range(0.0, 60.0))
                            ->excludes(clearness);
    c->add_flag("--worst", o->worst,
                "Instead: the poorest run of so many days of the weather file, moved to each start day")
        ->excludes(clearness)
        ->excludes(share);
    c->add_option("--require", o->require,
                  "Exit with 1 unless every start day stays wet so many days and the bank is full again "
                  "within a year")
        ->check(CLI::Range(1, 60));
    c->add_flag("--no-backup", o->no_backup, "Leave the scenario's backup out");
    c->add_option("--out", o->out,
                  "Also write survival, every start day, the worst one hour by hour and other skies, HDF5");
    add_units(*c, o->units);
    c->add_flag("--json", o->json, "Print as JSON (SI units) and nothing else; null: never");
    c->add_flag("--plain", o->plain, "Bars of ASCII characters and no picture, as in a pipe");
    c->footer("Example:  holdwater spell scenarios/saltbush-livestock.toml --days 10 --clearness 0.1");
    c->callback([o, &exit_code] { run(*o, exit_code); });
}

}  // namespace holdwater::tools
