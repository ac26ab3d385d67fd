#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>

#include "sim/base/clock.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/files/whole_file.hpp"
#include "sim/sweep/output_file.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/common_options.hpp"
#include "tools/show/cloudy_period_view.hpp"
#include "tools/show/date_text.hpp"
#include "tools/show/json_text.hpp"
#include "tools/show/record_table.hpp"
#include "tools/show/units.hpp"
#include "weather/quality.hpp"
#include "weather/read_recorded_years.hpp"
#include "weather/read_second_record.hpp"
#include "weather/read_weather.hpp"
#include "weather/sun_position.hpp"
#include "weather/weather_maker.hpp"

namespace holdwater::tools {
namespace {

struct WeatherArguments {
    std::vector<std::string> files;
    std::string out, temperature_file, light_model = "both";
    std::optional<Units> units;
    bool json = false, make = false;
    bool periods = false, plain = false, round_the_year = false;
    std::optional<double> tilt_deg, azimuth_deg;
    std::string stamp;
    int shift_min = 0;
    weather::MakeOptions made;
    std::vector<double> clearness, temperature_c;
};

struct Month {
    double ghi_kwh_m2 = 0, dni_kwh_m2 = 0, dhi_kwh_m2 = 0, mean_c = 0, least_c = 0, most_c = 0;
};

Month month_of(weather::WeatherYear const& year, std::size_t index) {
    Month m;
    auto const begin = static_cast<std::size_t>(weather::month_start_hour[index]),
               end = static_cast<std::size_t>(weather::month_start_hour[index + 1]);
    m.least_c = m.most_c = year.temperature_c[begin];
    for (std::size_t h = begin; h < end; ++h) {
        m.ghi_kwh_m2 += year.ghi_w_m2[h] * 1e-3;
        m.dni_kwh_m2 += year.dni_w_m2[h] * 1e-3;
        m.dhi_kwh_m2 += year.dhi_w_m2[h] * 1e-3;
        m.mean_c += year.temperature_c[h] / static_cast<double>(end - begin);
        m.least_c = std::min(m.least_c, year.temperature_c[h]);
        m.most_c = std::max(m.most_c, year.temperature_c[h]);
    }
    return m;
}

nlohmann::ordered_json cloudy_periods_json(CloudyPeriodReport const& report) {
    nlohmann::ordered_json json;
    json["tilt_deg"] = report.plane.tilt_deg;
    json["azimuth_deg"] = report.plane.azimuth_deg;
    json["round_the_year"] = report.round_the_year;
    for (weather::CloudyRun const& s : report.cloudiest)
        json["cloudiest"].push_back({{"days", s.days},
                                     {"from", month_and_day(s.first_day)},
                                     {"to", month_and_day(s.first_day + s.days - 1)},
                                     {"energy_kwh_m2", s.energy},
                                     {"percent_of_normal", s.percent_of_normal},
                                     {"over_month_seam", s.over_seam},
                                     {"over_year_end", s.over_year_end}});
    json["daily_kwh_m2"] = report.daily_kwh_m2;
    return json;
}

void print_json(weather::WeatherYear const& year, weather::QualityReport const& quality,
                std::optional<CloudyPeriodReport> const& periods) {
    nlohmann::ordered_json json;
    json["path"] = year.path;
    json["format"] = year.format;
    json["station"] = year.station;
    json["latitude_deg"] = year.site.latitude_deg;
    json["longitude_deg"] = year.site.longitude_deg;
    json["elevation_m"] = year.site.elevation_m;
    json["utc_offset_h"] = year.site.utc_offset_h;
    json["ghi_kwh_m2"] = quality.ghi_kwh_m2;
    json["dni_kwh_m2"] = quality.dni_kwh_m2;
    json["dhi_kwh_m2"] = quality.dhi_kwh_m2;
    json["clearness"] = quality.clearness;
    json["closure_residual"] = quality.closure_residual;
    json["beyond_possible_h"] = quality.beyond_possible_h;
    json["beyond_rare_h"] = quality.beyond_rare_h;
    json["ratio_h"] = quality.ratio_h;
    json["light_without_sun_h"] = quality.light_without_sun_h;
    json["stuck_light_h"] = quality.stuck_light_h;
    json["stuck_temperature_h"] = quality.stuck_temperature_h;
    json["repaired_h"] = quality.repaired_h;
    for (std::size_t m = 0; m < 12; ++m) {
        Month const month = month_of(year, m);
        json["months"].push_back({{"month", m + 1},
                                  {"ghi_kwh_m2", month.ghi_kwh_m2},
                                  {"dni_kwh_m2", month.dni_kwh_m2},
                                  {"dhi_kwh_m2", month.dhi_kwh_m2},
                                  {"temperature_mean_c", month.mean_c},
                                  {"temperature_min_c", month.least_c},
                                  {"temperature_max_c", month.most_c}});
    }
    json["repairs"] = nlohmann::ordered_json::array();
    for (auto const& r : year.repairs)
        json["repairs"].push_back(
            {{"kind", r.kind}, {"first_hour", r.first_hour}, {"hours", r.hours}, {"rule", r.rule}});
    json["warnings"] = year.warnings;
    if (periods) json["cloudy_periods"] = cloudy_periods_json(*periods);
    fmt::print("{}\n", json_text(json));
}

void print_table(weather::WeatherYear const& year, weather::QualityReport const& quality, Units units) {
    fmt::print("{}  ({}, {})\n", year.station, year.format, year.path);
    if (!year.note.empty()) fmt::print("{}\n", year.note);
    fmt::print("latitude {}, longitude {}, elevation {}, UTC{:+g} h\n\n",
               sim::figure_text(year.site.latitude_deg, 3), sim::figure_text(year.site.longitude_deg, 3),
               show_length(year.site.elevation_m, units), year.site.utc_offset_h);
    fmt::print("{:<11}{:>8}{:>8}{:>8}   {:>12}{:>12}{:>12}\n", "kWh/m2", "GHI", "DNI", "DHI", "mean",
               "coldest h", "warmest h");
    for (std::size_t i = 0; i < 12; ++i) {
        Month const m = month_of(year, i);
        fmt::print("{:<11}{:>8}{:>8}{:>8}   {:>12}{:>12}{:>12}\n", sim::month_name(static_cast<int>(i) + 1),
                   sim::figure_text(m.ghi_kwh_m2, 1), sim::figure_text(m.dni_kwh_m2, 1),
                   sim::figure_text(m.dhi_kwh_m2, 1), show_temperature(m.mean_c, units),
                   show_temperature(m.least_c, units), show_temperature(m.most_c, units));
    }
    fmt::print("{:<11}{:>8}{:>8}{:>8}   {:>12}{:>12}{:>12}\n\n", "year",
               sim::figure_text(quality.ghi_kwh_m2, 1), sim::figure_text(quality.dni_kwh_m2, 1),
               sim::figure_text(quality.dhi_kwh_m2, 1), show_temperature(quality.temperature_mean_c, units),
               show_temperature(quality.temperature_min_c, units),
               show_temperature(quality.temperature_max_c, units));
    fmt::print("closure   GHI differs from DHI + DNI cos z by {} % of the year's GHI\n",
               sim::figure_text(100 * quality.closure_residual, 2));
    fmt::print(
        "doubtful  {} h beyond what is possible, {} h extremely rare, {} h with components that do not fit "
        "together, {} h with values that do not change\n",
        quality.beyond_possible_h, quality.beyond_rare_h, quality.ratio_h,
        quality.stuck_light_h + quality.stuck_temperature_h);
    fmt::print("repaired  {} h\n", quality.repaired_h);
    for (auto const& r : year.repairs)
        fmt::print("  {:>5} h from {}  {}: {}\n", r.hours, stamp_text(r.first_hour), r.kind, r.rule);
    for (auto const& warning : year.warnings) fmt::print("warning: {}\n", warning);
}

void make(WeatherArguments& o) {
    sim::check_output(o.out, sim::outputs::made_weather, {});
    std::copy(o.clearness.begin(), o.clearness.end(), o.made.clearness.begin());
    std::copy(o.temperature_c.begin(), o.temperature_c.end(), o.made.temperature_c.begin());
    auto const year = weather::make_weather(o.made);
    if (o.out.empty()) return fmt::print("{}", weather::plain_csv_of(year));
    sim::write_whole_file(o.out, weather::plain_csv_of(year));
    fmt::print("{}\n", o.out);
}

void run(WeatherArguments& o) {
    if (o.make) return make(o);
    if (o.files.empty())
        throw CLI::RequiredError(
            "FILE (a TMY3, EPW, gridded, station archive or plain CSV weather file), or --make,");
    weather::RecordOptions record;
    auto& reading = record.reading;
    if (!o.stamp.empty())
        reading.stamp = o.stamp == "start" ? weather::Stamp::start
                        : o.stamp == "end" ? weather::Stamp::end
                                           : weather::Stamp::middle;
    reading.shift_min = o.shift_min;
    if (!o.temperature_file.empty())
        reading.second =
            std::make_shared<weather::SecondRecord const>(weather::read_second_record(o.temperature_file));
    record.models = models_of(o.light_model);
    auto const files = weather::weather_paths(o.files);
    if (weather::is_record(files, record)) {
        if (o.periods) throw CLI::ValidationError("--cloudy-periods", "is for a file of one year");
        auto const years = weather::read_recorded_years(files, record);
        if (o.json)
            fmt::print("{}\n", json_text(record_json(years)));
        else
            fmt::print("{}", record_table(years, o.units.value_or(Units::metric)));
        return;
    }
    if (record.models.size() == 1) reading.light = record.models[0];
    auto const year = weather::read_weather(files[0].path, reading);
    auto const quality = weather::check_quality(year, weather::sun_over_year(year.site));
    std::optional<CloudyPeriodReport> periods;
    if (o.periods) {
        auto plane = latitude_plane(year.site);
        plane.tilt_deg = o.tilt_deg.value_or(plane.tilt_deg);
        plane.azimuth_deg = o.azimuth_deg.value_or(plane.azimuth_deg);
        periods = find_cloudy_periods(year, plane, o.round_the_year);
    }
    if (o.json) return print_json(year, quality, periods);
    print_table(year, quality, o.units.value_or(Units::metric));
    if (periods) fmt::print("\n{}", cloudy_period_table(*periods, o.plain));
}

}  // namespace

void add_weather_command(CLI::App& app, int&) {
    auto const o = std::make_shared<WeatherArguments>();
    CLI::App* const c =
        app.add_subcommand("weather", "Show what is in a weather file, or make a year for an invented place");
    c->add_option("FILE", o->files,
                  "TMY3 CSV, EPW, gridded CSV, station archive CSV or plain CSV, recognized by content; of "
                  "several files, folders, patterns or a file of several years: what years they hold");
    add_recorded(*c, o->temperature_file, o->light_model);
    c->add_option(
         "--stamp", o->stamp,
         "Whether a row's time is the start, middle or end of its hour (default: as the kind of file "
         "says)")
        ->check(CLI::IsMember({"start", "middle", "end"}))
        ->option_text("start|middle|end");
    c->add_option("--shift", o->shift_min, "Minutes to add to every row's time, for a clock that is wrong")
        ->check(CLI::Range(-1440, 1440))
        ->option_text("MIN");
    add_units(*c, o->units);
    c->add_flag("--json", o->json, "Print as JSON (SI units) and nothing else");
    auto* const periods = c->add_flag("--cloudy-periods", o->periods,
                                      "Also the cloudiest periods of 1 to 21 days on a tilted plane");
    c->add_option("--tilt", o->tilt_deg,
                  "With --cloudy-periods: tilt of the plane, degrees (default: the latitude)")
        ->check(CLI::Range(0.0, 90.0))
        ->needs(periods);
    c->add_option(
         "--azimuth", o->azimuth_deg,
         "With --cloudy-periods: where the plane faces, degrees clockwise from north (default: the equator)")
        ->check(CLI::Range(0.0, 360.0))
        ->needs(periods);
    c->add_flag("--round-the-year", o->round_the_year,
                "With --cloudy-periods: let a period continue from December into January")
        ->needs(periods);
    c->add_flag("--plain", o->plain, "With --cloudy-periods: bars of ASCII characters")->needs(periods);
    auto* const made = c->add_flag("--make", o->make, "Make a seeded, plausible year in the plain CSV layout")
                           ->excludes(periods);
    c->add_option("--out", o->out, "With --make: file to write (default: standard output)")->needs(made);
    auto* const place =
        c->add_option("--place", o->made.place, "With --make: name of the invented place")->needs(made);
    auto* const latitude =
        c->add_option("--latitude", o->made.site.latitude_deg, "Degrees, north positive")->needs(made);
    auto* const longitude =
        c->add_option("--longitude", o->made.site.longitude_deg, "Degrees, east positive")->needs(made);
    c->add_option("--elevation-m", o->made.site.elevation_m, "Meters above the sea")->needs(made);
    auto* const offset =
        c->add_option("--utc-offset-h", o->made.site.utc_offset_h, "Local standard time, hours east of UTC")
            ->needs(made);
    auto* const clearness = c->add_option("--clearness", o->clearness,
                                          "Twelve monthly means of the daily clearness index, 0.2 to 0.75")
                                ->expected(12)
                                ->needs(made);
    auto* const temperature =
        c->add_option("--temperature-c", o->temperature_c, "Twelve monthly mean temperatures")
            ->expected(12)
            ->needs(made);
    c->add_option("--seed", o->made.seed, "Same seed, same bytes")->needs(made)->capture_default_str();
    made->needs(place)->needs(latitude)->needs(longitude)->needs(offset)->needs(clearness)->needs(
        temperature);
    c->footer(
        "Examples:\n"
        "  holdwater weather scenarios/weather/juniper-bend.csv\n"
        "  holdwater weather scenarios/weather/juniper-bend.csv --cloudy-periods --tilt 55 --azimuth 180\n"
        "  holdwater weather logger.csv --shift=-60\n"
        "  holdwater weather years/ --temperature-file typical.csv\n"
        "  holdwater weather --make --place \"Juniper Bend\" --latitude 44.2 --longitude -114.6 "
        "--elevation-m 1100 \\\n"
        "      --utc-offset-h -7 --seed 11 --clearness .44 .50 .54 .56 .60 .64 .70 .68 .65 .57 .46 .41 \\\n"
        "      --temperature-c -5 -2 3 7 12 16 21 20 15 8 1 -5 --out juniper-bend.csv");
    c->callback([o] { run(*o); });
}

}  // namespace holdwater::tools
