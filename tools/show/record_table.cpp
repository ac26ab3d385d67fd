#include "tools/show/record_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "sim/base/figure_text.hpp"

namespace holdwater::tools {
namespace {

double sum_kwh_m2(std::vector<double> const& w_m2) {
    double sum = 0;
    for (double v : w_m2) sum += v * 1e-3;
    return sum;
}

int filled_hours(weather::WeatherYear const& year) {
    int hours = 0;
    for (auto const& r : year.repairs)
        if (r.kind == "gap" || r.kind == "long gap") hours += r.hours;
    return hours;
}

struct Air {
    double mean_c = 0, least_c = 0;
};

Air air_of(weather::WeatherYear const& year) {
    Air air{0, *std::min_element(year.temperature_c.begin(), year.temperature_c.end())};
    for (double t : year.temperature_c) air.mean_c += t / static_cast<double>(year.temperature_c.size());
    return air;
}

using YearOfModel = std::map<weather::LightModel, weather::WeatherYear const*>;

std::map<int, YearOfModel> by_year(weather::RecordedYears const& record) {
    std::map<int, YearOfModel> years;
    for (auto const& light : record.lights)
        for (auto const& chain : light.chains)
            for (auto const& [number, year] : chain.years) years[number][light.model] = &year;
    return years;
}

nlohmann::ordered_json json_of(weather::RecordedYear const& recorded) {
    auto const& year = recorded.weather;
    Air const air = air_of(year);
    nlohmann::ordered_json json{{"year", recorded.year},
                                {"path", year.path},
                                {"ghi_kwh_m2", sum_kwh_m2(year.ghi_w_m2)},
                                {"dni_kwh_m2", sum_kwh_m2(year.dni_w_m2)},
                                {"dhi_kwh_m2", sum_kwh_m2(year.dhi_w_m2)},
                                {"temperature_mean_c", air.mean_c},
                                {"temperature_min_c", air.least_c},
                                {"filled_h", filled_hours(year)}};
    json["repairs"] = nlohmann::ordered_json::array();
    for (auto const& r : year.repairs)
        json["repairs"].push_back(
            {{"kind", r.kind}, {"first_hour", r.first_hour}, {"hours", r.hours}, {"rule", r.rule}});
    json["warnings"] = year.warnings;
    return json;
}

}  // namespace

std::string shown_model(weather::LightModel model) {
    return model == weather::LightModel::own ? "light of the files" : std::string(weather::name_of(model));
}

std::string chain_words(weather::RecordedLight const& light) {
    std::vector<int> years;
    for (auto const& chain : light.chains)
        for (auto const& year : chain.years) years.push_back(year.year);
    return fmt::format("{}: {}; {} year{}, {} of them with the next year recorded too",
                       shown_model(light.model), weather::words_of_years(years), years.size(),
                       years.size() == 1 ? "" : "s", light.verdict_years());
}

std::string record_table(weather::RecordedYears const& record, Units units) {
    auto const& first = record.lights[0].chains[0].years[0].weather;
    std::string out = fmt::format("Recorded years  ({}, {} file{})\n", first.format, record.files.size(),
                                  record.files.size() == 1 ? "" : "s");
    if (!first.station.empty()) out += first.station + "\n";
    out += fmt::format("latitude {}, longitude {}, elevation {}, UTC{:+g} h\n",
                       sim::figure_text(first.site.latitude_deg, 3),
                       sim::figure_text(first.site.longitude_deg, 3),
                       show_length(first.site.elevation_m, units), first.site.utc_offset_h);
    if (!record.second_file.empty())
        out += fmt::format("temperature, wind where missing: {}\n", record.second_file);
    out += fmt::format("\n{:<8}", "");
    bool const one = record.lights.size() == 1;
    for (auto const& light : record.lights) out += fmt::format("{:>32}", one ? "" : shown_model(light.model));
    out += fmt::format("\n{:<8}", "kWh/m2");
    for (std::size_t i = 0; i < record.lights.size(); ++i)
        out += fmt::format("{:>8}{:>8}{:>8}{:>8}", "GHI", "DNI", "DHI", "filled");
    out += fmt::format("{:>12}{:>12}\n", "mean", "coldest h");
    for (auto const& [number, models] : by_year(record)) {
        out += fmt::format("{:<8}", number);
        for (auto const& light : record.lights) {
            auto const at = models.find(light.model);
            if (at == models.end()) {
                out += fmt::format("{:>32}", "left out");
                continue;
            }
            auto const& year = *at->second;
            out += fmt::format("{:>8}{:>8}{:>8}{:>8}", sim::figure_text(sum_kwh_m2(year.ghi_w_m2)),
                               sim::figure_text(sum_kwh_m2(year.dni_w_m2)),
                               sim::figure_text(sum_kwh_m2(year.dhi_w_m2)),
                               fmt::format("{} h", filled_hours(year)));
        }
        Air const air = air_of(*models.begin()->second);
        out += fmt::format("{:>12}{:>12}\n", show_temperature(air.mean_c, units),
                           show_temperature(air.least_c, units));
    }
    out += "\n";
    for (auto const& light : record.lights) out += chain_words(light) + "\n";
    for (auto const& f : record.findings) {
        std::string const model =
            one || f.model == weather::LightModel::own ? "" : std::string(weather::name_of(f.model)) + ", ";
        std::string const years =
            f.years.empty() || f.kind == "left out" ? "" : weather::words_of_years(f.years) + ": ";
        std::string const hours = f.hours == 0 ? "" : fmt::format("{} h, ", f.hours);
        out += fmt::format("{:<12}{}{}{}{}\n", f.kind == "not a recorded year" ? "passed over" : f.kind,
                           model, hours, years, f.text);
    }
    return out;
}

nlohmann::ordered_json record_json(weather::RecordedYears const& record) {
    nlohmann::ordered_json json;
    json["files"] = record.files;
    json["temperature_file"] = record.second_file;
    auto const& site = record.lights[0].chains[0].years[0].weather.site;
    json["latitude_deg"] = site.latitude_deg;
    json["longitude_deg"] = site.longitude_deg;
    json["elevation_m"] = site.elevation_m;
    json["utc_offset_h"] = site.utc_offset_h;
    for (auto const& light : record.lights) {
        nlohmann::ordered_json shown{{"light_model", std::string(weather::name_of(light.model))},
                                     {"years", light.year_count()},
                                     {"verdict_years", light.verdict_years()}};
        for (auto const& chain : light.chains) {
            nlohmann::ordered_json years = nlohmann::ordered_json::array();
            for (auto const& year : chain.years) years.push_back(json_of(year));
            shown["chains"].push_back(
                {{"first_year", chain.first_year()}, {"last_year", chain.last_year()}, {"years", years}});
        }
        json["lights"].push_back(shown);
    }
    json["findings"] = nlohmann::ordered_json::array();
    for (auto const& f : record.findings)
        json["findings"].push_back({{"kind", f.kind},
                                    {"light_model", std::string(weather::name_of(f.model))},
                                    {"years", f.years},
                                    {"hours", f.hours},
                                    {"text", f.text}});
    return json;
}

}  // namespace holdwater::tools
