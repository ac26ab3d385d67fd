#include "models/water/draw_events.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <map>
#include <numeric>
#include <string>
#include <vector>

#include "models/numeric/parameter_error.hpp"
#include "models/numeric/trade_units.hpp"
#include "models/water/demand.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using models::Fixture, models::draw_events, test::Near;

namespace {

double volume_m3(std::vector<models::DrawEvent> const& events) {
    double sum = 0;
    for (auto const& e : events) sum += e.flow_m3_s * e.seconds;
    return sum;
}

auto const day_of_500_l = models::hourly_volumes_m3(models::household_profile, 0.5);

}  // namespace

TEST_SUITE_BEGIN("models/draw_events");

TEST_CASE("every day keeps its volume; flows are whole steps, and the last use is the one that is trimmed") {
    auto const fixtures = models::household_fixtures();
    for (std::uint64_t seed = 0; seed < 200; ++seed) {
        auto const events = draw_events(fixtures, day_of_500_l, seed);
        CHECK(volume_m3(events) == Near{0.5, 1e-9, 0});
        for (auto const& e : events) {
            double const steps = e.flow_m3_s / models::event_flow_step_m3_s;
            CHECK(steps == std::round(steps));
            CHECK(steps >= 1);
            CHECK(e.start_s >= 0);
            CHECK(e.start_s < 86400);
        }
    }
    CHECK(draw_events(fixtures, {}, 1).empty());
    // Uses of 100 L, without spread: five, or five and a trimmed one.
    std::vector<Fixture> const tub{{"tub", 1, 0.15, 0, 0.2e-3, 0, {}}};
    auto const events = draw_events(tub, day_of_500_l, 7);
    REQUIRE(events.size() == 4);
    double const flow = 13 * models::event_flow_step_m3_s;  // the next step to 0.2 L/s
    for (std::size_t i = 0; i < 4; ++i) {
        CHECK(events[i].flow_m3_s == flow);
        CHECK(events[i].seconds == Near{(i < 3 ? 0.15 : 0.05) / flow, 1e-9, 0});
    }
}

TEST_CASE("the same seed gives the same uses, another one others") {
    auto const fixtures = models::household_fixtures();
    auto const a = draw_events(fixtures, day_of_500_l, 5), b = draw_events(fixtures, day_of_500_l, 5),
               c = draw_events(fixtures, day_of_500_l, 6);
    REQUIRE(a.size() == b.size());
    for (std::size_t i = 0; i < a.size(); ++i) CHECK(a[i].start_s == b[i].start_s);
    CHECK(a[0].start_s != c[0].start_s);
}

// Over 200 days of 5 m3 the share of each fixture, the volume of its uses and the hours are as given. The
// tolerance is four standard errors of the fixture with the fewest uses, about 3100 of them.
TEST_CASE("shares, volumes and hours of day over many days") {
    std::array<double, 24> evening{};
    evening[19] = 1, evening[20] = 3;
    std::vector<Fixture> const fixtures{{"faucet", 3, 0.002, 0.5, 0.1e-3, 0.5, {}},
                                        {"bath", 1, 0.08, 0.3, 0.25e-3, 0.2, evening}};
    double large_m3 = 0, all_m3 = 0, large = 0, small = 0, at_20 = 0, at_7 = 0;
    auto const large_day = models::hourly_volumes_m3(models::household_profile, 5);
    for (std::uint64_t day = 0; day < 200; ++day)
        for (auto const& e : draw_events(fixtures, large_day, day)) {
            double const v = e.flow_m3_s * e.seconds;
            all_m3 += v;
            // The two overlap nowhere: a faucet of more than 30 L is 6 standard deviations away.
            bool const bath = v > 0.03;
            auto const hour = static_cast<int>(e.start_s / 3600);
            if (bath) {
                large_m3 += v, ++large;
                at_20 += hour == 20 ? 1 : 0;
            } else {
                ++small;
                at_7 += hour == 7 ? 1 : 0;
            }
        }
    CHECK(all_m3 == Near{1000, 1e-6, 0});
    CHECK(at_20 / large == Near{0.75, 0.03, 0});
    CHECK(at_7 / small == Near{0.085, 0.003, 0});
    CHECK(large_m3 / large == Near{0.08, 0, 0.02});
    CHECK(large_m3 / all_m3 == Near{0.25, 0.02, 0});
    CHECK(small / 200 == Near{0.75 * 5 / 0.002, 0, 0.03});
    CHECK(models::events_per_day(fixtures, 0.5) == Near{0.75 * 0.5 / 0.002 + 0.25 * 0.5 / 0.08, 1e-9, 0});
}

// Residential End Uses of Water, Version 2 (2016), from memory: about 51 uses of a faucet, 13 of a toilet and
// 1.8 showers a day in a house of 138 gal; here without its leaks and other uses, 115.4 gal.
TEST_CASE("a house of the end-use study has its uses a day") {
    double const day_m3 = 115.4 * models::m3_per_gal;
    for (auto const& [name, uses] :
         std::map<std::string, double>{{"faucet", 52.6}, {"toilet", 12.7}, {"shower", 1.78}}) {
        CAPTURE(name);
        for (auto const& f : models::household_fixtures())
            if (f.name == name) CHECK(f.share / 115.4 * day_m3 / f.volume_m3 == Near{uses, 0, 0.01});
    }
}

TEST_CASE("what cannot be is refused with its field") {
    auto const error_of = [](Fixture const& f) -> std::string {
        try {
            models::validate(f);
        } catch (models::ParameterError const& error) {
            return error.what();
        }
        return "";
    };
    Fixture const good{"a", 1, 0.01, 0, 1e-4, 0, {}};
    auto const with = [&](auto const& change) {
        Fixture f = good;
        change(f);
        return error_of(f);
    };
    CHECK(error_of(good).empty());
    CHECK(with([](Fixture& f) { f.share = 0; }).find("share") == 0);
    CHECK(with([](Fixture& f) { f.volume_m3 = 0; }).find("volume_m3") == 0);
    CHECK(with([](Fixture& f) { f.flow_m3_s = 0; }).find("flow_m3_s") == 0);
    CHECK(with([](Fixture& f) { f.volume_m3 = 9, f.flow_m3_s = 1e-5; }).find("volume_m3") == 0);
    CHECK(with([](Fixture& f) { f.volume_spread = 4; }).find("volume_spread") == 0);
    CHECK(with([](Fixture& f) { f.flow_spread = -1; }).find("flow_spread") == 0);
    CHECK(with([](Fixture& f) { f.day.emplace(); }).find("day") == 0);
}

TEST_SUITE_END();
