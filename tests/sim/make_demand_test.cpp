#include "sim/inputs/make_demand.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdint>
#include <memory>

#include "tests/support/near.hpp"

using namespace holdwater;
using test::Near;

namespace {

constexpr double gallon_m3 = 3.785411784e-3;

// 10 degC in the first half of the year, 20 in the second.
weather::WeatherYear two_seasons() {
    weather::WeatherYear year;
    year.temperature_c.assign(8760, 10);
    for (std::size_t h = 4380; h < 8760; ++h) year.temperature_c[h] = 20;
    return year;
}

scenarios::Scenario with(std::vector<models::WaterUse> uses) {
    scenarios::Scenario s;
    s.demand.from_trough.assign(uses.size(), false);
    s.demand.uses = std::move(uses);
    return s;
}

double sum(std::vector<double> const& values, std::size_t from, std::size_t to) {
    double total = 0;
    for (std::size_t i = from; i < to; ++i) total += values[i];
    return total;
}

// What the taps of an hour take when all of it comes.
double drawn_m3(sim::HourlyInputs const& in, std::size_t hour) {
    double volume = 0, from = 0;
    for (auto i = in.first_draw[hour]; i < in.first_draw[hour + 1]; ++i) {
        volume += in.draws[i].flow_m3_s * (in.draws[i].until_s - from);
        from = in.draws[i].until_s;
    }
    return volume;
}

}  // namespace

TEST_SUITE_BEGIN("sim/make_demand");

TEST_CASE("every day keeps its volume: household, animals by the day's temperature, leak, garden") {
    std::array<double, 12> garden{};
    garden[6] = 0.5;
    auto const s =
        with({models::household_use("house", 4, 75 * gallon_m3, 0.2e-3),
              models::livestock_use("cattle", 10, {{10, 0.04}, {20, 0.06}}, 0.3e-3),
              models::irrigation_use("garden", garden, 5, 7, 0.25e-3), models::leak_use("leak", 1e-6)});
    sim::HourlyInputs in;
    sim::add_demand(s, two_seasons(), in);
    REQUIRE(in.demand_m3.size() == 8760);
    double const fixed = 4 * 75 * gallon_m3 + 1e-6 * 86400;
    // 14 January, 10 degC; 20 July, 20 degC and garden.
    CHECK(sum(in.demand_m3, 13 * 24, 14 * 24) == Near{fixed + 0.4, 1e-12, 0});
    CHECK(sum(in.demand_m3, 200 * 24, 201 * 24) == Near{fixed + 0.6 + 0.5, 1e-12, 0});
    CHECK(in.uses[2].wanted_m3[200 * 24 + 5] == Near{0.25, 1e-12, 0});
    CHECK(in.uses[2].wanted_m3[200 * 24 + 7] == 0);
    for (std::size_t const h : {std::size_t{13 * 24 + 7}, std::size_t{200 * 24 + 5}})
        CHECK(drawn_m3(in, h) == Near{in.demand_m3[h], 1e-12, 0});
}

TEST_CASE("taps open together and shut one after the other") {
    models::WaterUse a, b;
    a.name = "a", a.daily_m3 = 24 * 0.36, a.tap_flow_m3_s = 0.2e-3;  // half of every hour
    b.name = "b", b.daily_m3 = 24 * 0.09, b.tap_flow_m3_s = 0.1e-3;  // a quarter
    sim::HourlyInputs in;
    sim::add_demand(with({a, b}), two_seasons(), in);
    REQUIRE(in.first_draw[1] == 2);
    CHECK(in.draws[0].until_s == Near{900, 1e-9, 0});
    CHECK(in.draws[0].flow_m3_s == Near{0.3e-3, 1e-15, 0});
    CHECK(in.draws[1].until_s == Near{1800, 1e-9, 0});
    CHECK(in.draws[1].flow_m3_s == Near{0.2e-3, 1e-15, 0});
}

TEST_CASE("day-to-day variation keeps the year, follows the seed and leaves the profile alone") {
    auto use = models::household_use("house", 3, 75 * gallon_m3, 0.2e-3);
    use.day_variation = 0.3;
    auto s = with({use});
    sim::HourlyInputs one, same, other;
    s.demand.seed = 1;
    sim::add_demand(s, two_seasons(), one);
    sim::add_demand(s, two_seasons(), same);
    s.demand.seed = 2;
    sim::add_demand(s, two_seasons(), other);
    CHECK(one.demand_m3 == same.demand_m3);
    CHECK(one.demand_m3 != other.demand_m3);
    CHECK(sum(one.demand_m3, 0, 8760) == Near{365 * 225 * gallon_m3, 1e-9, 0});
    double squares = 0;
    for (std::size_t d = 0; d < 365; ++d)
        squares += std::pow(sum(one.demand_m3, 24 * d, 24 * d + 24) / (225 * gallon_m3) - 1, 2);
    // Coefficient of variation 0.3 from 365 draws; a lognormal's sample value scatters by about a tenth of
    // it.
    CHECK(std::sqrt(squares / 365) == Near{0.3, 0.05, 0});
}

// 2023 begins on a Sunday: 1 and 7 January are of a weekend, 2 January a Monday.
TEST_CASE("a single demand too has weekends, months and seeded days; without them every day is the same") {
    scenarios::Scenario s;
    s.demand.daily_m3 = 1;
    s.demand.tap_flow_m3_s = 0.2e-3;
    sim::HourlyInputs plain;
    sim::add_demand(s, two_seasons(), plain);
    for (std::size_t h = 24; h < 8760; ++h) REQUIRE(plain.demand_m3[h] == plain.demand_m3[h % 24]);
    models::WaterUse use;
    use.daily_m3 = 1;
    use.tap_flow_m3_s = 0.2e-3;
    use.weekday = models::household_profile;
    use.weekend = models::household_weekend_profile;
    use.weekend_factor = 1.5;
    use.month_factor[6] = 2;
    s.demand.varying = use;
    sim::HourlyInputs in;
    sim::add_demand(s, two_seasons(), in);
    CHECK(in.first_draw.empty());
    CHECK(in.tap_flow_m3_s[5000] == 0.2e-3);
    CHECK(sum(in.demand_m3, 0, 24) == Near{1.5, 1e-12, 0});
    CHECK(sum(in.demand_m3, 24, 48) == Near{1, 1e-12, 0});
    CHECK(sum(in.demand_m3, 6 * 24, 7 * 24) == Near{1.5, 1e-12, 0});
    CHECK(in.demand_m3[7] == Near{1.5 * models::household_weekend_profile[7], 1e-12, 0});
    CHECK(in.demand_m3[24 + 7] == Near{models::household_profile[7], 1e-12, 0});
    CHECK(sum(in.demand_m3, 183 * 24, 184 * 24) == Near{2, 1e-12, 0});  // Monday, 3 July
    s.demand.varying->day_variation = 0.3;
    sim::HourlyInputs one, other;
    sim::add_demand(s, two_seasons(), one);
    s.demand.seed = 2;
    sim::add_demand(s, two_seasons(), other);
    CHECK(one.demand_m3 != other.demand_m3);
    for (auto const* varied : {&one, &other})
        CHECK(sum(varied->demand_m3, 0, 8760) == Near{sum(in.demand_m3, 0, 8760), 1e-9, 0});
}

TEST_CASE("what animals drink from a trough is no draw of the hour") {
    auto s = with({models::household_use("house", 2, 75 * gallon_m3, 0.2e-3),
                   models::livestock_use("cattle", 10, {{10, 0.04}}, 0.3e-3)});
    s.trough = models::TroughParameters{1, 0.9, 0.1e-3};
    s.demand.from_trough[1] = true;
    sim::HourlyInputs in;
    sim::add_demand(s, two_seasons(), in);
    CHECK(sum(in.trough_m3, 0, 24) == Near{0.4, 1e-12, 0});
    CHECK(sum(in.demand_m3, 0, 24) == Near{0.4 + 150 * gallon_m3, 1e-12, 0});
    for (std::size_t h = 0; h < 24; ++h)
        CHECK(drawn_m3(in, h) + in.trough_m3[h] == Near{in.demand_m3[h], 1e-12, 0});
}

// A meter's hours: 30 gal at 7:00, 10 gal at 8:00 and 45 gal at 19:00, every fourth day nothing; 85 gal a
// day.
TEST_CASE("measured use drawn as events keeps each day's volume, in the hours that were measured") {
    auto series = std::make_shared<scenarios::DemandSeries>();
    series->hourly_m3.assign(8760, 0);
    for (std::size_t day = 0; day < 365; ++day) {
        if (day % 4 == 3) continue;
        series->hourly_m3[24 * day + 7] = 30 * gallon_m3;
        series->hourly_m3[24 * day + 8] = 10 * gallon_m3;
        series->hourly_m3[24 * day + 19] = 45 * gallon_m3;
    }
    scenarios::Scenario s;
    s.demand.series = series;
    s.demand.tap_flow_m3_s = 0.2e-3;
    s.demand.series_fixtures = models::household_fixtures();
    sim::HourlyInputs in;
    sim::add_demand(s, two_seasons(), in);
    REQUIRE(in.demand_m3.size() == 8760);
    std::size_t events = 0;
    double morning_m3 = 0;
    for (std::size_t day = 0; day < 365; ++day) {
        CAPTURE(day);
        CHECK(sum(in.demand_m3, 24 * day, 24 * day + 24) == Near{day % 4 == 3 ? 0 : 85 * gallon_m3, 1e-9, 0});
        morning_m3 += sum(in.demand_m3, 24 * day + 7, 24 * day + 12);
        events += in.first_draw[24 * day + 24] - in.first_draw[24 * day];
        // The longest use of these fixtures, a shower or a fill, ends within the next hours.
        for (std::size_t h : {0, 1, 2, 3, 4, 5, 6, 12, 13, 14, 15, 16, 17, 18})
            CHECK(in.demand_m3[24 * day + h] == 0);
    }
    CHECK(events > 365 * 10);
    // 40 of 85 gal are measured in the morning; some ten large uses a day make that uncertain by 2 %.
    CHECK(morning_m3 == Near{274 * 40 * gallon_m3, 0, 0.06});
    for (std::size_t const h : {std::size_t{7}, std::size_t{19}, std::size_t{100 * 24 + 8}})
        CHECK(drawn_m3(in, h) == Near{in.demand_m3[h], 1e-12, 0});
    // The same events beside other uses, and others by another seed.
    scenarios::Scenario with_leak = s;
    with_leak.demand.uses = {models::leak_use("leak", 1e-6)};
    with_leak.demand.from_trough = {false};
    sim::HourlyInputs leaking, other;
    sim::add_demand(with_leak, two_seasons(), leaking);
    REQUIRE(leaking.uses.size() == 2);
    CHECK(leaking.uses[1].wanted_m3 == in.demand_m3);
    CHECK(sum(leaking.demand_m3, 0, 24) == Near{85 * gallon_m3 + 0.0864, 1e-9, 0});
    s.demand.seed = 2;
    sim::add_demand(s, two_seasons(), other);
    CHECK(other.demand_m3 != in.demand_m3);
}

TEST_SUITE_END();
