#include "tools/quote_show.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>

#include "models/trade_units.hpp"
#include "weather/weather_year.hpp"

namespace holdwater::tools {
namespace {

std::string joined(QuoteUnits units, std::string const& si, std::string const& us) {
    if (units == QuoteUnits::si) return si;
    if (units == QuoteUnits::us) return us;
    return si + " (" + us + ")";
}

}  // namespace

std::string QuoteShow::volume(double m3) const {
    std::string const si =
        std::abs(m3) < 1 ? fmt::format("{:.0f} L", 1e3 * m3) : fmt::format("{:.1f} m³", m3);
    return joined(units, si, fmt::format("{:.0f} gal", m3 / models::m3_per_gal));
}

std::string QuoteShow::fuel(double litres) const {
    return joined(units, fmt::format("{:.1f} L", litres),
                  fmt::format("{:.1f} gal", litres * 1e-3 / models::m3_per_gal));
}

std::string QuoteShow::length(double m) const {
    return joined(units, fmt::format("{:.0f} m", m), fmt::format("{:.0f} ft", m / models::m_per_ft));
}

std::string QuoteShow::pressure(double kpa) const {
    return joined(units, fmt::format("{:.0f} kPa", kpa),
                  fmt::format("{:.0f} psi", kpa / models::kpa_per_psi));
}

std::string QuoteShow::temperature(double c) const {
    return joined(units, fmt::format("{:.0f} °C", c), fmt::format("{:.0f} °F", 1.8 * c + 32));
}

std::string QuoteShow::flow(double m3_s) const {
    return joined(units, fmt::format("{:.1f} L/min", 6e4 * m3_s),
                  fmt::format("{:.1f} gal/min", 60 * m3_s / models::m3_per_gal));
}

std::string QuoteShow::in_unit(double value, std::string const& unit) const {
    if (unit == "m") return length(value);
    if (unit == "kPa") return pressure(value);
    if (unit == "degC") return temperature(value);
    if (unit == "m3") return volume(value);
    if (unit == "ohm") return number_text(1e3 * value, 1) + " mΩ";
    if (unit == "1") return number_text(value, 3);
    if (unit == "W" && value >= 1000) return number_text(1e-3 * value, 2) + " kW";
    return number_text(value, 2) + " " + unit;
}

std::string date_text(int day) {
    static constexpr std::array names{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                      "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    int const hour = 24 * (day % 365);
    std::size_t month = 0;
    while (weather::month_start_hour[month + 1] <= hour) ++month;
    return fmt::format("{} {}", (hour - weather::month_start_hour[month]) / 24 + 1, names[month]);
}

std::string time_text(double hours) {
    if (hours < 72) return fmt::format("{:.0f} hour{}", hours, std::lround(hours) == 1 ? "" : "s");
    return fmt::format("{:.1f} days", hours / 24);
}

std::string number_text(double value, int decimals) {
    std::string text = fmt::format("{:.{}f}", value, decimals);
    if (text.find('.') != std::string::npos) {
        text.erase(text.find_last_not_of('0') + 1);
        if (text.back() == '.') text.pop_back();
    }
    return text == "-0" ? "0" : text;
}

std::string sentence(std::string text) {
    if (text.empty() || text.back() == '.' || text.back() == '?' || text.back() == '!') return text;
    return text + ".";
}

}  // namespace holdwater::tools
