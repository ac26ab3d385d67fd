#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "models/electric/motor.hpp"
#include "models/numeric/parameter_error.hpp"
#include "models/numeric/trade_units.hpp"
#include "models/water/demand.hpp"
#include "scenarios/text/assumed_inputs.hpp"
#include "sim/base/figure_text.hpp"
#include "sim/base/shown_figure.hpp"
#include "sim/check/check_rules.hpp"

namespace holdwater::sim::check_detail {
namespace {

double service_a(PumpOnBus const& p) {
    models::MotorParameters const& m = *p.motor;
    double const input_w = models::electrical_input_w(m, m.rated_power_w * m.service_factor);
    double const volts = p.phase_factor() * m.volts;
    if (p.drive != nullptr) return input_w / p.drive->efficiency / (volts * p.drive->input_power_factor);
    return input_w / (volts * m.running_power_factor);
}

std::complex<double> load_va(models::SmallLoad const& l) {
    double const sine = std::sqrt(1 - l.power_factor * l.power_factor);
    return {l.power_w, l.power_w / l.power_factor * sine};
}

}  // namespace

namespace {

// A pump that takes more than the well gives draws it down until the protection stops it. Between there and
// the highest static level its flow follows from the level alone, not from the inflow.
void set_levels(PumpOnBus& p, scenarios::Scenario const& s) {
    if (!s.well.casing) return;
    auto const& casing = *s.well.casing;
    double const trip_m = casing.intake_depth_m - casing.cover_m;
    double const flow_m3_s = point_at(p, p.at_tank ? s.tank.cut_in_kpa : 0).flow_m3_s;
    double const steady_m = p.lift.static_level_m + flow_m3_s / p.lift.specific_capacity_m2_s;
    if (flow_m3_s <= casing.yield_limit_m3_s && steady_m <= trip_m) return;
    p.lift.specific_capacity_m2_s = std::numeric_limits<double>::infinity();
    p.full_well = p.lift;
    p.full_well->static_level_m =
        *std::min_element(s.well.static_level_m.begin(), s.well.static_level_m.end());
    p.lift.static_level_m = trip_m;
}

}  // namespace

Design make_design(scenarios::Scenario const& s, CheckOptions const& options) {
    Design d{&s, options, {}, {}, {}, {}};
    auto const* const drive = s.drive ? &*s.drive : nullptr;
    d.pumps.push_back({"", &s.pump, &s.motor, &s.piping, drive, s.lift, !s.cistern, true});
    set_levels(d.pumps.front(), s);
    if (s.cistern && s.cistern->booster) {
        d.pumps.front().label = "well pump";
        auto const& b = *s.cistern->booster;
        models::LiftParameters lift;
        lift.flowing_well = true;
        lift.elevation_m = s.cistern->booster_lift_m;
        lift.water_temperature_c = s.lift.water_temperature_c;
        d.pumps.push_back(
            {"booster", &b.pump, &b.motor, &b.piping, b.drive ? &*b.drive : nullptr, lift, true, false});
    }
    for (auto const& l : s.loads) {
        auto const va = load_va(l.load);
        d.loads_va += va;
        if (s.inverter.legs == 3) {
            (l.leg == 0 ? d.phases.balanced_w : d.phases.w.at(static_cast<std::size_t>(l.leg - 1))) +=
                va.real();
            (l.leg == 0 ? d.phases.balanced_var : d.phases.var.at(static_cast<std::size_t>(l.leg - 1))) +=
                va.imag();
            continue;
        }
        (l.leg == 1 ? d.legs.leg1_w : l.leg == 2 ? d.legs.leg2_w : d.legs.across_w) += va.real();
        (l.leg == 1 ? d.legs.leg1_var : l.leg == 2 ? d.legs.leg2_var : d.legs.across_var) += va.imag();
    }
    for (PumpOnBus& p : d.pumps) {
        p.three_phases = s.inverter.legs == 3 || (p.motor->phases == 3 && p.drive == nullptr);
        p.us_tables = !d.iec();
    }
    return d;
}

double table_full_load_a(PumpOnBus const& p) {
    auto const& m = *p.motor;
    if (!p.us_tables || p.three_phases) return 0;
    try {
        return models::code_full_load_a(m.rated_power_w / models::w_per_hp, m.volts);
    } catch (models::ParameterError const&) {
        return 0;  // no row for this size or voltage
    }
}

double running_a(PumpOnBus const& p) {
    if (p.drive != nullptr) return service_a(p);
    double const given_a = p.motor->full_load_a;
    return std::max({given_a, service_a(p), given_a > 0 ? 0 : table_full_load_a(p)});
}

std::string_view running_a_source(PumpOnBus const& p) {
    double const a = running_a(p);
    if (a == service_a(p)) return "calculated at service-factor load";
    return a == p.motor->full_load_a ? "full-load amps as given" : "full-load amps of the code table";
}

std::complex<double> running_va(PumpOnBus const& p) {
    double const va = p.phase_factor() * p.motor->volts * running_a(p);
    double const pf = p.drive != nullptr ? p.drive->input_power_factor : p.motor->running_power_factor;
    return {va * pf, va * std::sqrt(1 - pf * pf)};
}

double source_v(models::InverterParameters const& i, double motor_v) {
    auto const near = [&](double v) { return std::abs(motor_v / v - 1) <= 0.1; };
    if (near(i.output_v)) return i.output_v;
    return i.legs == 2 && near(i.output_v / 2) ? i.output_v / 2 : 0;
}

std::string provenance_of(scenarios::Scenario const& s, std::string_view input) {
    for (auto const& p : s.provenance)
        if (p.input == input) {
            if (!p.range) return std::string(name(p.provenance));
            auto const* const known = scenarios::find_assumed_input(input);
            std::string const unit = known->unit == "1" ? "" : " " + std::string(known->unit);
            return fmt::format("{}, {:g} to {:g}{}", name(p.provenance), p.range->low, p.range->high, unit);
        }
    return "";
}

std::string length_text(double m, ShownUnits u) { return shown_text(m, "m", u); }
std::string volume_text(double m3, ShownUnits u) { return shown_text(m3, "m3", u, 1); }
std::string flow_text(double m3_s, ShownUnits u) { return shown_text(m3_s, "m3/s", u, 1); }
std::string pressure_text(double kpa, ShownUnits u) {
    return shown_text(kpa, "kPa", u, u == ShownUnits::us ? 0 : 2);
}
std::string temperature_text(double c, ShownUnits u) { return shown_text(c, "degC", u); }
std::string power_text(double p, std::string_view unit, int more_digits) {
    return p < 995 ? fmt::format("{} {}", figure_text(p, more_digits), unit)
                   : fmt::format("{} k{}", figure_text(p / 1e3, 1 + more_digits), unit);
}
std::pair<std::string, std::string> power_texts(double power, double limit, std::string_view unit) {
    int const digits = power < 995 && limit < 995 ? digits_apart(power, limit, 0)
                                                  : digits_apart(power / 1e3, limit / 1e3, 1) - 1;
    return {power_text(power, unit, digits), power_text(limit, unit, digits)};
}

void at_most(Check& c, double value, double limit, std::string_view unit, double tight) {
    c.value = value, c.limit = limit, c.unit = unit;
    c.margin = value <= 0                  ? std::numeric_limits<double>::infinity()
               : same_figure(value, limit) ? 1
                                           : limit / value;
    c.verdict = models::verdict_of_margin(c.margin, tight);
}

void at_least(Check& c, double value, double limit, std::string_view unit, double tight) {
    c.value = value, c.limit = limit, c.unit = unit;
    c.margin = limit <= 0                  ? std::numeric_limits<double>::infinity()
               : same_figure(value, limit) ? 1
                                           : value / limit;
    c.verdict = models::verdict_of_margin(c.margin, tight);
}

Check titled(std::string_view name, std::string_view group, std::string title) {
    Check c;
    c.name = name, c.group = group, c.title = std::move(title), c.source = practice;
    return c;
}

Check titled(std::string_view name, std::string_view group, std::string title, PumpOnBus const& pump) {
    return titled(name, group, pump.label.empty() ? title : fmt::format("{}, {}", title, pump.label));
}

models::OperatingPoint point_at(PumpOnBus const& p, double tank_kpa) {
    return models::operating_point(*p.pump, *p.motor, *p.piping, p.lift, tank_kpa);
}

PumpOnBus at_full_well(PumpOnBus pump) {
    if (pump.full_well) pump.lift = *pump.full_well;
    return pump;
}

namespace {

DayOfUse busiest_day_of(models::WaterUse const& u) {
    double most = u.daily_m3;
    for (auto const& point : u.drinking) most = std::max(most, u.heads * point.volume_m3);
    most *= *std::max_element(u.month_factor.begin(), u.month_factor.end()) *
            std::max(u.weekday_factor, u.weekend_factor);
    auto const& profile = u.weekend_factor > u.weekday_factor ? u.weekend : u.weekday;
    return {models::hourly_volumes_m3(profile, most), u.tap_flow_m3_s};
}

}  // namespace

std::vector<DayOfUse> busiest_day(scenarios::DemandSettings const& d) {
    std::vector<DayOfUse> day;
    if (d.series) {
        DayOfUse measured{{}, d.tap_flow_m3_s};
        double most_m3 = -1;
        auto const& hourly = d.series->hourly_m3;
        for (std::size_t first = 0; first + 24 <= hourly.size(); first += 24) {
            auto const begin = hourly.begin() + static_cast<std::ptrdiff_t>(first);
            double const sum_m3 = std::accumulate(begin, begin + 24, 0.0);
            if (sum_m3 <= most_m3) continue;
            most_m3 = sum_m3;
            std::copy(begin, begin + 24, measured.volume_m3.begin());
        }
        day.push_back(measured);
    }
    for (auto const& u : d.uses) day.push_back(busiest_day_of(u));
    if (!day.empty()) return day;
    if (d.varying) return {busiest_day_of(*d.varying)};
    return {{models::hourly_volumes_m3(d.profile, d.daily_m3), d.tap_flow_m3_s}};
}

double busiest_day_m3(scenarios::DemandSettings const& d) {
    double sum = 0;
    for (auto const& use : busiest_day(d))
        sum += std::accumulate(use.volume_m3.begin(), use.volume_m3.end(), 0.0);
    return sum;
}

double starts_of_day(std::vector<DayOfUse> const& day, double drawdown_m3, double below_m3,
                     double pump_flow_m3_s) {
    double const full_m3 = std::max(drawdown_m3, 1e-6);
    double above_m3 = full_m3, starts = 0;  // above_m3: water above cut-in
    bool pumping = false;
    auto const draw = [&](double flow_m3_s, double seconds) {
        while (seconds > 0) {
            double const rate = (pumping ? pump_flow_m3_s : 0) - flow_m3_s;
            double const end_m3 = pumping ? full_m3 : 0;  // at which the switch acts
            double const until_s = rate != 0 ? (end_m3 - above_m3) / rate : -1;
            bool const acts = until_s >= 0 && until_s <= seconds && (pumping ? rate > 0 : rate < 0);
            double const step_s = acts ? until_s : seconds;
            above_m3 = acts ? end_m3 : std::max(above_m3 + rate * step_s, -below_m3);
            seconds -= step_s;
            if (!acts) return;
            pumping = !pumping;
            starts += pumping ? 1 : 0;
        }
    };
    for (int repeat = 0; repeat < 2; ++repeat) {
        starts = 0;
        for (std::size_t h = 0; h < 24; ++h) {
            std::vector<models::TapOpening> open;
            open.reserve(day.size());
            for (auto const& use : day)
                open.push_back(models::tap_opening({use.volume_m3[h], use.tap_flow_m3_s}));
            std::sort(open.begin(), open.end(),
                      [](auto const& a, auto const& b) { return a.open_s < b.open_s; });
            double now_s = 0;
            for (std::size_t i = 0; i < open.size(); ++i) {
                double flow_m3_s = 0;
                for (std::size_t k = i; k < open.size(); ++k) flow_m3_s += open[k].flow_m3_s;
                draw(flow_m3_s, open[i].open_s - now_s);
                now_s = std::max(now_s, open[i].open_s);
            }
            draw(0, 3600 - now_s);
        }
    }
    return starts;
}

}  // namespace holdwater::sim::check_detail
