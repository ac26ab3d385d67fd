#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "models/numeric/expects.hpp"

namespace holdwater::sim {

/// What a logger on site can record. Powers are means since the row before; SOC and volts are readings at the
/// time of the row; meter and starts count up.
enum class LogQuantity {
    soc,
    battery_volts,
    array_power,
    pump_power,
    pump_starts,
    load_power,
    generator_power,
    water_meter
};
inline constexpr std::size_t log_quantities = 8;

/// Name in the column map, unit in which the log is kept, and what it is.
struct LogQuantityFacts {
    LogQuantity quantity{};
    std::string_view name, unit, words;
};
std::array<LogQuantityFacts, log_quantities> const& log_quantity_facts();

/// One column of the file. Without a unit, that in brackets behind the name ("SOC (%)"), else the unit of the
/// quantity; a water meter must have one.
struct LogColumn {
    LogQuantity quantity{};
    std::string name, unit;
};

/// The column map. Columns that it does not name are found by the name of their quantity.
struct LogColumns {
    std::string time = "time";  ///< "2026-03-31 14:05", local standard time
    std::vector<LogColumn> columns;
};

/// A site's log. A value that is missing is NaN.
struct SiteLog {
    std::string path;
    std::vector<double> time_h;        ///< since 00:00 of the first row's date; rising
    int year = 0, month = 1, day = 1;  ///< that date
    double usual_step_h = 0;  ///< median from one row to the next; a step above 1.5 times that is a gap
    std::array<std::vector<double>, log_quantities>
        values{};                    ///< empty: the log does not have it; W, m3, 0 .. 1
    std::vector<std::string> notes;  ///< gaps, missing values, columns that were not used

    [[nodiscard]] bool has(LogQuantity q) const { return !values[static_cast<std::size_t>(q)].empty(); }
    [[nodiscard]] std::vector<double> const& of(LogQuantity q) const {
        return values[static_cast<std::size_t>(q)];
    }
    [[nodiscard]] std::size_t rows() const { return time_h.size(); }
    /// Whether the step that ends at this row is a gap. Pre: row > 0.
    [[nodiscard]] bool gap_before(std::size_t row) const {
        HOLDWATER_EXPECTS(row > 0);
        return time_h[row] - time_h[row - 1] > 1.5 * usual_step_h;
    }
};

/// Reads a CSV. Throws scenarios::ScenarioError or weather::WeatherError naming file and line: no such
/// column, a unit of another kind, a time that cannot be read or is not later than the one above, a counter
/// that runs backward, fewer than two days.
SiteLog read_site_log(std::string const& path, LogColumns const& columns);
/// The same from memory.
SiteLog read_site_log_text(std::string_view text, std::string const& path, LogColumns const& columns);

}  // namespace holdwater::sim
