#include "sim/year/supply_indices.hpp"

#include <array>
#include <stdexcept>

#include "sim/water/water_side.hpp"

namespace holdwater::sim {
namespace {

constexpr double some_energy_kwh = 1e-9;

double share(double part, double whole) { return whole > 0 ? part / whole : 0; }

}  // namespace

SupplyIndices supply_indices(RunResult const& run, double usable_kwh, double kwh_per_m3_by_hand,
                             double autonomy_by_hand_days) {
    if (run.clock.first_hour != 0 || run.hours.size() != static_cast<std::size_t>(hours_per_year))
        throw std::invalid_argument("supply indices are those of a whole year from 1 January");
    HourRecord const year = sum_of(run.hours);
    double const water_kwh_per_m3 = kwh_per_m3(year.pump_kw, year.water_delivered_m3, kwh_per_m3_by_hand);

    SupplyIndices x;
    std::array<double, 12> array_kwh{}, demand_kwh{}, hours{};
    double hours_short = 0, water_hours_short = 0;
    for (std::size_t i = 0; i < run.hours.size(); ++i) {
        HourRecord const& h = run.hours[i];
        auto const month = static_cast<std::size_t>(month_of_hour(static_cast<int>(i)) - 1);
        double const missing_kwh = h.load_unserved_kw + h.water_short_m3 * water_kwh_per_m3;
        x.energy_deficit_kwh += missing_kwh;
        ++hours[month];
        array_kwh[month] += h.pv_available_kw;
        demand_kwh[month] += h.load_served_kw + h.pump_kw + missing_kwh;
        bool const dry = h.water_short_m3 > some_water_m3;
        water_hours_short += dry;
        hours_short += dry || h.load_unserved_kw > some_energy_kwh;
    }
    for (double const kwh : demand_kwh) x.energy_demand_kwh += kwh;
    x.loss_of_load_probability = share(x.energy_deficit_kwh, x.energy_demand_kwh);
    x.availability = 1 - x.loss_of_load_probability;
    x.hours_short_fraction = hours_short / hours_per_year;
    x.water_deficit_fraction = share(year.water_short_m3, year.water_demand_m3);
    x.water_hours_short_fraction = water_hours_short / hours_per_year;
    x.autonomy_by_hand_days = autonomy_by_hand_days;
    for (std::size_t m = 0; m < 12; ++m) {
        if (!(demand_kwh[m] > 0)) continue;
        double const ratio = array_kwh[m] / demand_kwh[m];
        if (x.array_ratio_month > 0 && ratio >= x.array_ratio) continue;
        x.array_ratio = ratio;
        x.array_ratio_month = static_cast<double>(m + 1);
        x.storage_ratio_days = usable_kwh / (demand_kwh[m] / hours[m] * 24);
    }
    return x;
}

std::vector<IndexField> const& index_fields() {
    using X = SupplyIndices;
    static constexpr std::string_view egido_lorenzo =
        "Egido and Lorenzo, Solar Energy Materials and Solar Cells 26 (1992) 51, from memory";
    static constexpr std::string_view array_ratio_source =
        "after Egido and Lorenzo (1992), from memory; with the energy that the array offers to the "
        "controller in "
        "place of its light and efficiency";
    static constexpr std::string_view own_definition = "this program's definition";
    static std::vector<IndexField> const fields{
        {"energy_demand_kwh", "kWh", "energy of small loads and pumps if nothing were missing",
         &X::energy_demand_kwh, own_definition},
        {"energy_deficit_kwh", "kWh", "part of the energy demand that was not served", &X::energy_deficit_kwh,
         own_definition},
        {"loss_of_load_probability", "1", "energy deficit divided by energy demand",
         &X::loss_of_load_probability, egido_lorenzo},
        {"availability", "1", "1 - loss-of-load probability", &X::availability, egido_lorenzo},
        {"hours_short_fraction", "1", "hours short of energy or water divided by all hours",
         &X::hours_short_fraction, own_definition},
        {"water_deficit_fraction", "1", "water not delivered divided by demand", &X::water_deficit_fraction,
         own_definition},
        {"water_hours_short_fraction", "1", "hours short of water divided by all hours",
         &X::water_hours_short_fraction, own_definition},
        {"array_ratio", "1", "C_A: array energy divided by energy demand, in the month where it is lowest",
         &X::array_ratio, array_ratio_source},
        {"array_ratio_month", "1", "month of C_A, 1 to 12; 0: no demand", &X::array_ratio_month,
         array_ratio_source},
        {"storage_ratio_days", "d",
         "C_S: usable battery energy divided by the daily energy demand of that month",
         &X::storage_ratio_days, egido_lorenzo},
        {"autonomy_by_hand_days", "d",
         "hand calculation: usable battery energy divided by the busiest day's energy without sun",
         &X::autonomy_by_hand_days, "common practice, no source"},
    };
    return fields;
}

}  // namespace holdwater::sim
