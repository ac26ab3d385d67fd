#pragma once

#include <vector>

#include "weather/weather_year.hpp"

namespace holdwater::weather {

struct SunYear;

/// Diffuse share of the global irradiance of an hour from its clearness kt = GHI/(G0n cos z).
/// Erbs, Klein & Duffie, Solar Energy 28 (1982) 293. For hourly values only; from four US stations and one in
/// Australia. It has the small step at kt = 0.22 of the source. Pre: kt >= 0.
double diffuse_fraction_erbs(double clearness);

/// Inputs of the model of Ridley, Boland & Lauret for one hour.
struct ClearnessContext {
    double hourly = 0;         ///< kt of the hour
    double solar_time_h = 0;   ///< apparent solar time
    double elevation_deg = 0;  ///< solar altitude
    double daily = 0;          ///< Kt: GHI of the day divided by the light outside the atmosphere
    /// Mean kt of the hours before and after; only the one after at sunrise, only the one before at sunset.
    double persistence = 0;
};

/// Diffuse share of an hour if the whole day is known.
/// Ridley, Boland & Lauret, Renewable Energy 35 (2010) 478:
/// 1/(1 + exp(-5.38 + 6.63 kt + 0.006 AST - 0.007 alt + 1.75 Kt + 1.31 psi)). Fitted on both hemispheres.
double diffuse_fraction_brl(ClearnessContext const& context);

/// Beam and diffuse light of one hour as hourly means.
struct BeamAndDiffuse {
    double dni_w_m2 = 0, dhi_w_m2 = 0;
};

/// Beam and diffuse light from a diffuse fraction: DHI = fd GHI, DNI = (GHI - DHI)/cos z. The beam is limited
/// to the light outside the atmosphere, and the rest is added to DHI. With the sun below 1 deg (cos z <
/// 0.0175) all light is diffuse. GHI = DHI + DNI cos z holds except for rounding.
BeamAndDiffuse split(double ghi_w_m2, double diffuse_fraction, double cos_zenith, double sun_up_fraction,
                     double extraterrestrial_normal_w_m2);

/// Clearness of each hour: GHI divided by the exact mean outside the atmosphere; 0 where the sun is down.
std::vector<double> hourly_clearness(std::vector<double> const& ghi_w_m2, SunYear const& sun);
/// Clearness of each of the 365 days; 0 on days without sun.
std::vector<double> daily_clearness(std::vector<double> const& ghi_w_m2, SunYear const& sun);

enum class DecompositionModel { erbs, brl };

/// The authors of the model, for messages.
char const* source_of(DecompositionModel model);

/// Fills DNI and DHI from GHI in the hours where `wanted` is not 0 (empty: everywhere).
void decompose(WeatherYear& year, SunYear const& sun, DecompositionModel model,
               std::vector<char> const& wanted = {});

}  // namespace holdwater::weather
