#include <fmt/format.h>

#include <chrono>
#include <cstdio>
#include <map>
#include <memory>
#include <optional>
#include <stdexcept>

#include "scenarios/design/search_settings.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/files/result_file.hpp"
#include "sim/files/table_file.hpp"
#include "sim/sweep/size_rows.hpp"
#include "sim/sweep/sweep_run.hpp"
#include "tools/answers/size_table.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/common_options.hpp"
#include "tools/commands/stand_in_weather.hpp"
#include "tools/json/size_json.hpp"
#include "tools/json/typed_axes.hpp"
#include "tools/progress/progress_line.hpp"
#include "tools/progress/shard_run.hpp"
#include "tools/progress/stop_on_signal.hpp"
#include "tools/show/table_out.hpp"

namespace holdwater::tools {
namespace {

struct SizeArguments {
    std::string scenario, option, out;
    StandInArguments weather;
    std::vector<std::string> vary, require, more_never_hurts;
    std::optional<scenarios::SearchLeast> least;
    std::size_t all_up_to = 500;
    int threads = 0;
    std::optional<Units> units;
    ShardArguments shards;
    bool json = false;
};

// The scenario's search with the additions of the command line. A list for a key that is alone on its axis
// replaces it.
scenarios::SearchSettings settings_of(SizeArguments const& o, scenarios::DesignFile const& file) {
    auto settings = scenarios::read_search(file).value_or(scenarios::SearchSettings{});
    if (o.least) settings.least = o.least;
    for (auto const& text : o.vary) add_axis(settings, text);
    for (auto const& name : o.more_never_hurts) {
        std::string known;
        bool found = false;
        for (auto& axis : settings.axes) {
            known += (known.empty() ? "" : ", ") + axis.name;
            if (axis.name == name) axis.more_never_hurts = found = true;
        }
        if (!found)
            throw CLI::ValidationError(
                "--more-never-hurts",
                fmt::format("there is no list '{}'; there are {}", name, known.empty() ? "none" : known));
    }
    for (auto const& text : o.require) scenarios::set_requirement(settings.require, text);
    return settings;
}

// Lines that must be the same in all shards: what is asked beside the scenario.
std::vector<std::string> asked(SizeArguments const& o, scenarios::Scenario const& scenario) {
    std::vector<std::string> lines;
    for (auto const& text : o.vary) lines.push_back("vary = " + text);
    for (auto const& text : o.require) lines.push_back("require = " + text);
    lines.push_back(fmt::format("made years = {}", o.weather.made_years.value_or(scenario.years.made)));
    lines.push_back(fmt::format("seed = {}", o.weather.seed.value_or(scenario.years.seed)));
    return lines;
}

// All combinations as rows; false: they are not all there.
bool combinations_in_rows(SizeArguments const& o, scenarios::DesignFile const& file,
                          scenarios::Scenario const& scenario, scenarios::SearchSettings const& settings,
                          sim::SizeOptions const& options, StopOnSignal const& signal, int& exit_code,
                          std::map<sim::Combination, sim::SizeRun>& runs) {
    if (options.weather.made_years.value_or(scenario.years.made) == 0 &&
        (!options.weather.recorded.paths.empty() || !scenario.recorded_paths.empty()))
        throw std::invalid_argument(
            "--shard, --resume, --merge and --manifest are for made years: recorded years are few; run them "
            "without these options, or give --years");
    auto const shard = shard_of(o.shards.shard);
    sim::ThreadLimit const limit(o.threads);
    auto const spec = sim::numbered_rows(sim::combination_count(settings));
    auto const run = sim::combination_runs(file, settings, options);
    RowStudy const study{sim::SweepPlan(spec),
                         {.spec = spec,
                          .scenario_path = o.scenario,
                          .scenario_text = file.text,
                          .option = o.option,
                          .weather_path = options.weather.file,
                          .provenance = sim::sweep_provenance(scenario, {}),
                          .inputs_hash = sim::size_inputs_hash(file, settings, options),
                          .version = HOLDWATER_VERSION,
                          .figures = sim::size_figures(),
                          .group = std::string(sim::outputs::size_rows.group),
                          .texts = sim::size_texts(),
                          .settings = asked(o, scenario),
                          .shard = shard.number,
                          .shards = shard.of},
                         [&](sim::SweepBlock& block) { sim::run_combinations(block, settings, run); },
                         {.texts = sim::size_texts().size()},
                         {.time = std::chrono::seconds(30)}};
    return all_rows(study, o.shards, o.shards.rows_path(o.out), o.json, signal, exit_code,
                    [&](sim::SweepBlock const& block) { sim::take_combinations(block, settings, runs); });
}

void run(SizeArguments const& o, int& exit_code) {
    auto read = read_paths(o.scenario, o.weather);
    read.insert(read.end(), o.shards.merge.begin(), o.shards.merge.end());
    check_shard_file(o.shards, o.shards.rows_path(o.out));
    if (!o.shards.resume || !sim::is_damaged_sweep(o.out))
        check_table_path(
            o.out, o.shards.rows_path(o.out).empty() ? sim::outputs::size : sim::outputs::size_rows, read);
    auto const file = scenarios::read_design_file(o.scenario);
    auto const settings = settings_of(o, file);
    sim::SizeOptions options;
    auto const design = scenarios::named_design(file, o.option);
    for (auto const& option : file.options)
        if (option.name == o.option) options.base = option;
    options.weather = stand_in(o.weather, design.scenario);
    options.all_up_to = o.all_up_to;
    options.threads = o.threads;
    StopOnSignal const signal;
    options.stop = &signal.stop();
    std::map<sim::Combination, sim::SizeRun> runs;
    if (o.shards.any()) {
        if (!combinations_in_rows(o, file, design.scenario, settings, options, signal, exit_code, runs))
            return;
        options.known = &runs;
        options.all_up_to = runs.size();
    }
    std::optional<ProgressLine> line("size");
    options.progress = [&](std::size_t run, std::size_t of) { line->count(run, of, "combinations"); };
    auto const a = sim::size_design(file, settings, options);
    line.reset();
    if (!o.out.empty() && o.shards.rows_path(o.out).empty() && !a.runs.empty())
        sim::write_table(o.out,
                         {{"scenario_path", o.scenario},
                          {"scenario_hash_fnv1a64", sim::text_hash(file.text)},
                          {"option", o.option},
                          {"weather_path", fmt::format("{}", fmt::join(o.weather.paths, " "))},
                          {"least", least_word(a.least)},
                          {"choice", a.choice ? sim::name_of(a, *a.choice) : std::string("none")},
                          {"combinations", static_cast<double>(a.combinations)},
                          {"version", HOLDWATER_VERSION}},
                         file.text, size_tables(a));
    if (a.stopped) {
        if (a.runs.empty())
            fmt::print(stderr, "stopped: none of {} combinations were run\n", a.combinations);
        else
            fmt::print(stderr, "stopped: {} of {} combinations were run{}; of these {}\n", a.runs.size(),
                       a.combinations, o.out.empty() ? "" : " and lie in " + o.out,
                       a.choice ? fmt::format("\"{}\" is the best that meets all that is required",
                                              sim::name_of(a, *a.choice))
                                : std::string("none meets all that is required"));
        exit_code = signal.exit_code();
        return;
    }
    if (o.json) {
        fmt::print("{}\n", size_json(a).dump(2));
    } else {
        fmt::print("{}\n{}\n\n{}", design.scenario.title, design.scenario.place,
                   size_table(a, units_of(o.units, design.scenario)));
        if (!o.out.empty()) fmt::print("\nRow by row: {}\n", o.out);
    }
    if (!a.choice) {
        fmt::print(stderr, "requirement failed: no combination meets all that is required\n");
        exit_code = requirement_failed;
    }
    if (a.confirmed && !a.confirmed->met) {
        fmt::print(stderr, "requirement failed: of {} other made years the choice holds in {}, {} required\n",
                   a.confirmed->years, a.confirmed->held, a.confirmed->needed);
        exit_code = requirement_failed;
    }
}

}  // namespace

void add_size_command(CLI::App& app, int& exit_code) {
    using scenarios::SearchLeast;
    auto const o = std::make_shared<SizeArguments>();
    CLI::App* const c = app.add_subcommand("size",
                                           "The least-cost (or smallest) battery, array, inverter, ... from "
                                           "your lists that meets the requirements");
    c->add_option("SCENARIO", o->scenario,
                  "Scenario file (TOML) with tables [search], [search.require], [[search.axis]]")
        ->required();
    c->add_option("--vary", o->vary,
                  "A list to choose from, smallest first: \"battery.capacity=5 kWh,10 kWh\"; repeatable")
        ->allow_extra_args(false);
    c->add_option("--require", o->require,
                  "What the design must do, as in [search.require]: demand_met=0.999, generator_run_h=50, "
                  "cloudy_days=5, motor_start=pass, starts_within_limit=true, ...; repeatable")
        ->allow_extra_args(false);
    c->add_option("--least", o->least,
                  "What to make smallest (default: cost where there are prices, else size)")
        ->transform(CLI::CheckedTransformer(std::vector<std::pair<std::string, SearchLeast>>{
            {"cost", SearchLeast::cost}, {"purchase", SearchLeast::purchase}, {"size", SearchLeast::size}}))
        ->option_text("cost|purchase|size");
    c->add_option(
         "--more-never-hurts", o->more_never_hurts,
         "Name of a list in which a larger value never does worse; a large search can then skip runs; "
         "repeatable")
        ->allow_extra_args(false);
    c->add_option(
         "--all-up-to", o->all_up_to,
         "Run all combinations when there are no more than this; of more, only those that can be the answer")
        ->check(CLI::Range(0, 100000))
        ->capture_default_str();
    c->add_option("--option", o->option, "Start from this option of the scenario");
    add_weather(*c, o->weather);
    c->add_option(
        "--out", o->out,
        "Also write every combination that was run to this file, .csv or .h5; with the four options "
        "below all are run, and the .h5 file has them as rows");
    add_shards(*c, o->shards, MergeTakes::scenario_too);
    add_threads(*c, o->threads);
    add_units(*c, o->units);
    c->add_flag("--json", o->json, "Print as JSON (SI units) and nothing else");
    c->footer(
        "Examples:\n"
        "  holdwater size scenarios/larkspur-rim-choice.toml\n"
        "  holdwater size design.toml --shard 2/8 --out part-2.h5\n"
        "  holdwater size design.toml --merge part-*.h5");
    c->callback([o, &exit_code] { run(*o, exit_code); });
}

}  // namespace holdwater::tools
