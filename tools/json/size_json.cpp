#include "tools/json/size_json.hpp"

#include <string>

#include "tools/answers/size_table.hpp"
#include "tools/answers/verdict_words.hpp"

namespace holdwater::tools {
namespace {

nlohmann::ordered_json combination_json(sim::SizeAnswer const& a, sim::Combination const& c) {
    auto const& run = a.runs.at(c);
    nlohmann::ordered_json json{{"name", sim::name_of(a, c)}};
    for (std::size_t i = 0; i < c.size(); ++i)
        json["values"][a.settings.axes[i].name] = a.settings.axes[i].labels[c[i]];
    if (!run.problem.empty()) {
        json["problem"] = run.problem;
        return json;
    }
    json["meets_all"] = run.meets_all;
    if (run.figures.years) json["years"] = years_verdict_json(*run.figures.years);
    if (run.figures.purchase) json["purchase"] = *run.figures.purchase;
    if (run.figures.cost) json["life_cycle_cost"] = *run.figures.cost;
    if (auto const& spread = run.figures.cost_spread)
        json["life_cycle_cost_range"] = {{"low", spread->low}, {"high", spread->high}};
    for (auto const& f : sim::repeatable_fields()) json[std::string(f.name)] = run.figures.year.*f.value;
    for (auto const& v : run.verdicts)
        json["requirements"][v.key] = {{"value", v.value},
                                       {"limit", v.limit},
                                       {"holds", v.holds},
                                       {"required", v.wanted},
                                       {"found", v.found}};
    return json;
}

}  // namespace

nlohmann::ordered_json size_json(sim::SizeAnswer const& answer) {
    nlohmann::ordered_json json;
    json["least"] = least_word(answer.least);
    json["combinations"] = answer.combinations;
    json["run"] = answer.runs.size();
    json["all_run"] = answer.runs.size() == answer.combinations;
    json["years"] = answer.years_of_choice;
    if (auto const& c = answer.confirmed) json["confirmed"] = years_verdict_json(*c);
    for (auto const& set : answer.recorded) json["recorded"][set.source] = years_verdict_json(set.verdict);
    json["weather"] = answer.weather;
    json["notes_on_years"] = answer.notes_on_years;
    json["choice"] =
        answer.choice ? combination_json(answer, *answer.choice) : nlohmann::ordered_json(nullptr);
    if (answer.nearest) json["nearest"] = combination_json(answer, *answer.nearest);
    json["binding"] = nlohmann::ordered_json::array();
    for (auto const& d : answer.dropped)
        if (d.would_do)
            json["binding"].push_back({{"requirement", answer.requirements[d.requirement].key},
                                       {"would_do", combination_json(answer, *d.would_do)}});
    json["one_less"] = nlohmann::ordered_json::array();
    for (auto const& step : answer.one_less)
        json["one_less"].push_back(combination_json(answer, step.combination));
    json["frontier"] = nlohmann::ordered_json::array();
    for (auto const& c : answer.frontier) json["frontier"].push_back(combination_json(answer, c));
    json["notes"] = answer.notes;
    json["more_hurts"] = nullptr;
    if (answer.contradiction)
        json["more_hurts"] = {{"requirement", answer.requirements[answer.contradiction->requirement].key},
                              {"less", sim::name_of(answer, answer.contradiction->less)},
                              {"more", sim::name_of(answer, answer.contradiction->more)}};
    return json;
}

}  // namespace holdwater::tools
