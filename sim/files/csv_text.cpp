#include "sim/files/csv_text.hpp"

#include <fmt/format.h>

#include <cmath>
#include <variant>

#include "scenarios/text/toml_text.hpp"
#include "weather/csv.hpp"

namespace holdwater::sim {

std::string csv_field(std::string_view text) {
    // Names of files may hold any character, and a terminal obeys these.
    if (!scenarios::control_character(text).empty()) return csv_field(weather::to_utf8(text));
    if (text.find_first_of(",\"\r\n") == std::string_view::npos) return std::string(text);
    std::string out = "\"";
    for (char const c : text) {
        if (c == '"') out += '"';
        out += c;
    }
    return out + "\"";
}

std::string csv_number(double value) { return std::isfinite(value) ? fmt::format("{}", value) : ""; }

std::string csv_heading(std::string_view name, std::string_view unit) {
    return csv_field(unit.empty() || unit == "1" ? std::string(name) : fmt::format("{} [{}]", name, unit));
}

std::string csv_line(std::vector<std::string> const& fields) {
    return fmt::format("{}\r\n", fmt::join(fields, ","));
}

std::string csv_header(Table const& table) {
    std::vector<std::string> fields;
    fields.reserve(table.columns.size());
    for (auto const& column : table.columns) fields.push_back(csv_heading(column.name, column.unit));
    return csv_line(fields);
}

std::string csv_rows(Table const& table) {
    if (table.columns.empty()) return "";
    std::size_t const rows =
        std::visit([](auto const& values) { return values.size(); }, table.columns[0].values);
    std::string out;
    std::vector<std::string> fields;
    for (std::size_t i = 0; i < rows; ++i) {
        fields.clear();
        for (auto const& column : table.columns)
            if (auto const* texts = std::get_if<std::vector<std::string>>(&column.values))
                fields.push_back(csv_field((*texts)[i]));
            else
                fields.push_back(csv_number(std::get<std::vector<double>>(column.values)[i]));
        out += csv_line(fields);
    }
    return out;
}

}  // namespace holdwater::sim
