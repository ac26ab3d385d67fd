#include "models/cost/economics.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

namespace {

// Invented: 18 000 at first, a battery of 5 000 once after ten years, upkeep 250 a year, 5 % real, 20 years.
CostInputs example() { return {18000, 250, 0, {{5000, 10}}, 0.05, 20, false}; }

}  // namespace

TEST_SUITE_BEGIN("models/economics");

// Textbook annuity forms; recomputed, tolerance 1e-6 relative as stated with them.
TEST_CASE("life-cycle cost and cost of a unit") {
    auto const c = lifetime_cost(example());
    CHECK(capital_recovery(0.05, 20) == Near{0.08024259, 5e-9, 0});
    CHECK(c.replacements == Near{3069.566, 0, 1e-6});
    CHECK(c.maintenance == Near{3115.553, 0, 1e-6});
    CHECK(c.life_cycle_cost == Near{24185.119, 0, 1e-6});
    CHECK(c.yearly == Near{1940.6765, 0, 1e-6});
    CHECK(cost_per_unit(c, 2190) == Near{0.886154, 0, 1e-6});
    CHECK(cost_per_unit(c, 550) == Near{3.528503, 0, 1e-6});
    CHECK(std::isinf(cost_per_unit(c, 0)));
}

// Cost of a cubic meter with one input changed at a time; recomputed, printed to 1e-6. Order of the bars:
// rate, water, capital.
TEST_CASE("one input at a time") {
    auto const water_cost = [](auto change, double m3 = 550) {
        auto in = example();
        change(in);
        return cost_per_unit(lifetime_cost(in), m3);
    };
    auto const none = [](CostInputs&) {};
    double const capital_low = water_cost([](auto& in) { in.capital = 16200; });
    double const capital_high = water_cost([](auto& in) { in.capital = 19800; });
    double const rate_low = water_cost([](auto& in) { in.rate = 0.03; });
    double const rate_high = water_cost([](auto& in) { in.rate = 0.07; });
    double const water_low = water_cost(none, 495), water_high = water_cost(none, 605);
    CHECK(capital_low == Near{3.265891, 5e-7, 0});
    CHECK(capital_high == Near{3.791115, 5e-7, 0});
    CHECK(rate_low == Near{3.109012, 5e-7, 0});
    CHECK(rate_high == Near{3.979992, 5e-7, 0});
    CHECK(water_low == Near{3.920559, 5e-7, 0});
    CHECK(water_high == Near{3.207730, 5e-7, 0});
    CHECK(rate_high - rate_low > water_low - water_high);
    CHECK(water_low - water_high > capital_high - capital_low);
}

TEST_CASE("the annuity is the sum of its years, also at no interest") {
    for (double rate : {0.0, 1e-9, 0.03, 0.12, -0.02}) {
        double sum = 0;
        for (int year = 1; year <= 15; ++year) sum += present_value(1, rate, year);
        CHECK(1 / capital_recovery(rate, 15) == Near{sum, 0, 1e-9});
    }
}

TEST_CASE("replacements fall before the end, what is left is credited") {
    auto in = example();
    in.rate = 0;
    in.credit_salvage = true;
    CHECK(lifetime_cost(in).replacements == 5000);
    CHECK(lifetime_cost(in).salvage == 0);
    in.parts = {{5000, 8}};  // years 8 and 16; half of the third is left at 20
    CHECK(lifetime_cost(in).replacements == 10000);
    CHECK(lifetime_cost(in).salvage == Near{2500, 0, 1e-12});
    in.parts = {{5000, 20}};
    CHECK(lifetime_cost(in).replacements == 0);
    in.parts = {{5000, 20.0 / 3}};  // thirds: two replacements, none on the last day
    CHECK(lifetime_cost(in).replacements == 10000);
    CHECK(lifetime_cost(in).salvage == Near{0, 1e-6, 0});
    in.parts = {{5000, std::numeric_limits<double>::infinity()}};
    CHECK(lifetime_cost(in).replacements == 0);
    in.parts = {{5000, 25}};  // the first one outlives the run
    CHECK(lifetime_cost(in).salvage == Near{1000, 0, 1e-12});
}

TEST_CASE("costs that make no sense are refused") {
    auto in = example();
    in.rate = 5;
    CHECK_THROWS_WITH_AS(lifetime_cost(in), "rate = 5 (must be above -1 and below 1: 5 % is 0.05)",
                         ParameterError);
    in = example();
    in.years = 0;
    CHECK_THROWS_AS(lifetime_cost(in), ParameterError);
    in = example();
    in.parts = {{5000, 0}};
    CHECK_THROWS_AS(lifetime_cost(in), ParameterError);
}

TEST_SUITE_END();
