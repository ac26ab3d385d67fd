#include "models/water/water_properties.hpp"

#include <doctest/doctest.h>

#include <array>

#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"
#include "tests/support/water_units.hpp"

using namespace holdwater::models;
using namespace holdwater::test;

TEST_SUITE_BEGIN("models/water_properties");

TEST_CASE("density and viscosity of water") {
    // Kell (1975), IAPWS R12-08 short form: constants from memory; rows recomputed from
    // them and in agreement with a published property table of a London university (0..50 degC). degC, kg/m3,
    // mPa s, 1e-6 m2/s
    struct Row {
        double t, density, viscosity, kinematic;
    };
    for (Row const r : {Row{0.01, 999.840, 1.79116, 1.79144}, Row{5, 999.964, 1.51820, 1.51825},
                        Row{10, 999.700, 1.30590, 1.30629}, Row{15, 999.100, 1.13755, 1.13857},
                        Row{20, 998.204, 1.00157, 1.00337}, Row{25, 997.045, 0.89000, 0.89263},
                        Row{30, 995.647, 0.79721, 0.80069}, Row{40, 992.216, 0.65273, 0.65785}}) {
        CAPTURE(r.t);
        CHECK(water_density_kg_m3(r.t) == Near{r.density, 1e-3, 0});
        CHECK(water_viscosity_pa_s(r.t) * 1e3 == Near{r.viscosity, 1e-5, 0});
        CHECK(water_viscosity_pa_s(r.t) / water_density_kg_m3(r.t) * 1e6 == Near{r.kinematic, 1e-5, 0});
    }
    // To fewer digits, the same tables at four more temperatures.
    for (auto const& [t, density, viscosity, kinematic] :
         {std::array{4., 999.972, 1.5673, 1.5674}, std::array{12., 999.497, 1.2340, 1.2347},
          std::array{50., 988.036, 0.5465, 0.5531}}) {
        CHECK(water_density_kg_m3(t) == Near{density, 1e-3, 0});
        CHECK(water_viscosity_pa_s(t) * 1e3 == Near{viscosity, 6e-5, 0});
        CHECK(water_viscosity_pa_s(t) / water_density_kg_m3(t) * 1e6 == Near{kinematic, 6e-5, 0});
    }
}

TEST_CASE("feet of water per psi") {
    // Recomputed; the trade's 2.31 lies inside the range of ordinary water.
    CHECK(head_of_pressure_m(psi_kpa, {998.2, 1e-3}) / foot_m == Near{2.310818, 1e-6, 0});
    CHECK(head_of_pressure_m(psi_kpa, {998.2, 1e-3}) == Near{0.704337, 1e-6, 0});
    CHECK(head_of_pressure_m(psi_kpa, {1000, 1e-3}) / foot_m == Near{2.306659, 1e-6, 0});
    CHECK(head_of_pressure_m(psi_kpa, water_at(10)) / foot_m == Near{2.307352, 1e-6, 0});
    CHECK(head_of_pressure_m(psi_kpa, {62.4 * 0.45359237 / (foot_m * foot_m * foot_m), 1e-3}) / foot_m ==
          Near{144 / 62.4, 1e-5, 0});
    CHECK(head_of_pressure_m(100, {998.2, 1e-3}) == Near{10.2156, 1e-4, 0});
    CHECK(head_of_pressure_m(100, {1000, 1e-3}) == Near{10.1972, 1e-4, 0});
    // 1 psi by water temperature, ft
    for (auto const& [t, ft] : {std::pair{0., 2.3070},
                                {4., 2.3067},
                                {12., 2.3078},
                                {15., 2.3087},
                                {20., 2.3108},
                                {30., 2.3167},
                                {50., 2.3346}})
        CHECK(head_of_pressure_m(psi_kpa, water_at(t)) / foot_m == Near{ft, 5.1e-5, 0});
    CHECK(pressure_of_head_kpa(head_of_pressure_m(275, water_at(12)), water_at(12)) == Near{275, 0, 1e-15});
    // 40 psi by height alone, 999.7 kg/m3
    CHECK(head_of_pressure_m(40 * psi_kpa, {999.7, 1e-3}) == Near{28.131222, 1e-6, 0});
}

TEST_CASE("water power") {
    // Recomputed, 1000 kg/m3.
    Water const w{1000, 1e-3};
    CHECK(hydraulic_power_w(gpm_m3_s, foot_m, w) == Near{0.18858082, 1e-8, 0});
    CHECK(hydraulic_power_w(1, 1, w) / 3600 == Near{2.724069, 1e-6, 0});  // Wh per m3 and m
    CHECK(hydraulic_power_w(1000 * gal_m3, foot_m, w) / 3.6e6 == Near{3.143014e-3, 1e-9, 0});  // kWh
    CHECK(hydraulic_power_w(1000 * gal_m3, 200 * foot_m, w) / 3.6e6 / 0.35 == Near{1.796008, 1e-6, 0});
    CHECK(1000 * gal_m3 * psi_kpa * 1000 / 3.6e6 == Near{7.24986e-3, 1e-8, 0});
    CHECK(hydraulic_power_w(10 * gpm_m3_s, 300 * foot_m, w) == Near{565.742, 1e-3, 0});
    CHECK(hydraulic_power_w(10 * gpm_m3_s, 300 * foot_m, w) / hp_w == Near{0.758673, 1e-6, 0});
    // The trade divides gpm ft by 3960; exactly it is 3954.27: 0.15 %.
    CHECK(hp_w / hydraulic_power_w(gpm_m3_s, foot_m, w) == Near{3954.272, 1e-3, 0});
    CHECK(hydraulic_power_w(100 * gpm_m3_s, 100 * foot_m, w) / hp_w == Near{100. * 100 / 3960, 0, 2e-3});
    // 1000 US gal by 100 ft, kWh
    CHECK(hydraulic_power_w(1000 * gal_m3, 100 * foot_m, w) / 3.6e6 == Near{0.31430137, 1e-8, 0});
}

TEST_CASE("frozen water and impossible heights are refused") {
    CHECK_THROWS_AS(water_at(-0.1), ParameterError);
    CHECK_THROWS_AS(water_at(101), ParameterError);
    CHECK_THROWS_AS(standard_atmosphere_kpa_at(12000), ParameterError);
}

TEST_SUITE_END();
