#include <fmt/format.h>

#include <cmath>
#include <memory>

#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/design/weather_shelf.hpp"
#include "scenarios/text/assumed_inputs.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "sim/files/result_file.hpp"
#include "tools/answers/comparison.hpp"
#include "tools/answers/years_table.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/common_options.hpp"
#include "tools/json/comparison_json.hpp"
#include "tools/show/provenance_view.hpp"
#include "tools/show/table_out.hpp"

namespace holdwater::tools {
namespace {

struct CompareArguments {
    std::string scenario, out;
    std::vector<std::string> weather;
    int days = 10, draws = -1, threads = 0;
    std::uint64_t seed = 1;
    bool json = false, without_base = false;
    std::optional<Units> units;
};

constexpr int usual_draws = 20;

sim::Draws draw(CompareArguments const& o, std::vector<scenarios::Design> const& designs,
                std::vector<std::shared_ptr<weather::WeatherYear const>> const& own, std::string& no_years) {
    sim::DrawOptions options;
    options.years = o.draws;
    if (o.weather.size() > 1) {
        for (auto const& path : o.weather)
            options.records.push_back(scenarios::read_scenario_weather(designs[0].scenario, path));
        if (o.draws < 0) options.years = static_cast<int>(o.weather.size());
    } else if (o.draws < 0) {
        options.years = usual_draws;
    }
    if (options.years == 0) return {};
    options.seed = o.seed;
    options.threads = o.threads;
    options.progress = years_progress();
    std::vector<sim::DrawnDesign> drawn;
    for (std::size_t i = 0; i < designs.size(); ++i) drawn.push_back({designs[i].scenario, own[i].get()});
    try {
        return sim::draw_years(drawn, options);
    } catch (std::invalid_argument const& error) {
        if (o.draws >= 0) throw;
        // Nobody asked for years: the comparison goes on without them.
        no_years = fmt::format("No range over years: {}.", error.what());
        return {};
    }
}

void run(CompareArguments const& o) {
    auto read = o.weather;
    read.push_back(o.scenario);
    check_table_path(o.out, sim::outputs::compare, read);
    auto const file = scenarios::read_design_file(o.scenario);
    if (file.options.empty())
        throw scenarios::ScenarioError(
            o.scenario, 0, "",
            "has no [[option]] to compare; add tables [[option]] with a name and the keys "
            "that change, such as \"battery.capacity\" = \"14 kWh\"");
    std::vector<scenarios::Design> designs;
    if (!o.without_base) designs.push_back(scenarios::base_design(file));
    for (auto const& option : file.options) designs.push_back(scenarios::option_design(file, option));
    std::vector<sim::DesignFigures> figures;
    // One file stands in for the scenario's; of several the first does, and the ranges are over them all.
    scenarios::WeatherShelf shelf(o.weather.empty() ? "" : o.weather[0]);
    std::vector<std::shared_ptr<weather::WeatherYear const>> years;
    for (auto const& design : designs) {
        years.push_back(shelf.of(design.scenario));
        figures.push_back(sim::figures_of(design.scenario, *years.back(), o.days));
        for (auto const& warning : figures.back().warnings)
            fmt::print(stderr, "warning: {}: {}\n", design.name, warning);
    }
    std::string no_years;
    auto draws = draw(o, designs, years, no_years);
    auto comparison = compare_designs(designs, std::move(figures), std::move(draws), o.days,
                                      units_of(o.units, designs.front().scenario));
    if (!no_years.empty()) comparison.years_note = no_years;
    if (!o.out.empty())
        write_table(o.out,
                    {{"scenario_path", o.scenario},
                     {"scenario_hash_fnv1a64", sim::text_hash(file.text)},
                     {"first", comparison.designs[comparison.chosen].name},
                     {"order", comparison.order},
                     {"cost_note", comparison.cost_note},
                     {"years_note", comparison.years_note},
                     {"version", HOLDWATER_VERSION}},
                    file.text, {designs_table(comparison)});
    auto const provenance = scenarios::provenance_lines_of_run(designs[0].scenario);
    if (o.json) return fmt::print("{}\n", comparison_json(comparison, provenance).dump(2));
    fmt::print("{}\n{}\n\n{}{}", designs[0].scenario.title, designs[0].scenario.place,
               comparison_table(comparison), provenance_text(provenance));
    if (!o.out.empty()) fmt::print("\nAs a table: {}\n", o.out);
}

}  // namespace

void add_compare_command(CLI::App& app, int&) {
    auto const o = std::make_shared<CompareArguments>();
    CLI::App* const c =
        app.add_subcommand("compare", "The options of a scenario side by side, and why one comes first");
    c->add_option("SCENARIO", o->scenario, "Scenario file (TOML) with tables [[option]]")->required();
    c->add_option(
        "--weather", o->weather,
        "Weather file in place of the scenario's; of several the first, and the ranges are over all");
    c->add_option(
         "--draws", o->draws,
         "Years the ranges are over (default: 20 made like the weather file, or the files given); 0: "
         "no ranges")
        ->check(CLI::Range(0, 100000));
    c->add_option("--seed", o->seed, "Seed of weather, outages, demand and generator failures")
        ->capture_default_str();
    add_threads(*c, o->threads);
    c->add_option("--out", o->out, "Also write the figures to this file, .csv or .h5, a row a design");
    c->add_option("--poorest-days", o->days,
                  "Length of the year's poorest run that is moved to every start date")
        ->check(CLI::Range(1, 60))
        ->capture_default_str();
    c->add_flag("--options-only", o->without_base, "Leave out the base design");
    add_units(*c, o->units);
    c->add_flag("--json", o->json,
                "Print as JSON (SI units) and nothing else; null: more than was looked at");
    c->footer("Example:  holdwater compare scenarios/thorn-gully-options.toml");
    c->callback([o] { run(*o); });
}

}  // namespace holdwater::tools
