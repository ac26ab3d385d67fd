#include "sim/region/region_run.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <limits>
#include <map>
#include <memory>
#include <stdexcept>

#include "models/array/pv_array.hpp"
#include "models/water/draw_events.hpp"
#include "scenarios/settings/field_words.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/files/text_hash.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/region/least_batteries.hpp"
#include "sim/region/station.hpp"
#include "sim/verdict/made_weather.hpp"

namespace holdwater::sim {
namespace {

// Places of the columns.
enum RegionFigure : std::size_t {
    latitude,
    longitude,
    elevation,
    ground,
    albedo,
    array,
    demand,
    winters,
    battery
};
enum RegionText : std::size_t { name, state, file, remarks };

double setting_number(std::string const& text) {
    double value = std::numeric_limits<double>::infinity();  // "inf" is the only text that is no number
    std::from_chars(text.data(), text.data() + text.size(), value);
    return value;
}

bool too_many_events(scenarios::DemandSettings const& d) {
    using scenarios::most_events_a_day;
    auto const too_many = [&](models::WaterUse const& use) {
        return models::events_per_day(use.fixtures, use.daily_m3) > most_events_a_day;
    };
    return models::events_per_day(d.series_fixtures, d.daily_m3) > most_events_a_day ||
           (d.varying && too_many(*d.varying)) || std::any_of(d.uses.begin(), d.uses.end(), too_many);
}

}  // namespace

std::vector<SweepFigure> const& region_figures() {
    static std::vector<SweepFigure> const figures{
        {"latitude_deg", "deg", "of the station, north positive"},
        {"longitude_deg", "deg", "of the station, east positive"},
        {"elevation_m", "m", "of the station"},
        {"water_temperature_c", "degC", "of ground and water: mean air temperature of the station's year"},
        {"albedo", "1", "mean of the station's file; nothing: it has none"},
        {"array_power_w", "W", "rated power of the array"},
        {"daily_demand_m3", "m3/day", "mean of the year"},
        {"winters", "1", "made years that were run"},
        {"battery_kwh_90", "kWh", "smallest battery for 90 % of winters; infinite: none of the list"},
        {"battery_kwh_95", "kWh", "smallest battery for 95 % of winters; infinite: none of the list"},
        {"battery_kwh_99", "kWh", "smallest battery for 99 % of winters; infinite: none of the list"}};
    return figures;
}

std::vector<SweepFigure> const& region_texts() {
    static std::vector<SweepFigure> const texts{{"name", "", "of the station in the weather file"},
                                                {"state", "", "state or province in the weather file"},
                                                {"file", "", "weather file"},
                                                {"remarks", "", "on the station's weather"}};
    return texts;
}

std::vector<std::string> settings_of(RegionBasis const& b) {
    return {"title = " + b.title,
            "units = " + b.units,
            "batteries = " + b.batteries,
            fmt::format("made years = {}", b.made_years),
            fmt::format("seed = {}", b.seed),
            fmt::format("battery judged at = {}", b.end_of_life),
            fmt::format("hours short allowed = {}", b.hours_short_allowed),
            fmt::format("longest shortage = {}", b.longest_shortage_h),
            "plane = " + b.plane,
            fmt::format("ground reflectance = {}", b.ground_reflectance)};
}

RegionBasis basis_of(std::vector<std::string> const& settings) {
    std::map<std::string, std::string> value;
    for (auto const& line : settings)
        if (auto const at = line.find(" = "); at != std::string::npos)
            value[line.substr(0, at)] = line.substr(at + 3);
    RegionBasis b;
    b.title = value["title"];
    b.units = value["units"];
    b.batteries = value["batteries"];
    b.made_years = static_cast<int>(setting_number(value["made years"]));
    std::from_chars(value["seed"].data(), value["seed"].data() + value["seed"].size(), b.seed);
    b.end_of_life = setting_number(value["battery judged at"]);
    b.hours_short_allowed = setting_number(value["hours short allowed"]);
    b.longest_shortage_h = setting_number(value["longest shortage"]);
    b.plane = value["plane"];
    b.ground_reflectance = setting_number(value["ground reflectance"]);
    return b;
}

RegionBasis region_basis(scenarios::Scenario const& s) {
    RegionBasis b;
    b.title = s.title;
    std::replace(b.title.begin(), b.title.end(), '\n', ' ');
    b.units = s.report_in_both ? "both" : s.units == scenarios::UnitSystem::us ? "us" : "metric";
    b.made_years = s.years.made;
    b.seed = s.years.seed;
    b.end_of_life = s.years.required.judge_new ? 1 : s.years.battery_end_of_life;
    b.hours_short_allowed = s.years.required.hours_short_allowed;
    b.longest_shortage_h = s.years.required.longest_shortage_limit_h;
    b.plane = s.tracker ? std::string("a rack that follows the sun")
              : s.tilt_changes.empty()
                  ? fmt::format("tilt {:g} deg, azimuth {:g} deg", s.plane.tilt_deg, s.plane.azimuth_deg)
                  : fmt::format("tilt changed by hand, azimuth {:g} deg", s.plane.azimuth_deg);
    b.ground_reflectance = s.albedo;
    return b;
}

RegionRun::RegionRun(scenarios::DesignFile file, scenarios::DesignOption base,
                     std::vector<std::string> stations, RegionPlan const& plan, RegionBasis basis)
    : variants_(std::move(file), std::move(base)),
      stations_(std::move(stations)),
      batteries_kwh_(plan.batteries_kwh),
      basis_(std::move(basis)) {
    auto const scenario = variants_.scenario({});
    auto const path = variants_.file().path;
    if (!(scenario.battery.capacity_kwh > 0))
        throw std::invalid_argument(path + ": battery.capacity must be above 0 for region");
    if (!(models::array_rated_power_w(scenario.array) > 0))
        throw std::invalid_argument(path + ": array.rated_power must be above 0 for region");
    if (basis_.made_years < 1)
        throw std::invalid_argument(path +
                                    ": weather.made_years must be above 0 for region; or give --years");
}

void RegionRun::run_station(SweepBlock& block, Rows const& rows, StopFlag stop) const {
    stop_if_asked(stop);
    Station const station = read_station(variants_, stations_.at(rows.station));
    std::map<double, std::vector<std::size_t>> by_demand;  // rows of the block
    auto problem = station.problem;
    double own_m3 = not_run, own_array_w = not_run;
    if (problem.empty()) {
        own_m3 = daily_demand_m3(station.scenario, station.weather);
        own_array_w = models::array_rated_power_w(station.scenario.array);
        if (!(own_m3 > 0)) problem = "the scenario has no demand at this station";
    }
    for (std::size_t i = rows.first; i < rows.end; ++i) {
        auto const cell = cell_of(block.settings[i]);
        double* const f = block.figures_of(i);
        f[latitude] = station.latitude_deg;
        f[longitude] = station.longitude_deg;
        f[elevation] = station.elevation_m;
        f[ground] = station.water_temperature_c;
        f[albedo] = station.albedo;
        f[array] = cell.array_w.value_or(own_array_w);
        f[demand] = cell.daily_demand_m3.value_or(own_m3);
        block.texts[name][i] = station.name;
        block.texts[state][i] = station.state;
        block.texts[file][i] = station.file;
        block.texts[remarks][i] = fmt::format("{}", fmt::join(station.remarks, "; "));
        block.problems[i] = problem;
        if (problem.empty()) by_demand[f[demand]].push_back(i);
    }
    if (!problem.empty()) return;
    DrawOptions draw;
    draw.years = basis_.made_years;
    draw.seed = basis_.seed;
    draw.stop = stop;
    draw.shelf = std::make_shared<MadeShelf>();
    try {
        draw.start_month = verdict_start_month(make_inputs(station.scenario, station.weather));
        // The designs of one demand share the water side of their years.
        for (auto const& [daily_m3, of_demand] : by_demand) {
            auto scenario = station.scenario;
            if (daily_m3 != own_m3) scenario.demand = times(scenario.demand, daily_m3 / own_m3);
            if (too_many_events(scenario.demand)) {
                for (auto const i : of_demand)
                    block.problems[i] =
                        fmt::format("more than {:.0f} uses of water a day; take drawn_as = \"lump\"",
                                    scenarios::most_events_a_day);
                continue;
            }
            std::vector<DrawnDesign> designs;
            for (auto const i : of_demand)
                designs.push_back({scenario, &station.weather, block.figures_of(i)[array] / own_array_w});
            auto const answers = least_batteries(std::move(designs), batteries_kwh_, draw);
            for (std::size_t a = 0; a < answers.size(); ++a) {
                double* const f = block.figures_of(of_demand[a]);
                f[winters] = answers[a].winters;
                std::copy(answers[a].battery_kwh.begin(), answers[a].battery_kwh.end(), f + battery);
            }
        }
    } catch (std::invalid_argument const& error) {
        for (std::size_t i = rows.first; i < rows.end; ++i)
            if (block.problems[i].empty()) block.problems[i] = scenarios::problem_words(error);
    }
}

void RegionRun::run(SweepBlock& block, StopFlag stop) const {
    std::vector<Rows> stations;
    for (std::size_t i = 0; i < block.size(); ++i) {
        auto const at = cell_of(block.settings[i]).station;
        if (stations.empty() || stations.back().station != at) stations.push_back({at, i, i});
        stations.back().end = i + 1;
    }
    for_each_job(stations.size(), [&](std::size_t s) { run_station(block, stations[s], stop); });
}

std::string RegionRun::inputs_hash() const {
    auto const& design = variants_.file();
    std::string all = design.text;
    for (auto const& list : design.parts)
        for (auto const& part : list.parts) all += part.text;
    for (auto const& station : stations_) all += file_hash(station);
    return text_hash(all);
}

}  // namespace holdwater::sim
