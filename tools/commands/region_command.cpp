#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <optional>
#include <thread>

#include "scenarios/text/scenario_error.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/files/csv_text.hpp"
#include "sim/region/region_rows.hpp"
#include "sim/region/region_run.hpp"
#include "sim/region/station_list.hpp"
#include "sim/sweep/output_file.hpp"
#include "sim/sweep/sweep_run.hpp"
#include "sim/sweep/sweep_store.hpp"
#include "tools/answers/sweep_output.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/common_options.hpp"
#include "tools/commands/option_checks.hpp"
#include "tools/progress/shard_run.hpp"
#include "tools/progress/stop_on_signal.hpp"
#include "tools/region/region_json.hpp"
#include "tools/region/region_page.hpp"
#include "tools/region/region_table.hpp"
#include "tools/show/json_text.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::tools {
namespace {

struct RegionArguments {
    std::string scenario, option, arrays, demands, batteries = sim::usual_batteries;
    std::vector<std::string> stations, out;
    ShardArguments shards;
    int made_years = 0, threads = 0;
    std::optional<std::uint64_t> seed;
    std::optional<ReportUnits> units;
    bool json = false;
};

struct OutPaths {
    std::string csv, hdf5, geojson, html;
};

OutPaths paths_of(RegionArguments const& o, std::vector<std::string> const& read) {
    OutPaths paths;
    for (auto const& path : o.out) {
        auto const ending = std::filesystem::path(path).extension();
        std::string* const place = ending == ".csv"       ? &paths.csv
                                   : ending == ".h5"      ? &paths.hdf5
                                   : ending == ".geojson" ? &paths.geojson
                                   : ending == ".html"    ? &paths.html
                                                          : nullptr;
        if (place == nullptr)
            throw CLI::ValidationError("--out", "'" + path + "' must end in .csv, .geojson, .html or .h5");
        if (!place->empty())
            throw CLI::ValidationError("--out", "'" + path + "': one file of each kind can be written");
        // Checked first, because a long run must not fail at its end.
        auto const folder = std::filesystem::path(path).parent_path();
        if (!folder.empty() && !std::filesystem::is_directory(folder))
            throw sim::ResultFileError(path + ": cannot be written (there is no such folder)");
        check_shard_output(o.shards, path,
                           place == &paths.geojson ? sim::outputs::region_map
                           : place == &paths.html  ? sim::outputs::region_page
                                                   : sim::outputs::region,
                           read);
        *place = path;
    }
    return paths;
}

void write_outputs(sim::RegionAnswer const& answer, OutPaths const& paths, ReportShow const& show) {
    if (!paths.csv.empty()) {
        auto const table = sim::region_table(answer);
        sim::write_whole_file(paths.csv, sim::csv_header(table) + sim::csv_rows(table));
    }
    if (!paths.geojson.empty()) sim::write_whole_file(paths.geojson, region_geojson(answer));
    if (!paths.html.empty()) sim::write_whole_file(paths.html, region_page(answer, show));
}

ReportUnits reader_units(RegionArguments const& o, sim::RegionBasis const& basis) {
    if (o.units) return *o.units;
    return basis.units == "both" ? ReportUnits::both
           : basis.units == "us" ? ReportUnits::us
                                 : ReportUnits::metric;
}

// Prints the answer and writes its files; those of a shard are about its own rows.
void tell(RegionArguments const& o, sim::RegionAnswer const& answer, OutPaths const& paths) {
    ReportShow const show{reader_units(o, answer.basis)};
    write_outputs(answer, paths, show);
    if (o.json) {
        auto json = region_json(answer);
        if (!o.shards.shard.empty()) json["shard"] = o.shards.shard;
        fmt::print("{}\n", json_text(json));
        return;
    }
    if (!o.shards.shard.empty())
        fmt::print("Shard {}: {} rows of all.\n\n", o.shards.shard, answer.rows.size());
    fmt::print("{}", region_text(answer, show.units == ReportUnits::us ? Units::us : Units::metric));
    for (auto const& path : o.out) fmt::print("{}Written: {}\n", &path == &o.out.front() ? "\n" : "", path);
}

// All rows; that none could be run is an error, with the first reason.
void check_any(sim::RegionAnswer const& answer) {
    if (answer.rows.empty()) return;
    if (std::any_of(answer.rows.begin(), answer.rows.end(),
                    [](auto const& row) { return row.problem.empty(); }))
        return;
    throw std::invalid_argument("no station could be served; the first one: " + answer.rows.front().name +
                                ": " + answer.rows.front().problem);
}

sim::RegionAnswer empty_answer(sim::RegionBasis basis, sim::RegionPlan const& plan) {
    sim::RegionAnswer answer;
    answer.basis = std::move(basis);
    answer.batteries_kwh = plan.batteries_kwh;
    answer.combinations = plan.rows_per_station();
    answer.stations = plan.rows.size() / answer.combinations;
    return answer;
}

void add_block(sim::RegionAnswer& answer, sim::SweepBlock const& block) {
    auto rows = sim::rows_of(block, answer.combinations);
    std::move(rows.begin(), rows.end(), std::back_inserter(answer.rows));
}

// The plan of rows that are in a file.
sim::RegionPlan plan_of(sim::SweepHead const& head, sim::RegionBasis const& basis) {
    auto plan = sim::plan_region({1, "", "", basis.batteries});
    plan.rows = sim::SweepPlan(head.spec);
    return plan;
}

void merge(RegionArguments const& o) {
    if (!o.scenario.empty() || !o.stations.empty() || !o.shards.shard.empty() || o.shards.resume)
        throw CLI::ValidationError("--merge",
                                   "joins finished files; only --out, --units and --json go with it");
    auto const paths = paths_of(o, o.shards.merge);
    auto const shards = sim::fitting_shards(o.shards.merge, std::string(sim::outputs::region.group));
    auto const& head = shards.front().head();
    auto const basis = sim::basis_of(head.settings);
    auto answer = empty_answer(basis, plan_of(head, basis));
    for (auto const& shard : shards)
        read_blocks(shard, [&](sim::SweepBlock const& block) { add_block(answer, block); });
    join_shards(shards, o.shards, paths.hdf5);
    check_any(answer);
    tell(o, answer, paths);
}

void run(RegionArguments const& o, int& exit_code) {
    if (!o.shards.merge.empty()) return merge(o);
    if (o.scenario.empty()) throw CLI::RequiredError("SCENARIO");
    if (o.stations.empty()) throw CLI::RequiredError("--stations");
    auto const files = sim::station_files(o.stations);
    auto read = files;
    read.push_back(o.scenario);
    read.insert(read.end(), o.stations.begin(), o.stations.end());
    auto const paths = paths_of(o, read);
    check_shard_file(o.shards, paths.hdf5);
    auto const shard = shard_of(o.shards.shard);
    sim::ThreadLimit const limit(o.threads);
    std::size_t const threads = o.threads > 0 ? static_cast<std::size_t>(o.threads)
                                              : std::max(1U, std::thread::hardware_concurrency());
    StopOnSignal const signal;

    auto const file = scenarios::read_design_file(o.scenario);
    auto const scenario = scenarios::named_design(file, o.option).scenario;
    scenarios::DesignOption base;
    for (auto const& option : file.options)
        if (option.name == o.option) base = option;
    auto const plan = sim::plan_region({files.size(), o.arrays, o.demands, o.batteries});
    auto basis = sim::region_basis(scenario);
    basis.batteries = o.batteries;
    if (o.made_years > 0) basis.made_years = o.made_years;
    if (o.seed) basis.seed = *o.seed;
    sim::RegionRun const region(file, base, files, plan, basis);
    auto answer = empty_answer(basis, plan);
    auto const add = [&](sim::SweepBlock const& block) { add_block(answer, block); };

    // A row takes up to some seconds: parts of half a minute lose little when a computer fails.
    RowStudy study{plan.rows,
                   {.spec = plan.rows.spec(),
                    .scenario_path = o.scenario,
                    .scenario_text = file.text,
                    .option = o.option,
                    .weather_path = "",
                    .provenance = sim::sweep_provenance(scenario, {}),
                    .inputs_hash = "",
                    .version = HOLDWATER_VERSION,
                    .figures = sim::region_figures(),
                    .group = std::string(sim::outputs::region.group),
                    .texts = sim::region_texts(),
                    .settings = sim::settings_of(basis),
                    .shard = shard.number,
                    .shards = shard.of},
                   [&](sim::SweepBlock& block) { region.run(block, &signal.stop()); },
                   {sim::region_texts().size(), plan.rows_per_station(), threads * plan.rows_per_station()},
                   {.time = std::chrono::seconds(30)}};
    if (paths.hdf5.empty()) {
        auto const kept = [&] {
            return fmt::format("{}; to go on from there later, write to --out FILE.h5",
                               answer.rows.empty() ? "" : "; the answer is of these");
        };
        if (!run_rows(study, 0, add, signal, exit_code, kept) && answer.rows.empty()) return;
        check_any(answer);
    } else {
        study.head.inputs_hash = region.inputs_hash();
        if (!run_shard(study, o.shards, paths.hdf5, signal, exit_code, add, [&] {
                if (study.whole()) check_any(answer);
            }))
            return;
    }
    tell(o, answer, paths);
}

}  // namespace

void add_region_command(CLI::App& app, int& exit_code) {
    auto const o = std::make_shared<RegionArguments>();
    CLI::App* const c = app.add_subcommand("region", "The smallest battery for many weather stations");
    c->add_option("SCENARIO", o->scenario, "Scenario file (TOML)");
    c->add_option(
        "--stations", o->stations,
        "Weather files of the stations: files, folders, patterns, or a .txt file with one of them a line");
    c->add_option(
        "--array", o->arrays,
        "Rated powers of the array: \"1.6 kW,2.2 kW\" or \"1 kW..3 kW/5\" (default: the scenario's)");
    c->add_option(
        "--demand", o->demands,
        "Daily demands, mean of the year: \"150 gal/day,225 gal/day\" (default: the scenario's); all uses "
        "change in proportion");
    c->add_option("--battery", o->batteries, "Battery capacities to choose from")->capture_default_str();
    c->add_option("--years", o->made_years,
                  "Made winters (default: the scenario's weather.made_years, else 50)")
        ->check(CLI::Range(1, 10000));
    c->add_option("--seed", o->seed,
                  "Seed of the made winters (default: the scenario's weather.seed, else 1)");
    c->add_option("--option", o->option, "One of the scenario's options by its name");
    c->add_option(
         "--out", o->out,
         "File to write, repeatable: .csv (every row), .geojson, .html (map, table and rules), .h5 (for "
         "--resume and --shard)")
        ->allow_extra_args(false);
    add_shards(*c, o->shards, MergeTakes::files_alone);
    add_threads(*c, o->threads);
    add_page_units(*c, o->units, "Units of table and page (default: the scenario's `units`, else metric)");
    c->add_flag("--json", o->json, "Print as JSON (SI units) and nothing else");
    c->footer(
        "Without grid and generator. Elevation, temperature of ground and water and ground reflectance come "
        "from "
        "the station.\n"
        "Example:  holdwater region scenarios/juniper-bend-household.toml --stations scenarios/weather "
        "--array \"1.6 kW,2.2 kW\" --demand \"225 gal/day\" --out region.csv --out region.html");
    c->callback([o, &exit_code] { run(*o, exit_code); });
}

}  // namespace holdwater::tools
