#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <vector>

#include "sim/autonomy/autonomy.hpp"
#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/autonomy/least_size.hpp"
#include "sim/year/simulate.hpp"
#include "tests/sim/from_own_start.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near, test::plain_system, test::steady_inputs;

namespace {

constexpr double gallon_m3 = 3.785411784e-3;

// A cistern that the well pump fills at 600 gal/h, only while the array gives 500 W or more; taps by gravity.
// In the dark nothing draws on the battery.
sim::System sun_filled(double stop_gal, double dead_gal) {
    auto s = plain_system();
    s.start_soc = 1;
    sim::CisternSystem c;
    c.rule = models::FillRule::surplus_only;
    c.sun_above_w = 500;
    c.cistern.capacity_m3 = (stop_gal + 10) * gallon_m3;
    c.cistern.dead_m3 = dead_gal * gallon_m3;
    c.cistern.fill_start_m3 = 0.5 * stop_gal * gallon_m3;
    c.cistern.fill_stop_m3 = stop_gal * gallon_m3;
    c.cistern.floor_elevation_m = 20;
    c.fill_band_m3 = 1 * gallon_m3;
    c.start_m3 = c.cistern.fill_stop_m3;
    c.resume_m3 = (dead_gal + 100) * gallon_m3;
    c.gravity = true;
    c.filling = {{600 * gallon_m3 / 3600, 1000}};
    s.cistern = c;
    return s;
}

// Water drawn evenly through every hour; sun from 08:00 to 16:00.
sim::HourlyInputs sunny_year(double sun_w, double load_w, double gal_per_h) {
    double const m3 = gal_per_h * gallon_m3;
    auto in = steady_inputs(0, load_w, m3, m3 / 3600);
    for (std::size_t h = 0; h < in.array_power_w.size(); ++h)
        in.array_power_w[h] = h % 24 >= 8 && h % 24 < 16 ? sun_w : 0;
    return in;
}

std::vector<int> sunsets_at(int hour_of_day) {
    std::vector<int> hours;
    for (int day = 0; day < 365; ++day) hours.push_back(24 * day + hour_of_day);
    return hours;
}

sim::Autonomy autonomy(sim::System const& design, double load_w, double gal_per_h) {
    auto const own = sunny_year(3000, load_w, gal_per_h), dark = sunny_year(0, load_w, gal_per_h);
    return sim::autonomy_of(design, dark, sim::start_levels(design, own, {.soc = 1}), sunsets_at(18),
                            {10, 100, 200});
}

sim::CloudyPeriodInputs dark_period(sim::HourlyInputs own, sim::HourlyInputs cloudy, int hours) {
    sim::CloudyPeriodInputs in;
    in.own = std::move(own);
    in.cloudy.push_back(std::move(cloudy));
    in.hours = hours;
    return in;
}

}  // namespace

// Stories of summaries that answered another question than the one asked. The figures are chosen for the
// test, and the results are calculated by hand as stated.
TEST_SUITE_BEGIN("sim/autonomy_stories");

// 2,700 gal a day are 112.5 gal/h. The cistern was last filled at 16:00: at sunset, 18:00, it holds 3,500 -
// 225 = 3,275 gal, 60 of them dead: 3,215 / 112.5 = 28.6 h. Its battery, which nothing draws on, lasts for
// ever. The battery design: 10.221 m3 a day at 1200 W and 0.6 L/s are 5.678 kWh, 40 W of loads 0.96 kWh, each
// over 0.9 of inverter and 0.9 of battery 8.195 kWh a day: 40 / 8.195 = 4.88 days, a tank's 80 L beside.
TEST_CASE("a 3,500 gal cistern filled only by sun against a 40 kWh battery: the water ends after 28 h") {
    auto const cistern = autonomy(sun_filled(3500, 60), 0, 112.5);
    CHECK(cistern.water.worst_d * 24 == 28);
    CHECK(cistern.water.median_d * 24 == 28);
    CHECK(std::isinf(cistern.power.worst_d));
    auto battery = plain_system();
    battery.battery.capacity_kwh = 40;
    battery.start_soc = 1;
    auto const stored = autonomy(battery, 40, 112.5);
    CHECK(stored.water.worst_d == Near{4.88, 0.06, 0});
    CHECK(stored.power.worst_d == Near{4.88, 0.06, 0});
    CHECK(stored.water.worst_d > cistern.water.worst_d);
}

// 125 gal/h. 9,000 - 250 - 60 = 8,690 gal: 69.5 h; 6,000 - 250 - 60 = 5,690 gal: 45.5 h.
TEST_CASE("9,000 against 6,000 gal for 3,000 gal a day: 2.9 against 1.9 days") {
    auto const large = autonomy(sun_filled(9000, 60), 0, 125), small = autonomy(sun_filled(6000, 60), 0, 125);
    CHECK(large.water.worst_d * 24 == 69);
    CHECK(small.water.worst_d * 24 == 45);
}

// 124 gal/h. From 9,000 gal 72 h take 8,928; but at midnight, eight hours after the last filling, the
// cistern holds 9,000 - 992 = 8,008 gal: 64.6 h, and 8,928 - 8,008 = 920 gal short. A cistern with 992 gal
// more would hold: 9,920; no battery would.
TEST_CASE("a cloudy period starts with what the cistern holds in its own year: 72 h become 64 h") {
    auto const design = sun_filled(9000, 0);
    auto const in = dark_period(sunny_year(3000, 0, 124), sunny_year(0, 0, 124), 72);
    std::vector<int> const days{50, 300};
    auto const full = sim::run_cloudy_periods(
        design, in, days, sim::start_levels(design, in.own, {.cistern_m3 = 9000 * gallon_m3}));
    CHECK(full.survival.back() == 1);
    auto const levels = sim::start_levels(design, in.own, {});
    auto const as_it_stands = sim::run_cloudy_periods(design, in, days, levels);
    for (auto const& s : as_it_stands.starts) {
        CHECK(s.begins.cistern_m3 / gallon_m3 == Near{8008, 1.5, 0});
        CHECK(s.begins.soc == Near{1, 1e-6, 0});
        CHECK(s.first_shortage_h == 64);
        CHECK(s.shortage_hours == 8);
        CHECK(s.water_short_m3 / gallon_m3 == Near{920, 1.5, 0});
        CHECK(s.reason == sim::LimitReason::cistern_empty);
    }
    sim::CloudyPeriodQuestion const question{design, true, in, days};
    CHECK(!sim::least_battery_factor(question).has_value());
    auto const factor = sim::least_cistern_factor(question);
    REQUIRE(factor.has_value());
    CHECK(9000 * *factor == Near{9920, 0, 0.006});
    // A cistern that is named full: 8,928 gal are enough.
    CHECK(9000 * *sim::least_cistern_factor(
                     {design, true, in, days, {.soc = 1, .cistern_m3 = 9000 * gallon_m3}}) ==
          Near{8928, 0, 0.006});
}

// No water is drawn. When a day without sun begins, the cistern is empty and the battery full. 600 gal/h from
// 08:00 to 16:00 are 4,800 gal on the first sunny day; the other 4,200 gal take seven hours of the second:
// full at 15:00, 39 h after the day without sun.
TEST_CASE("full again counts the cistern, not the battery alone") {
    auto const design = sun_filled(9000, 0);
    auto const in = dark_period(sunny_year(3000, 0, 0), sunny_year(0, 0, 0), 24);
    auto const levels = sim::start_levels(design, in.own, {.soc = 1, .cistern_m3 = 0});
    auto const s = sim::run_cloudy_periods(design, in, {50}, levels).starts[0];
    CHECK(s.lowest_level == Near{1, 1e-9, 0});
    CHECK(s.full_again_h == 39);
    // With a cistern that stays full, everything is full again at once.
    auto const named = sim::start_levels(design, in.own, {.soc = 1, .cistern_m3 = 9000 * gallon_m3});
    CHECK(sim::run_cloudy_periods(design, in, {50}, named).starts[0].full_again_h == 0);
}

// No animal drinks. When a day without sun begins, the trough is empty and the battery almost full. The float
// valve lets in 360 L/h and opens at 19 of 20 m3: 19 / 0.36 = 52.8 h, so it calls for no more water 29 h
// after that day, at the end of an hour.
TEST_CASE("full again counts the trough as well") {
    auto design = plain_system();
    design.battery.capacity_kwh = 5000;
    design.start_soc = 1;
    design.trough = models::TroughParameters{20, 19, 1e-4};
    auto const in = dark_period(sunny_year(3000, 0, 0), sunny_year(0, 0, 0), 24);
    auto const empty = sim::start_levels(design, in.own, {.soc = 1, .trough_m3 = 0});
    auto const s = sim::run_cloudy_periods(design, in, {50}, empty).starts[0];
    CHECK(s.lowest_level > sim::full_level);
    CHECK(s.full_again_h == 29);
    auto const full = sim::start_levels(design, in.own, {.soc = 1, .trough_m3 = 20});
    CHECK(sim::run_cloudy_periods(design, in, {50}, full).starts[0].full_again_h == 0);
}

namespace {

// A well with its static water level at 20 m, which recovers with a time constant.
sim::System on_a_well(double time_constant_h, std::optional<models::AquiferParameters> aquifer = {}) {
    auto s = plain_system();
    s.battery.capacity_kwh = 1000;
    s.start_soc = 1;
    models::WellParameters w;
    w.static_level_m.fill(20);
    w.intake_depth_m = 120;
    w.cover_m = 0;
    w.casing_inside_diameter_m = 0.152;
    w.specific_capacity_m2_s = models::casing_area_m2(w) / (3600 * time_constant_h);
    s.well = sim::WellSystem{w, aquifer, {}, {}};
    for (int i = 0; i <= 24; ++i) s.well->band_edges_m.push_back(20 + 100. * i / 24);
    s.pump_at_level.resize(24);
    for (auto& c : s.pump_at_level) c.full_speed = s.fill;
    return s;
}

// 400 L every evening from 20:00, in 400 s.
sim::HourlyInputs evening_draw() {
    auto in = steady_inputs(0, 0, 0, 1e-3);
    for (std::size_t h = 20; h < in.demand_m3.size(); h += 24) in.demand_m3[h] = 0.4;
    return in;
}

}  // namespace

// The evening's 400 L lower the water of an 0.152 m bore by 22 m; with 6 h of time constant half of that is
// still missing at midnight. A period that begins there begins with it, and an hour later exp(-1/6) is left.
TEST_CASE("a cloudy period begins with the water level that the well has in its own year") {
    auto const design = on_a_well(6);
    auto const in = dark_period(evening_draw(), evening_draw(), 48);
    auto const year = sim::simulate(design, in.own, sim::Clock{});
    double const at_midnight_m = year.hours[24 * 50 - 1].well_level_m;
    CHECK(at_midnight_m > 28);
    auto const levels = sim::start_levels(design, in.own, {.soc = 1});
    auto const run = sim::run_one_cloudy_period(design, in, 50, levels, 0);
    CHECK(run.start.well_level_m == at_midnight_m);
    CHECK(run.hours[0].well_level_m == Near{20 + (at_midnight_m - 20) * std::exp(-1 / 6.), 1e-9, 0});
    // The first hour of the year begins at the static level, like the year.
    CHECK(sim::run_one_cloudy_period(design, in, 0, levels, 0).start.well_level_m == 20);
}

// What 400 L a day for fifty days have taken out of a poor aquifer is missing on the days after as well: with
// one hour of time constant the level before each evening's draw is that of the static water, and a period
// whose days are the year's own has the year's, whatever hour it begins.
TEST_CASE("a cloudy period begins with what earlier days have drawn down the aquifer") {
    auto const design = on_a_well(1, models::AquiferParameters{2e-6, 1e-4});
    auto in = dark_period(evening_draw(), evening_draw(), 24 * 10);
    auto const year = sim::simulate(design, in.own, sim::Clock{});
    CHECK(year.hours[24 * 60 - 5].well_level_m > 20.5);
    auto const levels = sim::start_levels(design, in.own, {.soc = 1});
    for (int const start_hour : {0, 12}) {
        CAPTURE(start_hour);
        in.start_hour = start_hour;
        auto const run = sim::run_one_cloudy_period(design, in, 50, levels, 0);
        for (int const day : {0, 1, 4, 9}) {
            CAPTURE(day);
            CHECK(run.hours[static_cast<std::size_t>(24 * day + 19 - start_hour)].well_level_m ==
                  Near{year.hours[static_cast<std::size_t>(24 * (50 + day) + 19)].well_level_m, 0.02, 0});
        }
    }
}

// Fifty days at -20 deg C, then 10: a battery that follows with 48 h stands at -20 when the first warm day
// begins, and refuses charge until it is at 4, 48 ln(30/6) = 77.25 h later. A period that begins in the 64th
// of these hours begins at 10 - 30 exp(-64/48) = 2.09 deg C, warm enough to begin a charge but not to resume
// one: refused for 13.25 h more.
TEST_CASE("a cloudy period begins with the temperature that the battery has in its own year") {
    auto design = plain_system();
    design.battery_behavior.thermal = models::BatteryThermalParameters{48};
    design.battery_behavior.charge_rule = models::lithium_iron_phosphate_charge_rule();
    auto own = steady_inputs(300, 50, 0, 1e-3);
    own.ambient_c.assign(own.load_w.size(), 10);
    std::fill_n(own.ambient_c.edit().begin(), 24 * 50, -20.0);
    auto in = dark_period(own, own, 48);
    auto const levels = sim::start_levels(design, in.own, {.soc = 0.9});
    auto const cold = sim::run_one_cloudy_period(design, in, 50, levels, 0);
    CHECK(cold.hours[0].battery_temperature_c == Near{10 - 30 * std::exp(-1 / 48.), 1e-9, 0});
    in.start_hour = 16;
    auto const thawing = sim::run_one_cloudy_period(design, in, 52, levels, 0);
    CHECK(thawing.hours[0].battery_temperature_c == Near{10 - 30 * std::exp(-65 / 48.), 1e-9, 0});
    CHECK(thawing.findings.charge_refused_h == Near{48 * std::log(5.) - 64, 1e-3, 0});
    // The SOC that is given still applies to the battery.
    CHECK(thawing.start.battery_stored_kwh == Near{9, 1e-9, 0});
}

// 8 kWh in reach, loads and pump (80 + 5.6 W) / 0.81 = 105.6 W out of them: 75.7 h. The period of 72 h is
// survived, but the sun stays away two days more: the inverter stops 3.7 h after it, and the tank's 80 L, at
// 10 L an hour, last at most 8 h longer. From then to the sun's return the 48 h after the period are short.
TEST_CASE("a shortage on the days that follow the period is counted") {
    auto design = plain_system();
    design.battery.min_soc = 0.2;
    design.start_soc = 1;
    auto const dark = steady_inputs(0, 80, 0.01, 1e-4);
    auto own = steady_inputs(3000, 80, 0.01, 1e-4);
    for (std::size_t h = 24 * 53; h < 24 * 55; ++h) own.array_power_w[h] = 0;
    auto const s = test::run_cloudy_periods(design, dark_period(own, dark, 72), {50}).starts[0];
    CHECK(std::isinf(s.first_shortage_h));
    CHECK(std::isinf(s.power_lost_h));
    CHECK(s.dry_after_h >= 3);
    CHECK(s.dry_after_h <= 12);
    CHECK(s.dry_hours_after == Near{48 - s.dry_after_h, 1, 0});
    CHECK(s.full_again_h > 48);
    // It is ranked before a start date without a shortage.
    auto const two = test::run_cloudy_periods(design, dark_period(own, dark, 72), {200, 50});
    CHECK(two.starts[two.worst].first_day == 50);
    CHECK(std::isinf(two.starts[0].dry_after_h));
}

// 84 h from 18:00, battery at 60 % of 10 kWh, cutout at 20 %, 200 W of loads: 222.2 W of DC. In the first 24
// h the sun gives 300 W: 77.8 W x 0.9 x 24 h = 1.68 kWh more, 7.68 kWh. After that 100 W: 122.2 W / 0.9 =
// 135.8 W out of it; 5.68 kWh above the cutout last 41.83 h. Power is lost after 65.83 h, at 11:50 on the
// third day after the first. A grid that is there takes over at 30 %; one that is away for the first 60 h as
// well.
TEST_CASE("a storm of 84 h from 18:00 at 60 %, its days of different clearness, with the grid away") {
    auto design = plain_system();
    design.battery.min_soc = 0.2;
    design.rules.backup = sim::Backup::grid;
    design.rules.transfer_below = 0.3;
    design.rules.return_above = 0.9;
    design.rules.backup_limit_w = std::numeric_limits<double>::infinity();
    sim::CloudyPeriodInputs in;
    in.own = steady_inputs(1000, 200, 0, 0);
    in.cloudy = {steady_inputs(300, 200, 0, 0), steady_inputs(100, 200, 0, 0)};
    in.hours = 84;
    in.start_hour = 18;
    auto const hours = sim::with_cloudy_period_on(in, 363);  // over the end of the year
    for (int i = -24; i < 108; ++i) {
        CAPTURE(i);
        double const sun_w = i < 0 || i >= 84 ? 1000 : i < 24 ? 300 : 100;
        CHECK(hours->array_power_w[static_cast<std::size_t>((24 * 363 + 18 + i) % 8760)] == sun_w);
    }
    auto const levels = sim::start_levels(design, in.own, {.soc = 0.6});
    auto const with = [&](std::optional<double> outage_h) {
        in.outage_h = outage_h;
        return sim::run_cloudy_periods(design, in, {10, 363}, levels, sim::FollowUntil::period_end);
    };
    auto const storm = with(84);
    CHECK(storm.survival.size() == 4);
    for (auto const& s : storm.starts) {
        CHECK(s.power_lost_h == Near{24 + 5.68 / (0.1222222222 / 0.9), 1e-3, 0});
        CHECK(s.begins.soc == 0.6);
        CHECK(s.grid_kwh < 1e-9);  // the grid is back at the end of the period: the rounding of an instant
    }
    for (auto const& outage_h : {std::optional<double>{}, std::optional<double>{60}})
        for (auto const& s : with(outage_h).starts) {
            CHECK(std::isinf(s.power_lost_h));
            CHECK(s.grid_kwh > 0);
        }
    CHECK(with(66.5).starts[0].power_lost_h == storm.starts[0].power_lost_h);
    CHECK_THROWS_AS(with(85), std::invalid_argument);
}

// At 45 degrees north the sun is down by 17:00 in December and after 19:00 in June; at 75 degrees it does not
// set in June and does not rise in December: the midnight that ends the day.
TEST_CASE("autonomy begins with the first whole hour after sunset") {
    weather::Site site;
    site.latitude_deg = 45;
    site.longitude_deg = -120;
    site.utc_offset_h = -8;
    auto const hours = sim::sunset_hours(weather::sun_over_year(site));
    REQUIRE(hours.size() == 365);
    CHECK(hours[354] == 24 * 354 + 17);  // 16:17 solar time
    CHECK(hours[171] == 24 * 171 + 20);  // 19:43 solar time
    site.latitude_deg = 75;
    auto const north = sim::sunset_hours(weather::sun_over_year(site));
    CHECK(north[171] == 24 * 172);
    CHECK(north[354] == 24 * 355);
    CHECK(north[364] == 0);
}

TEST_SUITE_END();
