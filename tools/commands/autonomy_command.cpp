#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>

#include "scenarios/design/design.hpp"
#include "scenarios/design/weather_shelf.hpp"
#include "scenarios/settings/unit_text.hpp"
#include "scenarios/text/assumed_inputs.hpp"
#include "scenarios/text/quantity.hpp"
#include "sim/designs/autonomy_columns.hpp"
#include "sim/files/result_file.hpp"
#include "sim/sweep/output_file.hpp"
#include "sim/verdict/years_to_run.hpp"
#include "tools/answers/autonomy_table.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/common_options.hpp"
#include "tools/commands/one_cloudy_period.hpp"
#include "tools/json/autonomy_json.hpp"
#include "tools/progress/progress_line.hpp"
#include "tools/progress/stop_on_signal.hpp"
#include "tools/show/provenance_view.hpp"

namespace holdwater::tools {
namespace {

struct AutonomyArguments {
    std::string scenario, option, weather, out, leak = "1 gpm";
    sim::AutonomyOptions asked;
    CloudyPeriodArguments period;
    std::optional<int> days;
    std::vector<double> clearness;
    double years = 10;
    std::optional<Units> units;
    bool json = false, detail = false;
};

double leak_of(std::string const& text) {
    if (text == "0") return 0;
    try {
        double const leak = scenarios::read_quantity(text, "m3/s");
        if (leak >= 0 && leak <= 0.01) return leak;
    } catch (scenarios::QuantityError const& error) {
        throw CLI::ValidationError("--leak", error.what());
    }
    throw CLI::ValidationError("--leak", "'" + text + "' is more than a leak may be; accepted: 0 to " +
                                             scenarios::in_units(scenarios::system_of(text), "0.01 m3/s"));
}

// The scenario and all of its options, or one of them alone.
std::vector<scenarios::Design> designs_of(AutonomyArguments const& o) {
    auto const file = scenarios::read_design_file(o.scenario);
    if (!o.option.empty()) return {scenarios::named_design(file, o.option)};
    std::vector<scenarios::Design> designs{scenarios::base_design(file)};
    for (auto const& option : file.options) designs.push_back(scenarios::option_design(file, option));
    return designs;
}

void run(AutonomyArguments o, int& exit_code) {
    o.asked.leak_m3_s = leak_of(o.leak);
    sim::check_output(o.out, sim::outputs::autonomy, {o.scenario, o.weather});
    double const clearness = o.clearness.empty() ? 0.12 : o.clearness.front();
    int const days = o.days.value_or(10);
    o.asked.cloudy.values = {clearness};
    o.asked.cloudy.hours = 24 * days;
    o.asked.detail = o.detail || o.json || !o.out.empty();
    auto const designs = designs_of(o);
    StopOnSignal const signal;
    o.asked.stop = &signal.stop();
    scenarios::WeatherShelf shelf(o.weather);
    std::vector<std::shared_ptr<weather::WeatherYear const>> years;
    for (auto const& d : designs) years.push_back(shelf.of(d.scenario));
    sim::WeatherStandIn stand_in;
    stand_in.file = o.weather;
    std::optional<ProgressLine> line("autonomy");
    o.asked.progress = line->share();
    auto const columns = sim::autonomy_columns(designs, years, o.years, o.asked,
                                               sim::years_to_run(designs[0].scenario, stand_in));
    line.reset();
    if (auto const all = designs.size() * (o.years == 0 ? 1 : 2); columns.size() < all) {
        fmt::print(stderr, "stopped: {} of {} columns are finished{}\n", columns.size(), all,
                   columns.empty() ? "" : "; the answer is of these");
        exit_code = signal.exit_code();
    }
    for (auto const& d : designs)
        print_warnings(d.scenario.warnings, units_of(o.units, d.scenario),
                       designs.size() > 1 ? d.name + ": " : "");
    if (columns.empty()) return;
    AutonomyQuestion const q{fmt::format("clearness {:g}", clearness), days, o.asked.leak_m3_s, o.years,
                             o.detail};
    auto const provenance = scenarios::provenance_lines_of_run(designs[0].scenario);
    if (!o.out.empty())
        sim::write_tables(
            o.out,
            {{"scenario_path", o.scenario},
             {"scenario_hash_fnv1a64", sim::text_hash(designs[0].scenario.text)},
             {"weather_path", years.back()->path},
             {"weather_station", years.back()->station},
             {"cloudy_period", q.cloudy_period_text},
             {"cloudy_period_days", static_cast<double>(q.cloudy_period_days)},
             {"leak_m3_s", q.leak_m3_s},
             {"version", HOLDWATER_VERSION}},
            {{"scenario", designs[0].scenario.text}, {"provenance", provenance_file_text(provenance)}},
            autonomy_tables(columns));
    if (o.json) return fmt::print("{}\n", autonomy_json(q, columns, provenance).dump(2));
    fmt::print("{}\n{}\n\n{}{}", designs[0].scenario.title, designs[0].scenario.place,
               autonomy_table(q, columns, units_of(o.units, designs[0].scenario)),
               provenance_text(provenance, units_of(o.units, designs[0].scenario)));
    if (!o.out.empty()) fmt::print("\nFigures: {}\n", o.out);
}

}  // namespace

void add_autonomy_command(CLI::App& app, int& exit_code) {
    auto const o = std::make_shared<AutonomyArguments>();
    CLI::App* const c = app.add_subcommand(
        "autonomy", "How long it lasts without sun, in cloudy periods and in outages, new and aged");
    c->add_option("SCENARIO", o->scenario,
                  "Scenario file (TOML); its options stand side by side in the table")
        ->required();
    c->add_option("--option", o->option, "One of the scenario's options alone, by its name");
    c->add_option("--weather", o->weather, "Weather file in place of the scenario's");
    auto* const days = c->add_option("--days", o->days, "Length of the cloudy period, days (default 10)")
                           ->check(CLI::Range(1, 60));
    auto* const clearness =
        c->add_option("--clearness", o->clearness,
                      "Clearness of its days: 0.05-0.10 dense overcast, 0.15-0.25 ordinary (default 0.12); "
                      "with --period also one for each day: 0.3,0.1 is 0.3 in the first 24 h, 0.1 after")
            ->delimiter(',')
            ->check(CLI::Range(0.0, 0.8));
    std::vector<CLI::Option*> const of_table{
        c->add_option("--leak", o->leak, "Flow of the leak, such as \"1 gpm\"; 0: none")
            ->capture_default_str(),
        c->add_option("--years", o->years, "Age of the aged design; 0: leave it out")
            ->check(CLI::Range(0.0, 40.0))
            ->capture_default_str(),
        c->add_option("--every", o->asked.every_days, "Days from one start date to the next")
            ->check(CLI::Range(1, 90))
            ->capture_default_str(),
        c->add_flag("--detail", o->detail,
                    "Also stored energy and water, a hand calculation, sizes that would be enough, a lower "
                    "SOC at the start, a leak")};
    c->add_option("--out", o->out, "Also write the figures to this file, HDF5");
    add_units(*c, o->units);
    c->add_flag("--json", o->json,
                "Print as JSON (SI units) and nothing else; null: longer than the period that was run");
    auto const of_period = add_cloudy_period_options(*c, o->period);
    for (CLI::Option* const option : of_period) {
        if (option->check_name("--hours")) option->excludes(days);
        if (option->check_name("--sun") || option->check_name("--worst")) option->excludes(clearness);
        for (CLI::Option* const other : of_table) option->excludes(other);
    }
    c->footer(
        "Examples:\n"
        "  holdwater autonomy scenarios/juniper-bend-household.toml --leak \"0.5 gpm\"\n"
        "  holdwater autonomy scenarios/alder-flat-outages.toml --hours 84 --start-hour 18 --sun 0.5,0.25 "
        "--outage --soc 0.6");
    c->callback([o, of_period, &exit_code] {
        bool const one = o->clearness.size() > 1 ||
                         std::any_of(of_period.begin(), of_period.end(),
                                     [](CLI::Option const* option) { return option->count() > 0; });
        if (!one) return run(*o, exit_code);
        auto& p = o->period;
        p.scenario = o->scenario, p.option = o->option, p.weather = o->weather, p.out = o->out;
        p.days = o->days, p.clearness = o->clearness, p.units = o->units, p.json = o->json;
        for (CLI::Option const* const option : of_period)
            if (option->check_name("--outage"))
                p.with_outage = option->count() > 0;  // without a value: for the whole period
        answer_one_cloudy_period(p, exit_code);
    });
}

}  // namespace holdwater::tools
