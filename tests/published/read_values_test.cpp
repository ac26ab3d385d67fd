#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <string>
#include <utility>
#include <vector>

#include "models/battery/battery_bank.hpp"
#include "models/battery/rainflow.hpp"
#include "models/electric/motor_start.hpp"
#include "models/numeric/trade_units.hpp"
#include "models/water/demand.hpp"
#include "models/water/pressure_tank.hpp"
#include "models/water/water_properties.hpp"
#include "models/water/well.hpp"
#include "sim/year/simulate.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"
#include "tests/support/water_units.hpp"

// Figures that were read in a source that can be named, each compared with the answer of the code to the same
// question. If a figure is rounded in print, the tolerance is that of the print.

using namespace holdwater;
using namespace holdwater::test;

namespace {

constexpr double gpd_per_ft_m2_s = gal_m3 / 86400 / foot_m;

/// Theis' W(u) by its series, for u well below 1.
double well_function(double u) {
    double sum = -0.5772156649015329 - std::log(u), term = 1;
    for (int k = 1; k < 40; ++k) {
        term *= -u / k;
        sum -= term / k;
    }
    return sum;
}

double celsius_of(double fahrenheit) { return (fahrenheit - 32) / 1.8; }

}  // namespace

TEST_SUITE_BEGIN("published/read_values");

// US Unified Facilities Criteria 3-220-05, appendix C: u = 1.87 r^2 S / (T t), with T in gpd/ft, r in ft, t
// in days; the drawdown is 114.6 Q W(u) / T ft with Q in gpm. W(u) by its series. 1.87 and 114.6 are rounded:
// 0.14 % and 0.05 %, which is at most 0.1 % of the drawdown where W > 2.
TEST_CASE("drawdown around a pumped well in the units of US practice") {
    for (double const transmissivity : {500.0, 5000.0, 30000.0})
        for (double const storativity : {1e-4, 1e-3})
            for (double const radius_ft : {0.5, 20.0})
                for (double const days : {0.05, 1.0, 30.0}) {
                    double const u = 1.87 * radius_ft * radius_ft * storativity / (transmissivity * days);
                    double const w = well_function(u);
                    if (w < 2) continue;
                    double const feet = 114.6 * 12 * w / transmissivity;
                    CHECK(models::theis_drawdown_m({transmissivity * gpd_per_ft_m2_s, storativity},
                                                   12 * gpm_m3_s, radius_ft * foot_m, days * 86400) /
                              foot_m ==
                          Near{feet, 0, 0.0015});
                }
}

// Theis et al. 1963, as reproduced: transmissivity [gpd/ft] is about 2000 times the specific capacity
// [gpm/ft] of a confined aquifer. At the day, the half foot of radius, the 30 000 gpd/ft and the 0.001 for
// which it is stated: 1 %.
TEST_CASE("transmissivity from specific capacity") {
    double const feet =
        models::theis_drawdown_m({30000 * gpd_per_ft_m2_s, 1e-3}, 10 * gpm_m3_s, 0.5 * foot_m, 86400) /
        foot_m;
    CHECK(30000 / (10 / feet) == Near{2000, 0, 0.01});
}

// USDA NRCS, Design of Small Photovoltaic Solar-Powered Water Pump Systems (Oregon technical note 28, 2010;
// North Dakota technical note 1, 2017), as restated: 1,000 gal a day in 2.52 peak sun hours, 150 ft, pump 60
// %: 6.61 gpm, 311.7 W. A second example in the same manner: 600 gal, 4.5 h, 180 ft, 45 %: 2.22 gpm, 167.6 W.
// The note's 0.1885 is rounded by 0.04 %.
TEST_CASE("power of a solar pump by the conservation service's technical note") {
    struct Row {
        double gal, hours, feet, efficiency, watts;
    };
    for (Row const r : {Row{1000, 2.52, 150, 0.60, 311.7}, Row{600, 4.5, 180, 0.45, 167.6}}) {
        double const water_w =
            models::hydraulic_power_w(r.gal * gal_m3 / (r.hours * 3600), r.feet * foot_m, {1000, 1e-3});
        CHECK(water_w / r.efficiency == Near{r.watts, 0.05, 5e-4});
    }
}

// The same note's day through the year loop: 1,000 gal through the pump of 311.7 W take what the note's array
// of 366.7 W brings in 2.52 h at its derate of 0.85. A tank too small to matter, an inverter that takes
// nothing.
TEST_CASE("the day of the conservation service's example through the year loop") {
    auto s = plain_system();
    double const none = std::numeric_limits<double>::infinity(), q = 1000 * gal_m3 / (2.52 * 3600);
    s.inverter.k1 = 0;
    s.battery = {10, 1, 1, 0, none, none, 0};
    s.tank.total_volume_m3 *= 0.01;
    double const in = 0.01 * s.fill.cut_in_m3, out = 0.01 * s.fill.cut_out_m3;
    s.fill = models::fill_curve_from_nodes(
        {{0, q, 311.7}, {in, q, 311.7}, {out, q, 311.7}, {1.1 * out, q, 311.7}}, in, out);
    auto const r = sim::simulate(s, steady_inputs(0, 0, 1000 * gal_m3 / 24, 0.9 * q), {0, 24});
    CHECK(r.summary.water_delivered_m3 / gal_m3 == Near{1000, 1e-6, 0});
    CHECK(r.summary.pump_energy_kwh == Near{366.7 * 0.85 * 2.52 / 1000, 0, 1e-3});
}

// A country-living magazine on a low-flow well: a tank of 1,500 gal and 180 gal a day lasts 8.3 days without
// inflow
// ("about a week" for two). Through the year loop: an elevated tank, no power.
TEST_CASE("how long a tank of 1,500 gallons lasts without its well") {
    auto s = plain_system();
    s.battery.capacity_kwh = 0;
    sim::CisternSystem c;
    c.cistern.capacity_m3 = c.cistern.fill_stop_m3 = 1500 * gal_m3;
    c.cistern.fill_start_m3 = 750 * gal_m3;
    c.start_m3 = 1500 * gal_m3;
    c.gravity = true;
    c.filling = {{1e-3, 1000}};
    s.cistern = c;
    auto const r = sim::simulate(s, steady_inputs(0, 0, 180 * gal_m3 / 24, 0), {0, 240});
    double first_h = -1;
    for (auto const& e : r.events)
        if (e.kind == sim::EventKind::water_short && first_h < 0) first_h = e.time_h;
    CHECK(first_h / 24 == Near{8.3, 0.05, 0});
    CHECK(r.summary.water_delivered_m3 / gal_m3 == Near{1500, 1e-6, 0});
}

// Owners' notes on idle draw: 10 W on 1,400 Wh last 140 h; 40 W on 36 kWh last 900 h. Through the year loop:
// when the inverter switches off.
TEST_CASE("how long an idle draw takes to empty a battery") {
    struct Row {
        double kwh, idle_w, hours;
    };
    for (Row const row : {Row{1.4, 10, 140}, Row{36, 40, 900}}) {
        auto s = plain_system();
        double const none = std::numeric_limits<double>::infinity();
        s.battery = {row.kwh, 1, 1, 0, none, none, 0};
        s.start_soc = 1;
        s.inverter.idle_w = row.idle_w;
        auto const r = sim::simulate(s, steady_inputs(0, 0, 0, 0), {0, 1000});
        REQUIRE(!r.events.empty());
        CHECK(r.events.front().kind == sim::EventKind::inverter_off);
        CHECK(r.events.front().time_h == Near{row.hours, 1e-6, 0});
    }
}

// ASTM E1049-85, the example of its Figure 6, as reproduced in several public test suites: counts by range.
TEST_CASE("the rainflow standard's example") {
    std::vector<double> const history{-2, 1, -3, 5, -1, 3, -4, 4, -2};
    for (auto const& [range, count] :
         std::vector<std::pair<double, double>>{{3, 0.5}, {4, 1.5}, {6, 0.5}, {8, 1}, {9, 0.5}}) {
        double sum = 0;
        for (auto const& c : models::rainflow(history))
            if (c.range == range) sum += c.count;
        CHECK(sum == Near{count, 1e-12, 0});
    }
}

// A submersible-motor maker's manual, page on reduced-voltage starters: a cable with 5 % drop while running
// cuts the current of a start by about 20 % and its torque by about 36 %. 1 hp at 230 V: 8.0 A and, at six
// times that, 48 A. The power factor of a locked rotor is not said there: 0.7 is common practice. "About":
// two points and a half.
TEST_CASE("a motor start through a cable with five percent running drop, from a maker's manual") {
    double const loop_ohm = 0.05 * 230 / 8.0;
    auto const s = models::start_motor({230, 48, 0.7, 0.5}, {.source_v = 230, .cable_ohm = loop_ohm});
    CHECK(1 - s.current_a / 48 == Near{0.20, 0.025, 0});
    CHECK(1 - s.torque_share == Near{0.36, 0.025, 0});
}

// Printed trade tables of captive-air tanks take the precharge at cut-in: 0.31 of the tank at 30/50 psi,
// and 36.8 gal out of one of 119 gal. (With 2 psi less, as installed, it is 35.1 gal.)
TEST_CASE("drawdown of a 119 gallon tank in a trade table") {
    models::PressureTankParameters tank;
    tank.total_volume_m3 = 119 * gal_m3;
    tank.precharge_kpa = tank.cut_in_kpa = 30 * psi_kpa;
    tank.cut_out_kpa = 50 * psi_kpa;
    CHECK(models::drawdown_m3(tank) / gal_m3 == Near{36.8, 0.05, 0});
    CHECK(models::drawdown_m3(tank) / tank.total_volume_m3 == Near{0.31, 0.005, 0});
}

// Density and viscosity of water at 1 atm, and saturation pressure, as a property table of a London
// university has them (M. Chaplin; compared at 0 to 50 degC): to the digits compared. Saturation pressure
// there is of another formula than here: 0.05 %.
TEST_CASE("density of water in a university's table") {
    for (auto const& [t, kg_m3] : std::vector<std::pair<double, double>>{{4, 999.972},
                                                                         {5, 999.964},
                                                                         {10, 999.700},
                                                                         {12, 999.497},
                                                                         {15, 999.100},
                                                                         {20, 998.204},
                                                                         {25, 997.045},
                                                                         {30, 995.647},
                                                                         {40, 992.216},
                                                                         {50, 988.036}})
        CHECK(models::water_density_kg_m3(t) == Near{kg_m3, 1e-3, 0});
}
TEST_CASE("viscosity of water in a university's table") {
    for (auto const& [t, mpa_s] : std::vector<std::pair<double, double>>{{4, 1.5673},
                                                                         {5, 1.5182},
                                                                         {10, 1.3059},
                                                                         {12, 1.2340},
                                                                         {15, 1.1375},
                                                                         {20, 1.0016},
                                                                         {25, 0.8900},
                                                                         {30, 0.7972},
                                                                         {40, 0.6527},
                                                                         {50, 0.5465}})
        CHECK(models::water_viscosity_pa_s(t) * 1000 == Near{mpa_s, 1e-4, 0});
}
// Drinking of beef cattle in other extension tables than those the defaults are from. They differ by weight
// class: a quarter is what one class (200 lb) makes within a table (9, 12, 14 gal of growing cattle). gal a
// head and day.
TEST_CASE("water for beef cattle on a hot day in North Dakota's release") {
    // NDSU Extension release, 1 May 2008, at 88 degF: nursing cow 16.5, dry cow 14, bull 18, finishing 1,200
    // lb 22.5.
    for (auto const& [name, gal] : std::vector<std::pair<std::string, double>>{
             {"beef_nursing", 16.5}, {"cow_dry", 14}, {"bull", 18}, {"finishing", 22.5}})
        CHECK(models::drinking_m3_per_head(models::animal_drinking(name), celsius_of(88)) / gal_m3 ==
              Near{gal, 0, 0.25});
}
TEST_CASE("water for beef cows by temperature in two extension letters") {
    // Ohio State University Extension beef letter 2007, from NRC 1996: lactating cow at 70 and 80 degF.
    // Kansas State Beef Tips 2018: 1,100 lb, 25 lb of milk, at 40, 65 and 90 degF.
    for (auto const& [fahrenheit, gal] :
         std::vector<std::pair<double, double>>{{70, 16.3}, {80, 17.9}, {40, 12.8}, {65, 15.4}, {90, 17.9}})
        CHECK(models::drinking_m3_per_head(models::animal_drinking("beef_nursing"), celsius_of(fahrenheit)) /
                  gal_m3 ==
              Near{gal, 0, 0.25});
}

TEST_SUITE_END();
