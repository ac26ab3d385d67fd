#include "sim/autonomy/cloudy_period_run.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <random>

#include "scenarios/design/scenario_weather.hpp"
#include "sim/autonomy/least_size.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "tests/sim/from_own_start.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"
#include "weather/clear_sky.hpp"
#include "weather/cloudy_periods.hpp"
#include "weather/sun_position.hpp"

using namespace holdwater;
using sim::CloudyPeriodStart, test::Near;

namespace {

// The hours of the year itself are `own`; every day of a cloudy period is `cloudy`.
sim::CloudyPeriodInputs cloudy_period_of(sim::HourlyInputs own, sim::HourlyInputs cloudy, int days) {
    sim::CloudyPeriodInputs in;
    in.own = std::move(own);
    in.cloudy.push_back(std::move(cloudy));
    in.hours = 24 * days;
    return in;
}

sim::System full_battery(double capacity_kwh, double min_soc) {
    auto s = test::plain_system();
    s.battery.capacity_kwh = capacity_kwh;
    s.battery.min_soc = min_soc;
    s.start_soc = 1;
    s.rules.restart_above = 1;
    return s;
}

// A year in which sun, loads and water change from hour to hour.
sim::HourlyInputs random_year(std::mt19937_64& random, double sun_w) {
    std::uniform_real_distribution<double> share(0, 1);
    auto in = test::steady_inputs(0, 0, 0, 2e-4);
    double const load_w = 20 + 80 * share(random), demand_m3 = 0.01 + 0.05 * share(random);
    for (std::size_t h = 0; h < in.load_w.size(); ++h) {
        double const noon = std::max(0.0, std::sin((static_cast<double>(h % 24) - 6) / 12 * 3.14159265));
        in.array_power_w[h] = sun_w * noon * share(random);
        in.load_w[h] = load_w * (0.5 + share(random));
        in.demand_m3[h] = share(random) < 0.6 ? 2 * demand_m3 * share(random) : 0;
    }
    return in;
}

}  // namespace

TEST_SUITE_BEGIN("sim/cloudy_period_run");

// Days of autonomy by hand: usable energy over daily energy. Usable = capacity (1 - minimum SOC) x 0.9 out of
// the battery; daily = 24 h x load / 0.9 through the inverter (see plain_system.hpp). Figures recomputed.
TEST_CASE("with no sun and a constant load the power lasts the pencil's days of autonomy") {
    struct Row {
        double capacity_kwh, min_soc, load_w, level;
    };
    for (auto const& r :
         {Row{10, 0.2, 100, 1}, Row{10, 0.5, 80, 1}, Row{4.8, 0.1, 33, 1}, Row{20, 0.2, 150, 0.7}}) {
        CAPTURE(r.capacity_kwh);
        auto system = full_battery(r.capacity_kwh, r.min_soc);
        system.start_soc = r.level;
        auto const dark = test::steady_inputs(0, r.load_w, 0, 0);
        auto const outcome =
            test::run_cloudy_periods(system, cloudy_period_of(dark, dark, 60), {0, 100, 364});
        double const usable_kwh = r.capacity_kwh * (r.level - r.min_soc) * 0.9;
        double const daily_kwh = 24 * r.load_w * 1e-3 / 0.9;
        for (CloudyPeriodStart const& s : outcome.starts) {
            CHECK(s.power_lost_h / 24 == Near{usable_kwh / daily_kwh, 1e-6, 0});
            CHECK(std::isinf(s.first_shortage_h));  // no water demand
            CHECK(std::isinf(s.full_again_h));
        }
    }
}

TEST_CASE(
    "put together day by day, a cloudy period is what with_cloudy_period and make_inputs give, hour for "
    "hour") {
    for (std::string const name : {"saltbush-livestock", "juniper-bend-household"}) {
        auto const scenario = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/" + name + ".toml");
        auto const year = scenarios::read_scenario_weather(scenario);
        auto const inputs =
            sim::make_cloudy_period_inputs(scenario, year, {sim::CloudyPeriodKind::clearness, {0.17}, 168});
        for (int const first_day : {0, 172, 361}) {
            CAPTURE(first_day);
            auto const put_together = sim::with_cloudy_period_on(inputs, first_day);
            auto const whole = sim::make_inputs(
                scenario,
                weather::with_cloudy_period(year, weather::sun_over_year(year.site),
                                            {.first_day = first_day, .days = 7, .clearness = 0.17}));
            CHECK(put_together->array_power_w == whole->array_power_w);
            CHECK(put_together->load_w == whole->load_w);
            CHECK(put_together->ambient_c == whole->ambient_c);
            CHECK(put_together->array_power_w != inputs.own.array_power_w);
            CHECK(put_together->draws == inputs.own.draws);
            for (std::size_t h = 0; h < 8760; ++h)
                if (!(put_together->demand_m3[h] == Near{whole->demand_m3[h], 1e-12, 0}))
                    FAIL(h, ": ", put_together->demand_m3[h], " m3");
        }
    }
}

TEST_CASE("days of the clearness that a share of a clear sky gives have that share again") {
    auto const scenario = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    auto const year = scenarios::read_scenario_weather(scenario);
    auto const sun = weather::sun_over_year(year.site);
    auto dim = year;
    dim.ghi_w_m2 = weather::clear_sky_ghi_w_m2(sun, 3);
    for (double& ghi : dim.ghi_w_m2) ghi *= 0.15;
    for (int const first_day : {0, 172, 362})
        CHECK(sim::clear_sky_share_of(sim::clearness_of_days(dim, sun, first_day, 7), sun, first_day) ==
              Near{0.15, 0, 1e-12});
    CHECK(sim::clear_sky_share_of({0, 0}, sun, 10) == 0);
}

TEST_CASE(
    "the cloudiest run of the year and a share of the clear sky are cloudy periods of their own clearness") {
    auto const scenario = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    auto const year = scenarios::read_scenario_weather(scenario);
    auto const worst =
        sim::make_cloudy_period_inputs(scenario, year, {sim::CloudyPeriodKind::worst_of_file, {}, 120});
    REQUIRE(worst.worst_first_day.has_value());
    CHECK(worst.cloudy.size() == 5);
    // A period put back to where it was taken from gives the same results, except for the hours inside each
    // day.
    auto const energy_kwh = [&](sim::HourlyInputs const& in) {
        double sum = 0;
        for (int h = 24 * *worst.worst_first_day, end = h + 120; h < end; ++h)
            sum += in.array_power_w[static_cast<std::size_t>(h % 8760)] * 1e-3;
        return sum;
    };
    double const own = energy_kwh(worst.own),
                 moved = energy_kwh(sim::with_cloudy_period_on(worst, *worst.worst_first_day));
    CHECK(moved > 0.8 * own);
    CHECK(moved < 1.2 * own);

    auto const share =
        sim::make_cloudy_period_inputs(scenario, year, {sim::CloudyPeriodKind::clear_sky_share, {0.2}, 120});
    auto const half =
        sim::make_cloudy_period_inputs(scenario, year, {sim::CloudyPeriodKind::clear_sky_share, {0.1}, 120});
    for (std::size_t h = 12; h < 8760; h += 240) {
        CHECK(share.cloudy[0].array_power_w[h] > 1.8 * half.cloudy[0].array_power_w[h]);
        CHECK(share.cloudy[0].array_power_w[h] < 2.2 * half.cloudy[0].array_power_w[h]);
    }
}

TEST_CASE(
    "a longer cloudy period never keeps more start dates wet, and its first n days are the n-day cloudy "
    "period") {
    std::mt19937_64 random(20240611);
    int shrank = 0;
    for (int i = 0; i < 100; ++i) {
        CAPTURE(i);
        auto const system = full_battery(3 + 0.1 * i, 0.2);
        auto const own = random_year(random, 900), cloudy = random_year(random, 120);
        std::vector<int> const days{3 * i % 365, (3 * i + 90) % 365, (3 * i + 180) % 365};
        auto const ten = test::run_cloudy_periods(system, cloudy_period_of(own, cloudy, 10), days);
        for (std::size_t n = 1; n < ten.survival.size(); ++n) CHECK(ten.survival[n] <= ten.survival[n - 1]);
        shrank += ten.survival.front() > ten.survival.back() ? 1 : 0;
        int const shorter = 1 + i % 9;
        auto const alone = test::run_cloudy_periods(system, cloudy_period_of(own, cloudy, shorter), days);
        CHECK(alone.survival.back() == ten.survival[static_cast<std::size_t>(shorter) - 1]);
    }
    CHECK(shrank > 50);
}

// Restart only when full, which a cloudy period never reaches: no hysteresis comes between.
TEST_CASE("a larger battery never loses the power or the water sooner") {
    std::mt19937_64 random(77);
    int later = 0;
    for (int i = 0; i < 100; ++i) {
        CAPTURE(i);
        auto const own = random_year(random, 900), cloudy = random_year(random, 100);
        auto const in = cloudy_period_of(own, cloudy, 15);
        double const kwh = 2 + 0.05 * i;
        auto const small = test::run_cloudy_periods(full_battery(kwh, 0.2), in, {i}).starts[0];
        auto const large = test::run_cloudy_periods(full_battery(1.3 * kwh, 0.2), in, {i}).starts[0];
        CHECK(large.power_lost_h >= small.power_lost_h);
        CHECK(large.first_shortage_h >= small.first_shortage_h);
        later += large.power_lost_h > small.power_lost_h ? 1 : 0;
    }
    CHECK(later > 50);
}

TEST_CASE("what failed first is said: an empty battery, or taps that take more than the pump brings") {
    auto const dark = test::steady_inputs(0, 100, 0.02, 1e-4);
    auto const empty =
        test::run_cloudy_periods(full_battery(5, 0.2), cloudy_period_of(dark, dark, 5), {10}).starts[0];
    CHECK(empty.reason == sim::LimitReason::battery_empty);
    CHECK(std::isfinite(empty.power_lost_h));
    CHECK(empty.first_shortage_h >= std::floor(empty.power_lost_h));
    // The pump gives 0.6 L/s; 0.7 L/s are drawn all day.
    auto const thirsty = test::steady_inputs(2000, 10, 2.52, 7e-4);
    auto const flow =
        test::run_cloudy_periods(full_battery(50, 0.2), cloudy_period_of(thirsty, thirsty, 2), {10})
            .starts[0];
    CHECK(flow.reason == sim::LimitReason::pump_flow);
    CHECK(std::isinf(flow.power_lost_h));
}

// After the cloudy period 500 W of sun over 100 W of load (DC 100/0.9 W): into the battery at 0.9. By pencil,
// recomputed.
TEST_CASE("time to full again is the missing energy over what the sun spares, rounded up to the hour") {
    auto const dark = test::steady_inputs(0, 100, 0, 0), bright = test::steady_inputs(500, 100, 0, 0);
    auto const s =
        test::run_cloudy_periods(full_battery(10, 0), cloudy_period_of(bright, dark, 2), {50}).starts[0];
    double const dc_kw = 0.1 / 0.9, after_kwh = 10 - 48 * dc_kw / 0.9;
    CHECK(s.lowest_level == Near{after_kwh / 10, 1e-9, 0});
    CHECK(s.full_again_h == std::ceil((sim::full_level * 10 - after_kwh) / ((0.5 - dc_kw) * 0.9)));
    // At 110 W the load is never covered; the inverter stops at the minimum SOC and starts again half full.
    auto const poor = test::steady_inputs(110, 100, 0, 0);
    auto system = full_battery(10, 0);
    system.rules.restart_above = 0.5;
    CHECK(std::isinf(
        test::run_cloudy_periods(system, cloudy_period_of(poor, dark, 2), {50}).starts[0].full_again_h));
    // A battery that stayed full is full at once.
    CHECK(test::run_cloudy_periods(full_battery(10, 0), cloudy_period_of(bright, bright, 2), {50})
              .starts[0]
              .full_again_h == 0);
    // 115 W of sun spare 3.9 W: full again, but only after most of a year.
    auto const slow = test::steady_inputs(115, 100, 0, 0);
    auto const late =
        test::run_cloudy_periods(full_battery(10, 0), cloudy_period_of(slow, dark, 2), {50}).starts[0];
    CHECK(late.full_again_h == std::ceil((sim::full_level * 10 - after_kwh) / ((0.115 - dc_kw) * 0.9)));
    CHECK(late.full_again_h > 1080);
}

// Energy of the cloudy period by pencil, recomputed: 1200 W at 0.6 L/s are 5/9 kWh/m3; DC = AC/0.9; store =
// DC/0.9. The tank gives its 80 L once and the last fill may be spared: hence the tolerance.
TEST_CASE("the battery that would have held is the cloudy period's energy; a little less runs dry") {
    auto const dark = test::steady_inputs(0, 120, 0.05, 2e-4);
    auto const in = cloudy_period_of(dark, dark, 10);
    auto const system = full_battery(5, 0.2);
    auto const factor = test::least_battery_factor(system, in, {0, 200});
    REQUIRE(factor.has_value());
    double const need_kwh = 240 * (0.120 + 0.05 * 5 / 9) / 0.81 / 0.8;
    CHECK(5 * *factor == Near{need_kwh, 0, 0.02});
    auto const wet = [&](double f) {
        return test::run_cloudy_periods(sim::with_battery_factor(system, f), in, {0, 200}).survival.back() ==
               1;
    };
    CHECK(wet(*factor));
    CHECK(!wet(*factor / 1.01));
    // A battery that is more than enough: less would do.
    auto const less = test::least_battery_factor(sim::with_battery_factor(system, 30), in, {0, 200});
    REQUIRE(less.has_value());
    CHECK(150 * *less == Near{need_kwh, 0, 0.02});
    // With no sun at all no array helps.
    CHECK(!test::least_array_factor(system, in, {0, 200}).has_value());
}

// A steady 100 W of sun from 0.05 m3/h and 120 W: balance at (0.120 + 0.05 x 5/9)/0.9 kW; the battery gives
// the rest over ten days: 5 kWh x 0.8 x 0.9 / 240 h. By pencil, recomputed.
TEST_CASE("the array that would have held covers what the battery cannot") {
    auto const cloudy = test::steady_inputs(100, 120, 0.05, 2e-4);
    auto const in = cloudy_period_of(cloudy, cloudy, 10);
    auto const factor = test::least_array_factor(full_battery(5, 0.2), in, {30});
    REQUIRE(factor.has_value());
    double const need_kw = (0.120 + 0.05 * 5 / 9) / 0.9 - 5 * 0.8 * 0.9 / 240;
    CHECK(0.1 * *factor == Near{need_kw, 0, 0.03});
}

// Zero sun, 100 W: from full to the start level, then charged and emptied in turn. By pencil, recomputed.
TEST_CASE("hours of a bridging generator follow the cycle of charging and emptying") {
    auto system = full_battery(10, 0.2);
    system.charger = {1500, 0.9, 1};
    auto const dark = test::steady_inputs(0, 100, 0, 0);
    auto const b =
        sim::bridge_with_generator(system, cloudy_period_of(dark, dark, 60), {5}, test::own_levels(system));
    CHECK(!b.assumed_charger);
    CHECK(b.transfer_below == Near{0.28, 1e-12, 0});
    CHECK(b.charge_to == 0.8);
    double const fall_kw = 0.1 / 0.81, rise_kw = 1.5 * 0.9;
    double t_h = 7.2 / fall_kw, running_h = 0;
    while (t_h < 1440) {
        double const up_h = std::min(5.2 / rise_kw, 1440 - t_h);
        running_h += up_h;
        t_h += up_h + 5.2 / fall_kw;
    }
    CHECK(b.most_h == Near{running_h, 1e-6, 0});
    CHECK(b.outcome.survival.back() == 1);
    system.charger.dc_power_limit_w = 0;
    auto const assumed =
        sim::bridge_with_generator(system, cloudy_period_of(dark, dark, 10), {5}, test::own_levels(system));
    CHECK(assumed.assumed_charger);
    CHECK(assumed.charger_w == Near{2000, 1e-9, 0});
}

TEST_CASE(
    "the worst start date is dry first, then dry after it; then power lost, lowest level, way to full") {
    std::mt19937_64 random(7);
    auto const own = random_year(random, 600), cloudy = random_year(random, 60);
    auto const without_water = [](sim::HourlyInputs in) {
        in.demand_m3.assign(in.demand_m3.size(), 0);
        return in;
    };
    auto const steady = test::steady_inputs(0, 60, 0, 2e-4);
    struct Row {
        double capacity_kwh;
        sim::CloudyPeriodInputs period;
        std::size_t decided_by;
    };
    for (auto const& row :
         {Row{4, cloudy_period_of(own, cloudy, 3), 0},
          Row{2, cloudy_period_of(without_water(own), without_water(cloudy), 3), 2},
          Row{60, cloudy_period_of(own, cloudy, 3), 3}, Row{60, cloudy_period_of(own, steady, 3), 4}}) {
        CAPTURE(row.decided_by);
        auto const outcome = test::run_cloudy_periods(full_battery(row.capacity_kwh, 0.2), row.period,
                                                      {3, 40, 90, 200, 300, 360});
        auto const rank = [&](CloudyPeriodStart const& s) {
            return std::array{s.first_shortage_h, s.dry_after_h, s.power_lost_h, s.lowest_level,
                              -s.full_again_h};
        };
        auto const worst = rank(outcome.starts[outcome.worst]);
        auto best = worst;
        for (CloudyPeriodStart const& s : outcome.starts) {
            CHECK(worst <= rank(s));
            best = std::max(best, rank(s));
        }
        auto const first = std::mismatch(worst.begin(), worst.end(), best.begin()).first - worst.begin();
        CHECK(static_cast<std::size_t>(first) == row.decided_by);
    }
}

TEST_CASE("without backup nothing but sun and battery is left") {
    auto const scenario = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml");
    auto const year = scenarios::read_scenario_weather(scenario);
    auto const in =
        sim::make_cloudy_period_inputs(scenario, year, {sim::CloudyPeriodKind::clearness, {0.1}, 240});
    auto system = sim::make_system(scenario);
    system.start_soc = 1;
    auto const with = test::run_cloudy_periods(system, in, {340}),
               without = test::run_cloudy_periods(sim::without_backup(system), in, {340});
    CHECK(with.survival.back() == 1);
    CHECK(with.starts[0].generator_h > 0);
    CHECK(without.survival.back() == 0);
    CHECK(without.starts[0].generator_h == 0);
}

TEST_CASE("clearness by clearness, from none to half: more light never takes the water sooner") {
    auto const scenario = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    auto const year = scenarios::read_scenario_weather(scenario);
    auto const system = sim::without_backup(sim::make_system(scenario));
    std::vector<sim::StoreLevels> const levels(8760, sim::levels_at_share(system, 0.6));
    std::vector<int> const days{0, 90, 340};
    auto const rows = sim::cloudy_periods_by_clearness(system, scenario, year, {.hours = 168}, days, levels);
    REQUIRE(rows.size() == 11);
    for (std::size_t i = 0; i < rows.size(); ++i) {
        CHECK(rows[i].clearness == Near{0.05 * static_cast<double>(i), 0, 1e-12});
        if (i == 0) continue;
        CHECK(rows[i].wet >= rows[i - 1].wet);
        CHECK(rows[i].worst_until_shortage_h >= rows[i - 1].worst_until_shortage_h);
    }
    // Without sun the row is that of the darkest days.
    auto const dark =
        sim::make_cloudy_period_inputs(scenario, year, {sim::CloudyPeriodKind::clearness, {0}, 168});
    auto const outcome = sim::run_cloudy_periods(system, dark, days, levels);
    CHECK(rows[0].wet == outcome.survival.back());
    CHECK(rows[0].worst_until_shortage_h == outcome.starts[outcome.worst].first_shortage_h);
    CHECK(rows[0].wet < rows[10].wet);
}

TEST_CASE("impossible cloudy periods are refused in words") {
    auto const scenario = scenarios::read_scenario(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
    auto const year = scenarios::read_scenario_weather(scenario);
    for (sim::CloudyPeriodWeather const& w :
         {sim::CloudyPeriodWeather{sim::CloudyPeriodKind::clearness, {0.9}, 120},
          sim::CloudyPeriodWeather{sim::CloudyPeriodKind::clearness, {0.1}, 0},
          sim::CloudyPeriodWeather{sim::CloudyPeriodKind::clear_sky_share, {1.1}, 120}})
        CHECK_THROWS_AS(sim::make_cloudy_period_inputs(scenario, year, w), std::invalid_argument);
    auto const dark = test::steady_inputs(0, 100, 0, 0);
    CHECK_THROWS_AS(test::run_cloudy_periods(full_battery(5, 0.2), cloudy_period_of(dark, dark, 5), {}),
                    std::invalid_argument);
    CHECK_THROWS_AS(test::run_cloudy_periods(full_battery(5, 0.2), cloudy_period_of(dark, dark, 5), {365}),
                    std::invalid_argument);
}

// 1 m3 cannot be drawn: twice the usable water is 1 + 2 x 9 m3.
TEST_CASE("a cistern of another size keeps what cannot be drawn, and all its levels grow above it") {
    auto s = test::plain_system();
    s.cistern.emplace();
    auto& c = s.cistern->cistern;
    c.capacity_m3 = 10, c.dead_m3 = 1, c.fill_start_m3 = 4, c.fill_stop_m3 = 9, c.fill_enough_m3 = 5;
    s.cistern->start_m3 = 7;
    auto const larger = *sim::with_cistern_factor(s, 2).cistern;
    CHECK(larger.cistern.capacity_m3 == Near{19, 1e-12, 0});
    CHECK(larger.cistern.fill_start_m3 == Near{7, 1e-12, 0});
    CHECK(larger.cistern.fill_stop_m3 == Near{17, 1e-12, 0});
    CHECK(larger.cistern.fill_enough_m3 == Near{9, 1e-12, 0});
    CHECK(larger.start_m3 == Near{13, 1e-12, 0});
    CHECK(larger.cistern.dead_m3 == 1);
}

TEST_SUITE_END();
