#include "sim/designs/reliability_curves.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <set>
#include <stdexcept>

#include "models/array/pv_array.hpp"
#include "sim/base/stop.hpp"
#include "sim/check/hand_calculation.hpp"
#include "sim/designs/design_figures.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/year/supply_indices.hpp"

namespace holdwater::sim {
namespace {

constexpr int most_curve_years = 20;
constexpr std::array availabilities{0.90, 0.95, 0.99};
// Below C_A = 1 the worst month lives on what the months before it have stored; the curves rise steeply.
constexpr std::array array_ratios{1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0};
constexpr double smallest_days = 0.05, largest_days = 30;
// The interval is halved on a logarithmic scale: 600 to 1 comes down to 0.5 % in ten steps.
constexpr double resolution = 0.005;

// Share of the energy demand that these years served.
// `by_hand`: energy of a cubic meter in a year in which no pump ran.
double availability_of(std::vector<DrawnYear> const& years, double by_hand) {
    double demand_kwh = 0, deficit_kwh = 0;
    for (auto const& year : years) {
        if (!year.problem.empty()) throw std::invalid_argument(year.problem);
        Summary const& s = year.summary;
        double const missing_kwh =
            s.load_unserved_kwh + (s.water_demand_m3 - s.water_delivered_m3) *
                                      kwh_per_m3(s.pump_energy_kwh, s.water_delivered_m3, by_hand);
        deficit_kwh += missing_kwh;
        demand_kwh += s.ac_served_kwh + missing_kwh;
    }
    return demand_kwh > 0 ? 1 - deficit_kwh / demand_kwh : 1;
}

// Between these two the storage lies that is just enough.
struct Bracket {
    double low_days = smallest_days, high_days = largest_days;
    [[nodiscard]] double middle_days() const { return std::sqrt(low_days * high_days); }
    [[nodiscard]] bool open() const { return high_days > low_days * (1 + resolution); }
};

}  // namespace

ReliabilityCurves reliability_curves(DrawnDesign const& design, DrawOptions const& options) {
    DrawnDesign alone = design;
    alone.scenario.rules = scenarios::without_backup(alone.scenario.rules);
    alone.scenario.generator.reset();
    auto const typical = indices_of(alone.scenario, make_inputs(alone.scenario, *alone.own_year));
    if (!(typical.array_ratio > 0) || !(typical.storage_ratio_days > 0))
        throw std::invalid_argument("reliability curves need a demand, an array and a battery");
    double const by_hand = kwh_per_m3_by_hand(day_by_hand(alone.scenario));
    double const array_w = models::array_rated_power_w(alone.scenario.array);

    DrawOptions draw = options;
    draw.years = std::clamp(draw.years, 1, most_curve_years);
    draw.recorded_fit_only = true;
    draw.begin_full = true;

    ReliabilityCurves out;
    out.years = draw.years;
    out.month = static_cast<int>(typical.array_ratio_month);
    out.largest_storage_days = largest_days;
    for (double const ratio : array_ratios) {
        out.array_ratio.push_back(ratio);
        out.array_w.push_back(array_w * ratio / typical.array_ratio);
    }
    // All arrays and availabilities go down together: one batch of years a step.
    std::array<std::array<Bracket, array_ratios.size()>, availabilities.size()> brackets{};
    auto const try_storages = [&](auto const& days_of) {
        std::set<std::pair<std::size_t, double>> wanted;
        for (auto const& of_level : brackets)
            for (std::size_t a = 0; a < array_ratios.size(); ++a)
                if (of_level[a].open()) wanted.insert({a, days_of(of_level[a])});
        std::vector<DrawnDesign> designs;
        designs.reserve(wanted.size());
        for (auto const& [a, days] : wanted)
            designs.push_back({alone.scenario, alone.own_year, array_ratios[a] / typical.array_ratio,
                               days / typical.storage_ratio_days});
        if (designs.empty()) return false;
        auto const years = draw_years(designs, draw).years;
        stop_if_asked(draw.stop);
        std::size_t d = 0;
        for (auto const& [a, days] : wanted) {
            double const availability = availability_of(years[d++], by_hand);
            for (std::size_t level = 0; level < availabilities.size(); ++level) {
                Bracket& b = brackets[level][a];
                if (!b.open() || days < b.low_days || days > b.high_days) continue;
                (availability >= availabilities[level] ? b.high_days : b.low_days) = days;
            }
        }
        return true;
    };
    try_storages([](Bracket const&) { return largest_days; });
    while (try_storages([](Bracket const& b) { return b.middle_days(); })) {
    }
    double const kwh_per_day = alone.scenario.battery.capacity_kwh / typical.storage_ratio_days;
    for (std::size_t level = 0; level < availabilities.size(); ++level) {
        ReliabilityCurve curve{availabilities[level], {}, {}};
        for (Bracket const& b : brackets[level]) {
            bool const enough = b.low_days < largest_days;
            double const days = enough ? b.high_days : std::numeric_limits<double>::quiet_NaN();
            curve.storage_ratio_days.push_back(days);
            curve.battery_kwh.push_back(days * kwh_per_day);
        }
        out.curves.push_back(std::move(curve));
    }
    return out;
}

}  // namespace holdwater::sim
