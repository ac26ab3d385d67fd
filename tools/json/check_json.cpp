#include "tools/json/check_json.hpp"

#include "scenarios/text/assumed_inputs.hpp"
#include "tools/show/json_text.hpp"
#include "tools/show/provenance_view.hpp"

namespace holdwater::tools {

nlohmann::ordered_json check_json(scenarios::Scenario const& scenario, sim::DesignCheck const& check) {
    nlohmann::ordered_json json{{"title", scenario.title}, {"checks", nlohmann::ordered_json::array()}};
    for (auto const& c : check.checks) {
        nlohmann::ordered_json j{{"check", c.name},
                                 {"title", c.title},
                                 {"group", c.group},
                                 {"verdict", name(c.verdict)},
                                 {"value", json_number(c.value)},
                                 {"limit", json_number(c.limit)},
                                 {"unit", c.unit},
                                 {"margin", json_number(c.margin)},
                                 {"value_text", c.value_text},
                                 {"limit_text", c.limit_text},
                                 {"detail", c.detail},
                                 {"change", c.change},
                                 {"source", c.source},
                                 {"provenance", c.provenance},
                                 {"waived", nullptr}};
        if (c.waived) j["waived"] = *c.waived;
        json["checks"].push_back(std::move(j));
    }
    json["notes"] = check.notes;
    add_provenance(json, scenarios::provenance_lines(scenario));
    return json;
}

}  // namespace holdwater::tools
