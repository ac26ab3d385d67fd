#include "tools/answers/reliability_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "models/array/pv_array.hpp"
#include "sim/base/figure_text.hpp"
#include "tools/show/wrap_text.hpp"

namespace holdwater::tools {
namespace {

double array_kw(scenarios::Scenario const& s, sim::ReliabilityPoint const& p) {
    return p.array_factor * 1e-3 * models::array_rated_power_w(s.array);
}
double battery_kwh(scenarios::Scenario const& s, sim::ReliabilityPoint const& p) {
    return p.battery_factor * s.battery.capacity_kwh;
}

}  // namespace

std::string reliability_table(scenarios::Scenario const& scenario,
                              std::vector<sim::ReliabilityCurve> const& curves, int years) {
    std::string out = fmt::format(
        "{}\n{}\n\nBattery for each array, without grid and generator, over {} made "
        "years\n\n  {:>9}  {:>5}",
        scenario.title, scenario.place, years, "array, kW", "C_A");
    for (auto const& c : curves) {
        auto const share = sim::figure_text(100 * c.availability) + " % served";
        out += fmt::format("  {:>15}  {:>5}", share + ", kWh", "C_S");
    }
    out += "\n";
    std::map<double, std::vector<sim::ReliabilityPoint const*>> rows;  // by array factor
    for (std::size_t c = 0; c < curves.size(); ++c)
        for (auto const& p : curves[c].points) {
            auto& row = rows[p.array_factor];
            row.resize(curves.size());
            row[c] = &p;
        }
    for (auto const& [factor, row] : rows) {
        auto const& any = **std::find_if(row.begin(), row.end(), [](auto const* p) { return p != nullptr; });
        out += fmt::format("  {:>9}  {:>5}", sim::figure_text(array_kw(scenario, any), 2),
                           sim::figure_text(any.array_ratio, 2));
        for (auto const* p : row)
            out += p == nullptr
                       ? fmt::format("  {:>15}  {:>5}", "none", "")
                       : fmt::format("  {:>15}  {:>5}", sim::figure_text(battery_kwh(scenario, *p), 1),
                                     sim::figure_text(p->storage_ratio_d, 2));
        out += "\n";
    }
    out += "\n";
    wrap(out, "",
         "Served: energy of small loads and pumps that was delivered over the demand, the energy of missing "
         "water included. C_A: array energy over demand in the month where it is lowest; C_S: usable battery "
         "over the daily demand of that month, in days; both of the typical year (Egido & Lorenzo 1992). "
         "None: "
         "not with any battery from an eighth to eight times the design's own.",
         100);
    return out;
}

sim::Table reliability_points(scenarios::Scenario const& scenario,
                              std::vector<sim::ReliabilityCurve> const& curves) {
    std::vector<double> availability, array, battery, array_ratio, storage_ratio;
    for (auto const& c : curves)
        for (auto const& p : c.points) {
            availability.push_back(c.availability);
            array.push_back(array_kw(scenario, p));
            battery.push_back(battery_kwh(scenario, p));
            array_ratio.push_back(p.array_ratio);
            storage_ratio.push_back(p.storage_ratio_d);
        }
    return {"curves",
            {{"availability", "1", "1 - loss-of-load probability, without grid and generator", availability},
             {"array_kw", "kW", "rated power of the array", array},
             {"battery_kwh", "kWh", "capacity of the battery", battery},
             {"array_ratio", "1", "C_A", array_ratio},
             {"storage_ratio_days", "d", "C_S", storage_ratio}}};
}

nlohmann::ordered_json reliability_json(scenarios::Scenario const& scenario,
                                        std::vector<sim::ReliabilityCurve> const& curves, int years) {
    nlohmann::ordered_json json{{"years", years}, {"curves", nlohmann::ordered_json::array()}};
    for (auto const& c : curves) {
        nlohmann::ordered_json points = nlohmann::ordered_json::array();
        for (auto const& p : c.points)
            points.push_back({{"array_kw", array_kw(scenario, p)},
                              {"battery_kwh", battery_kwh(scenario, p)},
                              {"array_ratio", p.array_ratio},
                              {"storage_ratio_days", p.storage_ratio_d}});
        json["curves"].push_back({{"availability", c.availability}, {"points", std::move(points)}});
    }
    return json;
}

}  // namespace holdwater::tools
