#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/water/pressure_tank.hpp"
#include "sim/base/figure_text.hpp"
#include "tools/report/report_content.hpp"

namespace holdwater::tools {
namespace {

Json line(std::string label, std::string value, std::string note = "") {
    return {{"label", std::move(label)}, {"value", std::move(value)}, {"note", std::move(note)}};
}

struct EnergyDay {
    double pump = 0, loads = 0, inverter = 0, battery = 0, other = 0;  // kWh a day
    double total() const { return pump + loads + inverter + battery + other; }
};

EnergyDay energy_of(sim::HourRecord const* first, std::size_t hours) {
    EnergyDay e;
    for (std::size_t i = 0; i < hours; ++i) {
        auto const& h = first[i];
        e.pump += h.pump_kw;
        e.loads += h.load_served_kw;
        e.inverter += h.inverter_loss_kw + h.pass_through_loss_kw;
        e.battery += h.battery_loss_kw;
        e.other += h.controller_loss_kw + h.charger_loss_kw + h.standby_kw + h.heater_kw;
    }
    double const days = static_cast<double>(hours) / 24;
    for (double* v : {&e.pump, &e.loads, &e.inverter, &e.battery, &e.other}) *v /= days;
    return e;
}

// Daily energy and shares.
Json energy_box(sim::ReportRuns const& r) {
    auto const year = energy_of(r.year.hours.data(), r.year.hours.size());
    auto const cloudy =
        energy_of(r.trace.designed.hours.data(), 24 * static_cast<std::size_t>(r.trace.cloudy_period_days));
    Json rows = Json::array();
    auto const add = [&](char const* what, double EnergyDay::*part) {
        auto const cell = [](double kwh, double all) {
            return all > 0 ? fmt::format("{} Wh, {} %", sim::figure_text(1e3 * kwh),
                                         sim::figure_text(100 * kwh / all))
                           : fmt::format("{} Wh", sim::figure_text(1e3 * kwh));
        };
        rows.push_back({{"label", what},
                        {"year", cell(year.*part, year.total())},
                        {"cloudy", cell(cloudy.*part, cloudy.total())}});
    };
    add("pump", &EnergyDay::pump);
    add("small loads", &EnergyDay::loads);
    add("inverter, idle draw and loss", &EnergyDay::inverter);
    add("battery loss", &EnergyDay::battery);
    add("controller, charger, standby, heater", &EnergyDay::other);
    rows.push_back({{"label", "all"},
                    {"year", fmt::format("{} Wh", sim::figure_text(1e3 * year.total()))},
                    {"cloudy", fmt::format("{} Wh", sim::figure_text(1e3 * cloudy.total()))}});
    return {{"cloudy_head", fmt::format("mean of the {} cloudy days", r.trace.cloudy_period_days)},
            {"rows", rows}};
}

// The water side.
Json water_box(sim::ReportRuns const& r, ReportShow const& show) {
    auto const& s = quoted_scenario(r);
    auto const& f = r.year.findings;
    Json lines = Json::array();
    bool const gravity = r.system.cistern && r.system.cistern->gravity;
    double stored_m3 = 0;
    if (!gravity) {
        stored_m3 = models::stored_water_m3(s.tank, s.tank.cut_out_kpa);
        lines.push_back(line(
            "drawdown of the pressure tank", show.volume(models::drawdown_m3(s.tank)),
            fmt::format("{} to {}", show.pressure(s.tank.cut_out_kpa), show.pressure(s.tank.cut_in_kpa))));
    }
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
    double cistern_m3 = 0;
    if (r.system.cistern) {
        auto const& c = r.system.cistern->cistern;
        cistern_m3 = std::max(0.0, c.fill_stop_m3 - c.dead_m3 - c.reserve_m3);
    }
    double const tap_m3_s = f.peak_draw_m3_s;
    if (!gravity && tap_m3_s > 0)
        lines.push_back(line("minutes of water, power off, busiest taps open",
                             number_text(stored_m3 / tap_m3_s / 60, 1),
                             fmt::format("at {}", show.flow(tap_m3_s))));
    lines.push_back(line("stored water at the taps without power",
                         show.volume(gravity ? cistern_m3 : stored_m3),
                         gravity ? "cistern, by gravity" : "pressure tank at cut-out"));
    if (cistern_m3 > 0 && !gravity)
        lines.push_back(line("in the cistern, needs the booster pump", show.volume(cistern_m3)));
    if (r.system.trough) lines.push_back(line("in the trough", show.volume(r.system.trough->full_m3)));
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
        lines.push_back(line("autonomy, hand calculation",
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
    auto const figures = [](EnergyDay const& e) {
        Json f{{"all_kwh", e.total()}};
        for (auto const& [name, part] : {std::pair{"pump", &EnergyDay::pump},
                                         {"loads", &EnergyDay::loads},
                                         {"inverter", &EnergyDay::inverter},
                                         {"battery", &EnergyDay::battery},
                                         {"other", &EnergyDay::other}}) {
            f[fmt::format("{}_kwh", name)] = e.*part;
            f[fmt::format("{}_share", name)] = e.total() > 0 ? e.*part / e.total() : 0;
        }
        return f;
    };
    return {{"year", figures(energy_of(r.year.hours.data(), r.year.hours.size()))},
            {"cloudy", figures(energy_of(r.trace.designed.hours.data(),
                                         24 * static_cast<std::size_t>(r.trace.cloudy_period_days)))}};
}

Json report_boxes(sim::ReportRuns const& r, ReportShow const& show) {
    return {{"energy", energy_box(r)}, {"water", water_box(r, show)}, {"indices", indices_box(r)}};
}

}  // namespace holdwater::tools
