#include "sim/sweep/sobol_indices.hpp"

#include <algorithm>
#include <cmath>

#include "models/numeric/random_stream.hpp"
#include "sim/base/job_pool.hpp"

namespace holdwater::sim {
namespace {

constexpr std::uint64_t resample_stream = 33;

// Sums for one base sample: f(a) + f(b), f(a)^2 + f(b)^2, then both numerators for each axis.
class Terms {
  public:
    Terms(std::span<double const> values, std::size_t d) : width_(2 + 2 * d) {
        std::vector<double const*> whole;
        for (std::size_t at = 0; at + d + 2 <= values.size(); at += d + 2) {
            auto const sample = values.subspan(at, d + 2);
            if (std::all_of(sample.begin(), sample.end(), [](double f) { return std::isfinite(f); }))
                whole.push_back(sample.data());
            else
                ++left_out;
        }
        samples = whole.size();
        if (samples == 0) return;
        for (auto const* f : whole) mean += (f[0] + f[1]) / 2;
        mean /= static_cast<double>(samples);
        terms_.reserve(samples * width_);
        for (auto const* f : whole) {
            double const a = f[0] - mean, b = f[1] - mean;
            terms_.push_back(a + b);
            terms_.push_back(a * a + b * b);
            for (std::size_t i = 0; i < d; ++i) {
                double const ab = f[2 + i] - mean;
                terms_.push_back(b * (ab - a));
                terms_.push_back((a - ab) * (a - ab) / 2);
            }
        }
    }

    void add(std::size_t sample, std::vector<double>& sums) const {
        auto const* const t = terms_.data() + sample * width_;
        for (std::size_t i = 0; i < width_; ++i) sums[i] += t[i];
    }

    std::size_t samples = 0, left_out = 0;
    double mean = 0;

  private:
    std::size_t width_;
    std::vector<double> terms_;
};

double variance_of(std::vector<double> const& sums, double n) {
    double const m = sums[0] / (2 * n);
    return sums[1] / (2 * n) - m * m;
}

// Turns sums into shares, in place after the first two; zeros if there is no variance.
void share(std::vector<double>& sums, double n) {
    double const v = variance_of(sums, n);
    for (std::size_t i = 2; i < sums.size(); ++i) sums[i] = v > 0 ? sums[i] / n / v : 0;
}

}  // namespace

SobolAnswer sobol_indices(std::span<double const> values, std::size_t axes, std::uint64_t seed,
                          int resamples) {
    Terms const terms(values, axes);
    SobolAnswer answer;
    answer.samples = terms.samples;
    answer.left_out = terms.left_out;
    answer.mean = terms.mean;
    if (terms.samples < 2) return answer;
    auto const n = static_cast<double>(terms.samples);
    std::vector<double> best(2 + 2 * axes);
    for (std::size_t j = 0; j < terms.samples; ++j) terms.add(j, best);
    answer.variance = variance_of(best, n);
    // A difference that is only rounding counts as no variance.
    if (answer.variance <= 1e-24 * (1 + answer.mean * answer.mean)) return answer;
    share(best, n);

    std::vector<std::vector<double>> drawn(static_cast<std::size_t>(resamples));
    for_each_job(drawn.size(), [&](std::size_t r) {
        std::vector<double> sums(best.size());
        std::uint64_t const stream = models::stream_seed(seed, resample_stream, r);
        for (std::size_t j = 0; j < terms.samples; ++j)
            terms.add(
                std::min(terms.samples - 1,
                         static_cast<std::size_t>(models::unit_interval(models::mix_bits(stream ^ j)) * n)),
                sums);
        share(sums, n);
        drawn[r] = std::move(sums);
    });
    auto const interval = [&](std::size_t at) {
        std::vector<double> shares;
        shares.reserve(drawn.size());
        for (auto const& d : drawn) shares.push_back(d[at]);
        return models::Interval{best[at], models::quantile(shares, 0.025), models::quantile(shares, 0.975)};
    };
    for (std::size_t a = 0; a < axes; ++a) answer.axes.push_back({interval(2 + 2 * a), interval(3 + 2 * a)});
    return answer;
}

}  // namespace holdwater::sim
