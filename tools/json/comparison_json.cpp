#include "tools/json/comparison_json.hpp"

#include "tools/answers/verdict_words.hpp"
#include "tools/json/site_period_json.hpp"
#include "tools/show/json_text.hpp"
#include "tools/show/provenance_view.hpp"

namespace holdwater::tools {
namespace {

nlohmann::ordered_json years_json(sim::ComparedDesign const& d) {
    auto json = years_verdict_json(*d.verdict);
    for (auto const& r : ranged_figures()) {
        auto const s = sim::spread_over_years(d, r.value, r.better);
        json[r.figure] = {{"median", s.median}, {"low", s.low},        {"high", s.high},
                          {"mean", s.mean},     {"one_in_ten", s.bad}, {"worst", s.worst}};
    }
    return json;
}

}  // namespace

nlohmann::ordered_json comparison_json(Comparison const& comparison,
                                       std::vector<std::string> const& provenance) {
    auto const& designs = comparison.ranking.designs;
    nlohmann::ordered_json json;
    json["first"] = first_of(comparison).name;
    json["order"] = comparison.order;
    json["cost_note"] = comparison.cost_note;
    json["years_note"] = comparison.years_note;
    json["site_cloudy_period"] = site_period_json(designs.at(0).figures.site_period.site);
    for (std::size_t i = 0; i < designs.size(); ++i) {
        nlohmann::ordered_json design{{"name", designs[i].name}, {"reason", comparison.reasons[i]}};
        if (!designs[i].years.empty()) design["years"] = years_json(designs[i]);
        for (auto const& r : comparison.rows) design[r.name] = json_number(r.values[i]);
        if (auto const& cost = designs[i].cost)
            design["cost"] = {{"purchase", cost->capital},        {"replacements", cost->replacements},
                              {"maintenance", cost->maintenance}, {"energy", cost->energy},
                              {"residual_value", cost->salvage},  {"yearly", cost->yearly}};
        json["designs"].push_back(design);
    }
    for (auto const& r : comparison.rows)
        for (std::size_t i = 0; i < designs.size(); ++i)
            if (r.best[i]) json["best"][r.name].push_back(designs[i].name);
    add_provenance(json, provenance);
    return json;
}

}  // namespace holdwater::tools
