#include "scenarios/text/field_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace holdwater::scenarios {
namespace {

using Pair = std::pair<std::string_view, std::string_view>;

constexpr std::array keys{Pair{"search_w", "search_draw"},
                          Pair{"search_wake_w", "search_wakes_at"},
                          Pair{"surge ratio", "surge_power"},
                          Pair{"surge seconds", "surge_times"},
                          Pair{"output_v", "output_voltage"},
                          Pair{"low_voltage_v", "low_voltage_cutout"},
                          Pair{"half_l_per_h", "fuel_at_half_load"},
                          Pair{"full_l_per_h", "fuel_at_full_load"},
                          Pair{"hours", "rated_hours"},
                          Pair{"rated capacity", "rated_capacities"}};

// A unit that ends with the letters of another one comes before it.
constexpr std::array units{Pair{"_w_s_m3_k", "W s/(m3 K)"},
                           Pair{"_w_m2_k", "W/(m2 K)"},
                           Pair{"_s2_m5", "s2/m5"},
                           Pair{"_m3_s", "m3/s"},
                           Pair{"_m2_s", "m2/s"},
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
    auto const* const found =
        std::find_if(keys.begin(), keys.end(), [&](Pair const& p) { return p.first == field; });
    return found == keys.end() ? std::string_view{} : found->second;
}

std::string field_words(models::ParameterError const& error) {
    // The error reads "field = value (rule)".
    std::string_view const field = error.field(), all = error.what();
    auto const from = field.size() + std::string_view(" = ").size();
    auto const value = all.substr(from, all.find(" (", from) - from);
    auto const* const unit =
        std::find_if(units.begin(), units.end(), [&](Pair const& p) { return field.ends_with(p.first); });
    bool const has_unit = unit != units.end();
    std::string words(has_unit ? field.substr(0, field.size() - unit->first.size()) : field);
    std::replace(words.begin(), words.end(), '_', ' ');
    return fmt::format("{} = {}{}{}", words, value, has_unit ? " " : "", has_unit ? unit->second : "");
}

}  // namespace holdwater::scenarios
