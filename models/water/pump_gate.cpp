#include "models/water/pump_gate.hpp"

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(PumpGate const& g) {
    require(g.from_h >= 0 && g.from_h < 24, "from_h", g.from_h, "must be a time of day, 00:00 to 23:59");
    require(g.until_h >= 0 && g.until_h < 24, "until_h", g.until_h, "must be a time of day, 00:00 to 23:59");
    if (std::isinf(g.bank_above)) return;
    require(g.bank_above >= 0 && g.bank_above <= 1, "bank_above", g.bank_above,
            "must be a state of charge, 0 to 1");
    require(g.bank_band > 0 && g.bank_band <= g.bank_above, "bank_band", g.bank_band,
            "must be above 0, or the pump would start and stop without end, and at most bank_above");
}

}  // namespace holdwater::models
