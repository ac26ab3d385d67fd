#include "models/electric/grid.hpp"

#include <cmath>
#include <numbers>
#include <random>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

void validate(OutageList const& outages) {
    double previous_h = -std::numeric_limits<double>::infinity();
    for (auto const& [start_h, end_h] : outages) {
        require(end_h > start_h && std::isfinite(start_h), "outage end_h", end_h, "must be after its start");
        require(start_h > previous_h, "outage start_h", start_h,
                "must be after the end of the outage before");
        previous_h = end_h;
    }
}

void validate(OutageDrawParameters const& p) {
    require(p.interruptions_per_year >= 0 && std::isfinite(p.interruptions_per_year),
            "interruptions_per_year", p.interruptions_per_year, "must be >= 0");
    require(p.mean_duration_h > 0 && std::isfinite(p.mean_duration_h), "mean_duration_h", p.mean_duration_h,
            "must be above 0");
    require(p.log_sigma >= 0 && p.log_sigma <= 5, "log_sigma", p.log_sigma, "must be between 0 and 5");
    for (double const factor : p.month_factor)
        require(factor >= 0 && factor <= 12, "month_factor", factor, "must be between 0 and 12");
}

namespace {

std::size_t month_of(double time_h) {
    constexpr std::array<double, 12> month_end_h{744,  1416, 2160, 2880, 3624, 4344,
                                                 5088, 5832, 6552, 7296, 8016, 8760};
    double const of_year_h = time_h - 8760 * std::floor(time_h / 8760);
    auto const end = std::upper_bound(month_end_h.begin(), month_end_h.end() - 1, of_year_h);
    return static_cast<std::size_t>(end - month_end_h.begin());
}

}  // namespace

OutageList draw_outages(OutageDrawParameters const& p, std::uint64_t seed, double horizon_h) {
    validate(p);
    OutageList outages;
    auto const [lowest, highest] = std::minmax_element(p.month_factor.begin(), p.month_factor.end());
    if (p.interruptions_per_year == 0 || *highest == 0) return outages;
    bool const seasonal = *lowest != *highest;
    std::mt19937_64 engine(seed);
    auto const uniform = [&engine] { return unit_interval(engine()); };
    double const rate_per_h = p.interruptions_per_year * *highest / 8760;
    double const mu = std::log(p.mean_duration_h) - p.log_sigma * p.log_sigma / 2;
    for (double time_h = 0;;) {
        double const start_h = time_h - std::log(1 - uniform()) / rate_per_h;
        if (!(start_h < horizon_h)) return outages;
        if (seasonal && uniform() * *highest >= p.month_factor[month_of(start_h)]) {
            time_h = start_h;
            continue;
        }
        double const u1 = uniform(), u2 = uniform();
        double const z = std::sqrt(-2 * std::log(1 - u1)) * std::cos(2 * std::numbers::pi * u2);
        double const end_h = start_h + std::exp(mu + p.log_sigma * z);
        // An outage is joined to the one before it if the gap between them is below the rounding of the
        // clock. It is left out if its length is.
        if (end_h > start_h) {
            if (!outages.empty() && start_h <= outages.back().end_h)
                outages.back().end_h = end_h;
            else
                outages.push_back({start_h, end_h});
        }
        time_h = end_h;
    }
}

OutageList outages_by(OutageStatistics const& s, std::uint64_t seed, double horizon_h) {
    constexpr std::uint64_t major_stream = 51;
    auto ordinary = draw_outages(s.ordinary, seed, horizon_h);
    if (!s.major_events) return ordinary;
    return merge(ordinary, draw_outages(*s.major_events, stream_seed(seed, major_stream, 0), horizon_h));
}

OutageList merge(OutageList const& a, OutageList const& b) {
    OutageList all = a;
    all.insert(all.end(), b.begin(), b.end());
    std::sort(all.begin(), all.end(), [](Outage const& x, Outage const& y) { return x.start_h < y.start_h; });
    OutageList joined;
    for (auto const& outage : all) {
        if (!joined.empty() && outage.start_h <= joined.back().end_h)
            joined.back().end_h = std::max(joined.back().end_h, outage.end_h);
        else
            joined.push_back(outage);
    }
    return joined;
}

OutageList warnings_of(OutageList const& outages, double ahead_h, double least_h) {
    OutageList warnings;
    for (Outage const& o : outages) {
        if (!(ahead_h > 0) || o.end_h - o.start_h < least_h) continue;
        if (!warnings.empty() && o.start_h - ahead_h <= warnings.back().end_h)
            warnings.back().end_h = o.start_h;
        else
            warnings.push_back({o.start_h - ahead_h, o.start_h});
    }
    return warnings;
}

}  // namespace holdwater::models
