#pragma once

#include <array>
#include <vector>

#include "tests/year-to-year/daily_record.hpp"

namespace holdwater::test {

/// One calendar month of one year, compared with the long term.
struct Candidate {
    int year = 0;
    double difference = 0;  ///< weighted Finkelstein-Schafer statistic
    double distance = 0;  ///< of mean and median from the long term, in standard deviations of days, weighted
    int longest_run = 0, runs = 0;
    bool rejected = false;  ///< by the run rule
};

/// Finkelstein-Schafer statistic: mean over the month's days of the distance between the share of the
/// month's days below a value ((rank - 1/2)/n) and the share of the long term at or below it.
double finkelstein_schafer(std::vector<double> days, std::vector<double> const& sorted_long_term);

/// Lengths of the runs of at least two days for which `day` holds.
std::vector<int> runs_of(std::vector<bool> const& day);

/// Selection of typical months as published for the typical years of the US (Wilcox & Marion 2008,
/// NREL/TP-581-43156; Hall et al. 1978; as retold in the notes on years that differ), as far as a daily
/// record carries it:
///  1. For each year a weighted sum of Finkelstein-Schafer statistics. Of the published weights (20 in all:
///     light 5, beam 5, temperature highest 1, lowest 1, mean 2, dew point 4, wind 2) light takes those of
///     the beam, as both vary together (correlation of month anomalies 0.95): light 10, temperature 1, 1, 2;
///     dew point and wind are left out; without temperature light alone. Mean temperature is (max + min)/2.
///  2. The five lowest are ranked by distance of mean and median from the long term.
///  3. Runs: light below its 33rd percentile, mean temperature below its 33rd or above its 67th. A candidate
///     with the longest run, with the most runs or with no run is rejected; the first left is taken. When
///     all five are rejected the rule is not used. A run is two or more days (our reading).
struct TypicalYear {
    std::array<int, 12> year{};
    std::vector<double> clearness;  ///< 365 days; the few missing ones lie on a line between their neighbors
};
std::vector<Candidate> candidates_of(DailyRecord const& record, std::size_t month);  ///< ranked, at most five
TypicalYear typical_year_of(DailyRecord const& record);

/// The record with as many years drawn from it with replacement, in other order: another record that the
/// place might have had, with another typical year.
DailyRecord resampled(DailyRecord const& record, std::uint64_t seed);

}  // namespace holdwater::test
