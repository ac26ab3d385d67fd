#include "tools/json/year_json.hpp"

#include "sim/base/clock.hpp"
#include "sim/year/outage_record.hpp"
#include "sim/year/shortages.hpp"
#include "tools/answers/verdict_words.hpp"
#include "tools/show/json_text.hpp"
#include "tools/show/provenance_view.hpp"
#include "tools/show/reason_words.hpp"

namespace holdwater::tools {

nlohmann::ordered_json year_json(sim::RunResult const& result, sim::DesignVerdicts const* verdicts,
                                 sim::WorstYear const* worst,
                                 std::optional<sim::SupplyIndices> const& indices,
                                 std::vector<std::string> const& provenance) {
    nlohmann::ordered_json json;
    if (verdicts != nullptr) json["verdict"] = verdict_json(*verdicts, 0, worst, &result.summary);
    for (auto const& field : sim::summary_fields())
        json[std::string(field.name)] = result.summary.*field.value;
    for (auto const& outage : result.outages) {
        nlohmann::ordered_json row{{"start", sim::stamp_of_hour(outage.start_h)}};
        if (outage.shortage_hours > 0) row["first_short"] = sim::stamp_of_hour(outage.first_short_h);
        for (auto const& field : sim::outage_fields()) row[std::string(field.name)] = outage.*field.value;
        json["outages"].push_back(std::move(row));
    }
    json["shortages"] = json["shortage_causes"] = nlohmann::ordered_json::array();
    for (auto const& s : sim::shortages(result))
        json["shortages"].push_back({{"from", sim::stamp_of_hour(s.first_hour)},
                                     {"hours", s.hours},
                                     {"short_hours", s.short_hours},
                                     {"water_short_m3", s.water_short_m3},
                                     {"cause", words(s.reason)}});
    for (auto const& c : sim::shortage_causes(result))
        json["shortage_causes"].push_back(
            {{"cause", words(c.reason)}, {"hours", c.hours}, {"water_short_m3", c.water_short_m3}});
    json["load_causes"] = nlohmann::ordered_json::array();
    for (auto const& c : sim::load_causes(result))
        json["load_causes"].push_back(
            {{"cause", words(c.reason)}, {"hours", c.hours}, {"unserved_kwh", c.unserved_kwh}});
    if (result.findings.low_pressure_cutoffs > 0)
        json["low_pressure_cutoffs"] = result.findings.low_pressure_cutoffs;
    for (auto const& place : result.frozen)
        json["frozen"].push_back({{"name", place.name},
                                  {"hours", place.hours},
                                  {"first", sim::stamp_of_hour(place.first_h)},
                                  {"coldest_c", place.coldest_c},
                                  {"heater_without_power", place.unpowered}});
    if (indices) json["indices"] = indices_json(*indices);
    add_provenance(json, provenance);
    return json;
}

}  // namespace holdwater::tools
