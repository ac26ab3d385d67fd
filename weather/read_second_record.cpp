#include "weather/read_second_record.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "weather/hour_table.hpp"
#include "weather/raw_table.hpp"
#include "weather/read_raw_table.hpp"
#include "weather/split_years.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::weather {

namespace {

/// Only values that fill_hours accepts as possible.
void drop_impossible(std::vector<double>& values, double low, double high) {
    for (double& v : values)
        if (!(v >= low && v <= high)) v = missing;
}

SecondRecord::Readings readings_of(RawTable& table) {
    auto hours = place_rows(table, {});
    // For the transitions between the years of a typical year, as in fill_hours.
    for (std::size_t i = 1; i < hours_per_year; ++i)
        if (hours.file_year[i] == 0) hours.file_year[i] = hours.file_year[i - 1];
    drop_impossible(hours.temperature_c, -90, 70);
    drop_impossible(hours.wind_m_s, 0, 120);
    readings_to_means(hours, table);
    return {std::move(hours.temperature_c), std::move(hours.wind_m_s)};
}

/// Whether no hour of the year appears twice.
bool holds_one_year(RawTable const& table) {
    std::set<int> minutes;
    return std::all_of(table.rows.begin(), table.rows.end(), [&](RawRow const& row) {
        return minutes.insert((row.month * 32 + row.day) * 1500 + row.minute).second;
    });
}

SecondRecord second_record(RawTable&& table) {
    check_site(table);
    SecondRecord record{table.path, table.station, table.site, holds_one_year(table), {}};
    if (table.rows.empty()) throw WeatherError(table.path, 0, "no data rows");
    if (record.one_year_for_all) {
        record.years.emplace(0, readings_of(table));
    } else {
        auto const years = years_in(table);
        for (auto& [year, part] : split_years(std::move(table), {}, years))
            record.years.emplace(year, readings_of(part));
    }
    bool const nothing = std::all_of(record.years.begin(), record.years.end(), [](auto const& year) {
        auto const& values = year.second.temperature_c;
        return std::all_of(values.begin(), values.end(), [](double v) { return std::isnan(v); });
    });
    if (nothing)
        throw WeatherError(record.path, 0,
                           "no usable temperature in the file that is to give temperature and wind");
    return record;
}

constexpr Needs needs{.light = false, .temperature = true};

}  // namespace

SecondRecord read_second_record(std::string const& path) {
    return second_record(read_raw_table(text_of_weather_file(path), path, {}, needs));
}

SecondRecord read_second_record_text(std::string const& text, std::string const& name) {
    return second_record(read_raw_table(text, name, {}, needs));
}

}  // namespace holdwater::weather
