// The hourly station: smallest battery without a shortage in made winters and in the four recorded ones.
//   holdwater_station SCENARIO SHARED-WEATHER [WINTERS]
// The design is the household demo without its generator, at the station; arrays of 1.4, 1.8 and 2.2 kW;
// batteries in steps of 0.5 kWh; a winter runs from July to June and begins with a full battery. Recorded
// years have the irradiance of the model with clouds (METSTAT), and temperature and wind of the typical year
// at the same date and hour.
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "models/array/pv_array.hpp"
#include "models/numeric/statistics.hpp"
#include "scenarios/design/design.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"
#include "weather/fit_maker.hpp"
#include "weather/read_weather.hpp"

using namespace holdwater;

namespace {

constexpr double step_kwh = 0.5;
constexpr int most_steps = 80;

weather::WeatherYear recorded_year(std::string const& path, weather::WeatherYear const& typical) {
    auto year = typical;
    for (auto* v : {&year.ghi_w_m2, &year.dni_w_m2, &year.dhi_w_m2}) v->assign(weather::hours_per_year, 0);
    std::ifstream in(path);
    std::string line;
    std::getline(in, line);
    std::vector<std::string> header;
    std::istringstream names(line);
    for (std::string cell; std::getline(names, cell, ',');) header.push_back(cell);
    auto const column = [&](std::string const& name) {
        return static_cast<std::size_t>(std::find(header.begin(), header.end(), name) - header.begin());
    };
    std::size_t const ghi = column("METSTAT Glo (Wh/m^2)"), dni = column("METSTAT Dir (Wh/m^2)"),
                      dhi = column("METSTAT Dif (Wh/m^2)");
    while (std::getline(in, line)) {
        std::vector<std::string> cells;
        std::istringstream row(line);
        for (std::string cell; std::getline(row, cell, ',');) cells.push_back(cell);
        int const month = std::atoi(cells.at(0).substr(5, 2).c_str()),
                  day = std::atoi(cells.at(0).substr(8, 2).c_str()), end = std::atoi(cells.at(1).c_str());
        if (month == 2 && day == 29) continue;
        auto const i = static_cast<std::size_t>(weather::hour_index(month, day, 0) + end - 1);
        year.ghi_w_m2.at(i) = std::atof(cells.at(ghi).c_str());
        year.dni_w_m2.at(i) = std::atof(cells.at(dni).c_str());
        year.dhi_w_m2.at(i) = std::atof(cells.at(dhi).c_str());
    }
    return year;
}

// July to December of one year, January to June of the next.
weather::WeatherYear winter_of(weather::WeatherYear const& first, weather::WeatherYear const& next) {
    auto winter = first;
    auto const july = weather::month_start_hour[6];
    auto const take = [&](std::vector<double>& to, std::vector<double> const& from) {
        std::copy(from.begin(), from.begin() + july, to.begin());
    };
    take(winter.ghi_w_m2, next.ghi_w_m2);
    take(winter.dni_w_m2, next.dni_w_m2);
    take(winter.dhi_w_m2, next.dhi_w_m2);
    take(winter.temperature_c, next.temperature_c);
    take(winter.wind_m_s, next.wind_m_s);
    return winter;
}

double smallest_battery_kwh(scenarios::Scenario const& s, weather::WeatherYear const& winter) {
    auto const inputs = sim::make_inputs(s, winter);
    sim::Clock clock;
    clock.first_hour = weather::month_start_hour[6];
    auto const short_h = [&](int steps) {
        auto sized = s;
        sized.battery.capacity_kwh = steps * step_kwh;
        return sim::simulate(sim::make_system(sized), inputs, clock).summary.shortage_hours;
    };
    int too_small = 0, enough = most_steps;
    while (enough - too_small > 1) {
        int const middle = (too_small + enough) / 2;
        (short_h(middle) > 0 ? too_small : enough) = middle;
    }
    return enough * step_kwh;
}

}  // namespace

int main(int argc, char** argv) {
    if (argc < 3) return 2;
    std::string const shared = argv[2];
    int const winters = argc > 3 ? std::atoi(argv[3]) : 100;
    auto scenario = scenarios::read_scenario(argv[1]);
    scenario.rules.backup = scenarios::Backup::none;
    scenario.start_soc = 1;
    auto const typical = weather::read_weather(shared + "/years/724915TY.csv");
    std::vector<weather::WeatherYear> recorded;
    for (int year = 2000; year <= 2004; ++year)
        recorded.push_back(
            recorded_year(shared + "/years/724915_" + std::to_string(year) + "_solar.csv", typical));
    weather::WeatherMaker const maker(weather::fit_maker(typical, 11).options);
    double const rated_w = models::array_rated_power_w(scenario.array);
    for (double kw : {1.4, 1.8, 2.2}) {
        auto s = scenario;
        s.array.module.rated_power_w *= 1000 * kw / rated_w;
        std::vector<double> of_record, of_made;
        for (std::size_t i = 0; i + 1 < recorded.size(); ++i)
            of_record.push_back(smallest_battery_kwh(s, winter_of(recorded[i], recorded[i + 1])));
        auto before = maker.year(0);
        for (int i = 0; i < winters; ++i) {
            auto year = maker.year(i + 1);
            of_made.push_back(smallest_battery_kwh(s, winter_of(before, year)));
            before = std::move(year);
        }
        double const record = models::quantile(of_record, 0.5), made = models::quantile(of_made, 0.5);
        fmt::print("{} kW: typical year {:.1f} kWh; recorded", kw, smallest_battery_kwh(s, typical));
        for (double kwh : of_record) fmt::print(" {:.1f}", kwh);
        fmt::print(", median {:.2f}; {} made winters median {:.1f} (10-90 %: {:.1f} - {:.1f}), {:+.0f} %{}\n",
                   record, winters, made, models::quantile(of_made, 0.1), models::quantile(of_made, 0.9),
                   100 * (made / record - 1),
                   std::abs(made - record) <= std::max(step_kwh, 0.15 * record) ? "" : " *");
    }
}
