#include "sim/sweep/sweep_axis.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <stdexcept>
#include <string>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using sim::SpreadKind, sim::ValueSpread, test::Near;

namespace {

using Texts = std::vector<std::string>;

std::string refusal(std::string const& text) {
    try {
        (void)sim::read_axis(text);
    } catch (std::invalid_argument const& error) {
        return error.what();
    }
    return "was accepted";
}

// Mean and deviation of a spread from its quantiles at the middles of 100,000 equal shares.
struct Moments {
    double mean = 0, deviation = 0;
};
Moments moments_of(ValueSpread const& spread) {
    constexpr int n = 100000;
    double sum = 0, squares = 0;
    for (int i = 0; i < n; ++i) {
        double const x = sim::quantile(spread, (i + 0.5) / n);
        sum += x;
        squares += x * x;
    }
    return {sum / n, std::sqrt(squares / n - sum / n * sum / n)};
}

}  // namespace

TEST_SUITE_BEGIN("sim/sweep_axis");

TEST_CASE("sweep axes: lists and ranges as a designer types them") {
    auto const list = sim::read_axis("battery.capacity = 5 kWh, 10 kWh,15 kWh");
    CHECK(list.key == "battery.capacity");
    CHECK(list.values == Texts{"5 kWh", "10 kWh", "15 kWh"});
    CHECK(list.unit == "kWh");
    CHECK(list.is_number);
    auto const mixed = sim::read_axis("tank.volume=44 gal,300 L");
    CHECK(!mixed.is_number);
    CHECK(mixed.unit == "");
    CHECK(!sim::read_axis("array.sky_model=perez,isotropic").is_number);
    CHECK(sim::read_axis("battery.usable_fraction=0.5,0.9").is_number);
    CHECK(sim::read_axis("weather.file=../a.csv,x/../b.csv").values == Texts{"../a.csv", "x/../b.csv"});

    CHECK(sim::read_axis("array.tilt=20 deg..60 deg/5").values ==
          Texts{"20 deg", "30 deg", "40 deg", "50 deg", "60 deg"});
    CHECK(sim::read_axis("demand.daily=-1.5..-2.5/3").values == Texts{"-1.5", "-2", "-2.5"});
    // Units with a slash.
    CHECK(sim::read_axis("demand.daily=1 m3/day..2 m3/day/2").values == Texts{"1 m3/day", "2 m3/day"});
    auto const open = sim::read_axis("demand.daily=1 m3/day..2 m3/day");
    CHECK(open.values.empty());
    CHECK(sim::value_at(open, 0.25) == "1.25 m3/day");
    CHECK(sim::values_alone(open) == Texts{"1 m3/day", "2 m3/day"});
    // One number and one unit: a second number is not a unit, and a year in a file name is not a number.
    CHECK(sim::read_axis("motor.rated_power=1 1/2 hp..3 hp/2").values == Texts{"1.5 hp", "3 hp"});
    CHECK(sim::number_in("1-1/2 hp") == 1.5);
    // Not from 10 to four, the fraction.
    CHECK(sim::read_axis("a=10..20/5").values == Texts{"10", "12.5", "15", "17.5", "20"});
    CHECK(sim::read_axis("a=1 hp..1 1/2 hp/3").values == Texts{"1 hp", "1.25 hp", "1.5 hp"});
    CHECK(!sim::read_axis("battery.capacity=10 200 Wh,20 300 Wh").is_number);
    CHECK(!sim::read_axis("weather.file=2019.csv,2020.csv").is_number);
}

TEST_CASE("sweep axes: spreads as a designer types them") {
    auto const normal = sim::read_axis("well.static_level=normal(30 m, 4 m)");
    CHECK(normal.unit == "m");
    CHECK(normal.is_number);
    CHECK(sim::value_at(normal, 0.5) == "30 m");
    CHECK(sim::read_axis("a=triangular(2, 4, 7)/2").values.size() == 2);
    CHECK(sim::value_at(sim::read_axis("a=uniform(20 W, 60 W)"), 0.5) == "40 W");
    CHECK(sim::value_at(sim::read_axis("a=lognormal(0.03, 2)"), 0.5) == "0.03");
    // Each key alone: the values with 10 and 90 percent below them; z = 1.281552 (table of the normal
    // distribution).
    auto const alone = sim::values_alone(normal);
    REQUIRE(alone.size() == 2);
    CHECK(sim::number_in(alone[0]) == Near{30 - 4 * 1.281552, 1e-5, 0});
    CHECK(sim::number_in(alone[1]) == Near{30 + 4 * 1.281552, 1e-5, 0});
    CHECK(sim::value_at(sim::read_axis("a=x,y,z"), 0.99) == "z");
    CHECK(sim::value_at(sim::read_axis("a=x,y,z"), 1) == "z");
}

TEST_CASE("sweep axes: what is no axis is refused with what is accepted") {
    for (auto const& [text, message] :
         {std::pair<std::string, std::string>{"battery.capacity", "an equals sign"},
          {"=5 kWh", "an equals sign"},
          {"a=5 kWh,,6 kWh", "a value is empty"},
          {"a=", "a value is empty"},
          {"title=a,b\x1b[2J", "the control character U+001B stands in it; take it out"},
          {"title=a,b\xc2\x9b", "the control character U+009B stands in it; take it out"},
          {"a=1..2/1", "\"1\" is not a number of values"},
          {"a=1..2/x", "\"x\" is not a number of values"},
          {"a=1 m..2 ft/3", "the same unit"},
          {"a=1 m..2 ft", "the same unit"},
          {"a=2..2", "must differ"},
          {"a=low..high/3", "must be numbers"},
          {"a=1 000 Wh..2 000 Wh/3", "must be numbers"},
          {"a=1 kWh @ 2..3 kWh @ 2/3", "must be numbers"},
          {"a=normal(10 200 Wh, 1 kWh)", "\"10 200 Wh\" is not a number"},
          {"a=uniform(1)", "two numbers"},
          {"a=uniform(2, 1)", "must be below high"},
          {"a=uniform(1 m, 2 ft)", "the same unit"},
          {"a=normal(1, 2", "closing bracket"},
          {"a=normal(1, 0)", "standard deviation = 0"},
          {"a=normal(1, 2, 3)", "mean, standard deviation"},
          {"a=normal(1, 2, 100, 101)", "nearly nothing"},
          {"a=normal(x, 2)", "\"x\" is not a number"},
          {"a=normal(1, 2) 5", "is not understood"},
          {"a=triangular(1, 5, 3)", "from low to high"},
          {"a=lognormal(1 m, 2 m)", "a bare number"},
          {"a=lognormal(-1, 2)", "median = -1"},
          {"a=lognormal(1, 0.5)", "must be above 1"}}) {
        CAPTURE(text);
        std::string const said = refusal(text);
        CAPTURE(said);
        CHECK(said.find(message) != std::string::npos);
        CHECK(said.find("accepted: ") != std::string::npos);
    }
}

TEST_CASE("spreads have the mean and the deviation of the textbooks") {
    constexpr double inf = INFINITY;
    // uniform (a+b)/2, (b-a)/sqrt 12; triangular (a+b+c)/3, sqrt((a2+b2+c2-ab-ac-bc)/18); normal; lognormal
    // with s = ln factor: median e^(s2/2), median e^(s2/2) sqrt(e^(s2) - 1).
    double const s = std::log(1.5);
    // Half of a normal distribution: mean sqrt(2/pi), deviation sqrt(1 - 2/pi).
    struct Known {
        ValueSpread spread;
        double mean, deviation;
    };
    for (auto const& [spread, mean, deviation] :
         {Known{{SpreadKind::uniform, 0, 0, 2, 8}, 5, 6 / std::sqrt(12)},
          {{SpreadKind::triangular, 4, 0, 2, 7}, 13.0 / 3, std::sqrt((4 + 16 + 49 - 8 - 14 - 28) / 18.0)},
          {{SpreadKind::normal, 30, 4, -inf, inf}, 30, 4},
          {{SpreadKind::normal, 0, 1, 0, inf}, std::sqrt(2 / M_PI), std::sqrt(1 - 2 / M_PI)},
          {{SpreadKind::lognormal, 10, 1.5, -inf, inf},
           10 * std::exp(s * s / 2),
           10 * std::exp(s * s / 2) * std::sqrt(std::exp(s * s) - 1)}}) {
        auto const m = moments_of(spread);
        CHECK(m.mean == Near{mean, 0, 1e-4});
        CHECK(m.deviation == Near{deviation, 0, 1e-3});
    }
}

TEST_CASE("a quantile never leaves its cuts and never falls") {
    for (ValueSpread const& spread : {ValueSpread{SpreadKind::normal, 30, 40, 10, 45},
                                      {SpreadKind::lognormal, 5, 3, 2, 6},
                                      {SpreadKind::triangular, 2, 0, 2, 7},
                                      {SpreadKind::uniform, 0, 0, -1, 1}}) {
        double last = -INFINITY;
        for (int i = 0; i <= 1000; ++i) {
            double const x = sim::quantile(spread, i / 1000.0);
            CHECK(x >= spread.low);
            CHECK(x <= spread.high);
            CHECK(x >= last);
            last = x;
        }
    }
    CHECK(std::isfinite(sim::quantile({SpreadKind::normal, 0, 1, -INFINITY, INFINITY}, 0)));
    CHECK(std::isfinite(sim::quantile({SpreadKind::normal, 0, 1, -INFINITY, INFINITY}, 1)));
}

TEST_SUITE_END();
