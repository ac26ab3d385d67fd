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
/// Sa outside the atmosphere, mu = max(cos z, 0):
/// GHI 1.5 Sa mu^1.2 + 100, DHI 0.95 Sa mu^1.2 + 50, DNI Sa.
IrradianceLimits physically_possible(double cos_zenith, double extraterrestrial_normal_w_m2);
/// GHI 1.2 Sa mu^1.2 + 50, DHI 0.75 Sa mu^1.2 + 30, DNI 0.95 Sa mu^0.2 + 10.
IrradianceLimits extremely_rare(double cos_zenith, double extraterrestrial_normal_w_m2);

/// sum |GHI - DHI - DNI cos z| / sum GHI over the hours that have all three; NaN when there are fewer than
/// 500 such hours with sun. Above 0.03 a wrong time stamp or UTC offset is likelier than bad data.
double closure_residual(std::vector<double> const& ghi_w_m2, std::vector<double> const& dni_w_m2,
                        std::vector<double> const& dhi_w_m2, SunYear const& sun);

/// The closure residual with the Sun moved in time.
struct ShiftTest {
    double residual = 0;       ///< unmoved; NaN when the file does not have three components
    double best_residual = 0;  ///< smallest
    int best_shift_min = 0;    ///< of the smallest; positive: the Sun must be taken later than the stamps say
    /// Whether the clock is wrong: the residual falls by a fifth and more.
    bool tells() const { return best_shift_min != 0 && best_residual < 0.8 * residual; }
};

/// Moves the Sun by each of `shifts_min`. A correct file has its minimum at 0.
ShiftTest closure_shift_test(HourTable const& hours, SunYear const& sun, std::vector<int> const& shifts_min);

/// The figures a designer checks a weather file by.
struct QualityReport {
    double ghi_kwh_m2 = 0, dni_kwh_m2 = 0, dhi_kwh_m2 = 0;  ///< of the year
    double clearness = 0;                                   ///< GHI over extraterrestrial, year
    double closure_residual = 0;                            ///< see above
    double temperature_mean_c = 0, temperature_min_c = 0, temperature_max_c = 0;
    int beyond_possible_h = 0;    ///< hours above a physically possible limit
    int beyond_rare_h = 0;        ///< hours above an extremely rare limit
    int ratio_h = 0;              ///< hours where GHI/(DHI + DNI cos z) or DHI/GHI is off its band
    int light_without_sun_h = 0;  ///< hours of light with the Sun below the horizon throughout
    int stuck_light_h = 0;        ///< hours in runs of 4 and more equal non-zero GHI
    int stuck_temperature_h = 0;  ///< hours in runs of 24 and more equal temperatures
    int repaired_h = 0;           ///< sum of hours over all repairs
};
QualityReport check_quality(WeatherYear const& year, SunYear const& sun);

/// What in the report and the shift test deserves a designer's eye, in words, into year.warnings;
/// `clock_cure` is what to write when the clock is wrong.
void add_warnings(WeatherYear& year, QualityReport const& report, ShiftTest const& clock,
                  std::string const& clock_cure);

}  // namespace holdwater::weather
