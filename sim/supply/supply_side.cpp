#include "sim/supply/supply_side.hpp"

#include <cmath>
#include <complex>

namespace holdwater::sim {
namespace {

// A start that did not fit is tried again after this time, or at once on another source.
constexpr double start_retry_h = 1.0 / 60;
constexpr double load_start_s = 1;         // start of a small load; common practice, no source
constexpr double start_efficiency = 0.88;  // of the inverter during a start; common practice, no source

std::complex<double> start_of(models::StartDraw const& start) {
    double const start_va = 1e3 * start.apparent_kva;
    return {start.power_w, std::sqrt(std::max(start_va * start_va - start.power_w * start.power_w, 0.0))};
}

void sooner(SupplySide::BatteryEvent& next, double hours) {
    if (hours < next.hours) next = {hours, std::numeric_limits<double>::quiet_NaN()};
}

}  // namespace

SupplySide::SupplySide(System const& system, std::vector<Event>& events)
    : s_(system),
      events_(events),
      battery_(system),
      has_battery_(battery_.capacity_kwh() > 0),
      generator_(system, events),
      gate_(system.pump_gate, battery_.capacity_kwh()) {
    double const capacity = battery_.capacity_kwh();
    levels_ = {s_.rules.transfer_below * capacity,
               s_.rules.return_above * capacity,
               s_.rules.charge_to * capacity,
               s_.rules.restart_above * capacity,
               s_.generator_operation.emergency_below * capacity,
               s_.generator_operation.top_up_below * capacity};
    lowest_kwh_ = battery_.stored_kwh();
    restart_kwh_ = levels_.restart;
    if (s_.rules.backup == Backup::grid) look_at_grid(0);
}

void SupplySide::begin_hour(double array_w, double ambient_c, double leg_imbalance_w, double load_var) {
    load_var_ = load_var;
    retry_h_ = -never;  // the other loads have changed, so a refused start is tried again at once
    battery_.begin_hour(ambient_c);
    generator_.begin_hour(ambient_c);
    array_w_ = array_w;
    leg_imbalance_w_ = leg_imbalance_w;
    if (battery_.has_voltage() && battery_.resistance_ohm() != rated_resistance_ohm_) rate_voltage();
    rate_inverting();
}

void SupplySide::loads_start(double start_va, double load_w, double motors_w) {
    load_start_va_ = s_.rules.trip_on_overload && !s_.inverter.surge.empty() ? start_va : 0;
    load_w_ = load_w;
    motors_w_ = motors_w;
    load_starts_ = true;
}

double SupplySide::quick_above_kwh(double now_h) const {
    if (feed_ != Feed::inverter || !battery_.goes_quick() || calling_ || emergency_ || tripped_ ||
        inverter_off_ || refusing_ || bypass_now_ || now_h < break_end_h_ || !generator_.off(now_h) ||
        !std::isinf(low_voltage_end_h_) || (s_.rules.grid_first && s_.rules.backup == Backup::grid))
        return never;
    double above_kwh = 0;
    rule_levels(now_h, [&](double level_kwh, Met met, bool) {
        if (met != Met::rising) above_kwh = std::max(above_kwh, level_kwh);
    });
    return above_kwh;
}

QuickSupply<double> SupplySide::quick_supply() const {
    QuickSupply<double> quick{};
    quick.battery = battery_.parameters().energy;
    quick.inverter = models::loss_of(s_.inverter);
    quick.controller_efficiency = s_.controller_efficiency;
    quick.controller_limit_w = s_.controller_limit_w;
    quick.standby_w = s_.dc_standby_w;
    quick.wells = models::wells(battery_.parameters());
    quick.prepare();
    return quick;
}

double SupplySide::start_fits_above_kwh(models::StartDraw const& start, double load_w, double load_var,
                                        double leg_imbalance_w) const {
    if (!(start.apparent_kva > 0)) return 0;
    if (!s_.inverter.surge.empty() && std::abs(start_of(start) + std::complex<double>(load_w, load_var)) >
                                          models::surge_va(s_.inverter, start.seconds) - leg_imbalance_w)
        return never;
    if (!battery_.has_voltage() || !(s_.inverter.low_voltage_v > 0)) return 0;
    // The terminals collapse at half the open-circuit voltage; a set point is above that.
    double const above_kwh = battery_.content_at_voltage_kwh(s_.inverter.low_voltage_v * (1 + 1e-9),
                                                             (start.power_w + load_w) / start_efficiency);
    auto const full = models::terminal_at_power(battery_.full_open_circuit_v(), battery_.resistance_ohm(),
                                                (start.power_w + load_w) / start_efficiency);
    return full.collapsed || full.volts < s_.inverter.low_voltage_v ? never : above_kwh;
}

bool SupplySide::stays_on_backup(double now_h) const {
    if (feed_ != Feed::backup || !calling_ || emergency_ || tripped_ || inverter_off_ || refusing_ ||
        bypass_now_ || !battery_.goes_quick() || now_h < break_end_h_ || now_h < stay_until_h_)
        return false;
    return s_.rules.backup == Backup::grid ? grid_usable_ && grid_event_h_ >= now_h + 1
                                           : generator_.runs_through(now_h, now_h + 1);
}

bool SupplySide::backup_starts(models::StartDraw const& start, double load_w) const {
    return s_.rules.backup == Backup::grid || !(start.apparent_kva > 0) ||
           std::abs(start_of(start) + std::complex<double>(models::pass_through_input_w(s_.inverter, load_w),
                                                           load_var_)) <= s_.generator_operation.start_va;
}

bool SupplySide::carry_through(QuickSupply<double> const& quick, std::span<PumpStretch const> pump,
                               double load_w, double now_h, HourRecord& r) {
    auto const account = generator_.account();
    bool const carried = battery_.is_two_well() ? carry_through<true>(quick, pump, load_w, now_h, r)
                                                : carry_through<false>(quick, pump, load_w, now_h, r);
    if (!carried) generator_.set(account);
    return carried;
}

template <bool two_wells>
bool SupplySide::carry_through(QuickSupply<double> const& quick, std::span<PumpStretch const> pump,
                               double load_w, double now_h, HourRecord& r) {
    bool const charging = s_.rules.charge_to > 0 && battery_.stored_kwh() < levels_.charge_to;
    double const source_w = backup_limit_w(), source_va = backup_limit_va();
    if (source_w < models::pass_through_draw_w(s_.inverter)) return false;
    double const sun_w = controller_output_w(array_w_, quick.controller_efficiency, quick.controller_limit_w);
    double const sun_spare_w = sun_w - quick.standby_w;
    double sun_kwh = 0, charger_kwh = 0, pump_kwh = 0, source_kwh = 0, hours = 0;
    auto const accepted_w = [&](models::TwoWellLevels<double> const& at) {
        return 1e3 * models::accepted_charge_kw(battery_.parameters(), battery_.state_at(at));
    };
    QuickHour<double> q{.battery = battery_.levels(), .lowest_kwh = battery_.stored_kwh()};
    for (PumpStretch const& p : pump) {
        double const ac_w = models::pass_through_input_w(s_.inverter, load_w + p.power_w);
        if (ac_w > source_w) return false;  // a motor start: step by step
        double const charger_w =
            charging ? models::charger_headroom_dc_w(s_.charger, source_w, source_va, ac_w, ac_w) : 0;
        double const offered_w = sun_spare_w + charger_w;
        QuickHour<double> const before = q;
        quick_stretch<two_wells>(quick, offered_w, quick.battery_stretch<two_wells>(p.hours), q);
        if (!(q.lowest_kwh > 0) || rule_between(before.battery.stored_kwh, q.battery.stored_kwh, now_h))
            return false;

        // If the power of the battery changes, it falls. Array power is used first.
        double const most_w = std::min(offered_w, quick.charge_limit_w);
        double const first_w = std::min(most_w, accepted_w(before.battery)),
                     last_w = std::min(most_w, accepted_w(q.battery));
        double const need_kwh = 1e-3 * quick.standby_w * p.hours + (q.charged_kwh - before.charged_kwh) -
                                (q.discharged_kwh - before.discharged_kwh);
        double taken_kwh = need_kwh;
        if (charging && first_w > sun_spare_w) {
            if (last_w < sun_spare_w) return false;  // the charger stops within the stretch
            taken_kwh = std::min(1e-3 * sun_w * p.hours, need_kwh);
        }
        sun_kwh += taken_kwh;
        charger_kwh += need_kwh - taken_kwh;
        pump_kwh += 1e-3 * p.power_w * p.hours;
        source_kwh += 1e-3 * ac_w * p.hours;
        hours += p.hours;
        if (s_.rules.backup != Backup::generator) continue;
        auto const output_w = [&](double into_battery_w) {
            return ac_w + models::charger_ac_w(s_.charger, std::max(into_battery_w - sun_spare_w, 0.0));
        };
        double const mean_w = ac_w + models::charger_ac_w(s_.charger, 1e3 * (need_kwh - taken_kwh) / p.hours);
        if (!generator_.carries_evenly(output_w(first_w), output_w(last_w), p.hours)) return false;
        generator_.advance(p.hours, mean_w, now_h + hours, r);
    }
    battery_.set_levels(q.battery);
    lowest_kwh_ = std::min(lowest_kwh_, q.lowest_kwh);
    double const load_kwh = 1e-3 * load_w * hours,
                 charger_ac_kwh = models::charger_ac_w(s_.charger, charger_kwh);
    book_quick(quick, q, 1e-3 * array_w_ * hours, sun_kwh, hours, r);
    r.charger_loss_kw = charger_ac_kwh - charger_kwh;
    r.load_served_kw = load_kwh;
    r.pump_kw = pump_kwh;
    r.backup_h = r.pass_through_h = hours;
    r.pass_through_loss_kw = source_kwh - load_kwh - pump_kwh;
    (s_.rules.backup == Backup::grid ? r.grid_kw : r.generator_kw) = source_kwh + charger_ac_kwh;
    return true;
}

bool SupplySide::look(double now_h) {
    Backup const backup = s_.rules.backup;
    if (battery_.heater_w() != rated_heater_w_) rate_inverting();
    if (backup == Backup::grid) look_at_grid(now_h);
    if (tripped_ && now_h >= trip_end_h_) tripped_ = false;
    if (!tripped_ && inverter_off_ && now_h >= off_until_h_ && may_come_back()) {
        inverter_off_ = false;
        restart_kwh_ = levels_.restart;
        note(now_h, EventKind::inverter_on);
    }

    // Whether the backup is called for.
    double const stored_kwh = battery_.stored_kwh();
    bool const low = !has_battery_ || stored_kwh <= levels_.transfer;
    if (topping_up_ && !tops_up(now_h)) calling_ = false;  // the quiet hours have begun
    bool const was_calling = calling_, low_for_long = now_h >= low_voltage_end_h_;
    if (calling_) {
        calling_ = s_.rules.grid_first || !has_battery_ || tripped_ || inverter_off_ ||
                   stored_kwh < come_back_kwh_ || now_h < stay_until_h_;
        if (low) topping_up_ = false;  // now it is an ordinary call
    } else if (backup != Backup::none) {
        calling_ = s_.rules.grid_first || tripped_ || inverter_off_ || low_for_long || low;
        topping_up_ = !calling_ && tops_up(now_h) && stored_kwh <= levels_.top_up;
        calling_ = calling_ || topping_up_;
    }
    if (calling_ && !was_calling) come_back_rule(low_for_long, now_h);
    if (calling_) low_voltage_end_h_ = never;
    if (backup == Backup::generator) {
        emergency_ =
            (has_battery_ ? stored_kwh <= levels_.emergency : s_.generator_operation.emergency_below > 0) ||
            (emergency_ && stored_kwh < levels_.emergency + level_band * battery_.capacity_kwh());
        generator_.look(now_h, calling_, emergency_);
    }

    // The source of the loads, and the interruption if it changes.
    bool const bypass = bypass_now_ && grid_usable_;
    bool const ready = backup == Backup::generator
                           ? generator_.carries_load()
                           : backup == Backup::grid && grid_usable_ && (calling_ || bypass);
    if (!has_battery_ && !bypass && !ready && !inverter_off_ && !(inverting_capacity_w_ > 0))
        switch_off(now_h);
    Feed const was = feed_;
    feed_ = bypass                                       ? Feed::bypass
            : ready                                      ? Feed::backup
            : (inverter_off_ || tripped_ || bypass_now_) ? Feed::nothing
                                                         : Feed::inverter;
    bool const was_backup = was == Feed::backup || was == Feed::bypass,
               is_backup = feed_ == Feed::backup || feed_ == Feed::bypass;
    bool const changed = was_backup != is_backup;
    if (changed) {
        ++transfers_;
        low_voltage_end_h_ = never;
        note(now_h, is_backup ? EventKind::to_backup : EventKind::to_inverter);
        if (is_backup) stay_until_h_ = std::max(stay_until_h_, now_h + least_stay_h);
        break_end_h_ = now_h + s_.rules.break_s / seconds_per_hour;
    }
    if (load_start_va_ > 0 && trips_at_load_start(was, now_h)) return look(now_h) || changed;
    return changed;
}

double SupplySide::next_clock_event_h(double now_h) const {
    double next = never;
    if (s_.rules.backup == Backup::grid) next = grid_event_h_;
    if (s_.rules.backup == Backup::generator) next = generator_.next_change_h(now_h, calling_);
    if (now_h < break_end_h_) next = std::min(next, break_end_h_);
    if (tripped_) next = std::min(next, trip_end_h_);
    if (inverter_off_ && now_h < off_until_h_) next = std::min(next, off_until_h_);
    if (calling_ && now_h < stay_until_h_) next = std::min(next, stay_until_h_);
    if (refusing_ && now_h < retry_h_) next = std::min(next, retry_h_);
    return std::min(next, gate_.next_clock_event_h(now_h));
}

bool SupplySide::start_fits(models::StartDraw const& start, double running_w, double now_h) {
    if (!(start.apparent_kva > 0)) return true;
    if (refusing_ && feed_ == refused_on_ && now_h < retry_h_) return false;
    bool fits = true;
    std::complex<double> const motor = start_of(start);
    std::complex<double> const running(
        feed_ == Feed::backup ? models::pass_through_input_w(s_.inverter, running_w) : running_w, load_var_);
    if (feed_ == Feed::inverter) {
        if (!s_.inverter.surge.empty())
            fits =
                std::abs(motor + running) <= models::surge_va(s_.inverter, start.seconds) - leg_imbalance_w_;
        if (fits && battery_.has_voltage() && s_.inverter.low_voltage_v > 0) {
            auto const dc = battery_.terminal((start.power_w + running_w) / start_efficiency);
            fits = !dc.collapsed && dc.volts >= s_.inverter.low_voltage_v;
        }
    } else if (feed_ == Feed::backup && s_.rules.backup == Backup::generator) {
        fits = std::abs(motor + running) <= s_.generator_operation.start_va;
    }
    if (fits) {
        refusing_ = false;
        return true;
    }
    if (!refusing_) {
        ++starts_refused_;
        note(now_h, EventKind::start_refused);
    }
    refusing_ = true;
    refused_on_ = feed_;
    retry_h_ = now_h + (feed_ == Feed::inverter && s_.rules.trip_on_overload ? 0 : start_retry_h);
    if (feed_ == Feed::inverter && s_.rules.trip_on_overload) trip(now_h);
    return false;
}

PowerFlow SupplySide::flow(double load_w, double pump_w, double pump_peak_w, double now_h) const {
    Feed const feed = now_h < break_end_h_ ? Feed::nothing : feed_;
    double charger_w = 0, through_w = 0;
    if (feed == Feed::backup) {
        // A source that is too small for the inverter's own draw gives what it can.
        through_w = models::pass_through_input_w(s_.inverter, load_w + pump_w);
        if (load_w + pump_w == 0) through_w = std::min(through_w, backup_limit_w());
        charger_w = models::charger_headroom_dc_w(s_.charger, backup_limit_w(), backup_limit_va(), through_w,
                                                  through_w);
    }
    PowerFlow f = power_flow(s_, battery_, feed, array_w_, load_w, pump_w, charger_w);
    if (feed == Feed::backup) f.pass_through_w = through_w - f.ac_w();
    f.peak_battery_w = 1e3 * f.battery.power_kw;
    if (feed == Feed::inverter && !f.asleep && battery_.has_voltage())
        f.peak_battery_w += models::dc_input_w(s_.inverter, load_w + pump_peak_w) - f.inverter_dc_w;
    return f;
}

bool SupplySide::switch_off_if_empty(PowerFlow const& flow, double now_h) {
    if (flow.feed != Feed::inverter || !(flow.battery.power_kw > 0)) return false;
    bool off = battery_.empty();
    if (!off && voltage_matters()) {
        auto const dc = battery_.terminal(flow.peak_battery_w);
        off = dc.collapsed || dc.volts <= s_.inverter.low_voltage_v * (1 + 1e-9);
        if (off) drop_out(now_h);
    }
    if (off) switch_off(now_h);
    return off;
}

template <class Watch>
void SupplySide::watch_voltage(PowerFlow const& flow, double now_h, BatteryEvent& next, Watch const& watch) {
    double const power_w = flow.peak_battery_w;
    if (s_.inverter.low_voltage_v > 0 && power_w > 0)
        watch(battery_.content_at_voltage_kwh(s_.inverter.low_voltage_v, power_w));
    if (s_.rules.backup == Backup::none || calling_ || s_.rules.transfer_below_v <= 0) return;
    auto const dc = battery_.terminal(power_w);
    bool const held = flow.battery.taper && power_w <= 0;
    bool const low = !held && (dc.collapsed || dc.volts <= s_.rules.transfer_below_v * (1 + 1e-9));
    if (!low) low_voltage_end_h_ = never;
    if (!held)
        watch(battery_.content_at_voltage_kwh(s_.rules.transfer_below_v * (low ? 1 + 2e-9 : 1), power_w));
    if (!low) return;
    if (std::isinf(low_voltage_end_h_))
        low_voltage_end_h_ = now_h + s_.rules.transfer_delay_s / seconds_per_hour;
    sooner(next, low_voltage_end_h_ - now_h);
}

SupplySide::BatteryEvent SupplySide::next_event(PowerFlow const& flow, double now_h, double horizon_h,
                                                std::vector<LoadClass> const& classes) {
    BatteryEvent next{horizon_h, std::numeric_limits<double>::quiet_NaN()};
    double const stored_kwh = battery_.stored_kwh(), rate_kw = battery_.rate_of_content_kw(flow.battery);
    // The nearest watched level in the direction in which the stored energy changes.
    double target_kwh = rate_kw > 0 ? never : -1;
    auto const watch = [&](double level_kwh) {
        if (rate_kw > 0 ? level_kwh > stored_kwh && level_kwh < target_kwh
                        : level_kwh < stored_kwh && level_kwh > target_kwh)
            target_kwh = level_kwh;
    };
    rule_levels(now_h, [&](double level_kwh, Met met, bool) {
        if (met == Met::either_way || (met == Met::falling) == (rate_kw < 0)) watch(level_kwh);
    });
    for (LoadClass const& c : classes) {
        watch(c.shed_below * battery_.capacity_kwh());
        watch((c.shed_below + level_band) * battery_.capacity_kwh());
    }
    gate_.watch_levels(watch);
    if (flow.feed == Feed::inverter && voltage_matters())
        watch_voltage(flow, now_h, next, watch);
    else
        low_voltage_end_h_ = never;
    if (rate_kw != 0 && target_kwh >= 0 && std::isfinite(target_kwh)) {
        double const hours = battery_.hours_until(flow.battery, target_kwh, next.hours);
        if (hours < next.hours) next = {hours, target_kwh};
    }
    sooner(next, battery_.hours_until_limit(flow.battery, next.hours));
    if (inverter_off_ || !battery_.feeds_standby())
        sooner(next, battery_.hours_until_available(flow.battery, restart_level_kwh()));
    if (flow.battery.taper && flow.charger_dc_w > 0) {
        double const sun_spare_kw = 1e-3 * (flow.sun_w - flow.dc_w());
        sooner(next, battery_.hours_until_accepts(sun_spare_kw));
        // The fuel of a step follows from its mean output only on one line of the fuel table.
        if (s_.rules.backup == Backup::generator)
            for (auto const& bend : generator_.fuel_bends()) {
                double const charger_w =
                                 s_.charger.efficiency * (bend.output_w - flow.ac_w() - flow.pass_through_w),
                             at_bend_kw = sun_spare_kw + 1e-3 * charger_w;
                // A bend that has been reached, except for rounding, is left out.
                if (charger_w > 0 && battery_.accepted_kw() > at_bend_kw * (1 + 1e-9))
                    sooner(next, battery_.hours_until_accepts(at_bend_kw));
            }
    }
    sooner(next, battery_.hours_until_temperature_event());
    if (s_.rules.backup == Backup::generator)
        sooner(next, generator_.hours_of_fuel(generator_output_w(flow)));
    return next;
}

void SupplySide::advance(PowerFlow const& p, double load_demand_w, double now_h, double hours,
                         double reached_kwh, HourRecord& r) {
    double const kwh = 1e-3 * hours;
    if (battery_.charge_refused()) r.charge_refused_h += hours;
    BatteryBooks const battery = battery_.advance(p.battery, hours, reached_kwh);
    lowest_kwh_ = std::min(lowest_kwh_, battery_.stored_kwh());
    // In a taper the array supplies what it can of the energy, and the charger supplies the rest.
    double sun_kwh = p.sun_w * kwh, charger_kwh = p.charger_dc_w * kwh;
    if (p.battery.taper) {
        double const need_kwh = p.dc_w() * kwh + battery.charged_kwh;
        sun_kwh = p.charger_dc_w > 0 ? std::min(sun_kwh, need_kwh) : need_kwh;
        charger_kwh = need_kwh - sun_kwh;
    }
    double const array_kwh = sun_kwh / s_.controller_efficiency;
    double const charger_ac_kwh = models::charger_ac_w(s_.charger, charger_kwh);
    r.pv_used_kw += array_kwh;
    r.pv_curtailed_kw += p.array_w * kwh - array_kwh;
    r.controller_loss_kw += array_kwh - sun_kwh;
    r.battery_charge_kw += battery.charged_kwh;
    r.battery_discharge_kw += battery.discharged_kwh;
    r.battery_loss_kw += battery.loss_kwh;
    if (p.feed == Feed::inverter) r.inverter_loss_kw += (p.inverter_dc_w - p.ac_w()) * kwh;
    r.standby_kw += p.standby_w * kwh;
    r.heater_kw += p.heater_w * kwh;
    r.pass_through_loss_kw += p.pass_through_w * kwh;
    if (p.feed == Feed::backup) r.pass_through_h += hours;
    r.charger_loss_kw += charger_ac_kwh - charger_kwh;
    r.load_served_kw += p.load_w * kwh;
    if (p.load_w < load_demand_w && hours > 0) {
        r.load_unserved_kw += (load_demand_w - p.load_w) * kwh;
        r.limit_reason = static_cast<double>(load_reason(p, now_h));
    }
    r.pump_kw += p.pump_w * kwh;
    if (p.feed == Feed::nothing) r.inverter_off_h += hours;
    double const backup_kwh = p.feed == Feed::backup || p.feed == Feed::bypass
                                  ? (p.ac_w() + p.pass_through_w) * kwh + charger_ac_kwh
                                  : 0;
    if (on_backup()) r.backup_h += hours;
    if (s_.rules.backup == Backup::grid) {
        r.grid_kw += backup_kwh;
    } else if (s_.rules.backup == Backup::generator) {
        r.generator_kw += backup_kwh;
        if (hours > 0) generator_.advance(hours, 1e3 * backup_kwh / hours, now_h + hours, r);
    }
}

void SupplySide::rate_inverting() {
    rated_heater_w_ = battery_.heater_w();
    double const controller_w =
        controller_output_w(array_w_, s_.controller_efficiency, s_.controller_limit_w);
    // Without a battery only the array power, minus a rounding error that would switch the inverter off.
    double const give_w = has_battery_ ? 1e3 * battery_.discharge_limit_kw() : -1e-9 * controller_w;
    double const battery_w = give_w - s_.dc_standby_w - rated_heater_w_;
    double rated_w = s_.inverter.rated_power_w - leg_imbalance_w_;
    if (load_var_ > 0) rated_w = std::sqrt(std::max(rated_w * rated_w - load_var_ * load_var_, 0.0));
    double const brought_w = models::ac_output_w(s_.inverter, controller_w + battery_w);
    battery_limits_ = brought_w < rated_w;
    inverting_capacity_w_ = std::max(std::min(rated_w, brought_w), 0.0);
}

void SupplySide::rate_voltage() {
    rated_resistance_ohm_ = battery_.resistance_ohm();
    double const volts = std::max(s_.inverter.low_voltage_v, s_.rules.transfer_below_v) * (1 + 1e-6);
    voltage_matters_below_kwh_ =
        std::isfinite(battery_.discharge_limit_kw())
            ? battery_.content_at_voltage_kwh(volts, 1e3 * battery_.discharge_limit_kw())
            : battery_.capacity_kwh();
}

void SupplySide::look_at_grid(double now_h) {
    if (now_h < grid_event_h_) return;
    bool const up = models::grid_up(s_.outages, now_h);
    if (!up) returned_h_ = never;
    if (up && returned_h_ == never) returned_h_ = now_h;
    if (up && !ever_looked_) returned_h_ = -never;
    ever_looked_ = true;
    double const usable_h = returned_h_ + s_.rules.accept_delay_s / seconds_per_hour;
    grid_usable_ = up && now_h >= usable_h;
    bypass_now_ = !s_.rules.bypass.empty() && !models::grid_up(s_.rules.bypass, now_h);
    grid_event_h_ = std::min(models::next_grid_change_h(s_.outages, now_h),
                             models::next_grid_change_h(s_.rules.bypass, now_h));
    if (up && !grid_usable_) grid_event_h_ = std::min(grid_event_h_, usable_h);
}

bool SupplySide::rule_between(double a_kwh, double b_kwh, double now_h) const {
    double const low_kwh = std::min(a_kwh, b_kwh), high_kwh = std::max(a_kwh, b_kwh);
    bool between = false;
    rule_levels(now_h, [&](double level_kwh, Met met, bool carried) {
        between = between || (carried && (met == Met::rising || low_kwh <= level_kwh) &&
                              (met == Met::falling || high_kwh >= level_kwh));
    });
    return between;
}

void SupplySide::come_back_rule(bool low_voltage, double now_h) {
    come_back_kwh_ = levels_.come_back;
    if (battery_.stored_kwh() <= levels_.transfer) return;
    double const gained_kwh = battery_.stored_kwh() + level_band * battery_.capacity_kwh();
    if (low_voltage && gained_kwh <= std::max(levels_.come_back, 0.95 * battery_.capacity_kwh()))
        come_back_kwh_ = std::max(levels_.come_back, gained_kwh);
    else if (low_voltage || tripped_)
        stay_until_h_ = now_h + 1;
}

bool SupplySide::trips_at_load_start(Feed was, double now_h) {
    bool const restarts = was == Feed::nothing;
    if (feed_ != Feed::inverter || !(load_starts_ || restarts)) return false;
    load_starts_ = false;
    double const beside_w = load_w_ + (restarts ? 0 : motors_w_);
    if (std::hypot(beside_w, load_var_) + load_start_va_ <=
        models::surge_va(s_.inverter, load_start_s) - leg_imbalance_w_)
        return false;
    trip(now_h);
    return true;
}

void SupplySide::trip(double now_h) {
    ++inverter_trips_;
    trips_ = models::after_trip(s_.rules.trip, trips_, now_h * seconds_per_hour);
    tripped_ = true;
    trip_end_h_ = trips_.locked_out ? now_h + s_.rules.trip_reset_h
                                    : models::restart_at_s(s_.rules.trip, trips_) / seconds_per_hour;
    if (trips_.locked_out) trips_ = {};  // after a reset the count begins again
    note(now_h, EventKind::inverter_tripped);
}

}  // namespace holdwater::sim
