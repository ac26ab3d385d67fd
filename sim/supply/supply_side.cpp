#include "sim/supply/supply_side.hpp"

#include <cmath>

namespace holdwater::sim {

SupplySide::SupplySide(System const& system, std::vector<Event>& events)
    : s_(system),
      events_(events),
      battery_(system),
      has_battery_(battery_.capacity_kwh() > 0),
      generator_(system, events),
      gate_(system.pump_gate, battery_.capacity_kwh()),
      on_generator_(system.rules.backup == Backup::generator),
      works_for_the_bill_(scenarios::works_for_the_bill(system.rules) && has_battery_) {
    double const capacity = battery_.capacity_kwh();
    levels_ = {s_.rules.transfer_below * capacity, s_.rules.return_above * capacity,
               s_.rules.restart_above * capacity, s_.generator_operation.emergency_below * capacity,
               s_.generator_operation.top_up_below * capacity};
    if (s_.rules.second) {
        levels_.second_transfer = s_.rules.second->transfer_below * capacity;
        levels_.second_come_back = s_.rules.second->return_above * capacity;
    }
    if (works_for_the_bill_) levels_.reserve = s_.rules.tariff->reserve * capacity;
    lowest_kwh_ = battery_.stored_kwh();
    restart_kwh_ = levels_.restart;
    if (s_.rules.backup != Backup::grid) return;
    warnings_ = models::warnings_of(s_.outages, s_.rules.forewarned_h, s_.rules.forewarned_over_h);
    look_at_grid(0);
}

void SupplySide::begin_hour(double array_w, double ambient_c, double leg_imbalance_w, double load_var) {
    load_var_ = load_var;
    most_unserved_kwh_ = 0;
    retry_h_ = -never;  // the other loads have changed, so a refused start is tried again at once
    battery_.begin_hour(ambient_c);
    generator_.begin_hour(ambient_c);
    array_w_ = s_.array_factor * array_w;
    leg_imbalance_w_ = leg_imbalance_w;
    if (battery_.has_voltage() && battery_.resistance_ohm() != rated_resistance_ohm_) rate_voltage();
    rate_inverting();
}

double SupplySide::quick_above_kwh(double now_h) const {
    if (feed_ != Feed::inverter || !battery_.goes_quick() || calling_ || second_calling_ || emergency_ ||
        tripped_ || inverter_off_ || refusing_ || bypass_now_ || break_left_s_ > 0 ||
        now_h < overload_end_h_ || !generator_.off(now_h) || !std::isinf(low_voltage_end_h_) ||
        (s_.rules.grid_first && s_.rules.backup == Backup::grid && !for_the_bill_))
        return never;
    double above_kwh = 0;
    rule_levels(now_h, [&](double level_kwh, Met met, bool) {
        if (met != Met::rising) above_kwh = std::max(above_kwh, level_kwh);
    });
    return above_kwh;
}

bool SupplySide::stays_on_backup(double now_h) const {
    if (feed_ != Feed::backup || !called() || emergency_ || tripped_ || inverter_off_ || refusing_ ||
        bypass_now_ || !battery_.goes_quick() || break_left_s_ > 0 || now_h < stay_until_h_)
        return false;
    if (s_.rules.backup == Backup::grid && grid_event_h_ < now_h + 1) return false;
    if (on_generator_) return generator_.runs_through(now_h, now_h + 1);
    return grid_usable_ && (!s_.rules.second || generator_.off(now_h));
}

void SupplySide::call_second(bool low_voltage, double now_h) {
    double const stored_kwh = battery_.stored_kwh();
    bool const was_calling = second_calling_,
               goes_on = was_calling && (stored_kwh < second_come_back_kwh_ || now_h < stay_until_h_);
    second_calling_ = !grid_usable_ && !bypass_now_ &&
                      (!has_battery_ || tripped_ || inverter_off_ || low_voltage || goes_on ||
                       stored_kwh <= levels_.second_transfer);
    if (second_calling_ && !was_calling)
        second_come_back_kwh_ =
            come_back_rule(levels_.second_transfer, levels_.second_come_back, low_voltage, now_h);
}

void SupplySide::switch_by_hand(double now_h) {
    bool const wanted = calling_ && grid_usable_;
    if (wanted == hand_bypass_)
        hand_switch_h_ = never;
    else if (std::isinf(hand_switch_h_))
        hand_switch_h_ = now_h + s_.rules.hand_response_h;
    if (now_h >= hand_switch_h_) {
        hand_bypass_ = wanted;
        hand_switch_h_ = never;
    }
    bypass_now_ = listed_bypass_ || hand_bypass_;
}

bool SupplySide::look(double now_h, double carried_w) {
    Backup const backup = s_.rules.backup;
    was_bypassed_ = bypass_now_;
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
    // Before these hours the charger fills to the reserve: a battery that stands at it has nothing to give.
    double const nothing_to_give_kwh = levels_.reserve + (for_the_bill_ ? 0 : 1e-6 * battery_.capacity_kwh());
    spent_ = peak_now_ && (spent_ || low || stored_kwh <= nothing_to_give_kwh || low_for_long || tripped_ ||
                           inverter_off_);
    for_the_bill_ = works_for_the_bill_ && peak_now_ && !spent_ && !warned_;
    bool const grid_wanted = s_.rules.grid_first && !for_the_bill_;
    if (calling_ && for_the_bill_) {
        calling_ = now_h < stay_until_h_;
    } else if (calling_) {
        calling_ = s_.rules.grid_first || !has_battery_ || tripped_ || inverter_off_ ||
                   stored_kwh < come_back_kwh_ || now_h < stay_until_h_ || warned_;
        if (low) topping_up_ = false;  // now it is an ordinary call
    } else if (backup != Backup::none) {
        calling_ = grid_wanted || tripped_ || inverter_off_ || low_for_long || low || warned_;
        topping_up_ = !calling_ && tops_up(now_h) && stored_kwh <= levels_.top_up;
        calling_ = calling_ || topping_up_;
    }
    if (calling_ && !was_calling)
        come_back_kwh_ = come_back_rule(levels_.transfer, levels_.come_back, low_for_long, now_h);
    bool const second = s_.rules.second.has_value();
    if (second) call_second(low_for_long, now_h);
    bool const by_hand = s_.rules.by_hand && backup == Backup::grid;
    if (by_hand) switch_by_hand(now_h);
    if (called()) low_voltage_end_h_ = never;
    if (scenarios::uses_generator(s_.rules)) {
        emergency_ =
            (has_battery_ ? stored_kwh <= levels_.emergency : s_.generator_operation.emergency_below > 0) ||
            (emergency_ && stored_kwh < levels_.emergency + level_band * battery_.capacity_kwh());
        generator_.look(now_h, second ? second_calling_ : calling_, emergency_);
    }

    // The source of the loads, and the interruption if it changes.
    bool const bypass = bypass_now_ && grid_usable_;
    bool const grid_ready = backup == Backup::grid && grid_usable_ && ((calling_ && !by_hand) || bypass);
    bool const generator_ready = generator_.carries_load() &&
                                 (backup == Backup::generator || (second && !grid_usable_ && !bypass_now_));
    bool const ready = grid_ready || generator_ready;
    if (!has_battery_ && !bypass && !ready && !inverter_off_ && !(inverting_capacity_w_ > 0))
        switch_off(now_h);
    Feed const was = feed_;
    bool const was_on_generator = on_generator_;
    if (second) on_generator_ = generator_ready;
    feed_ = bypass                                       ? Feed::bypass
            : ready                                      ? Feed::backup
            : (inverter_off_ || tripped_ || bypass_now_) ? Feed::nothing
                                                         : Feed::inverter;
    bool const was_backup = was == Feed::backup || was == Feed::bypass,
               is_backup = feed_ == Feed::backup || feed_ == Feed::bypass;
    bool const other_backup = was_backup && is_backup && (was != feed_ || was_on_generator != on_generator_);
    bool const changed = was_backup != is_backup || other_backup;
    if (changed) {
        ++transfers_;
        low_voltage_end_h_ = never;
        note(now_h, is_backup ? EventKind::to_backup : EventKind::to_inverter);
        if (is_backup) stay_until_h_ = std::max(stay_until_h_, now_h + least_stay_h);
        break_left_s_ =
            second && (on_generator_ || was_on_generator) ? s_.rules.second->break_s : s_.rules.break_s;
        if (other_backup) retry_h_ = -never;
    }
    if (trips_at_overload(was, carried_w, now_h)) return look(now_h) || changed;
    if (load_start_va_ > 0 && trips_at_load_start(was, now_h)) return look(now_h) || changed;
    return changed;
}

double SupplySide::next_clock_event_h(double now_h) const {
    double next = never;
    if (s_.rules.backup == Backup::grid) next = grid_event_h_;
    if (scenarios::uses_generator(s_.rules))
        next = std::min(next, generator_.next_change_h(now_h, s_.rules.second ? second_calling_ : calling_));
    if (now_h < overload_end_h_) next = std::min(next, overload_end_h_);
    next = std::min(next, hand_switch_h_);
    if (tripped_) next = std::min(next, trip_end_h_);
    if (inverter_off_ && now_h < off_until_h_) next = std::min(next, off_until_h_);
    if ((calling_ || second_calling_) && now_h < stay_until_h_) next = std::min(next, stay_until_h_);
    if (refusing_ && now_h < retry_h_) next = std::min(next, retry_h_);
    return std::min(next, gate_.next_clock_event_h(now_h));
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
    brought_w_ = std::max(brought_w, 0.0);
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
    listed_bypass_ = !s_.rules.bypass.empty() && !models::grid_up(s_.rules.bypass, now_h);
    bypass_now_ = listed_bypass_ || hand_bypass_;
    warned_ = !warnings_.empty() && !models::grid_up(warnings_, now_h);
    double tariff_change_h = never;
    if (works_for_the_bill_) {
        auto const& tariff = *s_.rules.tariff;
        double const clock_h = models::hour_of_day(now_h);
        peak_now_ = tariff.peak.has(clock_h);
        cheap_now_ = tariff.low.none() ? !peak_now_ : tariff.low.has(clock_h);
        tariff_change_h =
            std::min(models::next_change_h(tariff.peak, now_h), models::next_change_h(tariff.low, now_h));
    }
    grid_event_h_ = std::min({tariff_change_h, models::next_grid_change_h(s_.outages, now_h),
                              models::next_grid_change_h(s_.rules.bypass, now_h),
                              models::next_grid_change_h(warnings_, now_h)});
    if (up && !grid_usable_) grid_event_h_ = std::min(grid_event_h_, usable_h);
}

double SupplySide::come_back_rule(double transfer_kwh, double come_back_kwh, bool low_voltage, double now_h) {
    if (battery_.stored_kwh() <= transfer_kwh) return come_back_kwh;
    double const gained_kwh = battery_.stored_kwh() + level_band * battery_.capacity_kwh();
    if (low_voltage && gained_kwh <= std::max(come_back_kwh, 0.95 * battery_.capacity_kwh()))
        return std::max(come_back_kwh, gained_kwh);
    if (low_voltage || tripped_) stay_until_h_ = now_h + 1;
    return come_back_kwh;
}

}  // namespace holdwater::sim
