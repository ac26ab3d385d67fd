#include "models/battery/peukert.hpp"

#include <cmath>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(PeukertParameters const& p) {
    require(p.capacity_ah > 0, "capacity_ah", p.capacity_ah, "must be above 0");
    require(p.rated_hours > 0, "rated_hours", p.rated_hours, "must be above 0");
    require(p.exponent >= 1 && p.exponent <= 2, "exponent", p.exponent, "must be between 1 and 2");
}

double discharge_hours(PeukertParameters const& p, double current_a) {
    return p.rated_hours * std::pow(p.capacity_ah / (current_a * p.rated_hours), p.exponent);
}

double capacity_ah(PeukertParameters const& p, double hours) {
    double const current_a = p.capacity_ah / p.rated_hours * std::pow(p.rated_hours / hours, 1 / p.exponent);
    return current_a * hours;
}

PeukertParameters peukert_through(double slow_hours, double slow_ah, double fast_hours, double fast_ah) {
    require(slow_hours > fast_hours && fast_hours > 0, "fast_hours", fast_hours,
            "must be above 0 and below slow_hours");
    require(fast_ah > 0 && slow_ah >= fast_ah, "slow_ah", slow_ah,
            "must not be below fast_ah, which must be above 0");
    double const exponent =
        std::log(slow_hours / fast_hours) / std::log(fast_ah / fast_hours / (slow_ah / slow_hours));
    return {slow_ah, slow_hours, exponent};
}

}  // namespace holdwater::models
