#include "tools/json/sensitivity_json.hpp"

#include "tools/answers/verdict_words.hpp"
#include "tools/show/provenance_view.hpp"

namespace holdwater::tools {
namespace {

nlohmann::ordered_json end_json(sim::SensitivityEnd const& end) {
    nlohmann::ordered_json j{{"value", end.value}};
    if (!end.problem.empty()) {
        j["problem"] = end.problem;
        return j;
    }
    for (auto const& [source, verdict] : end.years) j["years"][source] = years_verdict_json(verdict);
    j["shortage_hours"] = end.shortage_hours;
    j["generator_run_h"] = end.generator_h;
    j["grid_kwh"] = end.grid_kwh;
    for (auto const& v : end.verdicts) j["verdicts"][v.name] = v.verdict;
    return j;
}

}  // namespace

nlohmann::ordered_json sensitivity_json(sim::SensitivityAnswer const& answer,
                                        std::vector<std::string> const& provenance) {
    nlohmann::ordered_json json{{"base_design", end_json(answer.base)},
                                {"base_design_at_other_age", nlohmann::ordered_json::object()},
                                {"weather", answer.weather},
                                {"notes", answer.notes},
                                {"inputs", nlohmann::ordered_json::array()}};
    for (auto const& [source, verdict] : answer.base_at_other_age)
        json["base_design_at_other_age"][source] = years_verdict_json(verdict);
    for (auto const& t : answer.inputs) {
        nlohmann::ordered_json j{{"input", t.input}, {"provenance", t.provenance}};
        j["low"] = end_json(t.low);
        j["base_design"] = end_json(t.written);
        j["high"] = end_json(t.high);
        j["flipped"] = nlohmann::ordered_json::array();
        for (auto const& v : t.flipped)
            j["flipped"].push_back({{"verdict", v.name},
                                    {"at_low", v.at_low},
                                    {"base_design", v.as_written},
                                    {"at_high", v.at_high}});
        json["inputs"].push_back(std::move(j));
    }
    add_provenance(json, provenance);
    return json;
}

}  // namespace holdwater::tools
