#include "tools/report/report_show.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include "scenarios/settings/unit_text.hpp"
#include "sim/base/clock.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/base/shown_figure.hpp"

namespace holdwater::tools {
namespace {

// The text by `show` in the units of the page; with both, metric first.
template <class Show>
std::string in_page_units(ReportUnits units, Show const& show) {
    using scenarios::UnitSystem;
    if (units == ReportUnits::metric) return show(UnitSystem::metric);
    if (units == ReportUnits::us) return show(UnitSystem::us);
    return show(UnitSystem::metric) + " (" + show(UnitSystem::us) + ")";
}

std::string quantity(ReportUnits units, double value, std::string_view unit, int decimals = 0) {
    return in_page_units(units,
                         [&](scenarios::UnitSystem u) { return sim::shown_text(value, unit, u, decimals); });
}

// Without zeros at the end.
std::string short_text(double value, std::string_view unit, scenarios::UnitSystem units, int decimals) {
    auto const figure = sim::shown(value, unit, units);
    return number_text(figure.value, decimals) + " " + figure.unit;
}

}  // namespace

ReportUnits report_units(scenarios::Scenario const& scenario) {
    if (scenario.report_in_both) return ReportUnits::both;
    return scenario.units == scenarios::UnitSystem::us ? ReportUnits::us : ReportUnits::metric;
}

std::string ReportShow::volume(double m3) const { return quantity(units, m3, "m3"); }

std::string ReportShow::daily_volume(double m3_per_day) const {
    return quantity(units, m3_per_day, "m3/day");
}

std::string ReportShow::fuel(double liters) const { return quantity(units, liters, "L", 1); }

std::string ReportShow::fuel_rate(double liters_per_h) const {
    return quantity(units, liters_per_h, "L/h", 1);
}

std::string ReportShow::motor_power(double shaft_w) const {
    return in_page_units(units,
                         [&](scenarios::UnitSystem u) { return short_text(shaft_w, "W shaft", u, 2); });
}

std::string ReportShow::length(double m) const { return quantity(units, m, "m"); }

std::string ReportShow::pressure(double kpa) const {
    return in_page_units(units, [&](scenarios::UnitSystem u) {
        return u == scenarios::UnitSystem::us ? sim::shown_text(kpa, "kPa", u) : short_text(kpa, "kPa", u, 2);
    });
}

std::string ReportShow::temperature(double c) const { return quantity(units, c, "degC"); }

std::string ReportShow::flow(double m3_s) const { return quantity(units, m3_s, "m3/s", 1); }

double ReportShow::chart_volume(double m3) const {
    return sim::shown(m3, "m3", us_charts() ? scenarios::UnitSystem::us : scenarios::UnitSystem::metric)
        .value;
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

std::string first_shortage_days(double hours) { return sim::figure_text(hours / 24, 1) + " days"; }

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
