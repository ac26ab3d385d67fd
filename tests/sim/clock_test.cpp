#include "sim/base/clock.hpp"

#include <doctest/doctest.h>

using namespace holdwater;

TEST_SUITE_BEGIN("sim/clock");

// 2:40 is 2.6666... h: before, it was printed as 02:39, and a shortage up to the end of the year as one that
// ends on its first day.
TEST_CASE("hours of the year are said to the minute, and the end of the year as its end") {
    CHECK(sim::stamp_of_hour(0) == "01-01 00:00");
    for (int minute = 0; minute < 60; ++minute) {
        CAPTURE(minute);
        auto const text = sim::stamp_of_hour(24 * 13 + 2 + minute / 60.0);
        CHECK(text == "01-14 02:" + std::string(minute < 10 ? "0" : "") + std::to_string(minute));
    }
    CHECK(sim::stamp_of_hour(24 * 14 - 0.001) == "01-15 00:00");
    CHECK(sim::stamp_of_hour(8759) == "12-31 23:00");
    CHECK(sim::stamp_of_hour(8760) == "01-01 00:00");
}

TEST_SUITE_END();
