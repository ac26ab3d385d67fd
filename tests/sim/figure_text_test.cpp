#include "sim/base/figure_text.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>
#include <string>
#include <vector>

#include "sim/base/shown_figure.hpp"

using namespace holdwater;
using sim::digits_apart, sim::figure_text;

TEST_SUITE_BEGIN("sim/figure_text");

// Before: "0" hours for 0.50 and "1 kWh" for 0.75 in the table of one day, "-0 W", "nan %".
TEST_CASE("digits follow the size of the figure") {
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    struct Row {
        double value;
        int decimals;
        char const* text;
    };
    for (auto const& [value, decimals, text] :
         std::vector<Row>{{0.5, 0, "0.5"},       {0.75, 0, "0.75"},
                          {8.76, 0, "8.8"},      {8, 0, "8"},
                          {9.6, 0, "9.6"},       {9.96, 0, "10"},
                          {44.6, 0, "45"},       {2549.4, 0, "2,549"},
                          {8, 1, "8.0"},         {0.04, 1, "0.04"},
                          {22.44, 1, "22.4"},    {100, 2, "100.00"},
                          {0.0123, 0, "0.012"},  {0.00123, 0, "0.0012"},
                          {0.00001, 0, "0"},     {-0.00001, 0, "0"},
                          {-0.4, 0, "-0.4"},     {-0.0, 0, "0"},
                          {-0.0, 1, "0.0"},      {0, 1, "0.0"},
                          {nan, 1, "not known"}, {HUGE_VAL, 1, "unlimited"}}) {
        CAPTURE(value);
        CHECK(figure_text(value, decimals) == text);
    }
}

TEST_CASE("a figure never reads as minus zero or as nothing where there is something") {
    std::mt19937_64 random(1);
    std::uniform_real_distribution<double> exponent(-3.9, 6), sign(-1, 1);
    for (int i = 0; i < 20000; ++i) {
        double const value = std::copysign(std::pow(10, exponent(random)), sign(random));
        int const decimals = static_cast<int>(random() % 3);
        auto const text = figure_text(value, decimals);
        CAPTURE(value);
        CAPTURE(text);
        std::string plain = text;
        std::erase(plain, ',');
        double const read = std::stod(plain);
        CHECK(read != 0);
        // Two digits of its own, or four behind the point: within 5 %, or half of the last place.
        CHECK(std::abs(read - value) <= std::max(0.05 * std::abs(value), 0.5e-4) * 1.0001);
    }
}

TEST_CASE("a value and its limit read differently where they differ") {
    CHECK(figure_text(59.96, digits_apart(59.96, 60, 0)) == "59.96");
    CHECK(figure_text(60, digits_apart(59.96, 60, 0)) == "60.00");
    CHECK(digits_apart(59.7, 60, 0) == 1);  // "59.7" beside "60.0", before "60" beside "60"
    CHECK(digits_apart(45, 60, 0) == 0);
    CHECK(digits_apart(60 - 1e-9, 60, 0) == 0);  // the same but for rounding
    CHECK(sim::same_figure(60 - 1e-9, 60));
    CHECK(!sim::same_figure(60 - 1e-3, 60));
    CHECK(!sim::same_figure(5, std::numeric_limits<double>::infinity()));
}

// 1 gal = 231 in3 = 3.785411784 L, 1 ft = 0.3048 m, 1 psi = 6.894757 kPa, 1 hp = 745.7 W: exact by
// definition.
TEST_CASE("figures are converted to the trade's units in one place") {
    struct Row {
        double value;
        char const *unit, *metric, *us;
    };
    for (auto const& [value, unit, metric, us] :
         std::vector<Row>{{3.785411784, "m3", "3,785 L", "1,000 gal"},
                          {0.3785411784, "m3/day", "379 L/day", "100 gal/day"},
                          {6.30901964e-4, "m3/s", "38 L/min", "10 gpm"},
                          {37.85411784, "L", "38 L", "10 gal"},
                          {37.85411784, "L/h", "38 L/h", "10 gal/h"},
                          {30.48, "m", "30 m", "100 ft"},
                          {254, "mm", "254 mm", "10 in"},
                          {1000, "kPa", "10 bar", "145 psi"},
                          {25, "degC", "25 °C", "77 °F"},
                          {12, "kWh", "12 kWh", "12 kWh"},
                          {12, "1", "12", "12"}}) {
        CAPTURE(unit);
        CHECK(sim::shown_text(value, unit, scenarios::UnitSystem::metric) == metric);
        CHECK(sim::shown_text(value, unit, scenarios::UnitSystem::us) == us);
    }
    CHECK(sim::shown(7456.998715822702, "W shaft", scenarios::UnitSystem::us).value == doctest::Approx(10));
    CHECK(sim::shown(1, "kWh/m3", scenarios::UnitSystem::us).value == doctest::Approx(3.785411784));
}

TEST_CASE("figures within a millionth of the limit count as the limit, others do not") {
    CHECK(sim::same_figure(100 + 0.9e-4, 100));
    CHECK(sim::same_figure(1e-3 - 0.9e-9, 1e-3));
    CHECK_FALSE(sim::same_figure(100 + 1.1e-4, 100));
    CHECK_FALSE(sim::same_figure(1, std::numeric_limits<double>::infinity()));
}

TEST_SUITE_END();
