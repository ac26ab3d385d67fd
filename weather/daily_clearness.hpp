#pragma once

#include <array>
#include <vector>

#include "weather/random.hpp"

namespace holdwater::weather {

/// Distribution of the clearness Kt of single days about its monthly mean K.
/// Bendt, Collares-Pereira & Rabl 1981; Knight, Klein & Duffie 1991 (coefficients from memory; the mean of
/// the distribution is K within 0.002 for 0.3 <= K <= 0.7):
///   Kmin = 0.05, Kmax = 0.6313 + 0.267 K - 11.9 (K - 0.75)^8, xi = (Kmax - Kmin)/(Kmax - K)
///   gam = -1.498 + [1.184 xi - 27.182 exp(-1.5 xi)]/(Kmax - Kmin)
///   F(Kt) = [exp(gam Kmin) - exp(gam Kt)]/[exp(gam Kmin) - exp(gam Kmax)]
struct ClearnessDistribution {
    double least = 0, most = 0, gamma = 0;
};

/// Pre: 0.15 <= monthly_mean <= 0.78; the distribution was fitted for 0.3 .. 0.7.
ClearnessDistribution clearness_distribution(double monthly_mean);
/// Share of days with clearness below `clearness`.
double share_below(ClearnessDistribution const& d, double clearness);
/// The inverse: the clearness below which the share `share` of days lies, 0 .. 1.
double clearness_at(ClearnessDistribution const& d, double share);
double mean(ClearnessDistribution const& d);
double variance(ClearnessDistribution const& d);

/// Lag-1 correlation of the daily index mapped to a normal variable, from memory; 0.15-0.35 is usual.
inline constexpr double default_day_to_day = 0.29;

/// Standard normal deviate of each day by its rank among the days of its month.
std::vector<double> deviates_in_months(std::vector<double> const& daily_clearness);

/// phi of recorded days: the lag-1 correlation of daily Kt, ranked in each month and mapped to a normal
/// variable. Subtracting the mean of each month lowers the correlation by (1 + 3 phi)/n for n days (Kendall
/// 1954, Marriott & Pope 1954, from memory). This is corrected, because too low a phi makes cloudy periods
/// too rare.
double day_to_day_of(std::vector<double> const& daily_clearness);

}  // namespace holdwater::weather
