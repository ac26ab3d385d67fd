#include "sim/base/shown_figure.hpp"

#include <algorithm>
#include <array>

#include "models/numeric/trade_units.hpp"
#include "sim/base/figure_text.hpp"

namespace holdwater::sim {
namespace {

using models::m3_per_gal, models::m_per_ft, models::kpa_per_psi, models::w_per_hp;

// value in the shown unit = value in SI * factor + offset
struct Shown {
    std::string_view unit;
    double factor = 1, offset = 0;
};
struct Row {
    std::string_view si;
    Shown metric, us;
};

constexpr std::array rows{
    Row{"1", {"", 1}, {"", 1}},
    Row{"m3", {"L", 1e3}, {"gal", 1 / m3_per_gal}},
    Row{"m3/day", {"L/day", 1e3}, {"gal/day", 1 / m3_per_gal}},
    Row{"m3/s", {"L/min", 6e4}, {"gpm", 60 / m3_per_gal}},
    Row{"L", {"L", 1}, {"gal", 1e-3 / m3_per_gal}},
    Row{"L/h", {"L/h", 1}, {"gal/h", 1e-3 / m3_per_gal}},
    Row{"m", {"m", 1}, {"ft", 1 / m_per_ft}},
    Row{"mm", {"mm", 1}, {"in", 1 / 25.4}},
    Row{"kPa", {"bar", 0.01}, {"psi", 1 / kpa_per_psi}},
    Row{"degC", {"°C", 1}, {"°F", 1.8, 32}},
    Row{"W shaft", {"kW", 1e-3}, {"hp", 1 / w_per_hp}},
    Row{"kWh/m3", {"kWh/m3", 1}, {"kWh per 1,000 gal", 1e3 * m3_per_gal}},
    Row{"ohm/km", {"Ω/km", 1}, {"Ω/1,000 ft", m_per_ft}},
};

}  // namespace

ShownFigure shown(double value, std::string_view unit, scenarios::UnitSystem units) {
    auto const* const row =
        std::find_if(rows.begin(), rows.end(), [&](Row const& r) { return r.si == unit; });
    if (row == rows.end()) return {value, std::string(unit)};
    Shown const& to = units == scenarios::UnitSystem::us ? row->us : row->metric;
    return {value * to.factor + to.offset, std::string(to.unit)};
}

std::string shown_text(double value, std::string_view unit, scenarios::UnitSystem units, int decimals) {
    auto const figure = shown(value, unit, units);
    return figure_text(figure.value, decimals) + (figure.unit.empty() ? "" : " ") + figure.unit;
}

}  // namespace holdwater::sim
