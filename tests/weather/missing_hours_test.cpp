#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "tests/support/near.hpp"
#include "tests/weather/made_files.hpp"
#include "weather/random.hpp"
#include "weather/read_weather.hpp"
#include "weather/weather_error.hpp"
#include "weather/weather_maker.hpp"

using namespace holdwater::weather;
using namespace holdwater::test;

namespace {

std::string refusal(Lines const& lines, ReadOptions const& options = {}) {
    try {
        read_weather_text(join(lines), "f", options);
    } catch (WeatherError const& error) {
        return error.what();
    }
    return "no error";
}

/// A cloudy made year as a file.
Lines made_file() {
    MakeOptions options;
    options.place = "Missing Rows (invented)";
    options.site = {44, -114, 1100, -7.5};
    options.seed = 9;
    options.clearness.fill(0.5);
    options.temperature_c.fill(8);
    return tmy3_lines(make_weather(options));
}

bool says(WeatherYear const& year, std::string const& words) {
    return std::any_of(year.warnings.begin(), year.warnings.end(),
                       [&](auto const& w) { return w.find(words) != std::string::npos; });
}

}  // namespace

TEST_SUITE_BEGIN("weather/missing_hours");

TEST_CASE("a year with every second row missing is refused and says what to do") {
    auto lines = made_file();
    Lines half(lines.begin(), lines.begin() + 2);
    for (std::size_t i = 2; i < lines.size(); i += 2) half.push_back(lines[i]);
    auto const said = refusal(half);
    CHECK(said.find("of the year's 8760 hours, first at") != std::string::npos);
    CHECK(said.find("at most 438 (5 %) are filled. Is every second row missing") != std::string::npos);
    CHECK(said.find("long_gaps = \"fill\" in [weather]") != std::string::npos);
    auto const filled = read_weather_text(join(half), "f", {.allow_long_gaps = true});
    CHECK(says(filled, "irradiance of 2"));
    CHECK(says(filled, "temperature of 4380 hours (50.0 % of the year) was filled"));
}

// Measured: with 430 of 8760 rows (4.9 %) taken out at random, in ones and twos, the year's light moves by
// 0.1 % and a month's by about 1 %; the temperature of the year by a few thousandths of a kelvin.
TEST_CASE("what five per cent of missing hours cost, and that they are said") {
    auto const whole = read_weather_text(join(made_file()), "f");
    for (std::uint64_t seed : {1u, 2u, 3u}) {
        auto lines = made_file();
        Random random(seed);
        std::vector<char> gone(hours_per_year);
        for (int taken = 0; taken < 430;) {
            auto const i = 2 + static_cast<std::size_t>(random.uniform() * (hours_per_year - 5));
            bool const beside =
                std::any_of(gone.begin() + static_cast<long>(i) - 2, gone.begin() + static_cast<long>(i) + 4,
                            [](char g) { return g; });
            if (beside) continue;
            for (std::size_t k = 0; k < (taken % 3 == 0 ? 2U : 1U) && taken < 430; ++k)
                gone[i + k] = 1, ++taken;
        }
        Lines rest(lines.begin(), lines.begin() + 2);
        for (std::size_t i = 0; i < hours_per_year; ++i)
            if (!gone[i]) rest.push_back(lines[i + 2]);
        auto const year = read_weather_text(join(rest), "f");
        CHECK(says(year, "temperature of 4"));
        double sum = 0, whole_sum = 0, worst_month = 0, mean_c = 0;
        for (int m = 0; m < 12; ++m) {
            double month = 0, whole_month = 0;
            for (int h = month_start_hour[m]; h < month_start_hour[m + 1]; ++h) {
                month += year.ghi_w_m2[static_cast<std::size_t>(h)];
                whole_month += whole.ghi_w_m2[static_cast<std::size_t>(h)];
            }
            worst_month = std::max(worst_month, std::abs(month / whole_month - 1));
            sum += month, whole_sum += whole_month;
        }
        for (std::size_t i = 0; i < hours_per_year; ++i)
            mean_c += (year.temperature_c[i] - whole.temperature_c[i]) / hours_per_year;
        MESSAGE("year " << sum / whole_sum - 1 << ", worst month " << worst_month << ", " << mean_c << " K");
        CHECK(std::abs(sum / whole_sum - 1) < 0.005);
        CHECK(worst_month < 0.02);
        CHECK(std::abs(mean_c) < 0.05);
    }
}

TEST_CASE("a handful of missing hours is listed and nothing more is said") {
    auto lines = made_file();
    lines.erase(lines.begin() + 4000);
    lines.erase(lines.begin() + 2000);
    auto const year = read_weather_text(join(lines), "f");
    CHECK_FALSE(says(year, "was filled"));
    CHECK(std::count_if(year.repairs.begin(), year.repairs.end(),
                        [](Repair const& r) { return r.kind == "gap"; }) >= 2);
}

TEST_SUITE_END();
