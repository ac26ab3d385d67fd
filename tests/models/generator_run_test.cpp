#include "models/generator/generator_run.hpp"

#include <doctest/doctest.h>

#include "models/battery/energy_bucket.hpp"
#include "models/numeric/parameter_error.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using namespace holdwater::models;
using test::Near;

namespace {

GeneratorRunParameters quiet_23_to_6() {
    GeneratorRunParameters p;
    p.quiet_from_h = 23;
    p.quiet_to_h = 6;
    return p;
}

}  // namespace

TEST_SUITE_BEGIN("models/generator_run");

TEST_CASE("quiet hours across midnight, within a day, and none") {
    auto const night = quiet_23_to_6();
    CHECK(is_quiet(night, 23));
    CHECK(is_quiet(night, 24 * 5 + 0.5));
    CHECK(is_quiet(night, 24 * 5 + 5.99));
    CHECK(!is_quiet(night, 24 * 5 + 6));
    CHECK(!is_quiet(night, 22.99));
    CHECK(next_allowed_h(night, 23.5) == 30);
    CHECK(next_allowed_h(night, 24 * 5 + 2) == 24 * 5 + 6);
    CHECK(next_allowed_h(night, 12) == 12);
    CHECK(next_quiet_h(night, 12) == 23);
    CHECK(next_quiet_h(night, 23.5) == 23.5);
    CHECK(next_quiet_h(night, 6) == 23);
    CHECK(next_clock_h(30, 6) == 30);
    CHECK(next_clock_h(30.01, 6) == 54);
    GeneratorRunParameters noon;
    noon.quiet_from_h = 12;
    noon.quiet_to_h = 14;
    CHECK(is_quiet(noon, 13));
    CHECK(!is_quiet(noon, 14));
    CHECK(next_quiet_h(noon, 15) == 36);
    GeneratorRunParameters const none;
    CHECK(!is_quiet(none, 3));
    CHECK(std::isinf(next_quiet_h(none, 3)));
}

TEST_CASE("the time of topping up ends when quiet hours begin") {
    auto p = quiet_23_to_6();
    CHECK(!is_top_up_time(p, 22));
    CHECK(std::isinf(next_top_up_change_h(p, 22)));
    p.top_up_within_h = 3;
    CHECK_NOTHROW(validate(p));
    CHECK(top_up_from_h(p) == 20);
    CHECK(!is_top_up_time(p, 19.99));
    CHECK(is_top_up_time(p, 20));
    CHECK(is_top_up_time(p, 24 * 7 + 22.99));
    CHECK(!is_top_up_time(p, 23));
    CHECK(next_top_up_change_h(p, 6) == 20);
    CHECK(next_top_up_change_h(p, 20) == 23);
    CHECK(next_top_up_change_h(p, 23) == 44);
    // Across midnight.
    p.quiet_from_h = 1;
    CHECK(top_up_from_h(p) == 22);
    CHECK(is_top_up_time(p, 23));
    CHECK(is_top_up_time(p, 24.5));
    CHECK(!is_top_up_time(p, 25));
    CHECK(next_top_up_change_h(p, 23) == 25);
    CHECK(next_top_up_change_h(p, 25) == 46);
}

// Story of quiet hours: quiet from 23 to 06, call at 30 %, battery at 31 % at 23:30, and 12 % used by 06:00.
// The start is delayed to 06:00, at 19 %; with a cutout of 20 % the pump loses power shortly before.
TEST_CASE("a start wanted in quiet hours waits and the battery sinks") {
    auto const p = quiet_23_to_6();
    EnergyBucketParameters const battery{10, 1, 1, 0.2, 5, 5, 0};
    double const use_kw = 0.12 * 10 / 6.5;
    double const wanted_h = 23.5 + hours_until(battery, 3.1, use_kw, 3.0);
    CHECK(is_quiet(p, wanted_h));
    double const start_h = next_start_h(p, wanted_h, -1000, false);
    CHECK(start_h == 30);
    CHECK(after(battery, 3.1, use_kw, start_h - 23.5).stored_kwh / 10 == Near{0.19, 1e-12, 0});
    double const lost_h = 23.5 + hours_until_limit(battery, 3.1, use_kw);
    CHECK(lost_h < 30);
    CHECK(lost_h > 29);
    CHECK(next_start_h(p, wanted_h, -1000, true) == wanted_h);  // in an emergency it may
}

TEST_CASE("rest between runs, and a start by hand") {
    GeneratorRunParameters p = quiet_23_to_6();
    p.min_rest_h = 0.5;
    CHECK(next_start_h(p, 10, 9.8, false) == Near{10.3, 1e-12, 0});
    p.started_by_hand = true;
    p.hand_response_h = 2;
    CHECK(next_start_h(p, 10, -1000, false) == 12);
    CHECK(next_start_h(p, 22, -1000, false) == 30);  // answered at midnight: quiet
    CHECK(next_start_h(p, 22, -1000, true) == 24);
    p.attended_from_h = 8;
    p.attended_to_h = 18;
    CHECK(next_start_h(p, 3, -1000, true) == 10);
    CHECK(next_start_h(p, 17.5, -1000, false) == 19.5);
    CHECK(next_start_h(p, 18, -1000, false) == 34);
}

TEST_CASE("a run goes through its phases and keeps its least time") {
    GeneratorRunParameters p;
    p.warm_up_h = 0.02;
    p.cool_down_h = 0.05;
    p.min_run_h = 0.5;
    CHECK_NOTHROW(validate(p));
    GeneratorState s = begin_start(p, {}, 100, 1);
    CHECK(s.phase == GeneratorPhase::cranking);
    CHECK(s.next_h == Near{100 + 10.0 / 3600, 1e-12, 0});
    CHECK(!burns_fuel(s));
    s = next_phase(p, s);
    CHECK(s.phase == GeneratorPhase::warming);
    CHECK(burns_fuel(s));
    CHECK(!carries_load(s));
    CHECK(s.starts == 1);
    double const running_h = s.running_since_h;
    CHECK(earliest_stop_h(p, running_h) == Near{running_h + 0.5, 1e-12, 0});
    s = next_phase(p, s);
    CHECK(carries_load(s));
    CHECK(std::isinf(s.next_h));
    CHECK(begin_start(p, s, 101, 2).phase == GeneratorPhase::loaded);
    s = begin_stop(p, s, 102);
    CHECK(s.phase == GeneratorPhase::cooling);
    CHECK(burns_fuel(s));
    s = next_phase(p, s);
    CHECK(s.phase == GeneratorPhase::off);
    CHECK(s.stopped_h == Near{102.05, 1e-12, 0});
}

TEST_CASE("a set that never starts fails after its tries and stays so until reset") {
    GeneratorRunParameters p;
    p.start_failure = 1;
    GeneratorState s = begin_start(p, {}, 0, 1);
    CHECK(s.next_h == Near{50.0 / 3600, 1e-15, 0});  // three cranks of 10 s, two pauses
    s = next_phase(p, s);
    CHECK(s.phase == GeneratorPhase::failed);
    CHECK(s.failed_starts == 1);
    CHECK(begin_start(p, s, 1, 2).phase == GeneratorPhase::failed);
    CHECK(reset(s, 5).phase == GeneratorPhase::off);
    CHECK(run_dry(next_phase({}, begin_start({}, {}, 0, 1)), 3).phase == GeneratorPhase::failed);
}

// Binomial law: with a chance f that a crank fails, an attempt of three fails with f^3. 200 000 attempts,
// standard deviation of the share sqrt(q (1 - q) / n) = 7.3e-4 at f = 0.5; four of those allowed.
TEST_CASE("failures come as often as they should, and the same seed gives the same attempt") {
    GeneratorRunParameters p;
    p.start_failure = 0.5;
    int failed = 0, first = 0;
    int const attempts = 200000;
    for (int i = 0; i < attempts; ++i) {
        auto const attempt = crank(p, stream_seed(42, 7, static_cast<std::uint64_t>(i)));
        failed += !attempt.started;
        first += attempt.started && attempt.tries == 1;
    }
    CHECK(failed / double(attempts) == Near{0.125, 3e-3, 0});
    CHECK(first / double(attempts) == Near{0.5, 4.5e-3, 0});
    CHECK(crank(p, 99).tries == crank(p, 99).tries);
    p.start_failure = 0;
    CHECK(crank(p, 99).tries == 1);
}

TEST_CASE("the tank lasts as long as the fuel line says") {
    GeneratorParameters g = GeneratorParameters{5000, 0.18, 0.40};
    CHECK(std::isinf(hours_of_fuel(g, 10, 3600)));
    g.fuel_tank_l = 20;
    CHECK(hours_of_fuel(g, 20, 3600) == Near{20 / 2.34, 0, 1e-12});
}

TEST_CASE("bad parameters are refused") {
    GeneratorRunParameters p;
    p.quiet_to_h = 24;
    CHECK_THROWS_WITH_AS(validate(p), "quiet_to_h = 24 (must be an hour of day, at least 0 and below 24)",
                         ParameterError);
    p = {};
    p.start_failure = 1.5;
    CHECK_THROWS_AS(validate(p), ParameterError);
    p = {};
    p.top_up_within_h = 1;
    CHECK_THROWS_WITH_AS(validate(p),
                         "top_up_within_h = 1 (needs quiet hours: it is the time before they begin)",
                         ParameterError);
    p = quiet_23_to_6();
    p.top_up_within_h = 17;
    CHECK_NOTHROW(validate(p));
    p.top_up_within_h = 17.5;
    CHECK_THROWS_WITH_AS(validate(p),
                         "top_up_within_h = 17.5 (must be at most the time from quiet_to to quiet_from)",
                         ParameterError);
    p = {};
    p.crank_tries = 0;
    CHECK_THROWS_AS(validate(p), ParameterError);
}

TEST_SUITE_END();
