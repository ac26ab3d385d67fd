#pragma once

#include <boost/random/sobol.hpp>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "sim/sweep/sweep_axis.hpp"
#include "sim/sweep/sweep_rows.hpp"

namespace holdwater::sim {

enum class SweepMethod { grid, one_at_a_time, latin_hypercube, sobol, numbered };

/// What the user asks for; two equal specs give the same rows on every machine.
struct SweepSpec {
    SweepMethod method = SweepMethod::grid;
    std::vector<std::string> vary;  ///< as typed, one text for each axis (see SweepAxis)
    std::size_t count = 0;   ///< rows of a Latin hypercube or of a numbered plan, base samples of Sobol
    std::uint64_t seed = 1;  ///< of Latin hypercube and Sobol
    friend bool operator==(SweepSpec const&, SweepSpec const&) = default;
};

/// A plan of rows that their study knows by number.
SweepSpec numbered_rows(std::size_t count);

/// Throws std::invalid_argument, also if a key is varied twice.
std::vector<SweepAxis> read_axes(std::vector<std::string> const& vary);
/// "Latin hypercube, 200 rows, seed 1".
std::string plan_text(SweepSpec const& spec);

/// The rows of a sweep, or of another study in rows. Each row is made when it is needed, so a plan of a
/// million rows needs little memory.
///
///   grid             every combination; the last axis changes fastest, except that axes of the weather
///                    (weather.file) change slowest, wherever they are typed
///   one at a time    the scenario as it is, then each value of each axis alone
///   Latin hypercube  each axis is cut into `count` parts of equal probability; one random point in each, in
///                    random order (McKay, Beckman & Conover, Technometrics 21 (1979) 239, from memory). A
///                    list is divided evenly among its values. One more axis does not change the others.
///   Sobol            for each of `count` base samples d + 2 rows: a, b, and a with one value taken from b,
///                    axis by axis (Saltelli et al., Computer Physics Communications 181 (2010) 259, from
///                    memory). a and b are the first and second d coordinates of the Sobol sequence in 2 d
///                    dimensions (Boost.Random; Bratley & Fox, ACM TOMS 14 (1988) 88). Its bits are flipped
///                    by a random number from the seed for each dimension (a digital shift; the sequence
///                    stays as even as it was). Most even if `count` is a power of two.
///   numbered         `count` rows without values, of a study that knows them by their number
class SweepPlan {
  public:
    /// Throws std::invalid_argument, which says what was wrong and what is accepted.
    explicit SweepPlan(SweepSpec spec);

    SweepSpec const& spec() const { return spec_; }
    std::vector<SweepAxis> const& axes() const { return axes_; }
    std::size_t size() const { return size_; }
    /// May be called from several threads.
    SweepRow row(std::size_t index) const;

  private:
    using Sequence = boost::random::sobol_engine<std::uint64_t, 64>;

    void order_strata();
    SweepRow sobol_row(std::size_t index) const;

    SweepSpec spec_;
    std::vector<SweepAxis> axes_;
    std::size_t size_ = 0;
    std::vector<std::size_t> fastest_first_;       // grid: places of the axes
    std::vector<std::vector<std::string>> alone_;  // one at a time
    std::vector<std::vector<double>> shares_;      // Latin hypercube
    std::vector<std::uint64_t> shift_;             // Sobol: of each dimension
    Sequence sequence_;
};

inline constexpr std::size_t most_sweep_rows = 1000000, most_shards = 100000;

}  // namespace holdwater::sim
