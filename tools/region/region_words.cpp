#include "tools/region/region_words.hpp"

#include <fmt/format.h>

#include <cmath>
#include <set>

#include "sim/base/figure_text.hpp"

namespace holdwater::tools {

char const* const region_safety =
    "These figures are for first quotes. They leave out the site: shade, the motor start, cables, the water "
    "level of the well. Check the design of a site with the commands check and simulate before you quote it. "
    "The "
    "locally adopted code, the makers' instructions and licensed electricians and pump installers decide.";

std::string share_text(std::size_t share) { return fmt::format("{:.0f} %", 100 * sim::winter_shares[share]); }

std::string RegionWords::array(double array_w) { return number_text(array_w / 1000, 2) + " kW"; }

std::string RegionWords::demand(double daily_m3) const { return show.daily_volume(daily_m3); }

std::string RegionWords::range(double least_kwh, double most_kwh) {
    auto const text = [](double kwh) { return number_text(kwh, 1); };
    return least_kwh == most_kwh ? fmt::format("{} kWh", text(least_kwh))
                                 : fmt::format("{} to {} kWh", text(least_kwh), text(most_kwh));
}

std::string RegionWords::combination(sim::RuleCombination const& c) const {
    auto const least = demand(c.least_demand_m3), most = demand(c.most_demand_m3);
    return fmt::format("{} and {}", array(c.array_w), least == most ? least : least + " to " + most);
}

std::string RegionWords::promise() const {
    auto const& b = answer.basis;
    std::string const short_of =
        b.hours_short_allowed > 0 ? fmt::format("at most {} short of water", time_text(b.hours_short_allowed))
                                  : std::string("no hour short of water");
    std::string text = fmt::format(
        "Smallest battery with which 90, 95 or 99 % of {} made winters have {}, without grid and generator",
        b.made_years, short_of);
    if (std::isfinite(b.longest_shortage_h))
        text += fmt::format(", and none a shortage longer than {}", time_text(b.longest_shortage_h));
    text += b.end_of_life < 1 ? fmt::format("; judged with {} % of its capacity, its end of life.",
                                            sim::figure_text(100 * b.end_of_life))
                              : std::string("; judged as new.");
    auto const& sizes = answer.batteries_kwh;
    text += sizes.size() == 1 ? fmt::format(" Battery asked: {} kWh.", number_text(sizes[0], 2))
                              : fmt::format(" Batteries asked: {} sizes from {} to {} kWh.", sizes.size(),
                                            number_text(sizes.front(), 2), number_text(sizes.back(), 2));
    // Among N winters the shares are whole numbers of them.
    text += fmt::format(" Of {} winters", b.made_years);
    for (std::size_t share = 0; share < sim::winter_shares.size(); ++share)
        text += fmt::format("{} {} is {}",
                            share == 0   ? ","
                            : share == 1 ? ","
                                         : " and",
                            share_text(share), std::ceil(sim::winter_shares[share] * b.made_years - 1e-9));
    return text + ".";
}

std::vector<std::string> RegionWords::origins() const {
    std::set<std::size_t> with, without;
    for (auto const& row : answer.rows)
        if (!std::isnan(row.latitude_deg)) (std::isnan(row.albedo) ? without : with).insert(row.station);
    std::string text =
        "From each station's file: latitude and longitude, elevation, temperature of ground and water (the "
        "mean "
        "air temperature of its year: common practice, no source)";
    if (!with.empty()) text += ", ground reflectance";
    text += ".";
    auto const reflectance = number_text(answer.basis.ground_reflectance, 3);
    if (with.empty())
        text += fmt::format(" No file has a ground reflectance: the scenario's {} is used.", reflectance);
    else if (!without.empty())
        text +=
            fmt::format(" The scenario's ground reflectance {} is used where the file has none ({} of {}).",
                        reflectance, without.size(), with.size() + without.size());
    return {
        text,
        show.words(fmt::format(
            "From the scenario: all else. The array has {} at every station, its controller is in proportion "
            "to it; the limits of charge and discharge are in proportion to the battery; a daily demand "
            "changes all uses in proportion.",
            answer.basis.plane))};
}

std::string RegionWords::battery(sim::RegionRow const& row, std::size_t share) {
    return row.served(share) ? number_text(row.battery_kwh[share], 1) + " kWh" : "–";
}

std::string RegionWords::rule(sim::RuleCombination const& c, std::size_t share) const {
    auto const& line = c.lines[share];
    if (line.served == 0)
        return fmt::format("none up to {} kWh is enough", number_text(answer.batteries_kwh.back(), 2));
    auto text = range(line.least_kwh(), line.most_kwh());
    if (line.served < c.run) text += fmt::format(" at {} of {} stations", line.served, c.run);
    return text;
}

std::string RegionWords::place(sim::RegionRow const& row) const {
    if (std::isnan(row.latitude_deg)) return "";
    return fmt::format("{:.2f}° {}, {:.2f}° {}, {}", std::abs(row.latitude_deg),
                       row.latitude_deg < 0 ? "S" : "N", std::abs(row.longitude_deg),
                       row.longitude_deg < 0 ? "W" : "E", show.length(row.elevation_m));
}

std::string RegionWords::drivers(sim::RuleCombination const& c) const {
    constexpr double clear = 0.6;  // rank correlation from which a cause is named: common practice, no source
    auto const& line = c.lines[1];
    if (line.served < 2 || line.least_kwh() == line.most_kwh()) return "";
    std::string text = fmt::format("Least at {} ({}), most at {} ({}).", line.least->name, place(*line.least),
                                   line.most->name, place(*line.most));
    std::vector<std::string> goes;
    if (c.with_latitude >= clear) goes.push_back("farther from the equator");
    if (c.with_latitude <= -clear) goes.push_back("nearer to the equator");
    if (c.with_elevation >= clear) goes.push_back("higher up");
    if (c.with_elevation <= -clear) goes.push_back("lower down");
    if (!goes.empty())
        text += fmt::format(" Stations that are {} need more.",
                            goes.size() == 1 ? goes[0] : goes[0] + " or " + goes[1]);
    return text;
}

}  // namespace holdwater::tools
