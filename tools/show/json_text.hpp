#pragma once

#include <cmath>
#include <nlohmann/json.hpp>
#include <string>

#include "sim/year/supply_indices.hpp"

namespace holdwater::tools {

/// As printed. Bytes that are not UTF-8 (a path may have any bytes) become the replacement character.
inline std::string json_text(nlohmann::ordered_json const& json) {
    return json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
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
