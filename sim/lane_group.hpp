#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "models/lanes.hpp"
#include "sim/quick_path.hpp"
#include "sim/water_year.hpp"

namespace holdwater::sim {

/// What the lanes need to know of an HourlyInputs, worked out once for all designs that share it.
struct InputsDigest {
    HourlyInputs const* inputs;
    std::vector<double> summed_load_w{};  ///< of all classes, where there are several
    double const* load_w = nullptr;       ///< all small loads; one series where inputs have the same
    double available_kwh = 0, array_kwh = 0, load_kwh = 0;
    double least_load_w = 0;
    LoadPeaks peaks;
    double peak_draw_m3_s = 0, most_load_start_va = 0;
};
InputsDigest digest_of(HourlyInputs const& inputs, Clock const& clock);

/// Whether the small loads of one are those of the other.
bool same_loads(InputsDigest const& a, InputsDigest const& b);

/// One design of a group.
struct LaneDesign {
    System const* system;
    InputsDigest const* inputs;
};
struct LaneYear {
    Summary summary;
    Findings findings;       ///< where asked for
    double alone_hours = 0;  ///< taken alone
};

/// What keeps lanes from carrying this design, in words that live as long as the program; empty: they can. It
/// depends on nothing but the design.
std::string_view lane_obstacle(LaneDesign const& design);

/// The pump's stretches of a water year as a supply sees them: what inverter and standby need, and how its
/// bank decays. It serves all designs that have these in common, and the small loads.
struct SupplyYear {
    QuickSupply<double> plant;
    double const* load_w;
    std::vector<SupplyStretch<double>> stretches;
    std::vector<double> inverter_dc_kwh;  ///< of every hour
};
SupplyYear supply_year(LaneDesign const& design, WaterYear const& water, Clock const& clock);

/// How the hot loop is compiled; the results are the same bits.
enum class LaneCode { best, portable };

/// Runs up to Lanes::count designs of one water year and one kind of bank side by side. Hours in which no
/// rule applies to a design are quick_hour in all lanes at once; the others are taken as simulate() takes
/// them, design by design. A design whose supply fails its pump, and be it for the moment of a transfer, goes
/// on alone with its own water until that stands where the shared year does. `supply`: of one of the designs
/// or of others of this water; it saves time where it serves, and changes no bit.
std::vector<LaneYear> run_lane_group(std::span<LaneDesign const> designs, WaterYear const& water,
                                     SupplyYear const& supply, Clock const& clock,
                                     LaneCode code = LaneCode::best, bool findings = false);

}  // namespace holdwater::sim
