#include "scenarios/text/quantity.hpp"

#include <array>
#include <cmath>
#include <stdexcept>
#include <string_view>

#include "tests/fuzz/targets.hpp"

// The first byte selects the unit, the rest is the text of a designer. The result is either a finite number
// or an error message.
void holdwater::fuzz::quantity(std::string_view bytes) {
    constexpr std::array<std::string_view, 16> units{"m3",  "m3/s",      "m3/day", "m",     "kPa", "W",
                                                     "kWh", "kWh/month", "V",      "A",     "deg", "degC",
                                                     "s",   "h",         "%/K",    "1/degC"};
    if (bytes.empty()) return;
    auto const unit = units[static_cast<unsigned char>(bytes[0]) % units.size()];
    try {
        double const value = scenarios::read_quantity(bytes.substr(1), unit);
        if (!std::isfinite(value)) throw std::logic_error("a quantity that is not finite");
    } catch (scenarios::QuantityError const&) {
    }
}
