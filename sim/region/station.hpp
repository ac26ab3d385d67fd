#pragma once

#include <limits>
#include <string>
#include <vector>

#include "scenarios/design/design.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::sim {

/// A weather station, and the scenario as if its well stood there.
struct Station {
    static constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

    std::string file, name;
    std::string state;  ///< WeatherYear::state
    double latitude_deg = unknown, longitude_deg = unknown, elevation_m = unknown;
    double water_temperature_c = unknown;  ///< of the ground: the mean air temperature of the year
    double albedo = unknown;               ///< mean of the file; unknown: it has none
    std::vector<std::string> remarks;      ///< on the weather and on what the scenario does not fit
    std::string problem;                   ///< why it cannot be served; empty: it can
    weather::WeatherYear weather;
    scenarios::Scenario scenario;
};

/// Reads the weather file of a station and puts the scenario there. From the file come latitude and
/// longitude, the elevation (air pressure at the tank), the temperature of ground and water (the mean air
/// temperature of the year, within 0.1 .. 40 degC: common practice, no source) and, if the file has one, the
/// albedo. Never throws for a file that cannot be used: Station::problem says why. Above 66 degrees of
/// latitude, where no years can be made, and above 6000 m there is a problem as well.
Station read_station(scenarios::VariantReader const& scenario, std::string const& file);

/// The mean of a day's demand over the year at this weather [m3/day].
double daily_demand_m3(scenarios::Scenario const& scenario, weather::WeatherYear const& weather);
/// All uses of water in proportion: times `factor`, which is above 0.
scenarios::DemandSettings times(scenarios::DemandSettings demand, double factor);

}  // namespace holdwater::sim
