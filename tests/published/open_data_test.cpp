#include <doctest/doctest.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <map>
#include <numeric>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "models/water/water_properties.hpp"
#include "sim/year/simulate.hpp"
#include "tests/published/open_table.hpp"
#include "tests/sim/plain_system.hpp"
#include "tests/support/near.hpp"
#include "tests/support/places.hpp"
#include "tests/support/water_units.hpp"
#include "weather/angles.hpp"
#include "weather/atmosphere.hpp"
#include "weather/cloudy_periods.hpp"
#include "weather/csv.hpp"
#include "weather/handbook_sun.hpp"
#include "weather/read_weather.hpp"
#include "weather/sun_position.hpp"

// Open data sets that contain figures calculated by others: the results here must agree with the printed
// ones. Each needs files below HOLDWATER_SHARED.

using namespace holdwater;
using namespace holdwater::test;

namespace {

int day_of_year(Date d) {
    using namespace std::chrono;
    auto const day = sys_days{year{d.year} / d.month / d.day}, first = sys_days{year{d.year} / 1 / 1};
    return static_cast<int>((day - first).count()) + 1;
}

/// The visible sun over the hour that ends at `hour` of local standard time, like the hours of the data base:
/// means, over twelve moments, of the values above the horizon, refraction included.
struct SeenHour {
    double zenith_deg = 0, azimuth_deg = 0, cos_zenith = 0;  ///< the last over the whole hour
    int moments = 0;                                         ///< of twelve with the sun up
};
SeenHour seen_hour(weather::Site const& site, Date d, int hour) {
    using namespace std::chrono;
    SeenHour seen;
    auto const begin = sys_days{year{d.year} / d.month / d.day} + hours{hour - 1} -
                       milliseconds{static_cast<long>(site.utc_offset_h * 3600000)};
    double const pressure_pa = weather::standard_pressure_pa(site.elevation_m);
    for (int k = 0; k < 12; ++k) {
        auto const p = weather::sun_position(begin + milliseconds{150000 + 300000 * k}, site.latitude_deg,
                                             site.longitude_deg);
        double const zenith = p.zenith_deg - weather::refraction_deg(90 - p.zenith_deg, pressure_pa, 12);
        if (zenith >= 90) continue;
        ++seen.moments;
        seen.zenith_deg += zenith;
        seen.azimuth_deg += p.azimuth_deg;
        seen.cos_zenith += weather::cos_deg(zenith) / 12;
    }
    if (seen.moments > 0) seen.zenith_deg /= seen.moments, seen.azimuth_deg /= seen.moments;
    return seen;
}

}  // namespace

TEST_SUITE_BEGIN("published/open_data");

// National Solar Radiation Data Base 1991-2010 update (manual NREL/TP-5500-54824), station 724915, years
// 2000-2004: zenith and azimuth of every hour, printed to 0.1 deg. They are means over the hour of the seen
// sun (found by comparing: the hour's middle without refraction lies up to 0.4 deg off at a high sun). Hours
// with the sun up from end to end. Tolerance: half of the last digit, and 0.03 deg for another refraction and
// other moments of the hour; azimuth is judged along the sky, times sin(zenith), with the sun at least 5 deg
// from overhead.
TEST_CASE("sun position in every hour of five years in the solar data base") {
    for (int year = 2000; year <= 2004; ++year) {
        auto const t = open_table("weather/years/724915_" + std::to_string(year) + "_solar.csv");
        if (!t) return;
        auto const zenith = t->column("Zenith (deg)"), azimuth = t->column("Azimuth (deg)");
        int hours = 0;
        for (std::size_t i = 0; i < t->rows.size(); i += 1) {
            if (t->number(i, zenith) >= 80) continue;
            auto const seen = seen_hour(monterey(), date_of(t->rows[i][0]), std::stoi(t->rows[i][1]));
            if (seen.moments < 12) continue;
            ++hours;
            CHECK(seen.zenith_deg == Near{t->number(i, zenith), 0.08, 0});
            double const along =
                weather::sin_deg(seen.zenith_deg) * (seen.azimuth_deg - t->number(i, azimuth));
            CHECK(along == Near{0, 0.08, 0});
        }
        CHECK(hours > 3000);
    }
}

// The same years, beam outside the atmosphere: Spencer's distance to half of the last digit printed (1 W/m2),
// the distance of the hourly sun within 0.15 % (how far Spencer's fit of 1971 lies from the ephemeris in
// January).
TEST_CASE("the sun's distance in the solar data base") {
    for (int year = 2000; year <= 2004; ++year) {
        auto const t = open_table("weather/years/724915_" + std::to_string(year) + "_solar.csv");
        if (!t) return;
        auto const etrn = t->column("ETRN (Wh/m^2)"), zenith = t->column("Zenith (deg)");
        auto const sun = weather::sun_over_year(monterey(), year);
        std::size_t hour = 0;
        for (std::size_t i = 0; i < t->rows.size(); ++i) {
            Date const d = date_of(t->rows[i][0]);
            if (d.month == 2 && d.day == 29) continue;
            std::size_t const at = hour++;
            if (std::stoi(t->rows[i][1]) != 12 || t->number(i, zenith) >= 85) continue;
            double const printed = t->number(i, etrn);
            CHECK(older_solar_constant_w_m2 * weather::distance_factor_spencer(day_of_year(d)) ==
                  Near{printed, 0.51, 1e-4});
            CHECK(sun.extraterrestrial_normal_w_m2[at] / weather::solar_constant_w_m2 *
                      older_solar_constant_w_m2 ==
                  Near{printed, 0.5, 0.0015});
        }
    }
}

// The same years, horizontal energy outside the atmosphere. An hour with the sun above 30 deg: half a digit,
// 0.15 % for the distance as above, 0.1 % because the data base lets refraction lift the sun (0.03 deg at 30
// deg: 0.0005 of 0.5).
TEST_CASE("light of an hour outside the atmosphere in the solar data base") {
    for (int year = 2000; year <= 2004; ++year) {
        auto const t = open_table("weather/years/724915_" + std::to_string(year) + "_solar.csv");
        if (!t) return;
        auto const etr = t->column("ETR (Wh/m^2)"), zenith = t->column("Zenith (deg)");
        auto const sun = weather::sun_over_year(monterey(), year);
        std::size_t hour = 0;
        for (std::size_t i = 0; i < t->rows.size(); ++i) {
            Date const d = date_of(t->rows[i][0]);
            if (d.month == 2 && d.day == 29) continue;
            std::size_t const at = hour++;
            if (t->number(i, zenith) >= 60) continue;
            CHECK(sun.extraterrestrial_horizontal_w_m2[at] / weather::solar_constant_w_m2 *
                      older_solar_constant_w_m2 ==
                  Near{t->number(i, etr), 0.5, 0.0025});
        }
    }
}

// The same years, day by day: the handbook's daily total (Spencer's declination and distance, eq. 1.10.3).
// Within its leap cycle the calendar slips against the sun by up to a day, and in February a day brings 1 %
// more than the one before (6,689 Wh on the 52nd day of 2000, 6,945 on the 56th); the data base's seen sun
// rises earlier and stands higher, 0.5 % in winter; Spencer's formulas miss by 0.1 %. Hence 2 % a day, and
// 0.3 % for the sum of five years.
TEST_CASE("light of a day outside the atmosphere by the handbook formula") {
    double printed_sum = 0, found_sum = 0;
    for (int year = 2000; year <= 2004; ++year) {
        auto const t = open_table("weather/years/724915_" + std::to_string(year) + "_solar.csv");
        if (!t) return;
        auto const etr = t->column("ETR (Wh/m^2)");
        std::map<int, double> days;
        for (std::size_t i = 0; i < t->rows.size(); ++i)
            days[day_of_year(date_of(t->rows[i][0]))] += t->number(i, etr);
        for (auto const& [day, printed] : days) {
            double const dec = weather::declination_spencer_deg(day);
            double const set = weather::sunset_hour_angle_deg(36.600, dec);
            double const found = weather::extraterrestrial_j_m2(
                                     older_solar_constant_w_m2 * weather::distance_factor_spencer(day),
                                     36.600, dec, -set, set) /
                                 3600;
            CHECK(found == Near{printed, 0, 0.02});
            printed_sum += printed, found_sum += found;
        }
    }
    CHECK(found_sum == Near{printed_sum, 0, 0.003});
}

// TMY3 files (Wilcox & Marion 2008, NREL/TP-581-43156): extraterrestrial columns, printed to 1 W/m2, months
// of several years. Tolerances as in the data base they come from.
TEST_CASE("light outside the atmosphere in the typical-year files") {
    struct Row {
        std::string file;
        weather::Site site;
    };
    auto const site = [](double lat, double lon, double elevation, double offset) {
        weather::Site s;
        s.latitude_deg = lat, s.longitude_deg = lon, s.elevation_m = elevation, s.utc_offset_h = offset;
        return s;
    };
    for (auto const& [file, place] :
         std::vector<Row>{{"weather/boise-tmy3.csv", site(43.620, -116.210, 874, -7)},
                          {"weather/bishop-tmy3.csv", site(37.367, -118.350, 1250, -8)},
                          {"weather/years/724915TY.csv", monterey()}}) {
        auto const t = open_table(file, 1);
        if (!t) return;
        auto const etr = t->column("ETR (W/m^2)"), etrn = t->column("ETRN (W/m^2)");
        std::map<int, weather::SunYear> suns;
        for (std::size_t i = 0; i < t->rows.size(); ++i) {
            Date const d = date_of(t->rows[i][0]);
            if (!suns.count(d.year)) suns[d.year] = weather::sun_over_year(place, d.year);
            auto const& sun = suns[d.year];
            if (sun.zenith_deg[i] >= 60 || sun.sun_up_fraction[i] < 1) continue;
            double const factor = older_solar_constant_w_m2 / weather::solar_constant_w_m2;
            CHECK(factor * sun.extraterrestrial_horizontal_w_m2[i] == Near{t->number(i, etr), 0.5, 0.0025});
            CHECK(factor * sun.extraterrestrial_normal_w_m2[i] == Near{t->number(i, etrn), 0.5, 0.0015});
        }
    }
}

// EPW files of two stations, fields 11 and 12: extraterrestrial horizontal and normal, Wh/m2.
TEST_CASE("light outside the atmosphere in the building-simulation files") {
    for (std::string const file : {"weather/chicago-ohare.epw", "weather/denver-intl.epw"}) {
        auto const head = open_table(file, 0, false);
        if (!head) return;
        weather::Site site;
        site.latitude_deg = head->number(0, 6), site.longitude_deg = head->number(0, 7);
        site.utc_offset_h = head->number(0, 8), site.elevation_m = head->number(0, 9);
        std::map<int, weather::SunYear> suns;
        std::size_t const rows = head->rows.size() - 8;
        CHECK(rows == 8760);
        for (std::size_t i = 0; i < rows; ++i) {
            int const year = static_cast<int>(head->number(8 + i, 0));
            if (!suns.count(year)) suns[year] = weather::sun_over_year(site, year);
            auto const& sun = suns[year];
            if (sun.zenith_deg[i] >= 60 || sun.sun_up_fraction[i] < 1) continue;
            double const factor = older_solar_constant_w_m2 / weather::solar_constant_w_m2;
            CHECK(factor * sun.extraterrestrial_horizontal_w_m2[i] ==
                  Near{head->number(8 + i, 10), 0.5, 0.0025});
            CHECK(factor * sun.extraterrestrial_normal_w_m2[i] == Near{head->number(8 + i, 11), 0.5, 0.0015});
        }
    }
}

// Station pressure of the files, mean of the year, against the standard atmosphere at the station's height.
// The weather stands a few hPa above the standard 1013.25 hPa at sea level: within 1 %. The Boise file is
// left out: its height of 701 m does not belong to its pressure (917 hPa are those of 840 m; other lists have
// 874 m).
TEST_CASE("station pressure by elevation in the typical-year files") {
    struct Row {
        std::string file;
        bool epw;
        double elevation_m;
    };
    for (auto const& [file, epw, elevation_m] : std::vector<Row>{{"weather/bishop-tmy3.csv", false, 1250},
                                                                 {"weather/years/724915TY.csv", false, 50},
                                                                 {"weather/chicago-ohare.epw", true, 201},
                                                                 {"weather/denver-intl.epw", true, 1650}}) {
        CAPTURE(file);
        auto const t = epw ? open_table(file, 0, false) : open_table(file, 1);
        if (!t) return;
        std::size_t const column = epw ? 9 : t->column("Pressure (mbar)"), first = epw ? 8 : 0;
        double sum = 0, count = 0;
        for (std::size_t i = first; i < t->rows.size(); ++i) {
            double const pa = t->number(i, column) * (epw ? 1 : 100);
            if (pa > 0 && pa < 200000) sum += pa, count += 1;
        }
        REQUIRE(count > 8000);
        CHECK(weather::standard_pressure_pa(elevation_m) == Near{sum / count, 0, 0.01});
        CHECK(models::standard_atmosphere_kpa_at(elevation_m) == Near{sum / count / 1000, 0, 0.01});
    }
}

// Worst runs of 1, 3, 5, 7, 10, 14, 21 and 30 days of the typical year of station 724915, GHI in kWh/m2 a
// day: measured by others in the same open file and printed to 0.01.
TEST_CASE("cloudiest runs of days in a typical year") {
    std::string const path = HOLDWATER_SHARED "/weather/years/724915TY.csv";
    if (!std::filesystem::exists(path)) {
        std::cout << "SKIPPED 724915TY.csv: not found below HOLDWATER_SHARED\n";
        return;
    }
    auto const year = weather::read_weather(path);
    auto const runs = weather::worst_cloudy_periods(weather::daily_energy_kwh_m2(year.ghi_w_m2), 30);
    for (auto const& [days, kwh] : std::vector<std::pair<std::size_t, double>>{
             {1, 0.75}, {3, 0.96}, {5, 1.33}, {7, 1.62}, {10, 1.70}, {14, 1.88}, {21, 2.19}, {30, 2.39}}) {
        CAPTURE(days);
        CHECK(runs[days - 1].energy / static_cast<double>(days) == Near{kwh, 0.0051, 0});
    }
}

namespace {

/// Seven whole days of one house's water events (22 to 28 July 2020), hose and irrigation left out: when each
/// draw begins and ends [s from the first midnight] and its flow.
struct HouseDraw {
    double from_s, until_s, flow_m3_s;
};
std::vector<HouseDraw> house_draws(OpenTable const& t) {
    auto const start = t.column("StartTime"), minutes = t.column("Duration(min)"),
               gallons = t.column("Volume(gal)"), label = t.column("Label");
    std::vector<HouseDraw> draws;
    for (std::size_t i = 0; i < t.rows.size(); ++i) {
        std::string const& when = t.rows[i][start];
        int const day = std::stoi(when.substr(8, 2)) - 22;
        if (when.substr(0, 7) != "2020-07" || day < 0 || day > 6) continue;
        if (t.rows[i][label] == "hose" || t.rows[i][label] == "irrigation") continue;
        double const from_s =
            86400.0 * day + 3600 * std::stoi(when.substr(11, 2)) + 60 * std::stoi(when.substr(14, 2));
        draws.push_back({from_s, from_s + 60 * t.number(i, minutes),
                         t.number(i, gallons) / t.number(i, minutes) * gpm_m3_s});
    }
    return draws;
}

/// The draws as the taps of each hour take them: flows that overlap add.
sim::HourlyInputs house_inputs(std::vector<HouseDraw> const& draws) {
    auto in = steady_inputs(1e5, 0, 0, 0);
    in.first_draw.assign(1, 0);
    for (int h = 0; h < sim::hours_per_year; ++h) {
        double const begin_s = 3600.0 * h;
        std::vector<double> edges{3600};
        for (auto const& d : draws)
            for (double const s : {d.from_s - begin_s, d.until_s - begin_s})
                if (s > 0 && s < 3600) edges.push_back(s);
        std::sort(edges.begin(), edges.end());
        double from_s = 0;
        for (double const until_s : edges) {
            double flow = 0;
            for (auto const& d : draws)
                if (d.from_s - begin_s <= from_s && d.until_s - begin_s >= until_s) flow += d.flow_m3_s;
            if (until_s > from_s) in.draws.push_back({until_s, flow});
            in.demand_m3[static_cast<std::size_t>(h)] += flow * (until_s - from_s);
            from_s = until_s;
        }
        in.first_draw.push_back(static_cast<std::uint32_t>(in.draws.size()));
    }
    return in;
}

/// A tank of this drawdown on a pump of steady flow, power without end.
sim::System house_tank(double drawdown_gal, double pump_gpm) {
    auto s = plain_system();
    s.battery.capacity_kwh = 1000;
    s.tank.total_volume_m3 *= drawdown_gal * gal_m3 / 0.080;
    double const in = models::stored_water_m3(s.tank, s.tank.cut_in_kpa),
                 out = models::stored_water_m3(s.tank, s.tank.cut_out_kpa), q = pump_gpm * gpm_m3_s;
    s.fill = models::fill_curve_from_nodes(
        {{0, q, 1000}, {in, q, 1000}, {out, q, 1000}, {1.1 * out, q, 1000}}, in, out);
    return s;
}

struct HouseRow {
    double pump_gpm, drawdown_gal, starts_per_day, mean_run_s, lumped_starts_per_day;
};
// Open household events (a house in Utah, 5 persons), put through a tank by others: starts a day, mean run;
// and the same water lumped at each hour's start at 3 gpm.
std::vector<HouseRow> const house_rows{{5, 5, 22.7, 92, 17.0},   {5, 10, 12.1, 172, 9.3},
                                       {5, 22, 6.1, 338, 5.3},   {10, 5, 27.4, 39, 25.1},
                                       {10, 10, 14.1, 75, 12.9}, {10, 22, 6.6, 158, 6.1}};

}  // namespace

// One start more or less in the seven days is 0.14 a day, the print 0.05; a start moves the mean run by up to
// 3 %.
TEST_CASE("a measured week of household draws through a pressure tank") {
    auto const table = open_table("water/household-events.csv");
    if (!table) return;
    auto const draws = house_draws(*table);
    auto const inputs = house_inputs(draws);
    double const wanted_m3 = std::accumulate(inputs.demand_m3.begin(), inputs.demand_m3.end(), 0.0);
    CHECK(wanted_m3 / 7 / gal_m3 == Near{175.2, 0.05, 0});
    for (auto const& r : house_rows) {
        CAPTURE(r.pump_gpm);
        CAPTURE(r.drawdown_gal);
        auto const s = sim::simulate(house_tank(r.drawdown_gal, r.pump_gpm), inputs, {0, 168}).summary;
        CHECK(s.pump_starts / 7 == Near{r.starts_per_day, 0.2, 0});
        CHECK(s.pump_run_h * 3600 / s.pump_starts == Near{r.mean_run_s, 0.5, 0.03});
    }
}

// A draw's whole volume falls to the hour in which it begins.
TEST_CASE("the same week with the water of each hour drawn at its start, as in the year loop") {
    auto const table = open_table("water/household-events.csv");
    if (!table) return;
    auto lumped = steady_inputs(1e5, 0, 0, 3 * gpm_m3_s);
    for (auto const& d : house_draws(*table))
        lumped.demand_m3[static_cast<std::size_t>(d.from_s / 3600)] += d.flow_m3_s * (d.until_s - d.from_s);
    for (auto const& r : house_rows) {
        CAPTURE(r.pump_gpm);
        CAPTURE(r.drawdown_gal);
        auto const s = sim::simulate(house_tank(r.drawdown_gal, r.pump_gpm), lumped, {0, 168}).summary;
        CHECK(s.pump_starts / 7 == Near{r.lumped_starts_per_day, 0.2, 0});
    }
}

TEST_SUITE_END();
