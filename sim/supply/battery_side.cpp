#include "sim/supply/battery_side.hpp"

namespace holdwater::sim {
namespace {

using models::never_h;

constexpr double temperature_slack_k = 1e-6;

}  // namespace

void Battery::begin_hour(double ambient_c) {
    if (!behavior_.thermal) return;
    double const place_c = ambient_c + behavior_.place_offset_k;
    if (!warmed_) temperature_c_ = place_c;
    warmed_ = true;
    place_c_ = place_c;
    look_at_temperature();
    double const factor = std::min(models::capacity_factor(behavior_.capacity_at, temperature_c_), 1.0);
    floor_kwh_ = std::max(battery_.energy.min_soc, 1 - factor) * capacity_kwh_;
    resistance_ohm_ = behavior_.voltage.resistance_ohm *
                      models::cold_resistance_factor(temperature_c_, behavior_.cold_resistance_factor);
}

double Battery::hours_until_limit(BatteryFlow const& flow, double horizon_h) const {
    if (plain_ || flow.taper || flow.power_kw == 0) return never_h;
    bool const discharges = flow.power_kw > 0;
    if (discharges && !is_two_well()) return never_h;  // its minimum SOC is one of the watched levels
    auto const wells = models::wells(battery_);
    double const store_kw = models::store_power_kw(battery_.energy, flow.power_kw);
    if (is_two_well()) {
        // A bound that saves solving the equation: the available well changes no faster than by the flow, the
        // present exchange between the wells and, downward, its self-discharge.
        double const c = battery_.available_fraction;
        double const in_kw =
            models::head_difference_kwh(wells, state_) * battery_.exchange_per_h * c * (1 - c);
        if (discharges) {
            double const fall_kw = std::max(-in_kw, 0.0) - store_kw +
                                   battery_.energy.self_discharge_per_h * state_.available_kwh;
            if (state_.available_kwh / fall_kw > horizon_h) return never_h;
        } else {
            double const rise_kw = std::max(in_kw, 0.0) + store_kw, full_kwh = c * capacity_kwh_;
            if ((full_kwh - state_.available_kwh) * (1 - 1e-9) > rise_kw * horizon_h) return never_h;
            // If it gets more than self-discharge can take, it does not fall again, so its content at the end
            // of the horizon decides.
            if (store_kw > battery_.energy.self_discharge_per_h * capacity_kwh_ &&
                state_.available_kwh < full_kwh * (1 - 1e-9) &&
                models::after(wells, rates_, state_, -store_kw, horizon_h).available_kwh <
                    full_kwh * (1 - 1e-9))
                return never_h;
        }
    }
    // The minimum SOC is one of the watched levels. Below it only standby and heater draw.
    double const hours = discharges ? models::hours_until_available(wells, state_, -store_kw, 0)
                                    : models::hours_until_limit(battery_, state_, flow.power_kw);
    return hours <= horizon_h ? hours : never_h;
}

double Battery::hours_until_accepts(double kw) const {
    if (plain_ || kw <= 0 || accepted_kw() <= kw) return never_h;
    double const level_kwh = models::level_accepting_kwh(battery_, kw);
    return models::hours_until_soc_in_taper(battery_, state_, level_kwh / capacity_kwh_);
}

double Battery::hours_until_temperature_event() const {
    if (!behavior_.thermal) return never_h;
    auto const& thermal = *behavior_.thermal;
    auto const& rule = behavior_.charge_rule;
    double const settled = models::settled_temperature_c(thermal, place_c_, heater_on_);
    double next = never_h;
    for (double const level :
         {thermal.heater_on_below_c, thermal.heater_off_above_c, rule.refuse_below_c, rule.resume_above_c,
          rule.refuse_above_c, rule.resume_below_c, rule.slow_below_c}) {
        if (!std::isfinite(level) || std::abs(level - temperature_c_) < temperature_slack_k) continue;
        double const past =
            level + (settled > temperature_c_ ? temperature_slack_k : -temperature_slack_k) / 2;
        next = std::min(
            next, models::hours_until_temperature(temperature_c_, settled, thermal.time_constant_h, past));
    }
    return next;
}

BatteryBooks Battery::advance(BatteryFlow const& flow, double hours, double reached_kwh) {
    BatteryBooks books;
    if (plain_ && flow.taper) {
        // The battery is full and is held full.
        books.charged_kwh = -models::holding_power_kw(battery_.energy, capacity_kwh_) * hours;
        books.loss_kwh = books.charged_kwh;
    } else if (flow.taper) {
        auto const t = models::taper(battery_, rates_, state_, hours);
        state_ = t.state;
        books.charged_kwh = t.charged_kwh;
        books.loss_kwh = t.loss_kwh + t.self_loss_kwh;
    } else {
        auto const step = models::after(battery_, rates_, state_, flow.power_kw, hours);
        state_ = step.state;
        (flow.power_kw > 0 ? books.discharged_kwh : books.charged_kwh) = std::abs(flow.power_kw) * hours;
        books.loss_kwh = step.loss_kwh + step.self_loss_kwh;
    }
    if (!std::isnan(reached_kwh)) {
        // This only removes rounding, because the rules compare with the level itself.
        if (is_two_well()) {
            state_.bound_kwh = reached_kwh - state_.available_kwh;
            state_.available_kwh = reached_kwh - state_.bound_kwh;
        } else {
            state_.available_kwh = reached_kwh;
        }
    }
    if (is_two_well()) look_at_wells();
    if (behavior_.thermal) {
        double const settled = models::settled_temperature_c(*behavior_.thermal, place_c_, heater_on_);
        temperature_c_ =
            models::temperature_after_c(temperature_c_, settled, behavior_.thermal->time_constant_h, hours);
        look_at_temperature();
    }
    return books;
}

}  // namespace holdwater::sim
