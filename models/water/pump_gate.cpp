#include "models/water/pump_gate.hpp"

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(PumpGate const& g) {
    require(g.from_h >= 0 && g.from_h < 24, "from_h", g.from_h, "must be a time of day, 00:00 to 23:59");
    require(g.until_h >= 0 && g.until_h < 24, "until_h", g.until_h, "must be a time of day, 00:00 to 23:59");
    require(g.surplus_above_w >= 0, "surplus_above_w", g.surplus_above_w, "must be >= 0 W");
    if (std::isinf(g.battery_above)) return;
    require(g.battery_above >= 0 && g.battery_above <= 1, "battery_above", g.battery_above,
            "must be a state of charge, 0 to 1");
    require(g.battery_band > 0 && g.battery_band <= g.battery_above, "battery_band", g.battery_band,
            "must be above 0, or the pump would start and stop without end, and at most battery_above");
}

}  // namespace holdwater::models
