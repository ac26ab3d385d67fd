#pragma once

#include <string>

#include "scenarios/settings/scenario.hpp"

namespace holdwater::tools {

enum class ReportUnits { metric, us, both };

/// The units that the scenario states, otherwise metric.
ReportUnits report_units(scenarios::Scenario const& scenario);

/// Figures as the page shows them; with `both`, metric first and US in parentheses. With real minus, cubic
/// and degree signs.
struct ReportShow {
    ReportUnits units = ReportUnits::metric;

    std::string volume(double m3) const;
    std::string daily_volume(double m3_per_day) const;
    std::string fuel(double liters) const;
    std::string fuel_rate(double liters_per_h) const;
    std::string motor_power(double shaft_w) const;
    std::string length(double m) const;
    std::string pressure(double kpa) const;
    std::string temperature(double c) const;
    std::string flow(double m3_s) const;
    /// A value in a unit of the scenario tables ("A", "W", "kPa", "m", "degC", "1", ..).
    std::string in_unit(double value, std::string const& unit) const;

    /// A text with quantities in it, such as a warning, in the units of the page.
    std::string words(std::string const& text) const;

    /// The unit of volumes in charts: liters unless the page is in US units.
    bool us_charts() const { return units == ReportUnits::us; }
    std::string chart_volume_unit() const { return us_charts() ? "gal" : "L"; }
    double chart_volume(double m3) const;
};

/// "35 hours" or "3.2 days".
std::string time_text(double hours);
/// "1.5 days": in the unit in which every table has the days to the first shortage.
std::string first_shortage_days(double hours);
/// "12", "3.4": at most this many decimals, without zeros at the end.
std::string number_text(double value, int decimals);
/// Exactly this many decimals, with thousands separators: for a column of a table.
std::string fixed_text(double value, int decimals);
/// The period at the end of a sentence, unless it has one.
std::string sentence(std::string text);

}  // namespace holdwater::tools
