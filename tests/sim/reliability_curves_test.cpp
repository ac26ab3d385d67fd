#include "sim/designs/reliability_curves.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "scenarios/design/scenario_weather.hpp"
#include "sim/designs/design_figures.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/verdict/years_to_run.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using namespace holdwater::sim;

TEST_SUITE_BEGIN("sim/reliability_curves");

// Egido & Lorenzo (1992, from memory): lines of equal loss-of-load probability fall with C_A, are convex, and
// a higher availability lies above a lower one. A storage is found to 0.5 %.
TEST_CASE("curves of equal availability fall, are convex and do not cross") {
    for (std::string const name : {"juniper-bend-household", "saltbush-livestock"}) {
        CAPTURE(name);
        auto const scenario = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/" + name + ".toml");
        auto const weather = scenarios::read_scenario_weather(scenario);
        auto options = years_to_run(scenario);
        options.years = 8;
        auto const curves = reliability_curves({scenario, &weather}, options);
        REQUIRE(curves.years == 8);
        REQUIRE(curves.curves.size() == 3);
        auto const& x = curves.array_ratio;
        REQUIRE(x.size() >= 5);
        constexpr double found_to = 0.01;  // two storages, 0.5 % each
        for (std::size_t level = 0; level < 3; ++level) {
            CAPTURE(level);
            auto const& y = curves.curves[level].storage_ratio_days;
            std::size_t points = 0;
            for (std::size_t i = 0; i < x.size(); ++i) {
                CAPTURE(i);
                if (std::isnan(y[i])) continue;
                ++points;
                if (level > 0) CHECK(y[i] >= curves.curves[level - 1].storage_ratio_days[i]);
                if (i > 0 && !std::isnan(y[i - 1])) CHECK(y[i] <= y[i - 1] * (1 + found_to));
                if (i < 2 || std::isnan(y[i - 2]) || std::isnan(y[i - 1])) continue;
                double const on_the_chord =
                    y[i - 2] + (y[i] - y[i - 2]) * (x[i - 1] - x[i - 2]) / (x[i] - x[i - 2]);
                CHECK(y[i - 1] <= on_the_chord * (1 + found_to));
            }
            CHECK(points >= 4);
        }
    }
}

// The battery of a point, run for itself: it serves 95 % of these years' energy, and one of 1 % less does
// not.
TEST_CASE("the storage of a point is just enough, added up from the years by hand") {
    auto scenario = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    auto const weather = scenarios::read_scenario_weather(scenario);
    auto options = years_to_run(scenario);
    options.years = 4;
    auto const curves = reliability_curves({scenario, &weather}, options);
    CHECK(curves.years == 4);
    options.begin_full = true;
    double const array = curves.array_w[3] / scenario.array.module.rated_power_w;
    double const battery = curves.curves[1].battery_kwh[3] / scenario.battery.capacity_kwh;
    auto const served = [&](double battery_factor) {
        double demand = 0, missing = 0;
        auto const draws = draw_years({{scenario, &weather, array, battery_factor}}, options);
        for (auto const& year : draws.years[0]) {
            double const kwh_per_m3 = year.summary.pump_energy_kwh / year.summary.water_delivered_m3;
            double const dry = year.summary.water_demand_m3 * (1 - year.summary.demand_met_fraction);
            missing += year.summary.load_unserved_kwh + dry * kwh_per_m3;
            demand += year.summary.ac_served_kwh + year.summary.load_unserved_kwh + dry * kwh_per_m3;
        }
        return 1 - missing / demand;
    };
    CHECK(served(battery) >= 0.95);
    CHECK(served(0.99 * battery) < 0.95);
    // C_A of the point, from the indices of the array itself.
    auto sized = scenario;
    sized.array.module.rated_power_w *= array;
    sized.controller.power_limit_w *= array;
    sized.battery.capacity_kwh *= 4;
    auto const indices = indices_of(sized, make_inputs(sized, weather));
    CHECK(indices.array_ratio == doctest::Approx(curves.array_ratio[3]).epsilon(0.01));
}

// Grid and generator are left out, and an array of several modules counts as a whole.
TEST_CASE("a backup changes no curve, and the array is that of all modules") {
    auto const scenario = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    auto const weather = scenarios::read_scenario_weather(scenario);
    auto options = years_to_run(scenario);
    options.years = 1;
    auto const alone = reliability_curves({scenario, &weather}, options);
    auto backed = scenario;
    backed.rules.backup = Backup::grid;
    backed.rules.transfer_below = 0.6;
    backed.rules.return_above = 0.8;
    backed.rules.second = scenarios::SecondBackup{};
    backed.generator =
        models::GeneratorParameters{.rated_power_w = 5000, .fuel_a_l_per_h_kw = 0.1, .fuel_b_l_per_kwh = 0.4};
    backed.array.module.rated_power_w /= 4;
    backed.array.modules_in_series = backed.array.strings_in_parallel = 2;
    auto const curves = reliability_curves({backed, &weather}, options);
    for (std::size_t i = 0; i < alone.array_w.size(); ++i)
        CHECK(curves.array_w[i] == doctest::Approx(alone.array_w[i]).epsilon(1e-9));
    for (std::size_t level = 0; level < 3; ++level)
        for (std::size_t i = 0; i < alone.array_w.size(); ++i) {
            double const with = curves.curves[level].storage_ratio_days[i],
                         without = alone.curves[level].storage_ratio_days[i];
            CHECK(std::isnan(with) == std::isnan(without));
            if (!std::isnan(without)) CHECK(with == doctest::Approx(without).epsilon(0.006));
        }
}

TEST_SUITE_END();
