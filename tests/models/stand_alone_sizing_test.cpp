#include "models/battery/stand_alone_sizing.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "models/battery/battery.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

namespace {

// 200 W of AC all day through a constant 90 % inverter, sun 08-16 h at 500 W/m2, PV factor 0.80, controller
// 0.97, charge and discharge 0.95 each, no self-discharge.
struct Day {
    double load_kw = 0.2 / 0.9, sun_h = 8, efficiency = 0.95;
    // Of the array: the sun hours' load, and through the battery the other hours'.
    [[nodiscard]] double pv_kwh() const {
        return load_kw * sun_h + load_kw * (24 - sun_h) / (efficiency * efficiency);
    }
    // Three days without sun at a depth of 0.8.
    [[nodiscard]] double battery_kwh() const { return 3 * 24 * load_kw / efficiency / 0.8; }
};

}  // namespace

TEST_SUITE_BEGIN("models/stand_alone_sizing");

// Recomputed, printed to 1e-6.
TEST_CASE("array and battery of a constant day") {
    Day const day;
    CHECK(24 * day.load_kw == Near{5.333333, 5e-7, 0});
    CHECK(day.pv_kwh() == Near{5.717452, 5e-7, 0});
    CHECK(day.pv_kwh() / (4 * 0.80 * 0.97) == Near{1.841962, 5e-7, 0});
    CHECK(day.battery_kwh() == Near{21.052632, 5e-7, 0});
    CHECK(day.pv_kwh() / 8 == Near{0.714681, 1e-6, 0});
}

// The battery model over the same day: from 0.6 at midnight to 0.511111 at the end of hour 7, 0.688889 at the
// end of hour 15 and back to 0.6; one percent less array loses 0.002580 of charge a day, one percent more
// gains it.
TEST_CASE("the battery model repeats the day") {
    Day const day;
    BatteryParameters b;
    b.energy = {day.battery_kwh(), 0.95, 0.95, 0.2, 100, 100, 0};
    auto const run = [&](double array) {
        BatteryState s = at_soc(b, 0.6);
        double const pv_kw = array * day.pv_kwh() / 8;
        s = after(b, s, day.load_kw, 8).state;
        if (array == 1) CHECK(soc(b, s) == Near{0.511111, 1e-6, 0});
        s = after(b, s, day.load_kw - pv_kw, 8).state;
        if (array == 1) CHECK(soc(b, s) == Near{0.688889, 1e-6, 0});
        return soc(b, after(b, s, day.load_kw, 8).state);
    };
    CHECK(run(1) == Near{0.6, 1e-12, 0});
    CHECK(run(0.99) - 0.6 == Near{-0.002580, 1e-6, 0});
    CHECK(run(1.01) - 0.6 == Near{0.002580, 1e-6, 0});
    // Without sun, from full: exactly 72 hours.
    CHECK(hours_until_limit(b, at_soc(b, 1), day.load_kw) == Near{72, 0, 1e-12});
}

// Recomputed: 111.111 Ah a day at 48 V; three days of it at a ratio of 1.2: 15 days.
TEST_CASE("days of recharge in ampere-hours") {
    double const daily_ah = 1000 * 24 * Day().load_kw / 48;
    CHECK(daily_ah == Near{111.111, 5e-4, 0});
    CHECK(recharge_days(3 * daily_ah, 1.2, daily_ah) == Near{15, 0, 1e-12});
    CHECK(std::isinf(recharge_days(100, 1, daily_ah)));
}

// Never recovers: 2.34 kWh a day of DC, 2.5 sun hours, system factor 0.77, charge efficiency 0.96, five days
// at a fifth of the sun; arrays of 1.2, 1.8, 2.4 kW. Deficits 9.4, 8.2, 7.1 kWh; recovery never, 7.6
// days, 3.2 days. Recomputed for the story, printed to 0.1.
TEST_CASE("an array smaller than the day never recovers") {
    double const load_kwh = (0.75 + 0.30) / 0.92 + 0.05 * 24;
    CHECK(load_kwh == Near{2.34, 5e-3, 0});
    struct Row {
        double array_kw, deficit_kwh, days;
    };
    for (auto const& row : std::vector<Row>{{1.2, 9.4, INFINITY}, {1.8, 8.2, 7.6}, {2.4, 7.1, 3.2}}) {
        CAPTURE(row.array_kw);
        double const sun_kwh = row.array_kw * 2.5 * 0.77;
        double const deficit_kwh = 5 * (load_kwh - 0.2 * sun_kwh);
        CHECK(deficit_kwh == Near{row.deficit_kwh, 0.051, 0});
        double const days = recharge_days(deficit_kwh / 0.96, sun_kwh / load_kwh, load_kwh);
        if (std::isinf(row.days))
            CHECK(std::isinf(days));
        else
            CHECK(days == Near{row.days, 0.051, 0});
    }
}

TEST_SUITE_END();
