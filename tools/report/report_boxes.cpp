#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/water/pressure_tank.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/designs/design_cost.hpp"
#include "tools/report/report_content.hpp"

namespace holdwater::tools {
namespace {

Json line(std::string label, std::string value, std::string note = "") {
    return {{"label", std::move(label)}, {"value", std::move(value)}, {"note", std::move(note)}};
}

sim::Check const* check_named(sim::DesignCheck const& p, std::string_view check) {
    auto const at =
        std::find_if(p.checks.begin(), p.checks.end(), [&](auto const& c) { return c.name == check; });
    return at == p.checks.end() ? nullptr : &*at;
}

// Box 1: will it start.
Json start_box(sim::ReportRuns const& r) {
    auto const& p = quoted(r).design_check;
    Json lines = Json::array();
    std::string provenance;
    for (auto const& [check, label] : {std::pair{"start-surge", "start against the inverter"},
                                       {"start-motor-volts", "volts at the motor"},
                                       {"start-battery-volts", "battery volts, low and cold"},
                                       {"start-battery-amps", "battery current"},
                                       {"generator-start", "start on the generator"}}) {
        auto const* const c = check_named(p, check);
        if (c == nullptr) continue;
        Json l = line(label, fmt::format("{} / {}", c->value_text, c->limit_text));
        l["verdict"] = c->waived ? "waived" : std::string(name(c->verdict));
        l["verdict_class"] = c->waived ? "waived" : std::string(name(c->verdict));
        lines.push_back(l);
        if (provenance.empty()) provenance = c->provenance;
    }
    bool const proved = quoted_scenario(r).design_check.on_inverter == models::MeasuredStart::succeeded;
    return {{"lines", lines},
            {"provenance", provenance},
            {"proof", proved ? "A start on this inverter was tried on site and succeeded."
                             : "To be proved by a start test at hand-over, battery at 50 %."}};
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

// Box 2: daily energy and shares.
Json energy_box(sim::ReportRuns const& r) {
    auto const year = energy_of(r.year.hours.data(), r.year.hours.size());
    auto const dull =
        energy_of(r.trace.designed.hours.data(), 24 * static_cast<std::size_t>(r.trace.cloudy_period_days));
    Json rows = Json::array();
    auto const add = [&](char const* what, double EnergyDay::*part) {
        auto const cell = [](double kwh, double all) {
            return all > 0 ? fmt::format("{} Wh, {} %", sim::figure_text(1e3 * kwh),
                                         sim::figure_text(100 * kwh / all))
                           : fmt::format("{} Wh", sim::figure_text(1e3 * kwh));
        };
        rows.push_back({what, cell(year.*part, year.total()), cell(dull.*part, dull.total())});
    };
    add("pump", &EnergyDay::pump);
    add("small loads", &EnergyDay::loads);
    add("inverter, idle draw and loss", &EnergyDay::inverter);
    add("battery loss", &EnergyDay::battery);
    add("controller, charger, standby, heater", &EnergyDay::other);
    rows.push_back({"all", fmt::format("{} Wh", sim::figure_text(1e3 * year.total())),
                    fmt::format("{} Wh", sim::figure_text(1e3 * dull.total()))});
    return {{"head",
             {"a day's energy", "mean of the year",
              fmt::format("in the {} cloudy days", r.trace.cloudy_period_days)}},
            {"rows", rows}};
}

std::string or_over(double value, std::string const& text, double most, char const* unit) {
    return std::isinf(value) ? fmt::format("over {:g} {}", most, unit) : text;
}

// Box 3: options side by side.
Json options_box(sim::ReportRuns const& r, ReportShow const& show) {
    Json columns = Json::array(), rows = Json::array();
    for (std::size_t i = 0; i < r.designs.size(); ++i)
        columns.push_back({{"name", r.designs[i].design.name}, {"quoted", i == r.quoted}});
    auto const add = [&](std::string label, auto const& cell) {
        Json cells = Json::array();
        bool any = false;
        for (std::size_t i = 0; i < r.designs.size(); ++i) {
            std::string text = cell(r.designs[i]);
            any = any || (!text.empty() && text != "–");
            cells.push_back({{"text", std::move(text)}, {"quoted", i == r.quoted}});
        }
        if (any) rows.push_back({{"label", std::move(label)}, {"cells", cells}});
    };
    using Q = sim::ReportedDesign const&;
    int const n = r.trace.cloudy_period_days;
    auto const usable = [](Q d) {
        auto const& b = d.design.scenario.battery;
        return b.capacity_kwh * (1 - b.min_soc);
    };
    auto const worst = [](sim::CloudyPeriodOutcome const& o) { return o.starts[o.worst]; };
    add("array, kW",
        [](Q d) { return number_text(1e-3 * models::array_rated_power_w(d.design.scenario.array), 2); });
    add("usable battery, kWh, new", [&](Q d) { return number_text(usable(d), 1); });
    add("the same, aged to 80 %", [&](Q d) { return number_text(0.8 * usable(d), 1); });
    add("hours short of water in the year",
        [](Q d) { return sim::figure_text(d.figures.year.shortage_hours); });
    add("demand met in the year", [](Q d) {
        return fmt::format("{} %", sim::figure_text(100 * d.figures.year.demand_met_fraction, 2));
    });
    add("water not delivered", [&](Q d) {
        return d.figures.year.shortage_hours > 0 ? show.volume(d.figures.year.water_short_m3)
                                                 : std::string("none");
    });
    add("lowest SOC",
        [](Q d) { return fmt::format("{} %", sim::figure_text(100 * d.figures.year.soc_min)); });
    add("generator, hours a year", [](Q d) {
        return d.design.scenario.rules.backup == sim::Backup::generator
                   ? sim::figure_text(d.figures.year.generator_run_h, 1)
                   : std::string("–");
    });
    add("fuel a year", [&](Q d) {
        return d.figures.year.generator_fuel_l > 0 ? show.fuel(d.figures.year.generator_fuel_l)
                                                   : std::string("–");
    });
    add("from the grid, kWh a year", [](Q d) {
        return d.design.scenario.rules.backup == sim::Backup::grid ? sim::figure_text(d.figures.year.grid_kwh)
                                                                   : std::string("–");
    });
    add("days of water, no sun, no backup, battery full at sunset", [](Q d) {
        double const days = d.figures.autonomy.water.worst_d;
        return or_over(days, sim::figure_text(days, 1), sim::autonomy_looked_at_d, "");
    });
    add(fmt::format("worst {} days, no backup: first shortage after", n), [&](Q d) {
        auto const& start = worst(d.alone);
        if (std::isinf(start.first_shortage_h) && std::isfinite(start.dry_after_h))
            return fmt::format("{} days, short {} after them", n, time_text(start.dry_after_h));
        return or_over(start.first_shortage_h, time_text(start.first_shortage_h), n, "days");
    });
    add("full again after them, no backup", [&](Q d) {
        double const h = worst(d.alone).full_again_h;
        return std::isinf(h) ? std::string("never") : time_text(h);
    });
    add(fmt::format("generator in those {} days, worst", n), [&](Q d) {
        double hours = 0, fuel = 0;
        for (auto const& s : d.designed.starts) {
            hours = std::max(hours, s.generator_h);
            fuel = std::max(fuel, s.generator_fuel_l);
        }
        return d.design.scenario.rules.backup == sim::Backup::generator
                   ? fmt::format("{} h, {}", sim::figure_text(hours, 1), show.fuel(fuel))
                   : std::string("–");
    });
    add("motor start on the inverter", [](Q d) {
        auto const* const c = check_named(d.design_check, "start-surge");
        if (c == nullptr) return std::string("–");
        if (!std::isfinite(c->margin) || c->verdict == models::Verdict::unknown)
            return std::string(name(c->verdict));
        return fmt::format("{}, {:+.0f} %", name(c->verdict), 100 * (c->margin - 1));
    });
    bool const priced =
        std::all_of(r.designs.begin(), r.designs.end(), [](Q d) { return d.design.prices.has_value(); });
    Json note = nullptr;
    if (priced) {
        add("price, installed", [](Q d) {
            return fmt::format("{} {}", d.design.prices->currency,
                               sim::figure_text(d.design.prices->purchase));
        });
        add("cost over the years", [](Q d) {
            return fmt::format(
                "{} {}", d.design.prices->currency,
                sim::figure_text(
                    sim::cost_of(d.design.prices, d.figures.year, d.figures.findings)->life_cycle_cost));
        });
        auto const& p = *quoted(r).design.prices;
        note = fmt::format("Cost over {:g} years at {:.4g} % a year, every year like this one.", p.years,
                           100 * p.discount_rate);
    }
    Json box{{"columns", columns}, {"rows", rows}, {"note", note}, {"several", r.designs.size() > 1}};
    return box;
}

// Box 4: the water side.
Json water_box(sim::ReportRuns const& r, ReportShow const& show) {
    auto const& s = quoted_scenario(r);
    auto const& f = r.year.findings;
    Json lines = Json::array();
    bool const gravity = r.system.cistern && r.system.cistern->gravity;
    double stored_m3 = 0;
    if (!gravity) {
        stored_m3 = models::stored_water_m3(s.tank, s.tank.cut_out_kpa);
        lines.push_back(line(
            "one cycle of the tank gives", show.volume(models::drawdown_m3(s.tank)),
            fmt::format("{} to {}", show.pressure(s.tank.cut_out_kpa), show.pressure(s.tank.cut_in_kpa))));
    }
    std::string const limit = f.starts_limit_per_day > 0
                                  ? fmt::format("limit {} a day", sim::figure_text(f.starts_limit_per_day))
                                  : "";
    lines.push_back(line("pump starts a day on average, and most in 24 hours",
                         fmt::format("{} and {}", sim::figure_text(quoted(r).figures.starts_per_day, 1),
                                     sim::figure_text(f.most_starts_in_24h)),
                         limit));
    lines.push_back(line("starts in the worst hour", sim::figure_text(f.most_starts_in_1h)));
    if (r.year.summary.shortest_run_s > 0)
        lines.push_back(line("shortest run of the pump",
                             fmt::format("{} s", sim::figure_text(r.year.summary.shortest_run_s)),
                             fmt::format("least {} s", sim::figure_text(r.system.motor.least_run_s))));
    double cistern_m3 = 0;
    if (r.system.cistern) {
        auto const& c = r.system.cistern->cistern;
        cistern_m3 = std::max(0.0, c.fill_stop_m3 - c.dead_m3 - c.reserve_m3);
    }
    double const tap_m3_s = f.peak_draw_m3_s;
    if (!gravity && tap_m3_s > 0)
        lines.push_back(line("minutes to dry, power off, busiest taps open",
                             number_text(stored_m3 / tap_m3_s / 60, 1),
                             fmt::format("at {}", show.flow(tap_m3_s))));
    lines.push_back(line("stored water at the taps without power",
                         show.volume(gravity ? cistern_m3 : stored_m3),
                         gravity ? "cistern, by gravity" : "pressure tank just filled"));
    if (cistern_m3 > 0 && !gravity)
        lines.push_back(line("in the cistern, needs the booster", show.volume(cistern_m3)));
    if (r.system.trough) lines.push_back(line("in the trough", show.volume(r.system.trough->full_m3)));
    return {{"lines", lines}};
}

}  // namespace

Json report_boxes(sim::ReportRuns const& r, ReportShow const& show) {
    return {{"start", start_box(r)},
            {"energy", energy_box(r)},
            {"options", options_box(r, show)},
            {"water", water_box(r, show)}};
}

}  // namespace holdwater::tools
