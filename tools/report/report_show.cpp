#include "tools/report/report_show.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "models/numeric/trade_units.hpp"
#include "scenarios/settings/unit_text.hpp"
#include "sim/base/clock.hpp"
#include "sim/base/figure_text.hpp"

namespace holdwater::tools {
namespace {

std::string joined(ReportUnits units, std::string const& si, std::string const& us) {
    if (units == ReportUnits::metric) return si;
    if (units == ReportUnits::us) return us;
    return si + " (" + us + ")";
}

}  // namespace

std::string ReportShow::volume(double m3) const {
    return joined(units, sim::figure_text(1e3 * m3) + " L",
                  sim::figure_text(m3 / models::m3_per_gal) + " gal");
}

std::string ReportShow::fuel(double liters) const {
    return joined(units, sim::figure_text(liters, 1) + " L",
                  sim::figure_text(liters * 1e-3 / models::m3_per_gal, 1) + " gal");
}

std::string ReportShow::fuel_rate(double liters_per_h) const {
    return joined(units, fmt::format("{} L/h", sim::figure_text(liters_per_h, 1)),
                  fmt::format("{} gal/h", sim::figure_text(liters_per_h * 1e-3 / models::m3_per_gal, 1)));
}

std::string ReportShow::motor_power(double shaft_w) const {
    return joined(units, number_text(1e-3 * shaft_w, 2) + " kW",
                  number_text(shaft_w / models::w_per_hp, 2) + " hp");
}

std::string ReportShow::length(double m) const {
    return joined(units, fmt::format("{} m", sim::figure_text(m)),
                  fmt::format("{} ft", sim::figure_text(m / models::m_per_ft)));
}

std::string ReportShow::pressure(double kpa) const {
    return joined(units, number_text(kpa / 100, 2) + " bar",
                  fmt::format("{} psi", sim::figure_text(kpa / models::kpa_per_psi)));
}

std::string ReportShow::temperature(double c) const {
    return joined(units, fmt::format("{} °C", sim::figure_text(c)),
                  fmt::format("{} °F", sim::figure_text(1.8 * c + 32)));
}

std::string ReportShow::flow(double m3_s) const {
    return joined(units, fmt::format("{} L/min", sim::figure_text(6e4 * m3_s, 1)),
                  fmt::format("{} gpm", sim::figure_text(60 * m3_s / models::m3_per_gal, 1)));
}

std::string ReportShow::words(std::string const& text) const {
    switch (units) {
        case ReportUnits::metric:
            return scenarios::in_units(scenarios::UnitSystem::metric, text);
        case ReportUnits::us:
            return scenarios::in_units(scenarios::UnitSystem::us, text);
        case ReportUnits::both:
            break;
    }
    return scenarios::in_both_units(text);
}

std::string ReportShow::in_unit(double value, std::string const& unit) const {
    if (unit == "m") return length(value);
    if (unit == "kPa") return pressure(value);
    if (unit == "degC") return temperature(value);
    if (unit == "m3") return volume(value);
    if (unit == "ohm") return number_text(1e3 * value, 1) + " mΩ";
    if (unit == "1") return number_text(value, 3);
    if (unit == "W" && value >= 1000) return number_text(1e-3 * value, 2) + " kW";
    return number_text(value, 2) + " " + unit;
}

std::string time_text(double hours) {
    if (hours < 72)
        return fmt::format("{} hour{}", sim::figure_text(hours), std::lround(hours) == 1 ? "" : "s");
    return fmt::format("{} days", sim::figure_text(hours / 24, 1));
}

std::string number_text(double value, int decimals) {
    std::string text = sim::figure_text(value, decimals);
    if (text.find('.') != std::string::npos) {
        text.erase(text.find_last_not_of('0') + 1);
        if (text.back() == '.') text.pop_back();
    }
    return text;
}

std::string fixed_text(double value, int decimals) {
    return sim::with_thousands(fmt::format("{:.{}f}", value, decimals));
}

std::string sentence(std::string text) {
    if (text.empty() || text.back() == '.' || text.back() == '?' || text.back() == '!') return text;
    return text + ".";
}

}  // namespace holdwater::tools
