#include "tools/region/region_json.hpp"

#include <cmath>
#include <string>

#include "sim/region/rule_cards.hpp"
#include "tools/region/region_words.hpp"
#include "tools/show/json_text.hpp"

namespace holdwater::tools {
namespace {

using Json = nlohmann::ordered_json;

std::string percent(std::size_t share) {
    return std::to_string(std::lround(100 * sim::winter_shares[share]));
}

Json answer_of(sim::RegionRow const& row, double largest_kwh) {
    Json json{{"array_power_w", json_number(row.array_w)},
              {"daily_demand_m3", json_number(row.daily_demand_m3)},
              {"winters", row.winters}};
    for (std::size_t share = 0; share < sim::winter_shares.size(); ++share)
        json["battery_kwh_" + percent(share)] =
            row.served(share) ? Json(row.battery_kwh[share]) : Json(nullptr);
    auto const reason = row.reason(largest_kwh);
    json["reason"] = reason.empty() ? Json(nullptr) : Json(reason);
    return json;
}

Json station_of(sim::RegionRow const& row) {
    return {{"station", row.name},
            {"state", row.state},
            {"file", row.file},
            {"latitude_deg", json_number(row.latitude_deg)},
            {"longitude_deg", json_number(row.longitude_deg)},
            {"elevation_m", json_number(row.elevation_m)},
            {"water_temperature_c", json_number(row.water_temperature_c)},
            {"albedo", json_number(row.albedo)}};
}

Json rules_of(sim::RegionAnswer const& answer) {
    Json cards = Json::array();
    for (auto const& card : sim::rule_cards(answer.rows)) {
        Json lines = Json::array();
        for (auto const& c : card.combinations)
            for (auto const& line : c.lines) {
                bool const any = line.served > 0;
                lines.push_back({{"array_power_w", c.array_w},
                                 {"daily_demand_m3", {c.least_demand_m3, c.most_demand_m3}},
                                 {"share_of_winters", sim::winter_shares[line.share]},
                                 {"stations_served", line.served},
                                 {"least_kwh", any ? Json(line.least_kwh()) : Json(nullptr)},
                                 {"least_at", any ? Json(line.least->name) : Json(nullptr)},
                                 {"most_kwh", any ? Json(line.most_kwh()) : Json(nullptr)},
                                 {"most_at", any ? Json(line.most->name) : Json(nullptr)}});
            }
        cards.push_back({{"state", card.state}, {"stations", card.stations}, {"lines", lines}});
    }
    return cards;
}

}  // namespace

Json region_json(sim::RegionAnswer const& answer) {
    auto const& b = answer.basis;
    double const largest_kwh = answer.batteries_kwh.back();
    Json json{{"title", b.title},
              {"made_winters", b.made_years},
              {"seed", b.seed},
              {"battery_judged_at", b.end_of_life},
              {"hours_short_allowed", b.hours_short_allowed},
              {"longest_shortage_limit_h", json_number(b.longest_shortage_h)},
              {"batteries_kwh", answer.batteries_kwh},
              {"stations", Json::array()}};
    std::size_t before = 0;
    for (auto const& row : answer.rows) {
        if (row.station != before) {
            auto station = station_of(row);
            station["remarks"] = row.remarks;
            station["answers"] = Json::array();
            json["stations"].push_back(std::move(station));
            before = row.station;
        }
        json["stations"].back()["answers"].push_back(answer_of(row, largest_kwh));
    }
    json["rules"] = rules_of(answer);
    json["safety"] = region_safety;
    return json;
}

std::string region_geojson(sim::RegionAnswer const& answer) {
    Json json{{"type", "FeatureCollection"}, {"made_by", "holdwater region"}, {"features", Json::array()}};
    for (auto const& row : answer.rows) {
        auto properties = station_of(row);
        properties.update(answer_of(row, answer.batteries_kwh.back()));
        Json geometry = nullptr;
        if (!std::isnan(row.latitude_deg))
            geometry = {{"type", "Point"},
                        {"coordinates", {row.longitude_deg, row.latitude_deg, row.elevation_m}}};
        json["features"].push_back(
            {{"type", "Feature"}, {"geometry", geometry}, {"properties", std::move(properties)}});
    }
    return json_text(json) + "\n";
}

}  // namespace holdwater::tools
