#include <fmt/format.h>

#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>

#include "scenarios/assumed_inputs.hpp"
#include "scenarios/scenario_error.hpp"
#include "scenarios/scenario_weather.hpp"
#include "tools/commands.hpp"
#include "tools/comparison.hpp"
#include "tools/provenance_view.hpp"

namespace holdwater::tools {
namespace {

struct Options {
    std::string scenario, weather;
    int days = 10;
    bool json = false, without_base = false;
    Units units = Units::si;
};

// Infinite (more than was looked at) is null.
nlohmann::ordered_json number(double value) {
    return std::isfinite(value) ? nlohmann::ordered_json(value) : nlohmann::ordered_json(nullptr);
}

void print_json(Comparison const& c, std::vector<std::string> const& provenance) {
    nlohmann::ordered_json json;
    json["first"] = c.designs[c.chosen].name;
    json["order"] = c.order;
    json["cost_note"] = c.cost_note;
    for (std::size_t i = 0; i < c.designs.size(); ++i) {
        nlohmann::ordered_json design{{"name", c.designs[i].name}, {"reason", c.reasons[i]}};
        for (auto const& r : c.rows) design[r.name] = number(r.values[i]);
        if (auto const& cost = c.designs[i].cost)
            design["cost"] = {{"capital", cost->capital}, {"replacements", cost->replacements},
                              {"upkeep", cost->upkeep},   {"energy", cost->energy},
                              {"salvage", cost->salvage}, {"yearly", cost->yearly}};
        json["designs"].push_back(design);
    }
    for (auto const& r : c.rows)
        for (std::size_t i = 0; i < c.designs.size(); ++i)
            if (r.best[i]) json["best"][r.name].push_back(c.designs[i].name);
    add_provenance(json, provenance);
    fmt::print("{}\n", json.dump(2));
}

void run(Options const& o) {
    auto const file = scenarios::read_design_file(o.scenario);
    if (file.options.empty())
        throw scenarios::ScenarioError(
            o.scenario, 0, "",
            "has no [[option]] to compare; add tables [[option]] with a name and the keys "
            "that change, such as \"bank.capacity\" = \"14 kWh\"");
    std::vector<scenarios::Design> designs;
    if (!o.without_base) designs.push_back(scenarios::base_design(file));
    for (auto const& option : file.options) designs.push_back(scenarios::option_design(file, option));
    std::vector<sim::DesignFigures> figures;
    for (auto const& design : designs) {
        auto const year = scenarios::read_scenario_weather(design.scenario, o.weather);
        figures.push_back(sim::figures_of(design.scenario, year, o.days));
        for (auto const& warning : figures.back().warnings)
            fmt::print(stderr, "warning: {}: {}\n", design.name, warning);
    }
    auto const comparison = compare_designs(designs, std::move(figures), o.days, o.units);
    auto const provenance = scenarios::provenance_lines_of_run(designs[0].scenario);
    if (o.json) return print_json(comparison, provenance);
    fmt::print("{}\n{}\n\n{}{}", designs[0].scenario.title, designs[0].scenario.place,
               comparison_table(comparison), provenance_text(provenance));
}

}  // namespace

void add_compare_command(CLI::App& app, int&) {
    auto const o = std::make_shared<Options>();
    CLI::App* const c =
        app.add_subcommand("compare", "The options of a scenario side by side, and why one comes first");
    c->add_option("SCENARIO", o->scenario, "Scenario file (TOML) with tables [[option]]")->required();
    c->add_option("--weather", o->weather, "Weather file in place of the scenario's");
    c->add_option("--poorest-days", o->days,
                  "Length of the year's poorest run that is moved to every start day")
        ->check(CLI::Range(1, 60))
        ->capture_default_str();
    c->add_flag("--options-only", o->without_base, "Leave out the scenario as written");
    c->add_option("--units", o->units, "si or us, for the table")
        ->transform(CLI::CheckedTransformer(
            std::vector<std::pair<std::string, Units>>{{"si", Units::si}, {"us", Units::us}}))
        ->option_text("si|us");
    c->add_flag("--json", o->json,
                "Print as JSON (SI units) and nothing else; null: more than was looked at");
    c->footer("Example:  holdwater compare scenarios/thorn-gully-options.toml");
    c->callback([o] { run(*o); });
}

}  // namespace holdwater::tools
