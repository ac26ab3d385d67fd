#include "tools/region/region_table.hpp"

#include <fmt/format.h>

#include <cmath>
#include <map>
#include <set>
#include <vector>

#include "sim/base/figure_text.hpp"
#include "sim/region/rule_cards.hpp"
#include "tools/region/region_words.hpp"
#include "tools/show/wrap_text.hpp"

namespace holdwater::tools {
namespace {

constexpr std::size_t width = 100, name_width = 30;

// The first letters of a text of UTF-8, with "." in place of the rest.
std::string clipped(std::string const& text, std::size_t most) {
    std::size_t letters = 0, at = 0;
    for (; at < text.size(); ++at) {
        bool const begins = (static_cast<unsigned char>(text[at]) & 0xc0) != 0x80;
        if (begins && letters++ == most - 1) break;
    }
    auto next = at + 1;
    while (next < text.size() && (static_cast<unsigned char>(text[next]) & 0xc0) == 0x80) ++next;
    return next >= text.size() ? text : text.substr(0, at) + ".";
}

std::string number(double value, int decimals) {
    return std::isnan(value) ? "–" : sim::figure_text(value, decimals);
}

void add_rows(std::string& out, sim::RegionAnswer const& answer, Units units) {
    auto const elevation = shown(0, "m", units).unit, volume = shown(0, "m3/day", units).unit;
    out += fmt::format("  {:<{}}{:>25}{:>8}{:>10}{:>16}\n", "", name_width, "elev.", "array", "demand",
                       "battery");
    out += fmt::format("  {:<{}}{:>8}{:>9}{:>8}{:>8}{:>10}{:>8}{:>8}{:>8}\n", "station", name_width, "lat.",
                       "long.", elevation, "kW", volume, "90 %", "95 %", "99 %");
    std::size_t before = 0;
    for (auto const& row : answer.rows) {
        bool const first = row.station != before;
        before = row.station;
        out += fmt::format("  {:<{}}", first ? clipped(row.name, name_width - 1) : "", name_width);
        if (first)
            out += fmt::format("{:>8}{:>9}{:>8}",
                               std::isnan(row.latitude_deg) ? "–" : fmt::format("{:.2f}", row.latitude_deg),
                               std::isnan(row.longitude_deg) ? "–" : fmt::format("{:.2f}", row.longitude_deg),
                               number(shown(row.elevation_m, "m", units).value, 0));
        else
            out += std::string(25, ' ');
        if (!row.problem.empty()) {
            out += "     not served\n";
            continue;
        }
        out += fmt::format("{:>8}{:>10}", number_text(row.array_w / 1000, 2),
                           number(shown(row.daily_demand_m3, "m3/day", units).value, 0));
        for (std::size_t share = 0; share < sim::winter_shares.size(); ++share)
            out += fmt::format("{:>8}", row.served(share) ? number_text(row.battery_kwh[share], 1) : "–");
        out += "\n";
    }
}

// One line for equal texts: whom it concerns, then the text.
void add_notes(std::string& out, std::string const& head,
               std::map<std::string, std::vector<std::string>> const& by_text) {
    if (by_text.empty()) return;
    out += fmt::format("\n{}\n", head);
    for (auto const& [text, names] : by_text) {
        std::string who = names[0];
        if (names.size() == 2) who += " and " + names[1];
        if (names.size() > 2) who += fmt::format(" and {} more", names.size() - 1);
        wrap(out, "  - ", fmt::format("{}: {}", who, text), width);
    }
}

}  // namespace

std::string region_text(sim::RegionAnswer const& answer, Units units) {
    RegionWords const words{answer, {units == Units::us ? ReportUnits::us : ReportUnits::metric}};
    std::string out = answer.basis.title + "\n";
    wrap(out, "", words.promise(), width);
    out += "\n";
    add_rows(out, answer, units);
    std::map<std::string, std::vector<std::string>> reasons, remarks;
    std::set<std::pair<std::string, std::size_t>> told;
    bool too_small = false;
    for (auto const& row : answer.rows) {
        if (!row.problem.empty() && told.insert({row.problem, row.station}).second)
            reasons[row.problem].push_back(row.name);
        if (!row.remarks.empty() && told.insert({row.remarks, row.station}).second)
            remarks[row.remarks].push_back(row.name);
        for (std::size_t share = 0; share < sim::winter_shares.size(); ++share)
            too_small = too_small || (row.problem.empty() && !row.served(share));
    }
    if (too_small)
        out += fmt::format("  Battery in kWh; –: even {} kWh, the largest battery asked, is not enough.\n",
                           number_text(answer.batteries_kwh.back(), 2));
    else
        out += "  Battery in kWh.\n";
    add_notes(out, "Not served:", reasons);
    add_notes(out, "Remarks:", remarks);
    out += "\nRules:\n";
    for (auto const& card : sim::rule_cards(answer.rows)) {
        out += fmt::format("  {}, {} station{}\n", card.state.empty() ? "No state named" : card.state,
                           card.stations, card.stations == 1 ? "" : "s");
        for (auto const& c : card.combinations) {
            std::string text = words.combination(c) + ": ";
            for (std::size_t share = 0; share < sim::winter_shares.size(); ++share)
                text += fmt::format("{}{} for {} of winters", share == 0 ? "" : ", ", words.rule(c, share),
                                    share_text(share));
            auto const why = words.drivers(c);
            wrap(out, "    at ", text + "." + (why.empty() ? "" : " " + why), width);
        }
    }
    out += "\n";
    for (auto const& sentence : words.origins()) wrap(out, "", sentence, width);
    wrap(out, "", region_safety, width);
    return out;
}

}  // namespace holdwater::tools
