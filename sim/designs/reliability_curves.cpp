#include "sim/designs/reliability_curves.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>

#include "sim/designs/design_figures.hpp"
#include "sim/inputs/make_inputs.hpp"

namespace holdwater::sim {
namespace {

constexpr double least_loss = 1e-9;  // in place of 0, for the logarithm

// The energy of water that was not delivered counts at the mean energy of a cubic meter of these years.
double loss_of_load(std::vector<DrawnYear> const& years) {
    double unserved_kwh = 0, served_kwh = 0, pump_kwh = 0, delivered_m3 = 0, short_m3 = 0;
    for (auto const& year : years) {
        if (!year.problem.empty()) continue;
        auto const& s = year.summary;
        unserved_kwh += s.load_unserved_kwh;
        served_kwh += s.load_served_kwh;
        pump_kwh += s.pump_energy_kwh;
        delivered_m3 += s.water_delivered_m3;
        short_m3 += s.water_short_m3;
    }
    double const missing_kwh = unserved_kwh + (delivered_m3 > 0 ? short_m3 * pump_kwh / delivered_m3 : 0);
    double const demand_kwh = served_kwh + missing_kwh;
    return demand_kwh > 0 ? missing_kwh / demand_kwh : 0;
}

// The factor at which the loss falls to `loss`; nothing if it does not within `factors`.
std::optional<double> factor_at(std::vector<double> const& factors, std::vector<double> const& losses,
                                double loss) {
    for (std::size_t k = 1; k < factors.size(); ++k) {
        if (!(losses[k - 1] > loss) || losses[k] > loss) continue;
        double const a = std::log(losses[k - 1]), b = std::log(std::max(losses[k], least_loss));
        double const at = (a - std::log(loss)) / (a - b);
        return factors[k - 1] * std::pow(factors[k] / factors[k - 1], at);
    }
    return std::nullopt;
}

}  // namespace

std::vector<ReliabilityCurve> reliability_curves(DrawnDesign const& design, DrawOptions const& options,
                                                 std::vector<double> const& availabilities) {
    auto alone = design;
    alone.scenario.rules.backup = scenarios::Backup::none;
    alone.scenario.generator.reset();
    DrawOptions draw = options;
    draw.recorded_fit_only = true;
    std::vector<double> arrays, batteries;
    for (int k = 0; k < 8; ++k) arrays.push_back(0.5 * std::pow(6.0, k / 7.0));
    for (int k = -12; k <= 12; ++k) batteries.push_back(std::pow(2.0, k / 4.0));

    std::vector<DrawnDesign> sizes;
    for (double const array : arrays)
        for (double const battery : batteries) {
            sizes.push_back(alone);
            sizes.back().array_factor = array;
            sizes.back().battery_factor = battery;
        }
    auto const years = draw_years(sizes, draw).years;
    auto const own = indices_of(alone.scenario, make_inputs(alone.scenario, *alone.own_year));

    std::vector<ReliabilityCurve> curves;
    for (double const availability : availabilities) curves.push_back({availability, {}});
    for (std::size_t i = 0; i < arrays.size(); ++i) {
        std::vector<double> losses;
        for (std::size_t j = 0; j < batteries.size(); ++j)
            losses.push_back(loss_of_load(years[i * batteries.size() + j]));
        for (auto& curve : curves)
            if (auto const battery = factor_at(batteries, losses, 1 - curve.availability))
                curve.points.push_back(
                    {arrays[i], *battery, arrays[i] * own.array_ratio, *battery * own.storage_ratio_days});
    }
    return curves;
}

}  // namespace holdwater::sim
