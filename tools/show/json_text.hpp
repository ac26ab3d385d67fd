#pragma once

#include <fmt/format.h>

#include <cmath>
#include <cstddef>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

#include "sim/year/supply_indices.hpp"
#include "weather/csv.hpp"

namespace holdwater::tools {

/// As printed. Bytes that are not UTF-8 (a path may have any bytes) become the replacement character. Control
/// characters that JSON allows as they are, U+007F to U+009F, are written as escapes, like all others.
inline std::string json_text(nlohmann::ordered_json const& json) {
    auto const text = json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
    std::string out;
    out.reserve(text.size());
    for (std::size_t i = 0; i < text.size(); ++i) {
        // Line breaks are those of this layout; the last byte of the others is their number.
        auto const length = text[i] == '\n' ? 0 : weather::control_length(std::string_view(text).substr(i));
        if (length == 0) {
            out += text[i];
            continue;
        }
        i += length - 1;
        out += fmt::format("\\u{:04x}", static_cast<unsigned char>(text[i]));
    }
    return out;
}

/// Null if there is no number: never, or more than was run.
inline nlohmann::ordered_json json_number(double value) {
    return std::isfinite(value) ? nlohmann::ordered_json(value) : nlohmann::ordered_json(nullptr);
}

/// Each index by its name; null where it has no end.
inline nlohmann::ordered_json indices_json(sim::SupplyIndices const& indices) {
    nlohmann::ordered_json json;
    for (auto const& field : sim::index_fields())
        json[std::string(field.name)] = json_number(indices.*field.value);
    for (auto const& field : sim::index_fields())
        json["definitions"][std::string(field.name)] = {
            {"unit", field.unit}, {"definition", field.long_name}, {"source", field.source}};
    return json;
}

}  // namespace holdwater::tools
