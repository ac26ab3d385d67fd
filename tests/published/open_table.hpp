#pragma once

#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "tests/support/places.hpp"
#include "weather/csv.hpp"
#include "weather/weather_year.hpp"

// Open data sets below HOLDWATER_SHARED, as tables.

namespace holdwater::test {

/// A table of texts with its column names.
struct OpenTable {
    std::vector<std::string> columns;
    std::vector<std::vector<std::string>> rows;
    std::size_t column(std::string_view name) const {
        for (std::size_t i = 0; i < columns.size(); ++i)
            if (columns[i] == name) return i;
        FAIL("no column ", name);
        return 0;
    }
    double number(std::size_t row, std::size_t column) const {
        std::string const& text = rows[row][column];
        return text.empty() ? std::nan("") : std::stod(text);
    }
};

/// Nothing if the file is missing; then a line says so. `skip`: lines before the one with the names.
inline std::optional<OpenTable> open_table(std::string const& name, std::size_t skip = 0, bool names = true) {
    std::string const path = HOLDWATER_SHARED "/" + name;
    if (!std::filesystem::exists(path)) {
        std::cout << "SKIPPED " << name << ": not found below HOLDWATER_SHARED\n";
        return std::nullopt;
    }
    std::ifstream in(path, std::ios::binary);
    std::string const text{std::istreambuf_iterator<char>(in), {}};
    auto const lines = weather::split_lines(text);
    OpenTable table;
    std::vector<std::string_view> fields;
    for (std::size_t i = skip; i < lines.size(); ++i) {
        weather::split_fields(lines[i], ',', fields);
        std::vector<std::string> row(fields.begin(), fields.end());
        if (names && table.columns.empty())
            table.columns = std::move(row);
        else
            table.rows.push_back(std::move(row));
    }
    return table;
}

struct Date {
    int year, month, day;
};
inline Date date_of(std::string const& text) {  // YYYY-MM-DD or MM/DD/YYYY
    if (text[4] == '-')
        return {std::stoi(text.substr(0, 4)), std::stoi(text.substr(5, 2)), std::stoi(text.substr(8, 2))};
    return {std::stoi(text.substr(6, 4)), std::stoi(text.substr(0, 2)), std::stoi(text.substr(3, 2))};
}

/// Station 724915 of the National Solar Radiation Data Base.
inline weather::Site monterey() {
    weather::Site site;
    site.latitude_deg = 36.600, site.longitude_deg = -121.867, site.elevation_m = 50, site.utc_offset_h = -8;
    return site;
}

/// The data base and the typical-year files of its family take 1367 W/m2 for the sun.
inline constexpr double older_solar_constant_w_m2 = 1367;

}  // namespace holdwater::test
