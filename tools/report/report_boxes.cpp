#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>

#include "models/water/pressure_tank.hpp"
#include "sim/autonomy/store_levels.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/year/energy_day.hpp"
#include "tools/report/report_content.hpp"

namespace holdwater::tools {
namespace {

Json line(std::string label, std::string value, std::string note = "") {
    return {{"label", std::move(label)}, {"value", std::move(value)}, {"note", std::move(note)}};
}

sim::EnergyDay cloudy_energy(sim::ReportRuns const& r) {
    return sim::mean_energy_day(
        std::span(r.trace.designed.hours).first(24 * static_cast<std::size_t>(r.trace.cloudy_period_days)));
}

// Daily energy and shares.
Json energy_box(sim::ReportRuns const& r) {
    auto const year = sim::mean_energy_day(r.year.hours), cloudy = cloudy_energy(r);
    Json rows = Json::array();
    auto const add = [&](char const* what, double sim::EnergyDay::*part) {
        auto const cell = [](double kwh, double all) {
            return all > 0 ? fmt::format("{} Wh, {} %", sim::figure_text(1e3 * kwh),
                                         sim::figure_text(100 * kwh / all))
                           : fmt::format("{} Wh", sim::figure_text(1e3 * kwh));
        };
        rows.push_back({{"label", what},
                        {"year", cell(year.*part, year.total_kwh())},
                        {"cloudy", cell(cloudy.*part, cloudy.total_kwh())}});
    };
    add("pump", &sim::EnergyDay::pump_kwh);
    add("small loads", &sim::EnergyDay::loads_kwh);
    add("inverter, idle draw and loss", &sim::EnergyDay::inverter_kwh);
    add("battery loss", &sim::EnergyDay::battery_kwh);
    add("controller, charger, standby, heater", &sim::EnergyDay::other_kwh);
    rows.push_back({{"label", "all"},
                    {"year", fmt::format("{} Wh", sim::figure_text(1e3 * year.total_kwh()))},
                    {"cloudy", fmt::format("{} Wh", sim::figure_text(1e3 * cloudy.total_kwh()))}});
    return {{"cloudy_head", fmt::format("mean of the {} cloudy days", r.trace.cloudy_period_days)},
            {"rows", rows}};
}

// The water side.
Json water_box(sim::ReportRuns const& r, ReportShow const& show) {
    auto const& s = quoted_scenario(r);
    auto const& f = r.year.findings;
    Json lines = Json::array();
    bool const gravity = r.system.cistern && r.system.cistern->gravity;
    auto const stored = sim::stored_water(r.system);
    if (!gravity)
        lines.push_back(line(
            "drawdown of the pressure tank", show.volume(models::drawdown_m3(s.tank)),
            fmt::format("{} to {}", show.pressure(s.tank.cut_out_kpa), show.pressure(s.tank.cut_in_kpa))));
    std::string const limit = f.starts_limit_per_day > 0
                                  ? fmt::format("limit {} a day", sim::figure_text(f.starts_limit_per_day))
                                  : "";
    lines.push_back(
        line("pump starts a day, mean of the year", sim::figure_text(quoted(r).figures.starts_per_day, 1)));
    lines.push_back(
        line("most starts in any 24 hours of the year", sim::figure_text(f.most_starts_in_24h), limit));
    lines.push_back(line("most starts in any one hour of the year", sim::figure_text(f.most_starts_in_1h)));
    if (r.year.summary.shortest_run_s > 0)
        lines.push_back(
            line("shortest run of the pump in the year",
                 fmt::format("{} s", sim::figure_text(r.year.summary.shortest_run_s)),
                 fmt::format("required: at least {} s", sim::figure_text(r.system.motor.least_run_s))));
    double const tap_m3_s = f.peak_draw_m3_s;
    if (!gravity && tap_m3_s > 0)
        lines.push_back(line("minutes of water, power off, busiest taps open",
                             number_text(stored.at_taps_m3 / tap_m3_s / 60, 1),
                             fmt::format("at {}", show.flow(tap_m3_s))));
    lines.push_back(line("stored water at the taps without power", show.volume(stored.at_taps_m3),
                         gravity ? "cistern, by gravity" : "pressure tank at cut-out"));
    if (stored.behind_booster_m3 > 0)
        lines.push_back(
            line("in the cistern, needs the booster pump", show.volume(stored.behind_booster_m3)));
    if (stored.trough_m3 > 0) lines.push_back(line("in the trough", show.volume(stored.trough_m3)));
    return {{"lines", lines}};
}

// The field's indices of the supply without grid and generator.
Json indices_box(sim::ReportRuns const& r) {
    auto const& x = r.indices;
    auto const percent = [](double fraction) {
        return fmt::format("{} %", sim::figure_text(100 * fraction, 2));
    };
    Json lines = Json::array();
    lines.push_back(
        line("loss-of-load probability", percent(x.loss_of_load_probability),
             fmt::format("{} of {} kWh of the year were missing", sim::figure_text(x.energy_deficit_kwh, 1),
                         sim::figure_text(x.energy_demand_kwh))));
    lines.push_back(line("availability", percent(x.availability), "energy served over energy demand"));
    lines.push_back(
        line("hours short of energy or water", percent(x.hours_short_fraction), "of all hours of the year"));
    lines.push_back(
        line("water not delivered", percent(x.water_deficit_fraction), "of the demand, by volume"));
    lines.push_back(
        line("hours short of water", percent(x.water_hours_short_fraction), "of all hours of the year"));
    if (x.array_ratio_month > 0) {
        lines.push_back(line("array ratio C_A", sim::figure_text(x.array_ratio, 2),
                             fmt::format("array energy over energy demand in {}, where it is lowest",
                                         sim::month_name(static_cast<int>(x.array_ratio_month)))));
        lines.push_back(line("storage ratio C_S",
                             fmt::format("{} days", sim::figure_text(x.storage_ratio_days, 2)),
                             "usable battery energy over a day's demand of that month"));
    }
    if (std::isfinite(x.autonomy_by_hand_days))
        lines.push_back(line("autonomy: power, hand calculation",
                             fmt::format("{} days", sim::figure_text(x.autonomy_by_hand_days, 2)),
                             "usable battery energy over the busiest day's energy, no sun"));
    return {
        {"note",
         "One year of the weather file. Loss-of-load probability, array ratio and storage ratio: Egido and "
         "Lorenzo 1992."},
        {"lines", lines}};
}

}  // namespace

Json report_energy_figures(sim::ReportRuns const& r) {
    auto const figures = [](sim::EnergyDay const& e) {
        Json f{{"all_kwh", e.total_kwh()}};
        for (auto const& [name, part] : {std::pair{"pump", &sim::EnergyDay::pump_kwh},
                                         {"loads", &sim::EnergyDay::loads_kwh},
                                         {"inverter", &sim::EnergyDay::inverter_kwh},
                                         {"battery", &sim::EnergyDay::battery_kwh},
                                         {"other", &sim::EnergyDay::other_kwh}}) {
            f[fmt::format("{}_kwh", name)] = e.*part;
            f[fmt::format("{}_share", name)] = e.total_kwh() > 0 ? e.*part / e.total_kwh() : 0;
        }
        return f;
    };
    return {{"year", figures(sim::mean_energy_day(r.year.hours))}, {"cloudy", figures(cloudy_energy(r))}};
}

Json report_boxes(sim::ReportRuns const& r, ReportShow const& show) {
    return {{"energy", energy_box(r)}, {"water", water_box(r, show)}, {"indices", indices_box(r)}};
}

}  // namespace holdwater::tools
