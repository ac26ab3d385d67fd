#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>
#include <filesystem>
#include <memory>
#include <optional>

#include "scenarios/text/scenario_error.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/designs/reliability_curves.hpp"
#include "sim/files/csv_text.hpp"
#include "sim/files/result_file.hpp"
#include "sim/sweep/output_file.hpp"
#include "sim/sweep/sweep_plan.hpp"
#include "sim/sweep/sweep_store.hpp"
#include "sim/verdict/years_to_run.hpp"
#include "tools/answers/reliability_table.hpp"
#include "tools/answers/sweep_output.hpp"
#include "tools/answers/sweep_table.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/common_options.hpp"
#include "tools/commands/option_checks.hpp"
#include "tools/progress/shard_run.hpp"
#include "tools/progress/stop_on_signal.hpp"
#include "tools/show/provenance_view.hpp"
#include "tools/show/table_out.hpp"

namespace holdwater::tools {
namespace {

struct SweepArguments {
    std::string scenario, option, weather, figure = "demand_met_fraction";
    std::vector<std::string> vary, out;
    ShardArguments shards;
    std::size_t sample = 0, sobol = 0;
    int threads = 0;
    std::optional<std::uint64_t> seed;
    std::optional<Units> units;
    bool one_at_a_time = false, reliability = false, json = false, plain = false;
};

struct Paths {
    std::string csv, hdf5;
};

Paths paths_of(std::vector<std::string> const& out) {
    Paths paths;
    for (auto const& path : out) {
        auto const ending = std::filesystem::path(path).extension();
        if (ending != ".csv" && ending != ".h5")
            throw CLI::ValidationError("--out", "'" + path + "' must end in .csv or .h5");
        auto& place = ending == ".csv" ? paths.csv : paths.hdf5;
        if (!place.empty())
            throw CLI::ValidationError("--out", "'" + path + "': one .csv and one .h5 can be written");
        // Checked first, because a long sweep must not fail at its end.
        auto const folder = std::filesystem::path(path).parent_path();
        if (!folder.empty() && !std::filesystem::is_directory(folder))
            throw sim::ResultFileError(path + ": cannot be written (there is no such folder)");
        place = path;
    }
    return paths;
}

sim::SweepSpec spec_of(SweepArguments const& o) {
    sim::SweepSpec spec;
    spec.vary = o.vary;
    spec.seed = 0;
    if (o.one_at_a_time) spec.method = sim::SweepMethod::one_at_a_time;
    if (o.sample > 0) spec.method = sim::SweepMethod::latin_hypercube;
    if (o.sobol > 0) spec.method = sim::SweepMethod::sobol;
    if (o.sample > 0 || o.sobol > 0) {
        spec.count = o.sample + o.sobol;
        spec.seed = o.seed.value_or(1);
    } else if (o.seed) {
        throw CLI::ValidationError("--seed", "is for --sample and --sobol");
    }
    return spec;
}

std::string header_of(sim::SweepPlan const& plan, std::vector<sim::SweepFigure> const& figures) {
    return sim::csv_header(sim::table_of_block(plan.axes(), figures, {}));
}

// For the summary and the CSV.
void take_block(sim::SweepBlock const& block, std::vector<sim::SweepFigure> const& figures,
                sim::SweepTally& tally, TextOut* csv) {
    tally.take(block);
    if (csv != nullptr) csv->write(sim::csv_rows(sim::table_of_block(tally.plan.axes(), figures, block)));
}

sim::SweepTally tally_of(SweepArguments const& o, sim::SweepPlan const& plan,
                         std::vector<sim::SweepFigure> const& figures) {
    try {
        return sim::make_tally(plan, figures, o.figure);
    } catch (std::invalid_argument const& error) {
        throw CLI::ValidationError("--figure", error.what());
    }
}

std::unique_ptr<TextOut> csv_to(std::string const& path, sim::SweepPlan const& plan,
                                std::vector<sim::SweepFigure> const& figures) {
    auto out = std::make_unique<TextOut>(path);
    out->write(header_of(plan, figures));
    return out;
}

void answer(SweepArguments const& o, Paths const& paths, sim::SweepTally const& tally,
            sim::LaneTally const& lanes, std::vector<std::string> const& provenance) {
    if (o.json) {
        auto json = sweep_json(tally);
        if (!o.shards.shard.empty()) json["shard"] = o.shards.shard;
        json["tables"] = nlohmann::ordered_json::array();
        for (auto const& path : {paths.csv, paths.hdf5})
            if (!path.empty()) json["tables"].push_back(path);
        if (lanes.rows() > 0) json["this_call"] = lane_json(lanes);
        add_provenance(json, provenance);
        fmt::print("{}\n", json.dump(2));
        return;
    }
    bool const whole = tally.values.size() == tally.plan.size();
    Units const units = o.units.value_or(Units::metric);
    std::string const part =
        whole ? "" : fmt::format(", shard {} of {} rows", o.shards.shard, tally.plan.size());
    auto const method = tally.plan.spec().method;
    fmt::print("{}: {}{}\n\n{}", sim::plan_text(tally.plan.spec()), run_count(tally), part,
               whole && method == sim::SweepMethod::one_at_a_time ? tornado(tally, units, o.plain)
               : whole && method == sim::SweepMethod::sobol       ? sobol_table(tally, units, o.plain)
                                                                  : extremes_table(tally, units));
    if (tally.refused > 0) fmt::print("\nFirst refusal: {}\n", tally.problem);
    fmt::print("{}", provenance_text(provenance, units));
    if (!paths.csv.empty() || !paths.hdf5.empty()) fmt::print("\n");
    for (auto const& path : {paths.csv, paths.hdf5})
        if (!path.empty()) fmt::print("Row by row: {}\n", path);
}

void merge(SweepArguments const& o) {
    if (!o.scenario.empty() || !o.vary.empty() || !o.shards.shard.empty() || o.shards.resume)
        throw CLI::ValidationError("--merge",
                                   "joins finished files; only --out, --figure, --units, --json "
                                   "and --plain go with it");
    auto const paths = paths_of(o.out);
    for (auto const& path : o.out) sim::check_output(path, sim::outputs::sweep, o.shards.merge);
    auto const shards = sim::fitting_shards(o.shards.merge);
    auto const& head = shards.front().head();
    sim::SweepPlan const plan(head.spec);
    auto tally = tally_of(o, plan, head.figures);
    join_shards(shards, o.shards, paths.hdf5);
    auto const csv = paths.csv.empty() ? nullptr : csv_to(paths.csv, plan, head.figures);
    for (auto const& shard : shards)
        read_blocks(shard,
                    [&](sim::SweepBlock const& block) { take_block(block, head.figures, tally, csv.get()); });
    if (csv) csv->close();
    sim::check_answer(tally);
    answer(o, paths, tally, {}, head.provenance);
}

struct Sweep {
    std::unique_ptr<sim::YearSweep> years;
    std::unique_ptr<sim::LaneTally> lanes = std::make_unique<sim::LaneTally>();
    RowStudy study;
};

Sweep make_sweep(SweepArguments const& o) {
    if (o.scenario.empty()) throw CLI::RequiredError("SCENARIO");
    if (o.vary.empty()) throw CLI::RequiredError("--vary");
    auto const shard = shard_of(o.shards.shard);
    sim::SweepPlan plan(spec_of(o));
    auto const file = scenarios::read_design_file(o.scenario);
    scenarios::DesignOption base;
    if (!o.option.empty()) {
        (void)scenarios::named_design(file, o.option);  // the error lists the figures that exist
        for (auto const& option : file.options)
            if (option.name == o.option) base = option;
    }
    Sweep sweep{.years = std::make_unique<sim::YearSweep>(file, base, o.weather, plan.axes()),
                .study = {plan, {}, {}}};
    sweep.study.head = {
        .spec = plan.spec(),
        .scenario_path = o.scenario,
        .scenario_text = file.text,
        .option = o.option,
        .weather_path = o.weather,
        .provenance = sim::sweep_provenance(scenarios::option_design(file, base).scenario, plan.axes()),
        .inputs_hash = "",
        .version = HOLDWATER_VERSION,
        .figures = sim::year_figures(),
        .shard = shard.number,
        .shards = shard.of};
    sweep.study.work = [years = sweep.years.get(), lanes = sweep.lanes.get()](sim::SweepBlock& block) {
        years->run(block);
        lanes->take(block);
    };
    return sweep;
}

// Rows are written to the HDF5 file, from which the CSV is made at the end.
void sweep_to_file(SweepArguments const& o, Paths const& paths, Sweep& s, StopOnSignal const& signal,
                   int& exit_code) {
    auto& head = s.study.head;
    head.inputs_hash = s.years->inputs_hash();
    auto tally = tally_of(o, s.study.plan, head.figures);
    std::unique_ptr<TextOut> csv;
    auto const open_csv = [&] {
        if (!csv && !paths.csv.empty()) csv = csv_to(paths.csv, s.study.plan, head.figures);
    };
    auto const read = [&](sim::SweepBlock const& block) {
        open_csv();
        take_block(block, head.figures, tally, csv.get());
    };
    auto const check = [&] {
        if (s.study.whole()) sim::check_answer(tally);
    };
    if (!run_shard(s.study, o.shards, paths.hdf5, signal, exit_code, read, check)) return;
    open_csv();
    if (csv) csv->close();
    answer(o, paths, tally, *s.lanes, head.provenance);
}

void sweep_to_text(SweepArguments const& o, Paths const& paths, Sweep& s, StopOnSignal const& signal,
                   int& exit_code) {
    auto tally = tally_of(o, s.study.plan, s.study.head.figures);
    // Without a file, the table is printed, unless the answer is to be printed.
    bool const to_screen = paths.csv.empty() && !o.json &&
                           (s.study.head.spec.method == sim::SweepMethod::grid ||
                            s.study.head.spec.method == sim::SweepMethod::latin_hypercube);
    // The first lines wait until a row could be run: an error that all rows have is reported instead of a
    // table.
    std::string waiting = header_of(s.study.plan, s.study.head.figures);
    std::unique_ptr<TextOut> csv;
    auto const write = [&](std::string const& text) {
        if (!csv && tally.run() == 0) {
            waiting += text;
            return;
        }
        if (!csv) csv = std::make_unique<TextOut>(paths.csv);
        csv->write(waiting + text);
        waiting.clear();
    };
    auto const finish_csv = [&] {
        if (!csv && !paths.csv.empty()) {
            csv = std::make_unique<TextOut>(paths.csv);
            csv->write(waiting);
        }
        if (csv) csv->close();
    };
    auto const take = [&](sim::SweepBlock const& b) {
        tally.take(b);
        if (to_screen || !paths.csv.empty())
            write(sim::csv_rows(sim::table_of_block(s.study.plan.axes(), s.study.head.figures, b)));
    };
    bool const finished = run_rows(s.study, s.study.rows().first, take, signal, exit_code, [&] {
        finish_csv();
        return fmt::format("{}; to go on from there later, write to --out FILE.h5",
                           paths.csv.empty() ? "" : " and lie in " + paths.csv);
    });
    if (!finished) return;
    if (s.study.whole()) sim::check_answer(tally);
    finish_csv();
    if (!to_screen) answer(o, paths, tally, *s.lanes, s.study.head.provenance);
}

// Instead of rows: the battery that each array needs for 90, 95 and 99 % of the energy demand.
void reliability(SweepArguments const& o) {
    if (o.scenario.empty()) throw CLI::RequiredError("SCENARIO");
    std::string const path = o.out.empty() ? "" : o.out.front();
    if (o.out.size() > 1) throw CLI::ValidationError("--out", "with --reliability one file is written");
    check_table_path(path, sim::outputs::reliability, {o.scenario, o.weather});
    sim::ThreadLimit const limit(o.threads);
    StopOnSignal const signal;
    auto const file = scenarios::read_design_file(o.scenario);
    auto const design = scenarios::named_design(file, o.option);
    sim::WeatherStandIn other;
    other.file = o.weather;
    auto years = sim::years_to_run(design.scenario, other);
    years.stop = &signal.stop();
    auto const weather = scenarios::read_scenario_weather(design.scenario, o.weather);
    auto const curves = sim::reliability_curves({design.scenario, &weather}, years);
    if (!path.empty())
        sim::write_table(path,
                         {{"scenario_path", o.scenario},
                          {"scenario_hash_fnv1a64", sim::text_hash(file.text)},
                          {"option", o.option},
                          {"weather_path", o.weather},
                          {"made_years", static_cast<double>(curves.years)},
                          {"version", HOLDWATER_VERSION}},
                         file.text, {reliability_table(curves)});
    if (o.json) {
        fmt::print("{}\n", reliability_json(curves).dump(2));
        return;
    }
    fmt::print("{}\n{}\n\n{}", design.scenario.title, design.scenario.place, reliability_text(curves));
    if (!path.empty()) fmt::print("\nRow by row: {}\n", path);
}

void run(SweepArguments const& o, int& exit_code) {
    if (!o.shards.merge.empty()) return merge(o);
    if (o.reliability) return reliability(o);
    auto const paths = paths_of(o.out);
    for (auto const& path : o.out)
        check_shard_output(o.shards, path, sim::outputs::sweep, {o.scenario, o.weather});
    check_shard_file(o.shards, paths.hdf5);
    sim::ThreadLimit const limit(o.threads);
    StopOnSignal const signal;
    auto sweep = make_sweep(o);
    if (paths.hdf5.empty())
        sweep_to_text(o, paths, sweep, signal, exit_code);
    else
        sweep_to_file(o, paths, sweep, signal, exit_code);
}

}  // namespace

void add_sweep_command(CLI::App& app, int& exit_code) {
    auto const o = std::make_shared<SweepArguments>();
    CLI::App* const c =
        app.add_subcommand("sweep", "Run the year many times with different values of any keys");
    c->add_option("SCENARIO", o->scenario, "Scenario file (TOML)");
    c->add_option(
         "--vary", o->vary,
         "Key and its values, repeatable: \"battery.capacity=5 kWh,10 kWh\" (list), \"array.tilt=20 deg..60 "
         "deg/5\" "
         "(range, 5 values), \"array.tilt=20 deg..60 deg\" (random values from a range), or a distribution: "
         "uniform(lowest, highest), triangular(lowest, most likely, highest), normal(mean, standard "
         "deviation), lognormal(median, factor); the last two take lowest and highest as two more numbers")
        ->allow_extra_args(false);
    auto* const alone =
        c->add_flag("--one-at-a-time", o->one_at_a_time,
                    "Each key alone, the others as in the base design; prints what moves the figure most");
    auto* const sample =
        c->add_option(
             "--sample", o->sample,
             "Run this many random rows that cover each range evenly (Latin hypercube) instead of every "
             "combination")
            ->check(CLI::Range(1, 1000000))
            ->excludes(alone);
    c->add_option(
         "--sobol", o->sobol,
         "How much of the figure's spread each key causes, alone and together with the others (Sobol "
         "indices); this many base samples of keys + 2 rows each, best a power of two")
        ->check(CLI::Range(2, 300000))
        ->excludes(alone)
        ->excludes(sample);
    auto* const curves =
        c->add_flag("--reliability", o->reliability,
                    "Battery that each array needs for 90, 95 and 99 % of the energy demand: "
                    "curves of storage against array (C_S against C_A)");
    for (auto const* other : {"--vary", "--one-at-a-time", "--sample", "--sobol"})
        curves->excludes(c->get_option(other));
    c->add_option("--seed", o->seed, "Seed of --sample and --sobol (default 1)");
    c->add_option("--option", o->option, "Vary one of the scenario's options, by its name");
    c->add_option("--weather", o->weather, "Weather file in place of the scenario's");
    c->add_option("--figure", o->figure, "Figure the summary is about, a column of the table")
        ->capture_default_str();
    c->add_option("--out", o->out, "Table to write, .csv or .h5 or both (default: CSV to the screen)")
        ->allow_extra_args(false);
    curves->excludes("--seed");
    for (auto* const other : add_shards(*c, o->shards, MergeTakes::files_alone)) curves->excludes(other);
    add_threads(*c, o->threads);
    add_units(*c, o->units, "Units of the summary (default metric); tables are in SI units");
    c->add_flag("--json", o->json, "Print the summary as JSON (SI units) and nothing else; rows: --out");
    c->add_flag("--plain", o->plain, "Plain characters");
    c->footer(
        "Ctrl-C leaves the finished rows beside FILE.h5. tools/sweep-array.sbatch runs the shards on Slurm.\n"
        "Example:  holdwater sweep scenarios/saltbush-livestock.toml --vary \"battery.capacity=5 kWh,10 "
        "kWh\" "
        "--vary \"array.tilt=20 deg..60 deg/5\" --out tilt.csv");
    c->callback([o, &exit_code] { run(*o, exit_code); });
}

}  // namespace holdwater::tools
