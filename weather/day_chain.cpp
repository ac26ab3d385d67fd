#include "weather/day_chain.hpp"

#include <cmath>

#include "models/numeric/random_stream.hpp"
#include "weather/random.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

namespace {

constexpr std::array<std::uint8_t, 365> months_of_days() {
    std::array<std::uint8_t, 365> months{};
    for (std::size_t m = 0; m < 12; ++m)
        for (int day = month_start_hour[m] / 24; day < month_start_hour[m + 1] / 24; ++day)
            months[static_cast<std::size_t>(day)] = static_cast<std::uint8_t>(m);
    return months;
}

constexpr std::uint64_t day_stream = 1;

}  // namespace

std::array<std::uint8_t, 365> const month_of_day = months_of_days();

DayDeviates day_deviates(DayChain const& c, std::uint64_t seed, int index) {
    std::array<double, 12> new_share{};
    for (std::size_t m = 0; m < 12; ++m) new_share[m] = std::sqrt(1 - c.day_to_day[m] * c.day_to_day[m]);
    double const q = std::exp(-1 / c.slow_days), slow_new = std::sqrt(1 - q * q);
    double const warm_new = std::sqrt(1 - c.temperature_memory * c.temperature_memory);
    double const fast = std::sqrt(1 - c.slow_share), slow = std::sqrt(c.slow_share);
    double a = 0, s = 0, t = 0;
    DayDeviates out;
    for (int year : {index - 1, index}) {
        // Of year -1 only the numbers are used; the cast wraps and is its own number.
        Random random(models::stream_seed(seed, day_stream, static_cast<std::uint64_t>(year)));
        for (std::size_t day = 0; day < 365; ++day) {
            std::size_t const m = month_of_day[day];
            a = c.day_to_day[m] * a + new_share[m] * random.normal();
            s = q * s + slow_new * random.normal();
            t = c.temperature_memory * t + warm_new * random.normal();
            out.clearness[day] = fast * a + slow * s;
            out.temperature[day] = t;
        }
    }
    return out;
}

}  // namespace holdwater::weather
