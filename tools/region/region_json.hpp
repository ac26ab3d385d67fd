#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "sim/region/region_rows.hpp"

namespace holdwater::tools {

/// The answer in SI units. A battery that no size of the list is enough for is null, with a reason.
nlohmann::ordered_json region_json(sim::RegionAnswer const& answer);

/// The rows as GeoJSON (RFC 7946): one point for each station, array and daily demand, [longitude, latitude,
/// elevation]; without a place the geometry is null.
std::string region_geojson(sim::RegionAnswer const& answer);

}  // namespace holdwater::tools
