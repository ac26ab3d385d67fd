#include <fmt/format.h>

#include <cmath>
#include <memory>

#include "scenarios/design/design.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/files/result_file.hpp"
#include "tools/answers/years_table.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/common_options.hpp"
#include "tools/json/years_json.hpp"
#include "tools/show/table_out.hpp"

namespace holdwater::tools {
namespace {

struct YearsArguments {
    std::string scenario, option, out;
    std::vector<std::string> weather;
    int draws = 0, threads = 0;
    std::uint64_t seed = 1;
    double require = -1;
    std::optional<Units> units;
    bool json = false;
};

void run(YearsArguments const& o, int& exit_code) {
    auto read = o.weather;
    read.push_back(o.scenario);
    check_table_path(o.out, sim::outputs::years, read);
    auto const scenario = scenarios::named_design(scenarios::read_design_file(o.scenario), o.option).scenario;
    sim::DrawOptions draw;
    // One file stands in for the scenario's; several are years on record.
    if (o.weather.size() > 1)
        for (auto const& path : o.weather)
            draw.records.push_back(scenarios::read_scenario_weather(scenario, path));
    draw.years = o.draws > 0 ? o.draws : draw.records.empty() ? 50 : static_cast<int>(draw.records.size());
    draw.seed = o.seed;
    draw.threads = o.threads;
    draw.progress = years_progress();
    auto const own =
        scenarios::read_scenario_weather(scenario, o.weather.empty() ? std::string() : o.weather[0]);
    auto as_written = sim::run_year(scenario, own);
    if (!as_written.problem.empty()) throw std::invalid_argument(as_written.problem);
    bool const made = draw.records.empty();
    auto const a = answer_years(std::move(as_written), sim::draw_years({{scenario, &own}}, draw), made);

    if (!o.out.empty())
        write_table(o.out,
                    {{"scenario_path", o.scenario},
                     {"scenario_hash_fnv1a64", sim::text_hash(scenario.text)},
                     {"option", o.option},
                     {"weather", a.weather},
                     {"drawn", a.drawn},
                     {"version", HOLDWATER_VERSION}},
                    scenario.text, {years_table(a)});
    for (auto const& warning : scenario.warnings) fmt::print(stderr, "warning: {}\n", warning);
    if (o.json) {
        fmt::print("{}\n", years_json(a, o.seed).dump(2));
    } else {
        fmt::print("{}", years_table(scenario, a, units_of(o.units, scenario)));
        if (!o.out.empty()) fmt::print("\nYear by year: {}\n", o.out);
    }
    if (o.require >= 0 && a.wet.share.center < o.require) {
        fmt::print(stderr, "requirement failed: the whole demand was met in {} of the years, {} required\n",
                   sim::figure_text(a.wet.share.center, sim::digits_apart(a.wet.share.center, o.require, 4)),
                   sim::figure_text(o.require, 4));
        exit_code = requirement_failed;
    }
}

}  // namespace

void add_years_command(CLI::App& app, int& exit_code) {
    auto const o = std::make_shared<YearsArguments>();
    CLI::App* const c = app.add_subcommand(
        "years", "How sure is it? Many years of one design, with the range of every figure");
    c->add_option("SCENARIO", o->scenario, "Scenario file (TOML)")->required();
    c->add_option("--option", o->option, "One of the scenario's options by its name");
    c->add_option("--draws", o->draws,
                  "Number of years (default: 50 made ones, or as many as years on record are given)")
        ->check(CLI::Range(1, 100000));
    c->add_option("--seed", o->seed, "Seed of weather, outages, demand and generator failures")
        ->capture_default_str();
    c->add_option(
        "--weather", o->weather,
        "Weather file in place of the scenario's; several are years on record, used instead of made ones");
    c->add_option("--require", o->require,
                  "Exit with 1 when the whole demand is met in a smaller share of the years than this")
        ->check(CLI::Range(0.0, 1.0));
    c->add_option("--out", o->out, "Also write every year's figures to this file, .csv or .h5");
    add_threads(*c, o->threads);
    add_units(*c, o->units);
    c->add_flag("--json", o->json, "Print as JSON (SI units) and nothing else");
    c->footer("Example:  holdwater years scenarios/saltbush-livestock.toml --draws 100 --seed 1");
    c->callback([o, &exit_code] { run(*o, exit_code); });
}

}  // namespace holdwater::tools
