#include "sim/sweep/sweep_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <random>
#include <stdexcept>

#include "models/numeric/random_stream.hpp"

namespace holdwater::sim {
namespace {

// Made from the seed: each use has random numbers of its own.
constexpr std::uint64_t hypercube_stream = 31, shift_stream = 32;

// Uses only the bits of the engine, because std::shuffle differs between libraries.
double uniform(std::mt19937_64& random) { return models::unit_interval(random()); }

std::size_t grid_size(std::vector<SweepAxis> const& axes) {
    std::size_t count = 1;
    for (auto const& axis : axes) {
        if (axis.values.empty())
            throw std::invalid_argument(fmt::format(
                "--vary \"{}\": every combination needs a number of values behind a slash, such as \"/5\"; "
                "without one a range or spread is for --sample, --sobol and --one-at-a-time",
                axis.key));
        if (axis.values.size() > most_sweep_rows / count)
            throw std::invalid_argument(
                "the full grid has more than a million rows; use --sample or fewer values");
        count *= axis.values.size();
    }
    return count;
}

// The last axis first, those of the weather at the end. Reading a weather file and computing its irradiance
// takes longer than a year, so all rows of a file are next to one another, wherever its axis is typed.
std::vector<std::size_t> changing_fastest_first(std::vector<SweepAxis> const& axes) {
    std::vector<std::size_t> order(axes.size());
    std::iota(order.rbegin(), order.rend(), std::size_t{0});
    std::stable_partition(order.begin(), order.end(),
                          [&](std::size_t a) { return !axes[a].key.starts_with("weather."); });
    return order;
}

}  // namespace

std::vector<SweepAxis> read_axes(std::vector<std::string> const& vary) {
    std::vector<SweepAxis> axes;
    for (auto const& text : vary) {
        auto axis = read_axis(text);
        if (std::any_of(axes.begin(), axes.end(), [&](auto const& a) { return a.key == axis.key; }))
            throw std::invalid_argument(fmt::format("--vary: '{}' is varied twice", axis.key));
        axes.push_back(std::move(axis));
    }
    return axes;
}

SweepSpec numbered_rows(std::size_t count) {
    SweepSpec spec;
    spec.method = SweepMethod::numbered;
    spec.count = count;
    spec.seed = 0;
    return spec;
}

std::string plan_text(SweepSpec const& spec) {
    switch (spec.method) {
        case SweepMethod::grid:
            return "full grid";
        case SweepMethod::one_at_a_time:
            return "one at a time";
        case SweepMethod::latin_hypercube:
            return fmt::format("Latin hypercube, {} rows, seed {}", spec.count, spec.seed);
        case SweepMethod::sobol:
            return fmt::format("Sobol design, {} base samples, seed {}", spec.count, spec.seed);
        case SweepMethod::numbered:
            return fmt::format("{} rows", spec.count);
    }
    return "";
}

SweepPlan::SweepPlan(SweepSpec spec)
    : spec_(std::move(spec)),
      axes_(read_axes(spec_.vary)),
      sequence_(spec_.method == SweepMethod::sobol && !axes_.empty() ? 2 * axes_.size() : 1) {
    auto const counted = [&](char const* flag, std::size_t least, std::size_t most) {
        if (spec_.count < least || spec_.count > most)
            throw std::invalid_argument(
                fmt::format("{} {} (must be {} .. {})", flag, spec_.count, least, most));
    };
    switch (spec_.method) {
        case SweepMethod::grid:
            size_ = grid_size(axes_);
            fastest_first_ = changing_fastest_first(axes_);
            break;
        case SweepMethod::one_at_a_time:
            size_ = 1;
            for (auto const& axis : axes_) size_ += alone_.emplace_back(values_alone(axis)).size();
            break;
        case SweepMethod::latin_hypercube:
            counted("--sample", 1, most_sweep_rows);
            size_ = spec_.count;
            order_strata();
            break;
        case SweepMethod::sobol:
            counted("--sobol", 2, most_sweep_rows / (axes_.size() + 2));
            size_ = spec_.count * (axes_.size() + 2);
            for (std::size_t i = 0; i < 2 * axes_.size(); ++i)
                shift_.push_back(models::stream_seed(spec_.seed, shift_stream, i));
            break;
        case SweepMethod::numbered:
            size_ = spec_.count;
            break;
    }
}

void SweepPlan::order_strata() {
    auto const n = spec_.count;
    std::vector<std::size_t> order(n);
    for (std::size_t a = 0; a < axes_.size(); ++a) {
        // Each axis has random numbers of its own, so that one more axis does not change the others.
        std::mt19937_64 random(models::stream_seed(spec_.seed, hypercube_stream, a));
        std::iota(order.begin(), order.end(), std::size_t{0});
        for (std::size_t i = n; i > 1; --i)
            std::swap(order[i - 1],
                      order[static_cast<std::size_t>(uniform(random) * static_cast<double>(i))]);
        auto& shares = shares_.emplace_back(n);
        for (std::size_t i = 0; i < n; ++i)
            shares[i] = (static_cast<double>(order[i]) + uniform(random)) / static_cast<double>(n);
    }
}

SweepRow SweepPlan::sobol_row(std::size_t index) const {
    auto const d = axes_.size();
    std::size_t const sample = index / (d + 2), which = index % (d + 2);
    std::vector<std::uint64_t> point(2 * d);  // the engine skips the first point, which is all zeros
    if (sample > 0) {
        auto sequence = sequence_;
        sequence.seed(sample - 1);
        sequence.generate(point.begin(), point.end());
    }
    SweepRow row(d);
    for (std::size_t a = 0; a < d; ++a) {
        bool const from_b = which == 1 || which == a + 2;
        std::size_t const at = from_b ? d + a : a;
        row[a] = value_at(axes_[a], models::unit_interval(point[at] ^ shift_[at]));
    }
    return row;
}

SweepRow SweepPlan::row(std::size_t index) const {
    SweepRow row(axes_.size());
    std::size_t rest = index;
    switch (spec_.method) {
        case SweepMethod::grid:
            for (std::size_t const a : fastest_first_) {
                row[a] = axes_[a].values[rest % axes_[a].values.size()];
                rest /= axes_[a].values.size();
            }
            break;
        case SweepMethod::one_at_a_time:
            if (rest-- == 0) break;
            for (std::size_t a = 0; a < axes_.size(); ++a) {
                if (rest < alone_[a].size()) {
                    row[a] = alone_[a][rest];
                    break;
                }
                rest -= alone_[a].size();
            }
            break;
        case SweepMethod::latin_hypercube:
            for (std::size_t a = 0; a < axes_.size(); ++a) row[a] = value_at(axes_[a], shares_[a][index]);
            break;
        case SweepMethod::sobol:
            return sobol_row(index);
        case SweepMethod::numbered:
            break;
    }
    return row;
}

RowRange shard_rows(std::size_t all, std::size_t shard, std::size_t of) {
    return {all * (shard - 1) / of, all * shard / of};
}

}  // namespace holdwater::sim
