#pragma once

#include <array>
#include <vector>

#include "weather/random.hpp"

namespace holdwater::weather {

/// How the clearness Kt of single days spreads about its monthly mean K.
/// Bendt, Collares-Pereira & Rabl 1981; Knight, Klein & Duffie 1991 (coefficients from memory; the mean of
/// the distribution returns K within 0.002 for 0.3 <= K <= 0.7):
///   Kmin = 0.05, Kmax = 0.6313 + 0.267 K - 11.9 (K - 0.75)^8, xi = (Kmax - Kmin)/(Kmax - K)
///   gam = -1.498 + [1.184 xi - 27.182 exp(-1.5 xi)]/(Kmax - Kmin)
///   F(Kt) = [exp(gam Kmin) - exp(gam Kt)]/[exp(gam Kmin) - exp(gam Kmax)]
struct ClearnessDistribution {
    double least = 0, most = 0, gamma = 0;
};

/// Pre: 0.15 <= monthly_mean <= 0.78; the fit was made for 0.3 .. 0.7.
ClearnessDistribution clearness_distribution(double monthly_mean);
/// Share of days with clearness below `clearness`.
double share_below(ClearnessDistribution const& d, double clearness);
/// The reverse: the clearness with the share `share` of days below it, 0 .. 1.
double clearness_at(ClearnessDistribution const& d, double share);
double mean(ClearnessDistribution const& d);

/// Lag-1 correlation of the normal-mapped daily index, from memory; 0.15-0.35 is usual.
inline constexpr double default_day_to_day = 0.29;

/// One step of the day-to-day memory: chi' = phi chi + sqrt(1 - phi^2) e, e standard normal.
/// Graham, Hollands & Brunger, Solar Energy 40 (1988) 83. Memory is short: cloudy periods above 5 days
/// (stalled fronts, valley fog) may come too seldom; add a cloudy period of one's own for those.
double next_chi(double chi, double e, double day_to_day);

/// Kt of each of 365 days for the twelve monthly means. `chi` is carried from month to month and, left by the
/// caller in place, from year to year; start a record with 0.
std::vector<double> generate_daily_clearness(std::array<double, 12> const& monthly_mean, double day_to_day,
                                             Random& random, double& chi);

/// phi of a record: daily Kt ranked inside each month, mapped to normal, lag-1 correlation. Taking out each
/// month's mean lowers a correlation by (1 + 3 phi)/n for n days (Kendall 1954, Marriott & Pope 1954, from
/// memory); that is put back, because too low a phi makes cloudy periods too seldom.
double day_to_day_of(std::vector<double> const& daily_clearness);

}  // namespace holdwater::weather
