#include "sim/inputs/check_inputs.hpp"

#include <Eigen/Core>
#include <cmath>
#include <cstddef>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::sim {
namespace {

void check(std::vector<double> const& values, char const* name) {
    models::require(values.size() == static_cast<std::size_t>(hours_per_year), name,
                    static_cast<double>(values.size()), "must hold 8760 hourly values");
    // Looked at before every run: infinity and NaN are what 0 times is not 0.
    Eigen::Map<Eigen::ArrayXd const> const all(values.data(), hours_per_year);
    if ((all * 0).sum() == 0 && all.minCoeff() >= 0) return;
    for (double const v : values)
        if (!(v >= 0 && std::isfinite(v)))
            models::require(false, name, v, "must be finite and not negative in every hour");
}

// The parts that may be left out.
void check_draws(HourlyInputs const& inputs) {
    if (!inputs.trough_m3.empty()) check(inputs.trough_m3, "trough_m3");
    if (inputs.first_draw.empty()) return;
    models::require(inputs.first_draw.size() == static_cast<std::size_t>(hours_per_year) + 1 &&
                        inputs.first_draw.back() == inputs.draws.size(),
                    "first_draw", static_cast<double>(inputs.first_draw.size()),
                    "must hold 8761 positions, the last one the end of draws");
}

}  // namespace

void check_inputs(HourlyInputs const& inputs) {
    check(inputs.array_power_w, "array_power_w");
    check(inputs.load_w, "load_w");
    check(inputs.demand_m3, "demand_m3");
    check(inputs.tap_flow_m3_s, "tap_flow_m3_s");
    check_draws(inputs);
}

}  // namespace holdwater::sim
