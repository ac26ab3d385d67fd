#include "models/battery/stand_alone_sizing.hpp"

#include <limits>

namespace holdwater::models {

double recharge_days(double removed_ah, double array_to_load, double daily_load_ah) {
    if (array_to_load <= 1) return std::numeric_limits<double>::infinity();
    return removed_ah / ((array_to_load - 1) * daily_load_ah);
}

}  // namespace holdwater::models
