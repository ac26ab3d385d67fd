#include "models/water/draw_events.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "models/numeric/parameter_error.hpp"
#include "models/numeric/random_stream.hpp"
#include "models/numeric/trade_units.hpp"

namespace holdwater::models {
namespace {

// The random numbers of a day, one after the other.
class DayNumbers {
  public:
    explicit DayNumbers(std::uint64_t seed) : seed_(mix_bits(seed)) {}
    double uniform() { return unit_interval(mix_bits(seed_ + count_++)); }
    double lognormal(double mean, double spread) {
        double const u1 = uniform(), u2 = uniform();
        return spread == 0 ? mean : mean * lognormal_factor(u1, u2, spread);
    }
    // An index with a chance in proportion to its weight.
    template <class Weight>
    std::size_t index(std::size_t count, double sum, Weight const& weight) {
        double left = uniform() * sum;
        for (std::size_t i = 0; i + 1 < count; ++i)
            if ((left -= weight(i)) < 0) return i;
        std::size_t last = count - 1;
        while (last > 0 && !(weight(last) > 0)) --last;  // rounding never gives one without weight
        return last;
    }

  private:
    std::uint64_t seed_, count_ = 0;
};

double chance(Fixture const& f) { return f.share / f.volume_m3; }

}  // namespace

void validate(Fixture const& f) {
    require(f.share > 0 && f.share <= 1e6, "share", f.share, "must be > 0");
    require(f.volume_m3 >= 1e-5 && f.volume_m3 <= 10, "volume_m3", f.volume_m3, "must be 1e-5..10 m3");
    require(f.flow_m3_s >= 1e-6 && f.flow_m3_s <= 0.01, "flow_m3_s", f.flow_m3_s, "must be 1e-6..0.01 m3/s");
    require(f.volume_m3 / f.flow_m3_s <= 86400, "volume_m3", f.volume_m3,
            "must be drawn within a day at the flow");
    require(f.volume_spread >= 0 && f.volume_spread <= 3, "volume_spread", f.volume_spread, "must be 0..3");
    require(f.flow_spread >= 0 && f.flow_spread <= 3, "flow_spread", f.flow_spread, "must be 0..3");
    if (!f.day) return;
    double sum = 0;
    for (double const w : *f.day) {
        require(w >= 0 && std::isfinite(w), "day", w, "every hour's weight must be >= 0");
        sum += w;
    }
    require(sum > 0, "day", sum, "must not be all zero");
}

std::vector<Fixture> household_fixtures() {
    constexpr double gal = m3_per_gal, gpm = m3_s_per_gpm;
    return {{"faucet", 26.3, 0.5 * gal, 1.0, 1.0 * gpm, 0.5, {}},
            {"toilet", 33.1, 2.6 * gal, 0.4, 2.8 * gpm, 0.3, {}},
            {"shower", 28.1, 15.8 * gal, 0.5, 2.1 * gpm, 0.25, {}},
            {"clothes washer", 22.7, 15.5 * gal, 0.3, 3.0 * gpm, 0.2, {}},
            {"bath", 3.6, 20.2 * gal, 0.3, 4.0 * gpm, 0.2, {}},
            {"dishwasher", 1.6, 1.5 * gal, 0.2, 1.5 * gpm, 0.2, {}}};
}

double events_per_day(std::span<Fixture const> fixtures, double daily_m3) {
    double shares = 0, per_share = 0;
    for (Fixture const& f : fixtures) shares += f.share, per_share += chance(f);
    return shares > 0 ? daily_m3 * per_share / shares : 0;
}

std::vector<DrawEvent> draw_events(std::span<Fixture const> fixtures, std::array<double, 24> const& hourly_m3,
                                   std::uint64_t seed) {
    std::vector<DrawEvent> events;
    double const day_m3 = std::accumulate(hourly_m3.begin(), hourly_m3.end(), 0.0);
    double chances = 0;
    for (Fixture const& f : fixtures) chances += chance(f);
    DayNumbers numbers(seed);
    for (double left_m3 = day_m3; left_m3 > 0;) {
        Fixture const& f = fixtures[numbers.index(fixtures.size(), chances,
                                                  [&](std::size_t i) { return chance(fixtures[i]); })];
        auto const& hours = f.day ? *f.day : hourly_m3;
        auto const hour = numbers.index(24, std::accumulate(hours.begin(), hours.end(), 0.0),
                                        [&](std::size_t h) { return hours[h]; });
        double const start_s = 3600 * (static_cast<double>(hour) + numbers.uniform());
        double const volume_m3 = std::min(numbers.lognormal(f.volume_m3, f.volume_spread), left_m3);
        double const steps = numbers.lognormal(f.flow_m3_s, f.flow_spread) / event_flow_step_m3_s;
        double const flow_m3_s = event_flow_step_m3_s * std::max(std::round(steps), 1.0);
        events.push_back({start_s, volume_m3 / flow_m3_s, flow_m3_s});
        left_m3 = volume_m3 < left_m3 ? left_m3 - volume_m3 : 0;
    }
    return events;
}

}  // namespace holdwater::models
