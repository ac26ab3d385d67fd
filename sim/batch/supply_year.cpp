#include "sim/batch/supply_year.hpp"

#include "sim/supply/supply_side.hpp"

namespace holdwater::sim {
namespace {

template <bool two_wells>
void fill(SupplyYear& year, WaterYear const& water, Clock const& clock) {
    auto h = static_cast<std::size_t>(clock.first_hour % hours_per_year);
    for (std::size_t at = 0; at < water.hours.size(); ++at, h = h + 1 == hours_per_year ? 0 : h + 1) {
        double& inverter_dc_kwh = year.inverter_dc_kwh.emplace_back(0);
        for (PumpStretch const& p : water.stretches(at))
            year.stretches.push_back(year.plant.stretch<two_wells>(p, year.load_w[h], inverter_dc_kwh));
        year.all_inverter_dc_kwh += inverter_dc_kwh;
    }
}

}  // namespace

SupplyYear supply_year(System const& system, InputsDigest const& inputs, WaterYear const& water,
                       Clock const& clock) {
    std::vector<Event> events;
    SupplySide const supply(system, events);
    SupplyYear year{supply.quick_supply(), inputs.load_w, {}, {}};
    year.stretches.reserve(water.pump.size());
    year.inverter_dc_kwh.reserve(water.hours.size());
    supply.battery().is_two_well() ? fill<true>(year, water, clock) : fill<false>(year, water, clock);
    return year;
}

}  // namespace holdwater::sim
