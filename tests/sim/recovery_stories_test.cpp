#include <doctest/doctest.h>

#include <cmath>

#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/year/simulate.hpp"
#include "tests/sim/from_own_start.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using sim::CloudyPeriodStart, test::Near, test::plain_system, test::steady_inputs;

namespace {

// Pump 0.75 and other loads 0.30 kWh a day at 92 %, idle 50 W: 2.34 kWh of DC a day, spread over the day.
constexpr double ac_w = 1e3 * (0.75 + 0.30) / 24;
constexpr double day_kwh = (0.75 + 0.30) / 0.92 + 24 * 0.050;

sim::System winter_battery() {
    auto s = plain_system();
    s.battery = {10 / 0.99, 0.96, 1, 0.0, 1e3, 1e3, 0};
    s.start_soc = 1;
    s.inverter.k1 = 1 / 0.92 - 1;
    s.inverter.idle_w = 50;
    return s;
}

// Winter days of 2.5 peak-sun hours through a factor of 0.77, here spread evenly: nothing of the sun that
// serves the load passes the battery, as in the pencil's figures.
sim::CloudyPeriodInputs winter_cloudy_period(double array_kw, double cloudy_share, int days) {
    double const sun_w = 1e3 * array_kw * 2.5 * 0.77 / 24;
    sim::CloudyPeriodInputs in;
    in.own = steady_inputs(sun_w, ac_w, 0, 1e-3);
    in.cloudy.push_back(steady_inputs(cloudy_share * sun_w, ac_w, 0, 1e-3));
    in.hours = 24 * days;
    return in;
}

}  // namespace

// Stories of designs that failed; figures chosen for the test, results recomputed by hand as stated.
TEST_SUITE_BEGIN("sim/recovery_stories");

// Five days at 20 % of the sun. Missing after them: 5 (2.34 - 0.2 sun) = 9.4 / 8.2 / 7.1 kWh. Recovery at a
// charge efficiency of 0.96: never / 7.6 / 3.2 days. A battery with 10 kWh lasts the five days with all
// three; only the time until full again distinguishes them. "Full" here is 99 % of a little more than 10 kWh.
TEST_CASE("three arrays pass the same five cloudy days; one of them never fills the battery again") {
    struct Row {
        double array_kw, missing_kwh, days;
    };
    for (auto const& r : {Row{1.2, 9.4, CloudyPeriodStart::never}, Row{1.8, 8.2, 7.6}, Row{2.4, 7.1, 3.2}}) {
        CAPTURE(r.array_kw);
        auto const s =
            test::run_cloudy_periods(winter_battery(), winter_cloudy_period(r.array_kw, 0.2, 5), {10})
                .starts[0];
        double const full_kwh = winter_battery().battery.capacity_kwh;
        CHECK(std::isinf(s.power_lost_h));
        CHECK(full_kwh * (1 - s.lowest_level) == Near{r.missing_kwh, 0.05, 0});
        double const sun_kwh = r.array_kw * 2.5 * 0.77;
        CHECK(full_kwh * (1 - s.lowest_level) == Near{5 * (day_kwh - 0.2 * sun_kwh), 1e-9, 0});
        if (std::isinf(r.days)) {
            CHECK(std::isinf(s.full_again_h));
            continue;
        }
        // From there to 99 %, and on to full at the same pace, rounded up to whole hours.
        double const gain_kwh = 0.96 * (sun_kwh - day_kwh);
        double const rest_d = (1 - sim::full_level) * full_kwh / gain_kwh;
        CHECK(s.full_again_h / 24 + rest_d == Near{r.days, 0.05 + 1. / 24, 0});
        CHECK(s.full_again_h ==
              std::ceil(24 * (full_kwh * (sim::full_level - s.lowest_level)) / gain_kwh - 1e-9));
    }
}

// The same days with the sun in four hours: full is met in the middle of a day, what serves the night passes
// the battery. Within a day it comes to the same, and the array that never recovers does not do so by noon.
TEST_CASE("with the sun in the middle of the day the verdicts are the same, the time within a day") {
    auto const peaked = [](double array_kw) {
        auto in = winter_cloudy_period(array_kw, 0.2, 5);
        auto const into_noon = [](sim::HourlyInputs& h) {
            for (std::size_t i = 0; i < h.array_power_w.size(); ++i)
                h.array_power_w[i] = i % 24 >= 10 && i % 24 < 14 ? 6 * h.array_power_w[i] : 0;
        };
        into_noon(in.own);
        into_noon(in.cloudy[0]);
        return in;
    };
    double before_h = CloudyPeriodStart::never;
    for (double const array_kw : {1.2, 1.8, 2.4, 3.0}) {
        CAPTURE(array_kw);
        auto const flat =
            test::run_cloudy_periods(winter_battery(), winter_cloudy_period(array_kw, 0.2, 5), {10})
                .starts[0];
        auto const noon = test::run_cloudy_periods(winter_battery(), peaked(array_kw), {10}).starts[0];
        CHECK(std::isinf(noon.full_again_h) == std::isinf(flat.full_again_h));
        if (std::isfinite(flat.full_again_h)) CHECK(std::abs(noon.full_again_h - flat.full_again_h) <= 24);
        CHECK(noon.full_again_h <= before_h);
        before_h = noon.full_again_h;
    }
    CHECK(std::isfinite(before_h));
}

// Lithium battery of 10 kWh at 0.6, cutout 0.1, shed at -10 deg C, clear sky, no charge under 0 deg C (from
// memory), the load above: the power is lost after 5.0 / 2.34 = 2.1 days, with every hour of sun left unused.
TEST_CASE("sunny and frozen: the power is lost after 2.1 days under a clear sky") {
    auto s = winter_battery();
    s.battery.capacity_kwh = 10;
    s.battery.min_soc = 0.1;
    s.start_soc = 0.6;
    s.battery_behavior.thermal = models::BatteryThermalParameters{12};
    s.battery_behavior.charge_rule = models::lithium_iron_phosphate_charge_rule();
    auto in = winter_cloudy_period(1.8, 1, 6);
    // By night, because with sun the array supplies the load directly. Here all of the load falls while there
    // is no sun.
    for (auto* hours : {&in.own, &in.cloudy[0]}) {
        hours->ambient_c.assign(hours->load_w.size(), -10);
        for (double& w : hours->array_power_w.edit()) w = 0;
    }
    auto const dark = test::run_cloudy_periods(s, in, {10}, sim::FollowUntil::period_end).starts[0];
    CHECK(dark.power_lost_h / 24 == Near{5.0 / day_kwh, 1e-6, 0});
    CHECK(dark.power_lost_h / 24 == Near{2.1, 0.05, 0});
    // With sun the array serves the load by day; nothing goes into the battery.
    for (std::size_t h = 0; h < 8760; ++h)
        if (h % 24 >= 10 && h % 24 < 14) in.cloudy[0].array_power_w[h] = 1100;
    auto const run = sim::run_one_cloudy_period(s, in, 10, test::own_levels(s), 0);
    CHECK(run.summary.battery_in_kwh == 0);
    CHECK(run.findings.charge_refused_h == Near{24 * 6, 1e-6, 0});
    // 51.3 h from the battery are 20 on each of two days, ten of the third night, the rest after that day's
    // sun.
    double const lost_h =
        test::run_cloudy_periods(s, in, {10}, sim::FollowUntil::period_end).starts[0].power_lost_h;
    CHECK(lost_h == Near{48 + 14 + (24 * 5.0 / day_kwh - 50), 1e-6, 0});
}

// Ten days of snow on the array while nobody is there: idle 25 W takes 6 kWh of 10, from 0.9 to 0.3; without
// idle draw nothing is used. There is no water demand and so no shortage; what remains is the time until full
// again.
TEST_CASE("snow while away: no water is missed, and the battery is near 30 % at arrival") {
    auto s = plain_system();
    s.battery = {10, 0.96, 1, 0.1, 1e3, 1e3, 0};
    s.start_soc = 0.9;
    s.inverter.idle_w = 25;
    auto in = winter_cloudy_period(1.8, 0, 10);
    for (auto* hours : {&in.own, &in.cloudy[0]}) hours->load_w.assign(8760, 0);
    auto const snow = test::run_cloudy_periods(s, in, {20}).starts[0];
    CHECK(snow.lowest_level == Near{0.3, 1e-9, 0});
    CHECK(std::isinf(snow.first_shortage_h));
    CHECK(std::isfinite(snow.full_again_h));
    s.inverter.idle_w = 0;
    CHECK(test::run_cloudy_periods(s, in, {20}, sim::FollowUntil::period_end).starts[0].lowest_level ==
          Near{0.9, 1e-12, 0});
}

// A battery of nothing, no array, no demand: cloudy periods end without a division by zero.
TEST_CASE("nothing stored and nothing wanted") {
    auto s = plain_system();
    s.battery.capacity_kwh = 0;
    auto const in = winter_cloudy_period(0, 0, 3);
    auto const none = test::run_cloudy_periods(s, in, {0, 364}).starts;
    for (auto const& start : none) {
        CHECK(start.power_lost_h == 0);
        CHECK(std::isinf(start.first_shortage_h));
        CHECK(std::isinf(start.full_again_h));
    }
}

TEST_SUITE_END();
