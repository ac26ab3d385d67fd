#include "scenarios/settings/field_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace holdwater::scenarios {
namespace {

constexpr std::string_view unit_of_name = "as the name ends";

// A field whose name in the model is not that of its key, or not the trade's words.
struct Named {
    std::string_view field, key, words{};
    std::string_view unit = unit_of_name;
};

constexpr std::array named{
    Named{"search_w", "search_draw"},
    Named{"search_wake_w", "search_wakes_at"},
    Named{"surge ratio", "surge_power"},
    Named{"surge seconds", "surge_times"},
    Named{"output_v", "output_voltage"},
    Named{"low_voltage_v", "low_voltage_cutout"},
    Named{"efficiency_at_10", "efficiency_at_10_50_100_percent", "efficiency at 10 % load", ""},
    Named{"k1", "efficiency_at_10_50_100_percent", "loss in proportion to the load", ""},
    Named{"k2", "efficiency_at_10_50_100_percent", "loss in proportion to the square of the load", ""},
    Named{"half_l_per_h", "fuel_at_half_load", "fuel at half load"},
    Named{"full_l_per_h", "fuel_at_full_load", "fuel at full load"},
    Named{"fuel_a_l_per_h_kw", "", "fuel when idling for each kW of the rating"},
    Named{"fuel_b_l_per_kwh", "", "fuel for each kWh"},
    Named{"derate_height_m", "derate_above"},
    Named{"derate_temperature_c", "derate_above_temperature"},
    Named{"derate_per_300_m", "derate_per_300_m", "derating for each 300 m", ""},
    Named{"derate_per_5p6_k", "", "derating for each 5.6 K", ""},
    Named{"hours", "rated_hours"},
    Named{"rated capacity", "rated_capacities"},
    Named{"min_soc", "", "minimum SOC", ""},
    Named{"open_circuit soc", "", "open-circuit SOC", ""},
    Named{"total_volume_m3", "volume"},
    Named{"air_fraction", "air_left"},
    Named{"minor_loss_k", "fittings_k", "loss coefficient of the fittings", ""},
    Named{"hazen_williams_c", "hazen_williams_c", "Hazen-Williams coefficient", ""},
    Named{"kva_per_hp", "code_letter", "locked-rotor kVA for each hp", ""},
    Named{"max_v", "", "highest voltage"},
    Named{"min_v", "", "lowest voltage"},
    Named{"max_hz", "", "highest frequency"},
    Named{"min_hz", "", "lowest frequency"},
    Named{"log_sigma", "", "spread of the durations", ""},
    Named{"ohm_per_m", "", "resistance for each meter", "ohm/m"},
    Named{"reactance_ohm_per_m", "", "reactance for each meter"},
    Named{"ashrae_b0", "glass_b0", "loss coefficient of the glass", ""},
    Named{"extinction_per_m", "glass_extinction", "extinction in the glass"},
    Named{"faiman_u0_w_m2_k", "heat_loss_still", "heat loss without wind"},
    Named{"faiman_u1_w_s_m3_k", "heat_loss_wind", "heat loss by wind"},
    Named{"king.a", "mounting", "mounting coefficient", ""},
    Named{"king.b_s_per_m", "mounting", "mounting coefficient of the wind"},
    Named{"king.cell_rise_k", "mounting", "cell temperature above that of the back"},
    Named{"noct_c", "nominal_cell_temperature", "nominal cell temperature"},
    Named{"a_v", "diode_voltage", "diode voltage"},
    Named{"isc_a", "short_circuit_current", "short-circuit current"},
    Named{"imp_a", "max_power_current", "current at maximum power"},
    Named{"vmp_v", "max_power_voltage", "voltage at maximum power"},
    Named{"voc_v", "open_circuit_voltage", "open-circuit voltage"},
    Named{"alpha_a_per_k", "current_temperature_coefficient", "temperature coefficient of the current"},
    Named{"beta_v_per_k", "voltage_temperature_coefficient", "temperature coefficient of the voltage"},
    Named{"voc_coefficient_per_k", "", "temperature coefficient of the open-circuit voltage"},
    Named{"vmp_coefficient_per_k", "", "temperature coefficient of the voltage at maximum power"},
    Named{"gamma_per_k", "power_temperature_coefficient", "temperature coefficient of the power"}};

Named const* name_of(std::string_view field) {
    auto const* const found =
        std::find_if(named.begin(), named.end(), [&](Named const& n) { return n.field == field; });
    return found == named.end() ? nullptr : found;
}

using Pair = std::pair<std::string_view, std::string_view>;

// A unit that ends with the letters of another one comes before it.
constexpr std::array unit_endings{Pair{"_w_s_m3_k", "W s/(m3 K)"},
                                  Pair{"_w_m2_k", "W/(m2 K)"},
                                  Pair{"_s2_m5", "s2/m5"},
                                  Pair{"_m3_s", "m3/s"},
                                  Pair{"_m2_s", "m2/s"},
                                  Pair{"_ohm_per_m", "ohm/m"},
                                  Pair{"_l_per_h_kw", "L/(h kW)"},
                                  Pair{"_l_per_h", "L/h"},
                                  Pair{"_l_per_kwh", "L/kWh"},
                                  Pair{"_a_per_k", "A/K"},
                                  Pair{"_v_per_k", "V/K"},
                                  Pair{"_k_per_w", "K/W"},
                                  Pair{"_s_per_m", "s/m"},
                                  Pair{"_per_h", "1/h"},
                                  Pair{"_per_k", "1/K"},
                                  Pair{"_per_m", "1/m"},
                                  Pair{"_kwh", "kWh"},
                                  Pair{"_kw", "kW"},
                                  Pair{"_kpa", "kPa"},
                                  Pair{"_ohm", "ohm"},
                                  Pair{"_mm2", "mm2"},
                                  Pair{"_ev", "eV"},
                                  Pair{"_hz", "Hz"},
                                  Pair{"_m3", "m3"},
                                  Pair{"_m2", "m2"},
                                  Pair{"_va", "VA"},
                                  Pair{"_ah", "Ah"},
                                  Pair{"_w", "W"},
                                  Pair{"_v", "V"},
                                  Pair{"_a", "A"},
                                  Pair{"_h", "h"},
                                  Pair{"_s", "s"},
                                  Pair{"_y", "years"},
                                  Pair{"_m", "m"},
                                  Pair{"_c", "degC"},
                                  Pair{"_k", "K"},
                                  Pair{"_l", "L"},
                                  Pair{"_d", "days"}};

}  // namespace

std::string_view key_of_field(std::string_view field) {
    auto const* const n = name_of(field);
    return n == nullptr ? std::string_view{} : n->key;
}

std::string field_words(models::ParameterError const& error) {
    // The error reads "field = value (rule)".
    std::string_view const field = error.field(), all = error.what();
    auto const from = field.size() + std::string_view(" = ").size();
    auto const value = all.substr(from, all.find(" (", from) - from);
    auto const* const own = name_of(field);
    auto const* const ending = std::find_if(unit_endings.begin(), unit_endings.end(),
                                            [&](Pair const& p) { return field.ends_with(p.first); });
    bool const by_name = ending != unit_endings.end() && (own == nullptr || own->unit == unit_of_name);
    std::string words(by_name ? field.substr(0, field.size() - ending->first.size()) : field);
    if (own != nullptr && !own->words.empty()) words = own->words;
    std::replace(words.begin(), words.end(), '_', ' ');
    std::string_view const unit = by_name                                       ? ending->second
                                  : own != nullptr && own->unit != unit_of_name ? own->unit
                                                                                : std::string_view{};
    return fmt::format("{} = {}{}{}", words, value, unit.empty() ? "" : " ", unit);
}

std::string problem_words(std::exception const& error) {
    auto const* const of_field = dynamic_cast<models::ParameterError const*>(&error);
    if (of_field == nullptr) return error.what();
    return fmt::format("{} ({})", field_words(*of_field), of_field->rule());
}

}  // namespace holdwater::scenarios
