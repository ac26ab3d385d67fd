#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <iterator>
#include <memory>
#include <stdexcept>
#include <utility>

#include "scenarios/design/design.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/files/result_file.hpp"
#include "sim/files/table_file.hpp"
#include "sim/sweep/sweep_run.hpp"
#include "sim/sweep/years_rows.hpp"
#include "sim/verdict/years_to_run.hpp"
#include "tools/answers/years_table.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/common_options.hpp"
#include "tools/json/years_json.hpp"
#include "tools/progress/progress_line.hpp"
#include "tools/progress/shard_run.hpp"
#include "tools/progress/stop_on_signal.hpp"
#include "tools/show/json_text.hpp"
#include "tools/show/table_out.hpp"

namespace holdwater::tools {
namespace {

struct YearsArguments {
    std::string scenario, option, out, temperature_file, light_model;
    std::vector<std::string> weather;
    int made_years = 0, threads = 0;
    std::optional<std::uint64_t> seed;
    double require = -1;
    std::optional<Units> units;
    ShardArguments shards;
    bool json = false;
};

void print_tables(scenarios::Scenario const& scenario, std::vector<sim::SourcedYears> const& answers,
                  Units units) {
    for (auto const& one : answers) {
        if (&one != &answers.front()) fmt::print("\n");
        fmt::print("{}", years_table(scenario, one.answer, units));
    }
    if (answers.size() == 1) return;
    fmt::print("\nSide by side, years without a shortage:\n");
    for (auto const& [source, numbers, answer] : answers)
        fmt::print("  {:<24}{}\n", source == "made" ? "made years" : source, words(answer.wet));
}

void write_out(YearsArguments const& o, scenarios::Scenario const& scenario,
               std::vector<sim::SourcedYears> const& answers) {
    sim::write_table(o.out,
                     {{"scenario_path", o.scenario},
                      {"scenario_hash_fnv1a64", sim::text_hash(scenario.text)},
                      {"option", o.option},
                      {"weather", answers[0].answer.weather},
                      {"random_in_each_year", answers[0].answer.drawn},
                      {"version", HOLDWATER_VERSION}},
                     scenario.text, {sim::table_of_years(answers)});
}

// The made years as rows; nothing if they are not all there.
std::optional<sim::SourcedYears> years_in_rows(YearsArguments const& o, std::string const& file_text,
                                               scenarios::Scenario const& scenario,
                                               weather::WeatherYear const& own, sim::DrawOptions const& draw,
                                               StopOnSignal const& signal, int& exit_code) {
    auto const shard = shard_of(o.shards.shard);
    sim::ThreadLimit const limit(o.threads);
    sim::YearsRows const rows(scenario, own, draw);
    auto const spec = sim::numbered_rows(static_cast<std::size_t>(draw.years));
    RowStudy const study{sim::SweepPlan(spec),
                         {.spec = spec,
                          .scenario_path = o.scenario,
                          .scenario_text = file_text,
                          .option = o.option,
                          .weather_path = o.weather.empty() ? "" : o.weather[0],
                          .provenance = sim::sweep_provenance(scenario, {}),
                          .inputs_hash = rows.inputs_hash(),
                          .version = HOLDWATER_VERSION,
                          .figures = sim::years_figures(),
                          .group = "years",
                          .settings = {fmt::format("seed = {}", draw.seed)},
                          .shard = shard.number,
                          .shards = shard.of},
                         [&](sim::SweepBlock& block) { rows.run(block); },
                         {},
                         {.time = std::chrono::seconds(30)}};
    std::vector<sim::DrawnYear> years;
    auto const take = [&](sim::SweepBlock const& block) {
        auto more = sim::years_of(block);
        std::move(more.begin(), more.end(), std::back_inserter(years));
    };
    if (!all_rows(study, o.shards, o.shards.rows_path(o.out), o.json, signal, exit_code, take))
        return std::nullopt;
    return rows.answer(std::move(years));
}

void run(YearsArguments const& o, int& exit_code) {
    auto read = o.weather;
    read.push_back(o.scenario);
    read.insert(read.end(), o.shards.merge.begin(), o.shards.merge.end());
    check_shard_file(o.shards, o.shards.rows_path(o.out));
    if (!o.shards.resume || !sim::is_damaged_sweep(o.out))
        check_table_path(
            o.out, o.shards.rows_path(o.out).empty() ? sim::outputs::years : sim::outputs::years_rows, read);
    auto const file = scenarios::read_design_file(o.scenario);
    auto scenario = scenarios::named_design(file, o.option).scenario;
    if (!o.light_model.empty()) scenario.light_models = models_of(o.light_model);
    if (!o.temperature_file.empty()) scenario.temperature_path = o.temperature_file;
    scenarios::OtherYears const other{o.weather, o.temperature_file, {}};
    // One file of one year replaces the scenario's typical year; anything else is recorded years.
    bool const recorded_alone = !o.weather.empty() && scenarios::is_record(scenario, other);
    bool const recorded = recorded_alone || (o.weather.empty() && !scenario.recorded_paths.empty());
    if (recorded && o.shards.any())
        throw std::invalid_argument(
            "--shard, --resume, --merge and --manifest are for made years: recorded years are few and are "
            "run at once; run them without these options" +
            std::string(recorded_alone ? "" : ", or take them out of [weather]"));
    std::optional<weather::RecordedYears> record;
    if (recorded) record = scenarios::read_scenario_years(scenario, other);

    sim::DrawOptions draw;
    if (record) draw.recorded = sim::recorded_sets(*record);
    draw.years = recorded_alone ? 0 : o.made_years > 0 ? o.made_years : scenario.years.made;
    draw.seed = o.seed.value_or(scenario.years.seed);
    draw.threads = o.threads;
    ProgressLine line("years");
    draw.progress = line.years();
    StopOnSignal const signal;
    draw.stop = &signal.stop();
    std::vector<sim::SourcedYears> answers;
    try {
        auto const own = recorded_alone ? draw.recorded.at(0).chains.at(0).at(0)
                                        : scenarios::read_scenario_weather(
                                              scenario, o.weather.empty() ? "" : o.weather[0]);
        if (o.shards.any()) {
            draw.progress = nullptr;  // rows are counted instead
            auto made = years_in_rows(o, file.text, scenario, own, draw, signal, exit_code);
            if (!made) return;
            answers.push_back(std::move(*made));
        } else {
            answers = sim::sourced_years(scenario, own, draw);
        }
        line.clear();
    } catch (sim::StudyStopped const&) {
        line.clear();
        fmt::print(stderr, "stopped: none of {} years is finished\n", draw.years);
        exit_code = signal.exit_code();
        return;
    }

    if (!o.out.empty() && o.shards.rows_path(o.out).empty()) write_out(o, scenario, answers);
    print_warnings(scenario.warnings, units_of(o.units, scenario));
    if (o.json) {
        fmt::print("{}\n", json_text(years_json(answers, record, draw.seed)));
    } else {
        print_tables(scenario, answers, units_of(o.units, scenario));
        if (!o.out.empty()) fmt::print("\nYear by year: {}\n", o.out);
    }
    if (signal.stop()) {
        fmt::print(stderr, "stopped: {} of {} years are finished; the answer is of these\n",
                   answers[0].answer.years.size(), draw.years);
        exit_code = signal.exit_code();
        return;
    }
    for (auto const& [source, numbers, answer] : answers) {
        auto const share = answer.wet.share.center;
        if (o.require < 0 || share >= o.require) continue;
        fmt::print(stderr, "requirement failed: the whole demand was met in {} of the years{}, {} required\n",
                   sim::figure_text(share, sim::digits_apart(share, o.require, 4)),
                   answers.size() == 1 ? "" : fmt::format(" ({})", source == "made" ? "made years" : source),
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
    c->add_option("--years", o->made_years,
                  "Made years (default: the scenario's weather.made_years, else 50)")
        ->check(CLI::Range(1, 100000));
    c->add_option(
        "--seed", o->seed,
        "Seed of weather, outages, demand and generator failures (default: the scenario's weather.seed, else "
        "1)");
    c->add_option(
        "--weather", o->weather,
        "Weather file in place of the scenario's; several, folders, patterns or a file of many years are "
        "recorded years, used instead of made ones");
    add_recorded(*c, o->temperature_file, o->light_model);
    c->add_option("--require", o->require,
                  "Exit with 1 when the whole demand is met in a smaller share of the years than this")
        ->check(CLI::Range(0.0, 1.0));
    c->add_option(
        "--out", o->out,
        "Also write every year's figures to this file, .csv or .h5; with the four options below the "
        ".h5 file has the made years as rows");
    add_shards(*c, o->shards, MergeTakes::scenario_too);
    add_threads(*c, o->threads);
    add_units(*c, o->units);
    c->add_flag("--json", o->json, "Print as JSON (SI units) and nothing else");
    c->footer(
        "Examples:\n"
        "  holdwater years scenarios/saltbush-livestock.toml --years 100 --seed 1\n"
        "  holdwater years design.toml --weather 'years/*.csv' --temperature-file typical.csv\n"
        "  holdwater years design.toml --years 100000 --shard 2/8 --out part-2.h5\n"
        "  holdwater years design.toml --years 100000 --merge part-*.h5");
    c->callback([o, &exit_code] { run(*o, exit_code); });
}

}  // namespace holdwater::tools
