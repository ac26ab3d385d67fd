#pragma once

#include <vector>

#include "weather/hour_table.hpp"
#include "weather/sun_position.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::weather {

/// Upper limits of irradiance [W/m2]; the lower ones are -4 (possible) and -2 (rare).
struct IrradianceLimits {
    double ghi_w_m2 = 0, dni_w_m2 = 0, dhi_w_m2 = 0;
};

/// Long & Dutton, BSRN recommended QC tests V2 (2002/2010), Long & Shi, Open Atmos. Sci. J. 2 (2008) 23.
/// Sa is the light outside the atmosphere, mu = max(cos z, 0):
/// GHI 1.5 Sa mu^1.2 + 100, DHI 0.95 Sa mu^1.2 + 50, DNI Sa.
IrradianceLimits physically_possible(double cos_zenith, double extraterrestrial_normal_w_m2);
/// GHI 1.2 Sa mu^1.2 + 50, DHI 0.75 Sa mu^1.2 + 30, DNI 0.95 Sa mu^0.2 + 10.
IrradianceLimits extremely_rare(double cos_zenith, double extraterrestrial_normal_w_m2);

/// sum |GHI - DHI - DNI cos z| / sum GHI over the hours that have all three; NaN if there are fewer than 500
/// such hours with sun. Above 0.03, a wrong time stamp or UTC offset is more likely than bad data.
double closure_residual(std::vector<double> const& ghi_w_m2, std::vector<double> const& dni_w_m2,
                        std::vector<double> const& dhi_w_m2, SunYear const& sun);

/// The closure residual with the sun shifted in time.
struct ShiftTest {
    double residual = 0;       ///< without shift; NaN if the file does not have three components
    double best_residual = 0;  ///< smallest
    int best_shift_min = 0;    ///< shift of the smallest; positive: the sun is later than the stamps say
    /// Whether the clock is wrong: the shift lowers the residual by more than a fifth.
    bool tells() const { return best_shift_min != 0 && best_residual < 0.8 * residual; }
};

/// Shifts the sun by each of `shifts_min`. A correct file has its minimum at 0.
ShiftTest closure_shift_test(HourTable const& hours, SunYear const& sun, std::vector<int> const& shifts_min);

/// The figures with which a designer checks a weather file.
struct QualityReport {
    double ghi_kwh_m2 = 0, dni_kwh_m2 = 0, dhi_kwh_m2 = 0;  ///< of the year
    double clearness = 0;                                   ///< GHI / light outside the atmosphere, year
    double closure_residual = 0;                            ///< see above
    double temperature_mean_c = 0, temperature_min_c = 0, temperature_max_c = 0;
    int beyond_possible_h = 0;    ///< hours above a physically possible limit
    int beyond_rare_h = 0;        ///< hours above an extremely rare limit
    int ratio_h = 0;              ///< hours in which GHI/(DHI + DNI cos z) or DHI/GHI is out of range
    int light_without_sun_h = 0;  ///< hours of light in which the sun is always below the horizon
    int stuck_light_h = 0;        ///< hours in runs of 4 or more equal non-zero GHI
    int stuck_temperature_h = 0;  ///< hours in runs of 24 or more equal temperatures
    int repaired_h = 0;           ///< sum of hours over all repairs
};
QualityReport check_quality(WeatherYear const& year, SunYear const& sun);

/// Adds to year.warnings, in words, what a designer should look at in the report and the shift test.
/// `clock_cure` is what to write if the clock is wrong.
void add_warnings(WeatherYear& year, QualityReport const& report, ShiftTest const& clock,
                  std::string const& clock_cure);

}  // namespace holdwater::weather
