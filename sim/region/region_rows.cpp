#include "sim/region/region_rows.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cmath>

namespace holdwater::sim {

bool RegionRow::served(std::size_t share) const {
    return problem.empty() && std::isfinite(battery_kwh[share]);
}

std::string RegionRow::reason(double largest_kwh) const {
    if (!problem.empty()) return problem;
    std::vector<std::string> shares;
    for (std::size_t share = 0; share < winter_shares.size(); ++share)
        if (!served(share)) shares.push_back(fmt::format("{:.0f} %", 100 * winter_shares[share]));
    if (shares.empty()) return "";
    return fmt::format("for {} of winters {}", fmt::join(shares, " and "),
                       why_not(winter_shares.size() - 1, largest_kwh));
}

std::string RegionRow::why_not(std::size_t share, double largest_kwh) const {
    if (!problem.empty()) return problem;
    if (served(share)) return "";
    return fmt::format("even {:g} kWh, the largest battery asked, is not enough", largest_kwh);
}

std::vector<RegionRow> rows_of(SweepBlock const& block, std::size_t rows_per_station) {
    std::vector<RegionRow> rows;
    for (std::size_t i = 0; i < block.size(); ++i) {
        RegionRow& r = rows.emplace_back();
        double const* f = block.figures_of(i);
        r.combination = (block.first + i) % rows_per_station;
        r.station = cell_of(block.settings[i]).station + 1;
        for (double* to : {&r.latitude_deg, &r.longitude_deg, &r.elevation_m, &r.water_temperature_c,
                           &r.albedo, &r.array_w, &r.daily_demand_m3})
            *to = *f++;
        r.winters = std::isnan(*f) ? 0 : static_cast<int>(*f);
        ++f;
        for (double& kwh : r.battery_kwh) kwh = *f++;
        std::size_t t = 0;
        for (std::string* to : {&r.name, &r.state, &r.file, &r.remarks}) *to = block.texts[t++][i];
        r.problem = block.problems[i];
    }
    return rows;
}

Table region_table(RegionAnswer const& answer) {
    auto const& rows = answer.rows;
    double const largest_kwh = answer.batteries_kwh.back();
    auto const texts = [&](auto const& of) {
        std::vector<std::string> column;
        for (auto const& row : rows)
            for (std::size_t share = 0; share < winter_shares.size(); ++share)
                column.push_back(of(row, share));
        return column;
    };
    auto const numbers = [&](auto const& of) {
        std::vector<double> column;
        for (auto const& row : rows)
            for (std::size_t share = 0; share < winter_shares.size(); ++share)
                column.push_back(of(row, share));
        return column;
    };
    using Row = RegionRow const&;
    return {
        "region",
        {{"station_number", "1", "", numbers([](Row r, auto) { return static_cast<double>(r.station); })},
         {"station", "", "", texts([](Row r, auto) { return r.name; })},
         {"state", "", "", texts([](Row r, auto) { return r.state; })},
         {"file", "", "", texts([](Row r, auto) { return r.file; })},
         {"latitude_deg", "deg", "", numbers([](Row r, auto) { return r.latitude_deg; })},
         {"longitude_deg", "deg", "", numbers([](Row r, auto) { return r.longitude_deg; })},
         {"elevation_m", "m", "", numbers([](Row r, auto) { return r.elevation_m; })},
         {"water_temperature_c", "degC", "", numbers([](Row r, auto) { return r.water_temperature_c; })},
         {"albedo", "1", "", numbers([](Row r, auto) { return r.albedo; })},
         {"array_power_w", "W", "", numbers([](Row r, auto) { return r.array_w; })},
         {"daily_demand_m3", "m3/day", "", numbers([](Row r, auto) { return r.daily_demand_m3; })},
         {"winters", "1", "", numbers([](Row r, auto) { return r.winters; })},
         {"share_of_winters", "1", "", numbers([](Row, std::size_t share) { return winter_shares[share]; })},
         {"battery_kwh", "kWh", "",
          numbers([](Row r, std::size_t share) { return r.served(share) ? r.battery_kwh[share] : not_run; })},
         {"remarks", "", "", texts([](Row r, auto) { return r.remarks; })},
         {"reason", "", "", texts([&](Row r, std::size_t share) { return r.why_not(share, largest_kwh); })}}};
}

}  // namespace holdwater::sim
