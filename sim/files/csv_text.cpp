#include "sim/files/csv_text.hpp"

#include <fmt/format.h>

#include <cmath>

namespace holdwater::sim {

std::string csv_field(std::string_view text) {
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

}  // namespace holdwater::sim
