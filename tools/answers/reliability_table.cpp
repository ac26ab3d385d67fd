#include "tools/answers/reliability_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include "sim/base/clock.hpp"
#include "tools/show/wrap_text.hpp"

namespace holdwater::tools {
namespace {

constexpr std::size_t plot_lines = 14, plot_columns = 61;
constexpr char line_marks[] = "oxX";  // of 90, 95 and 99 %

std::string percent(double availability) { return fmt::format("{:.0f} %", 100 * availability); }

// Height of a curve at any array ratio between its points; NaN beside a point that has none.
double between(std::vector<double> const& x, std::vector<double> const& y, double at) {
    auto const next = std::min<std::size_t>(
        static_cast<std::size_t>(std::upper_bound(x.begin(), x.end(), at) - x.begin()), x.size() - 1);
    double const part = (at - x[next - 1]) / (x[next] - x[next - 1]);
    if (part <= 0) return y[next - 1];
    return part >= 1 ? y[next] : y[next - 1] + part * (y[next] - y[next - 1]);
}

std::string plot(sim::ReliabilityCurves const& c) {
    double top = 0;
    for (auto const& curve : c.curves)
        for (double const days : curve.storage_ratio_days)
            if (!std::isnan(days)) top = std::max(top, days);
    if (top == 0) return "";
    std::vector<std::string> lines(plot_lines, std::string(plot_columns, ' '));
    double const left = c.array_ratio.front(), right = c.array_ratio.back();
    for (std::size_t k = 0; k < c.curves.size(); ++k)
        for (std::size_t column = 0; column < plot_columns; ++column) {
            double const at = left + (right - left) * static_cast<double>(column) / (plot_columns - 1);
            double const days = between(c.array_ratio, c.curves[k].storage_ratio_days, at);
            if (std::isnan(days)) continue;
            auto const up = static_cast<std::size_t>(std::lround(days / top * (plot_lines - 1)));
            lines[plot_lines - 1 - up][column] = line_marks[k];
        }
    std::string out = "\n  C_S, days\n";
    for (std::size_t i = 0; i < plot_lines; ++i) {
        std::string const label = i == 0                ? fmt::format("{:.1f}", top)
                                  : i == plot_lines - 1 ? std::string("0")
                                                        : "";
        std::string line = fmt::format("  {:>5} |{}", label, lines[i]);
        line.erase(line.find_last_not_of(' ') + 1);
        out += line + "\n";
    }
    out += fmt::format("        +{}\n        {:<{}.1f}{:.1f}\n", std::string(plot_columns, '-'), left,
                       plot_columns - 2, right);
    out += fmt::format("        C_A; {} {}, {} {}, {} {} of the energy demand\n", line_marks[0],
                       percent(c.curves[0].availability), line_marks[1], percent(c.curves[1].availability),
                       line_marks[2], percent(c.curves[2].availability));
    return out;
}

}  // namespace

std::string reliability_text(sim::ReliabilityCurves const& c) {
    std::string out;
    wrap(out, "",
         fmt::format("Battery that each array needs, without grid and generator, so that this share of the "
                     "energy demand is served over {} made years:",
                     c.years),
         100);
    out += fmt::format("\n  {:>9}  {:>5}", "array", "C_A");
    for (auto const& curve : c.curves) out += fmt::format("  {:>20}", percent(curve.availability));
    out += "\n";
    for (std::size_t i = 0; i < c.array_ratio.size(); ++i) {
        out += fmt::format("  {:>6.2f} kW  {:>5.2f}", c.array_w[i] / 1000, c.array_ratio[i]);
        for (auto const& curve : c.curves)
            out += std::isnan(curve.battery_kwh[i])
                       ? fmt::format("  {:>20}", fmt::format("over {:.0f} d", c.largest_storage_days))
                       : fmt::format("  {:>8.1f} kWh {:>5.1f} d", curve.battery_kwh[i],
                                     curve.storage_ratio_days[i]);
        out += "\n";
    }
    out += plot(c);
    out += "\n";
    wrap(out, "  ",
         fmt::format("C_A: array energy divided by energy demand in {}, the month where it is lowest in the "
                     "typical year. C_S: usable battery energy in days of that month's demand. After Egido "
                     "and Lorenzo 1992, from memory. Battery as it is now.",
                     sim::month_name(c.month)),
         100);
    return out;
}

sim::Table reliability_table(sim::ReliabilityCurves const& c) {
    sim::Table table{"reliability",
                     {{"array_ratio", "1", "C_A", c.array_ratio},
                      {"array_rated_power_w", "W", "rated power of the array", c.array_w}}};
    for (auto const& curve : c.curves) {
        auto const level = fmt::format("{:.0f}", 100 * curve.availability);
        table.columns.push_back({"storage_ratio_days_" + level, "d",
                                 "C_S for " + level + " % of the energy demand", curve.storage_ratio_days});
        table.columns.push_back({"battery_kwh_" + level, "kWh",
                                 "battery capacity for " + level + " % of the energy demand",
                                 curve.battery_kwh});
    }
    return table;
}

nlohmann::ordered_json reliability_json(sim::ReliabilityCurves const& c) {
    nlohmann::ordered_json json{{"made_years", c.years},
                                {"array_ratio_month", c.month},
                                {"array_ratio", c.array_ratio},
                                {"array_rated_power_w", c.array_w},
                                {"largest_storage_ratio_days", c.largest_storage_days},
                                {"curves", nlohmann::ordered_json::array()}};
    // A storage above the largest one tried is null.
    for (auto const& curve : c.curves)
        json["curves"].push_back({{"availability", curve.availability},
                                  {"storage_ratio_days", curve.storage_ratio_days},
                                  {"battery_kwh", curve.battery_kwh}});
    return json;
}

}  // namespace holdwater::tools
