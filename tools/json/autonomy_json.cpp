#include "tools/json/autonomy_json.hpp"

#include <cmath>

#include "sim/base/clock.hpp"
#include "tools/json/site_period_json.hpp"
#include "tools/show/json_text.hpp"
#include "tools/show/provenance_view.hpp"

namespace holdwater::tools {

nlohmann::ordered_json autonomy_json(AutonomyQuestion const& question,
                                     std::vector<AutonomyColumn> const& columns,
                                     std::vector<std::string> const& provenance) {
    nlohmann::ordered_json json{
        {"cloudy_period", question.cloudy_period_text},
        {"cloudy_period_days", question.cloudy_period_days},
        {"leak_m3_s", question.leak_m3_s},
        {"site_cloudy_period", site_period_json(columns.at(0).figures.site_period.site)},
        {"designs", nlohmann::ordered_json::array()}};
    for (auto const& c : columns) {
        nlohmann::ordered_json j{{"design", c.design}};
        for (auto const& figure : autonomy_figures()) j[figure.name] = json_number(figure.get(c));
        j["life_assumed"] = c.life_assumed;
        if (auto const bypass = bypass_words(c.figures); !bypass.empty()) j["bypass"] = bypass;
        for (auto const& l : c.figures.levels)
            j["start_states"].push_back({{"usable_share", json_number(l.usable_share.value_or(NAN))},
                                         {"soc", l.level},
                                         {"water_worst_d", json_number(l.water.worst_d)},
                                         {"water_median_d", json_number(l.water.median_d)}});
        for (auto const& o : c.figures.outages) {
            nlohmann::ordered_json row;
            for (auto const& figure : outage_figures()) row[figure.name] = json_number(figure.get(o));
            if (o.worst_gap_h > 0) row["worst_start"] = sim::stamp_of_hour(o.worst_start_h);
            j["outages"].push_back(std::move(row));
        }
        json["designs"].push_back(std::move(j));
    }
    add_provenance(json, provenance);
    return json;
}

}  // namespace holdwater::tools
