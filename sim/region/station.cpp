#include "sim/region/station.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <memory>
#include <numeric>
#include <stdexcept>

#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/settings/field_words.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "sim/inputs/make_demand.hpp"
#include "weather/weather_error.hpp"
#include "weather/weather_maker.hpp"

namespace holdwater::sim {
namespace {

constexpr double most_elevation_m = 6000;

double mean_of(std::vector<double> const& values) {
    return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

void put_there(scenarios::VariantReader const& variants, Station& s) {
    s.scenario =
        variants.scenario({{"elevation", fmt::format("\"{} m\"", s.elevation_m), 0},
                           {"well.water_temperature", fmt::format("\"{} degC\"", s.water_temperature_c), 0}});
    s.scenario.coordinates = {s.latitude_deg, s.longitude_deg};
}

}  // namespace

Station read_station(scenarios::VariantReader const& variants, std::string const& file) {
    Station s;
    s.file = file;
    s.name = std::filesystem::path(file).stem().string();
    try {
        auto reading = variants.scenario({});
        reading.coordinates.reset();
        s.weather = scenarios::read_scenario_weather(reading, file);
        auto const& site = s.weather.site;
        if (!s.weather.station.empty()) s.name = s.weather.station;
        s.state = s.weather.state;
        s.latitude_deg = site.latitude_deg;
        s.longitude_deg = site.longitude_deg;
        s.elevation_m = site.elevation_m;
        s.water_temperature_c = std::clamp(mean_of(s.weather.temperature_c), 0.1, 40.0);
        if (!s.weather.albedo.empty()) s.albedo = mean_of(s.weather.albedo);
        // What the reader says of the scenario's own elevation does not hold for a well at the station.
        for (auto const& warning : s.weather.warnings)
            if (!warning.starts_with("the weather is from ")) s.remarks.push_back(warning);
        if (std::abs(s.latitude_deg) > weather::highest_made_latitude_deg)
            s.problem = fmt::format("latitude {:.1f}: no years can be made above 66 degrees", s.latitude_deg);
        else if (s.elevation_m > most_elevation_m)
            s.problem = fmt::format("elevation {:.0f} m: at most 6000 m are accepted", s.elevation_m);
        else
            put_there(variants, s);
    } catch (scenarios::ScenarioError const& error) {
        s.problem = error.first();
    } catch (weather::WeatherError const& error) {
        s.problem = error.what();
    } catch (std::invalid_argument const& error) {
        s.problem = scenarios::problem_words(error);
    }
    return s;
}

double daily_demand_m3(scenarios::Scenario const& scenario, weather::WeatherYear const& weather) {
    HourlyInputs in;
    add_demand(scenario, weather, in);
    return 24 * mean_of(in.demand_m3);
}

scenarios::DemandSettings times(scenarios::DemandSettings d, double factor) {
    d.daily_m3 *= factor;
    if (d.varying) d.varying->daily_m3 *= factor;
    for (auto& use : d.uses) {
        use.daily_m3 *= factor;
        use.heads *= factor;
    }
    if (d.series) {
        auto scaled = std::make_shared<scenarios::DemandSeries>(*d.series);
        for (double& m3 : scaled->hourly_m3) m3 *= factor;
        d.series = std::move(scaled);
    }
    return d;
}

}  // namespace holdwater::sim
