#include <functional>
#include <stdexcept>

#include "sim/year/simulate.hpp"
#include "tests/fuzz/targets.hpp"
#include "tests/sim/random_system.hpp"
#include "tests/sim/random_water.hpp"
#include "tests/sim/run_laws.hpp"

// A valid design made from the bytes, with water and supply of every kind. A month of it must obey the laws
// of every design, in steps of an hour and of a quarter of an hour.
void holdwater::fuzz::design(std::string_view bytes) {
    constexpr int hours = 24 * 30;
    test::Draw draw(bytes);
    auto s = test::random_wet_system(draw);
    test::Draw hourly(std::hash<std::string_view>{}(bytes.substr(0, 2)));
    auto in = test::random_wet_inputs(hourly, s, hours);
    test::add_supply_features(draw, s, in, hours);
    test::Trouble trouble;
    auto const whole = sim::simulate(s, in, {0, hours});
    test::laws(s, whole, trouble);
    test::frost_laws(in, whole, trouble);
    test::laws(s, sim::simulate(s, in, {0, 24 * 4, 900}), trouble);
    if (!trouble.lines.empty()) throw std::logic_error(trouble.lines.front());
}
