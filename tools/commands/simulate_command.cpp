#include <fmt/format.h>

#include <filesystem>
#include <memory>

#include "scenarios/design/design.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/settings/unit_text.hpp"
#include "scenarios/settings/wiring_notes.hpp"
#include "scenarios/text/assumed_inputs.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/check/design_check.hpp"
#include "sim/designs/design_figures.hpp"
#include "sim/files/result_file.hpp"
#include "sim/files/stored_run.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/sweep/output_file.hpp"
#include "sim/verdict/years_verdict.hpp"
#include "sim/year/aging_years.hpp"
#include "sim/year/battery_life.hpp"
#include "sim/year/simulate.hpp"
#include "sim/year/water_remarks.hpp"
#include "tools/answers/repeat_answer.hpp"
#include "tools/answers/summary_table.hpp"
#include "tools/answers/verdict_words.hpp"
#include "tools/answers/years_table.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/common_options.hpp"
#include "tools/commands/option_checks.hpp"
#include "tools/commands/stand_in_weather.hpp"
#include "tools/json/year_json.hpp"
#include "tools/progress/progress_line.hpp"
#include "tools/progress/stop_on_signal.hpp"
#include "tools/show/date_text.hpp"
#include "tools/show/provenance_view.hpp"
#include "tools/show/remark_words.hpp"
#include "tools/show/run_strip.hpp"
#include "tools/show/units.hpp"
#include "tools/show/wrap_text.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::tools {
namespace {

struct SimulateArguments {
    std::string scenario, option, out, from_result, from = "01-01";
    StandInArguments weather;
    int days = 365, age = 1, threads = 0;
    std::optional<Units> units;
    bool json = false, plain = false;
    double require = -1;
};

// The verdict over many years, and its worst year.
struct Verdict {
    sim::DesignVerdicts all;
    sim::WorstYear worst;
};

// Only a whole year has a verdict; --years 0 leaves it out. If it was stopped, it is of the finished years.
std::optional<Verdict> verdict_over_years(SimulateArguments const& o, scenarios::Scenario const& scenario,
                                          weather::WeatherYear const& year,
                                          sim::WeatherStandIn const& weather, int& exit_code) {
    if (o.days != sim::days_per_year || o.from != "01-01" || o.age > 1) return std::nullopt;
    auto draw = sim::years_to_run(scenario, weather);
    if (!sim::any_years(draw)) return std::nullopt;
    draw.threads = o.threads;
    StopOnSignal const signal;
    draw.stop = &signal.stop();
    ProgressLine line("years");
    draw.progress = line.years();
    std::vector<sim::DrawnDesign> const designs{{scenario, &year}};
    std::optional<Verdict> verdict;
    try {
        verdict = Verdict{sim::verdicts_over_years(designs, draw), {}};
        verdict->worst = sim::worst_year(designs, draw, verdict->all, 0);
    } catch (sim::StudyStopped const&) {  // before any year was finished
    }
    line.clear();
    if (signal.stop()) {
        auto const years = verdict ? verdict->all.designs[0].judged().judged().years.size() : 0;
        fmt::print(stderr, "stopped: {} years are finished; the answer is of {}\n", years,
                   verdict ? "these and the typical year" : "the typical year alone");
        exit_code = signal.exit_code();
    }
    return verdict;
}

std::string describe(weather::Repair const& r) {
    return fmt::format("{}: {} h from {}: {}", r.kind, r.hours, stamp_text(r.first_hour), r.rule);
}

// Runs the run of a result file again, and says whether the results are the same.
void run_again(SimulateArguments const& o, int& exit_code) {
    sim::check_output(o.out, sim::outputs::run, {o.from_result});
    auto const stored = sim::read_stored_run(o.from_result);
    auto const again = sim::repeat(stored);
    auto figures = sim::figures_of(again.result);
    std::optional<sim::SupplyIndices> indices;
    if (stored.clock.first_hour == 0 && stored.clock.hours == sim::hours_per_year) {
        indices = sim::indices_of(again.scenario, again.hourly);
        auto const more = sim::figures_of(*indices);
        figures.insert(figures.end(), more.begin(), more.end());
    }
    auto const differences = sim::differences(stored.figures, figures);
    if (!o.out.empty()) {
        auto inputs = stored.inputs;
        inputs.indices = indices;
        inputs.version = HOLDWATER_VERSION;
        inputs.remarks = words(sim::water_remarks(again.system, again.hourly, again.result));
        sim::write_result(o.out, again.result, inputs);
    }
    auto const answer = o.json ? repeat_json : repeat_answer;
    fmt::print("{}", answer(o.from_result, stored, differences, HOLDWATER_VERSION));
    if (!o.json && !o.out.empty()) fmt::print("\nHour by hour: {}\n", o.out);
    if (!differences.empty()) exit_code = requirement_failed;
}

// Checks that fail: the year runs with the powers of running motors and with starts on the inverter, and does
// not see every one of them (a generator too small to start the pump, a cable, a breaker).
std::vector<std::string> failed_checks(scenarios::Scenario const& scenario, Units units) {
    sim::CheckOptions options;
    options.units = units;
    std::vector<std::string> failed;
    for (auto const& c : sim::design_check(scenario, options).checks)
        if (sim::stands_in_the_way(c))
            failed.push_back(fmt::format("{} FAILS in `holdwater check`: {}, {}; change it before quoting",
                                         c.title, c.value_text.empty() ? "no figure" : c.value_text,
                                         c.limit_text.empty() ? "no limit" : c.limit_text));
    return failed;
}

void run(SimulateArguments const& o, int& exit_code) {
    if (!o.from_result.empty()) return run_again(o, exit_code);
    if (o.scenario.empty()) throw CLI::RequiredError("SCENARIO (a scenario file), or --from-result FILE,");
    std::string const out = o.out.empty() ? std::filesystem::path(o.scenario).stem().string() + ".h5" : o.out;
    sim::check_output(out, sim::outputs::run, read_paths(o.scenario, o.weather));
    auto const scenario = scenarios::named_design(scenarios::read_design_file(o.scenario), o.option).scenario;
    auto const weather = stand_in(o.weather, scenario);
    auto const year = scenarios::read_scenario_weather(scenario, weather.file);
    sim::Clock clock;
    clock.first_hour = 24 * day_of(o.from, "--from");
    clock.hours = 24 * o.days;

    auto const hourly = sim::make_inputs(scenario, year);
    auto const system = sim::make_system(scenario);
    auto result =
        o.age > 1 ? sim::simulate_years(system, hourly, clock, o.age) : sim::simulate(system, hourly, clock);
    auto const verdict = verdict_over_years(o, scenario, year, weather, exit_code);
    sim::add_light_series(hourly, result);

    sim::RunInputs inputs;
    inputs.scenario_text = scenario.text;
    inputs.scenario_path = o.scenario;
    inputs.option = o.option;
    inputs.weather = year;
    inputs.demand = scenario.demand.series;
    inputs.years = o.age;
    for (auto const& r : year.repairs) inputs.weather_repairs.push_back(describe(r));
    inputs.warnings = scenario.warnings;
    inputs.warnings.insert(inputs.warnings.end(), year.warnings.begin(), year.warnings.end());
    inputs.warnings.insert(inputs.warnings.end(), hourly->warnings.begin(), hourly->warnings.end());
    if (o.age > 1 && system.battery.capacity_kwh > 0 && !sim::asks_for_life(system.battery_life))
        inputs.warnings.push_back(fmt::format(
            "battery: the scenario states no battery life, so the battery keeps its full capacity "
            "through all {} years; give [battery.life] (calendar_years, depths with cycles, or "
            "throughput) and it fades",
            o.age));
    inputs.wiring_notes = scenarios::wiring_notes(scenario);
    inputs.provenance = scenarios::provenance_lines_of_run(scenario);
    inputs.remarks = words(sim::water_remarks(system, hourly, result));
    inputs.version = HOLDWATER_VERSION;
    if (o.days == sim::days_per_year && o.from == "01-01") inputs.indices = sim::indices_of(scenario, hourly);
    sim::write_result(out, result, inputs);

    auto const units = units_of(o.units, scenario);
    print_warnings(inputs.warnings, units);
    if (o.json) {
        fmt::print("{}\n", year_json(result, verdict ? &verdict->all : nullptr,
                                     verdict ? &verdict->worst : nullptr, inputs.indices, inputs.provenance)
                               .dump(2));
    } else {
        std::string const lead =
            verdict ? verdict_block(verdict->all, verdict->worst, result.summary, scenario) : std::string();
        fmt::print("{}{}", summary_table(scenario, year, result, units, lead),
                   run_strip(verdict ? verdict->worst.run : result,
                             verdict ? "the worst " + year_name(verdict->worst, verdict->all.winters)
                                     : std::string("the run"),
                             look_at_screen(o.plain)));
        auto const failed = failed_checks(scenario, units);
        if (!inputs.remarks.empty() || !failed.empty()) fmt::print("\nTo look at:\n");
        std::string remarks;
        for (auto const& text : failed) wrap(remarks, "  - ", text, 100);
        for (auto const& remark : inputs.remarks)
            wrap(remarks, "  - ", scenarios::in_units(units, remark), 100);
        fmt::print("{}", remarks);
        fmt::print("{}", provenance_text(inputs.provenance, units));
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
    auto const weather = add_weather(*c, o->weather);
    c->add_option("--out", o->out,
                  "Result file, HDF5 (default: the scenario's name with .h5, in this folder)");
    auto* const from = c->add_option("--from", o->from, "First day, MM-DD")->capture_default_str();
    auto* const days =
        c->add_option("--days", o->days, "Number of days")->check(CLI::Range(1, 3650))->capture_default_str();
    auto* const age = c->add_option("--age", o->age,
                                    "Run this many years in a row; the battery's SOC carries over and its "
                                    "capacity fades. The summary is that of the first year")
                          ->check(CLI::Range(1, 50))
                          ->capture_default_str();
    add_threads(*c, o->threads);
    add_units(*c, o->units);
    c->add_flag("--json", o->json, "Print the summary as JSON (SI units) and nothing else");
    c->add_flag("--plain", o->plain, "Leave out the chart of the year below the table");
    c->add_option("--require", o->require,
                  "Exit with 1 when less than this share of the demand is met in the typical year")
        ->check(CLI::Range(0.0, 1.0));
    auto* const require = c->get_option("--require");
    auto* const from_result =
        c->add_option("--from-result", o->from_result,
                      "In place of a scenario: run again what this result file holds, scenario and weather "
                      "included, and say whether every value is the same (exit code 1 if not)");
    for (auto* const other : {scenario, option, from, days, age, require}) from_result->excludes(other);
    for (auto* const other : weather) from_result->excludes(other);
    c->footer(
        "Example:  holdwater simulate scenarios/juniper-bend-household.toml --from 12-01 --days 31 --units "
        "us");
    c->callback([o, &exit_code] { run(*o, exit_code); });
}

}  // namespace holdwater::tools
