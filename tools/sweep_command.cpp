#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <memory>

#include "scenarios/scenario_error.hpp"
#include "sim/result_file.hpp"
#include "sim/whole_file.hpp"
#include "tools/commands.hpp"
#include "tools/sweep_table.hpp"

namespace holdwater::tools {
namespace {

struct Options {
    std::string scenario, option, weather, figure = "water_kept_fraction";
    std::vector<std::string> vary, out;
    int sample = 0, threads = 0;
    std::uint64_t seed = 1;
    bool one_at_a_time = false, plain = false;
};

bool ends_in(std::string const& path, char const* ending) {
    return std::filesystem::path(path).extension() == ending;
}

void check_out(std::vector<std::string> const& paths) {
    for (auto const& path : paths) {
        if (!ends_in(path, ".csv") && !ends_in(path, ".h5"))
            throw CLI::ValidationError("--out", "'" + path + "' must end in .csv or .h5");
        // A long sweep must not find out at its end.
        auto const folder = std::filesystem::path(path).parent_path();
        if (!folder.empty() && !std::filesystem::is_directory(folder))
            throw sim::ResultFileError(path + ": cannot be written (there is no such folder)");
    }
}

sim::SummaryField figure_of(std::string const& name) {
    std::string known;
    for (auto const& f : sweep_figures()) {
        if (f.name == name) return f;
        known += (known.empty() ? "" : ", ") + std::string(f.name);
    }
    throw CLI::ValidationError("--figure", "'" + name + "' is not a figure of a run; accepted: " + known);
}

std::string plan_text(Options const& o) {
    if (o.one_at_a_time) return "one at a time";
    if (o.sample > 0) return fmt::format("Latin hypercube, {} rows, seed {}", o.sample, o.seed);
    return "full grid";
}

void run(Options const& o) {
    check_out(o.out);
    auto const figure = figure_of(o.figure);
    SweepTable t;
    for (auto const& text : o.vary) {
        t.axes.push_back(sim::read_axis(text));
        if (std::count_if(t.axes.begin(), t.axes.end(),
                          [&](auto const& a) { return a.key == t.axes.back().key; }) > 1)
            throw CLI::ValidationError("--vary", "'" + t.axes.back().key + "' is varied twice");
    }
    t.rows = o.one_at_a_time ? sim::one_at_a_time(t.axes)
             : o.sample > 0  ? sim::latin_hypercube(t.axes, o.sample, o.seed)
                             : sim::full_grid(t.axes);

    auto const file = scenarios::read_design_file(o.scenario);
    sim::SweepOptions options;
    if (!o.option.empty()) {
        (void)scenarios::named_design(file, o.option);  // says which there are
        for (auto const& option : file.options)
            if (option.name == o.option) options.base = option;
    }
    options.weather_path = o.weather;
    options.threads = o.threads;
    bool const watched = ::isatty(STDERR_FILENO) != 0;
    if (watched)
        options.progress = [](std::size_t done, std::size_t all) {
            fmt::print(stderr, "\r{} of {} runs{}", done, all, done == all ? "\n" : "");
            std::fflush(stderr);
        };
    t.results = sim::run_sweep(file, t.axes, t.rows, options);
    auto const wrong =
        std::find_if(t.results.begin(), t.results.end(), [](auto const& r) { return !r.problem.empty(); });
    if (std::none_of(t.results.begin(), t.results.end(), [](auto const& r) { return r.problem.empty(); }) ||
        (o.one_at_a_time && wrong == t.results.begin()))
        throw std::invalid_argument("no row could be run: " + wrong->problem);
    // With one key alone a key that fits nowhere spoils its own rows only.
    if (o.one_at_a_time)
        for (std::size_t a = 0; a < t.axes.size(); ++a) {
            std::string problem;
            bool any = false;
            for (std::size_t i = 1; i < t.rows.size(); ++i) {
                if (t.rows[i][a].empty()) continue;
                any = any || t.results[i].problem.empty();
                problem = t.results[i].problem;
            }
            if (!any)
                throw std::invalid_argument(
                    fmt::format("no row that varies '{}' could be run: {}", t.axes[a].key, problem));
        }

    for (auto const& path : o.out) {
        if (ends_in(path, ".csv")) {
            sim::write_whole_file(path, sweep_csv(t));
        } else {
            sim::write_tables(path,
                              {{"scenario_path", o.scenario},
                               {"scenario_hash_fnv1a64", sim::text_hash(file.text)},
                               {"option", o.option},
                               {"weather_path", o.weather},
                               {"plan", plan_text(o)},
                               {"version", HOLDWATER_VERSION}},
                              {{"scenario", file.text}}, {sweep_columns(t)});
        }
    }
    if (o.out.empty() && !o.one_at_a_time) {
        fmt::print("{}", sweep_csv(t));
        return;
    }
    fmt::print("{}: {}\n\n{}", plan_text(o), run_count(t),
               o.one_at_a_time ? tornado(t, figure, o.plain) : sweep_extremes(t, figure));
    for (auto const& path : o.out) fmt::print("\nRow by row: {}\n", path);
}

}  // namespace

void add_sweep_command(CLI::App& app, int&) {
    auto const o = std::make_shared<Options>();
    CLI::App* const c = app.add_subcommand("sweep", "Many years of one design: keys of the scenario varied");
    c->add_option("SCENARIO", o->scenario, "Scenario file (TOML)")->required();
    c->add_option(
         "--vary", o->vary,
         "Key and its values: \"bank.capacity=5 kWh,10 kWh\" or \"array.tilt=20 deg..60 deg/5\" (5 values); "
         "repeatable")
        ->required()
        ->allow_extra_args(false);
    auto* const alone =
        c->add_flag("--one-at-a-time", o->one_at_a_time,
                    "Each key alone, the others as written; prints what moves the figure most");
    auto* const sample =
        c->add_option("--sample", o->sample, "Instead of the full grid: so many rows, Latin hypercube")
            ->check(CLI::Range(1, 1000000))
            ->excludes(alone);
    c->add_option("--seed", o->seed, "Seed of the sample")->needs(sample)->capture_default_str();
    c->add_option("--option", o->option, "Vary one of the scenario's options, by its name");
    c->add_option("--weather", o->weather, "Weather file in place of the scenario's");
    c->add_option("--figure", o->figure, "Figure the summary is about, named as by simulate --json")
        ->capture_default_str();
    c->add_option("--out", o->out, "Table to write, .csv or .h5; repeatable (default: CSV to the screen)")
        ->allow_extra_args(false);
    c->add_option("--threads", o->threads, "How many at once (0: all processors); the result is the same")
        ->check(CLI::Range(0, 1024))
        ->capture_default_str();
    c->add_flag("--plain", o->plain, "Bars of ASCII characters");
    c->footer(
        "Example:  holdwater sweep scenarios/saltbush-livestock.toml --vary \"bank.capacity=5 kWh,10 kWh\" "
        "--vary "
        "\"array.tilt=20 deg..60 deg/5\" --out tilt.csv");
    c->callback([o] { run(*o); });
}

}  // namespace holdwater::tools
