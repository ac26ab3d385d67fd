#include <fmt/format.h>

#include <filesystem>
#include <memory>

#include "scenarios/design/design.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/settings/wiring_notes.hpp"
#include "scenarios/text/assumed_inputs.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/files/result_file.hpp"
#include "sim/files/stored_run.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/sweep/output_file.hpp"
#include "sim/year/aging_years.hpp"
#include "sim/year/battery_life.hpp"
#include "sim/year/simulate.hpp"
#include "sim/year/water_remarks.hpp"
#include "tools/answers/cloudy_period_answer.hpp"
#include "tools/answers/repeat_answer.hpp"
#include "tools/answers/summary_table.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/common_options.hpp"
#include "tools/json/year_json.hpp"
#include "tools/show/provenance_view.hpp"
#include "tools/show/run_strip.hpp"
#include "tools/show/units.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::tools {
namespace {

struct SimulateArguments {
    std::string scenario, option, weather, out, from_result, from = "01-01";
    int days = 365, years = 1;
    std::optional<Units> units;
    bool json = false, plain = false;
    double require = -1;
};

std::string describe(weather::Repair const& r) {
    return fmt::format("{}: {} h from {}: {}", r.kind, r.hours, sim::stamp_of_hour(r.first_hour), r.rule);
}

// Runs a result file's run again and says whether it came out the same.
void run_again(SimulateArguments const& o, int& exit_code) {
    sim::check_output(o.out, sim::outputs::run, {o.from_result});
    auto const stored = sim::read_stored_run(o.from_result);
    auto const again = sim::repeat(stored);
    auto const differences = sim::differences(stored.figures, sim::figures_of(again.result));
    if (!o.out.empty()) {
        auto inputs = stored.inputs;
        inputs.version = HOLDWATER_VERSION;
        inputs.remarks = again.remarks;
        sim::write_result(o.out, again.result, inputs);
    }
    auto const answer = o.json ? repeat_json : repeat_answer;
    fmt::print("{}", answer(o.from_result, stored, differences, HOLDWATER_VERSION));
    if (!o.json && !o.out.empty()) fmt::print("\nHour by hour: {}\n", o.out);
    if (!differences.empty()) exit_code = requirement_failed;
}

void run(SimulateArguments const& o, int& exit_code) {
    if (!o.from_result.empty()) return run_again(o, exit_code);
    if (o.scenario.empty()) throw CLI::RequiredError("SCENARIO (a scenario file), or --from-result FILE,");
    std::string const out = o.out.empty() ? std::filesystem::path(o.scenario).stem().string() + ".h5" : o.out;
    sim::check_output(out, sim::outputs::run, {o.scenario, o.weather});
    auto const scenario = scenarios::named_design(scenarios::read_design_file(o.scenario), o.option).scenario;
    auto const year = scenarios::read_scenario_weather(scenario, o.weather);
    sim::Clock clock;
    clock.first_hour = 24 * day_of(o.from, "--from");
    clock.hours = 24 * o.days;

    auto const hourly = sim::make_inputs(scenario, year);
    auto const system = sim::make_system(scenario);
    auto result = o.years > 1 ? sim::simulate_years(system, hourly, clock, o.years)
                              : sim::simulate(system, hourly, clock);
    sim::add_light_series(hourly, result);

    sim::RunInputs inputs;
    inputs.scenario_text = scenario.text;
    inputs.scenario_path = o.scenario;
    inputs.option = o.option;
    inputs.weather = year;
    inputs.demand = scenario.demand.series;
    inputs.years = o.years;
    for (auto const& r : year.repairs) inputs.weather_repairs.push_back(describe(r));
    inputs.warnings = scenario.warnings;
    inputs.warnings.insert(inputs.warnings.end(), year.warnings.begin(), year.warnings.end());
    inputs.warnings.insert(inputs.warnings.end(), hourly->warnings.begin(), hourly->warnings.end());
    if (o.years > 1 && system.battery.capacity_kwh > 0 && !sim::asks_for_life(system.battery_life))
        inputs.warnings.push_back(fmt::format(
            "battery: the scenario states no battery life, so the battery keeps its full capacity "
            "through all {} years; give [battery.life] (calendar_years, depths with cycles, or "
            "throughput) and it fades",
            o.years));
    inputs.wiring_notes = scenarios::wiring_notes(scenario);
    inputs.provenance = scenarios::provenance_lines_of_run(scenario);
    inputs.remarks = sim::water_remarks(system, result);
    inputs.version = HOLDWATER_VERSION;
    sim::write_result(out, result, inputs);

    for (auto const& warning : inputs.warnings) fmt::print(stderr, "warning: {}\n", warning);
    if (o.json) {
        fmt::print("{}\n", year_json(result, inputs.provenance).dump(2));
    } else {
        fmt::print("{}{}", summary_table(scenario, year, result, units_of(o.units, scenario)),
                   run_strip(result, look_at_screen(o.plain)));
        if (!inputs.remarks.empty()) fmt::print("\nTo look at:\n");
        for (auto const& remark : inputs.remarks) fmt::print("  - {}\n", remark);
        fmt::print("{}", provenance_text(inputs.provenance));
        fmt::print("\nHour by hour: {}\n", out);
    }
    if (o.require >= 0 && result.summary.demand_met_fraction < o.require) {
        fmt::print(stderr, "requirement failed: {} of the demand met, {} required\n",
                   sim::figure_text(result.summary.demand_met_fraction,
                                    sim::digits_apart(result.summary.demand_met_fraction, o.require, 4)),
                   sim::figure_text(o.require, 4));
        exit_code = requirement_failed;
    }
}

}  // namespace

void add_simulate_command(CLI::App& app, int& exit_code) {
    auto const o = std::make_shared<SimulateArguments>();
    CLI::App* const c =
        app.add_subcommand("simulate", "Run a design through a year (or part of it), hour by hour");
    auto* const scenario = c->add_option("SCENARIO", o->scenario, "Scenario file (TOML)");
    auto* const option = c->add_option("--option", o->option, "One of the scenario's options by its name");
    auto* const weather = c->add_option("--weather", o->weather, "Weather file in place of the scenario's");
    c->add_option("--out", o->out,
                  "Result file, HDF5 (default: the scenario's name with .h5, in this folder)");
    auto* const from = c->add_option("--from", o->from, "First day, MM-DD")->capture_default_str();
    auto* const days =
        c->add_option("--days", o->days, "Number of days")->check(CLI::Range(1, 3650))->capture_default_str();
    auto* const years =
        c->add_option(
             "--years", o->years,
             "Run the year so often on end, the battery's level carried and its capacity fading; the "
             "summary is the first year's")
            ->check(CLI::Range(1, 50))
            ->capture_default_str();
    add_units(*c, o->units);
    c->add_flag("--json", o->json, "Print the summary as JSON (SI units) and nothing else");
    c->add_flag("--plain", o->plain, "No picture of the year, which a terminal shows below the table");
    c->add_option("--require", o->require, "Exit with 1 when less than this share of the demand is met")
        ->check(CLI::Range(0.0, 1.0));
    auto* const require = c->get_option("--require");
    auto* const from_result =
        c->add_option("--from-result", o->from_result,
                      "In place of a scenario: run again what this result file holds, scenario and weather "
                      "included, and say whether it comes out the same (exit 1 where not)");
    for (auto* const other : {scenario, option, weather, from, days, years, require})
        from_result->excludes(other);
    c->footer(
        "Example:  holdwater simulate scenarios/juniper-bend-household.toml --from 12-01 --days 31 --units "
        "us");
    c->callback([o, &exit_code] { run(*o, exit_code); });
}

}  // namespace holdwater::tools
