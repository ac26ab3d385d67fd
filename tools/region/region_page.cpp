#include "tools/region/region_page.hpp"

#include <fmt/format.h>

#include <cmath>
#include <map>
#include <set>

#include "sim/base/figure_text.hpp"
#include "sim/region/rule_cards.hpp"
#include "tools/region/region_map.hpp"
#include "tools/region/region_words.hpp"
#include "tools/report/report_page.hpp"

namespace holdwater::tools {
namespace {

constexpr std::size_t shown_share = 1;  // 95 % of winters, until the reader chooses

std::string mark_of(std::vector<BatteryClass> const& classes, sim::RegionRow const& row, std::size_t share) {
    if (!row.problem.empty()) return "unserved";
    if (!row.served(share)) return "more";
    return fmt::format("{}", class_of(classes, row.battery_kwh[share]));
}

// The name of a combination, from the rows that were run; "" if none was.
std::map<std::size_t, std::string> combinations_of(RegionWords const& words) {
    std::map<std::size_t, std::string> names;
    auto all = words.answer.rows;
    for (auto& row : all) row.state.clear();
    for (auto const& card : sim::rule_cards(all))
        for (auto const& c : card.combinations) names[c.combination] = words.combination(c);
    return names;
}

std::string row_id(sim::RegionRow const& row) {
    return fmt::format("station-{}-{}", row.station, row.combination);
}

Json map_of(RegionWords const& words, std::vector<BatteryClass> const& classes) {
    RegionMap const map(words.answer.rows);
    Json lines = Json::array(), dots = Json::array(), legend = Json::array();
    double const right = RegionMap::width - RegionMap::margin, bottom = map.height() - RegionMap::margin;
    constexpr double edge = 75;  // nearer to it, a name in the middle of its line would stick out
    for (auto const& line : map.lines()) {
        std::string const side =
            line.of_latitude ? (line.degrees < 0 ? "S" : "N") : (line.degrees < 0 ? "W" : "E");
        auto const name = fmt::format("{:g}° {}", std::abs(line.degrees), line.degrees == 0 ? "" : side);
        if (line.of_latitude)
            lines.push_back({{"x1", RegionMap::margin},
                             {"x2", right},
                             {"y1", line.at},
                             {"y2", line.at},
                             {"tx", RegionMap::margin + 4},
                             {"ty", line.at - 4},
                             {"anchor", "start"},
                             {"name", name}});
        else
            lines.push_back({{"x1", line.at},
                             {"x2", line.at},
                             {"y1", RegionMap::margin},
                             {"y2", bottom},
                             {"tx", line.at},
                             {"ty", bottom + 32},
                             {"anchor", line.at < edge                      ? "start"
                                        : line.at > RegionMap::width - edge ? "end"
                                                                            : "middle"},
                             {"name", name}});
    }
    for (auto& line : lines)
        for (auto const* key : {"x1", "x2", "y1", "y2", "tx", "ty"})
            line[key] = fmt::format("{:.1f}", line[key].get<double>());
    std::set<std::size_t> drawn;
    for (auto const& row : words.answer.rows) {
        if (std::isnan(row.latitude_deg) || !drawn.insert(row.station).second) continue;
        auto const at = map.point(row.latitude_deg, row.longitude_deg);
        dots.push_back({{"station", std::to_string(row.station)},
                        {"row", row_id(row)},
                        {"name", row.name},
                        {"words", row.served(shown_share) ? words.battery(row, shown_share) : "no battery"},
                        {"mark", mark_of(classes, row, shown_share)},
                        {"x", fmt::format("{:.1f}", at.x)},
                        {"y", fmt::format("{:.1f}", at.y)}});
    }
    for (std::size_t k = 0; k < classes.size(); ++k)
        legend.push_back({{"mark", std::to_string(k)},
                          {"text", RegionWords::range(classes[k].from_kwh, classes[k].to_kwh)}});
    legend.push_back({{"mark", "more"},
                      {"text", fmt::format("more than {} kWh, the largest asked",
                                           number_text(words.answer.batteries_kwh.back(), 2))}});
    legend.push_back({{"mark", "unserved"}, {"text", "not served"}});
    return {{"width", fmt::format("{:.0f}", RegionMap::width)},
            {"height", fmt::format("{:.0f}", map.height())},
            {"lines", lines},
            {"dots", dots},
            {"legend", legend}};
}

Json table_of(RegionWords const& words) {
    Json rows = Json::array();
    for (auto const& row : words.answer.rows) {
        Json batteries = Json::array();
        for (std::size_t share = 0; share < sim::winter_shares.size(); ++share)
            batteries.push_back({{"share", share_text(share)}, {"text", words.battery(row, share)}});
        bool const known = row.problem.empty();
        auto const why = row.reason(words.answer.batteries_kwh.back());
        rows.push_back({{"id", row_id(row)},
                        {"combination", std::to_string(row.combination)},
                        {"station", row.name},
                        {"state", row.state},
                        {"place", words.place(row)},
                        {"array", known ? RegionWords::array(row.array_w) : ""},
                        {"demand", known ? words.demand(row.daily_demand_m3) : ""},
                        {"batteries", batteries},
                        {"reason", why},
                        {"remarks", row.remarks.empty() ? "" : words.show.words(row.remarks)}});
    }
    return rows;
}

Json cards_of(RegionWords const& words) {
    Json cards = Json::array();
    std::size_t number = 0;
    for (auto const& card : sim::rule_cards(words.answer.rows)) {
        Json lines = Json::array(), missing = Json::array();
        for (auto const& c : card.combinations) {
            Json cells = Json::array();
            for (std::size_t share = 0; share < sim::winter_shares.size(); ++share) {
                cells.push_back({{"share", share_text(share)}, {"text", words.rule(c, share)}});
            }
            lines.push_back(
                {{"label", words.combination(c)}, {"ranges", cells}, {"drivers", words.drivers(c)}});
        }
        for (auto const* row : card.not_served)
            missing.push_back(fmt::format("{}: {}", row->name, row->problem));
        bool const any = !missing.empty();
        cards.push_back(
            {{"id", fmt::format("card-{}", ++number)},
             {"state", card.state.empty() ? "No state named in the file" : card.state},
             {"stations", fmt::format("{} station{}", card.stations, card.stations == 1 ? "" : "s")},
             {"lines", lines},
             {"any_missing", any},
             {"missing", missing}});
    }
    return cards;
}

// For each station and combination: its marks and batteries, from which the script redraws the map.
Json script_data(RegionWords const& words, std::vector<BatteryClass> const& classes) {
    Json stations = Json::object();
    for (auto const& row : words.answer.rows) {
        Json marks = Json::array(), texts = Json::array();
        for (std::size_t share = 0; share < sim::winter_shares.size(); ++share) {
            marks.push_back(mark_of(classes, row, share));
            texts.push_back(row.served(share) ? words.battery(row, share) : "no battery");
        }
        stations[std::to_string(row.station)].push_back({{"marks", marks}, {"texts", texts}});
    }
    return stations;
}

}  // namespace

std::string region_page(sim::RegionAnswer const& answer, ReportShow const& show) {
    RegionWords const words{answer, show};
    auto const classes = battery_classes(answer.rows);
    Json combinations = Json::array(), shares = Json::array(), origins = Json::array();
    for (auto const& [number, name] : combinations_of(words))
        combinations.push_back({{"value", std::to_string(number)}, {"text", name}});
    for (std::size_t share = 0; share < sim::winter_shares.size(); ++share)
        shares.push_back({{"value", std::to_string(share)},
                          {"text", share_text(share) + " of winters"},
                          {"chosen", share == shown_share}});
    for (auto const& sentence : words.origins()) origins.push_back(sentence);
    std::set<std::size_t> unserved;
    for (auto const& row : answer.rows)
        if (!row.problem.empty()) unserved.insert(row.station);
    Json const content{
        {"title", answer.basis.title},
        {"count", fmt::format("{} weather station{}", answer.stations, answer.stations == 1 ? "" : "s")},
        {"unserved", unserved.empty() ? std::string()
                                      : fmt::format("{} of them could not be served; the table says why.",
                                                    unserved.size())},
        {"promise", words.promise()},
        {"combinations", combinations},
        {"shares", shares},
        {"map", map_of(words, classes)},
        {"rows", table_of(words)},
        {"cards", cards_of(words)},
        {"origins", origins},
        {"safety", region_safety},
        {"version", fmt::format("holdwater {}", HOLDWATER_VERSION)}};
    auto const assets = region_assets();
    return rendered(assets.page, content,
                    {{"style", std::string(report_assets().style) + std::string(assets.style)},
                     {"script", std::string(assets.script)},
                     {"script_hash", std::string(assets.script_hash)},
                     {"data", json_in_html(script_data(words, classes))}});
}

}  // namespace holdwater::tools
