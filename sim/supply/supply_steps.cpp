#include <cmath>

#include "sim/supply/supply_side.hpp"

// One step of the supply: the flow of power, until when it holds, its energy; and a whole hour on the backup.
namespace holdwater::sim {
namespace {

void sooner(SupplySide::BatteryEvent& next, double hours) {
    if (hours < next.hours) next = {hours, std::numeric_limits<double>::quiet_NaN()};
}

}  // namespace

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
    bool const charging = charge_to() > 0 && battery_.stored_kwh() < charge_to() * battery_.capacity_kwh();
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
        if (!on_generator_) continue;
        auto const output_w = [&](double into_battery_w) {
            return ac_w + models::charger_ac_w(s_.charger, std::max(into_battery_w - sun_spare_w, 0.0));
        };
        double const mean_w = ac_w + models::charger_ac_w(s_.charger, 1e3 * (need_kwh - taken_kwh) / p.hours);
        if (!generator_.carries_evenly(output_w(first_w), output_w(last_w), p.hours)) return false;
        generator_.advance(p.hours, mean_w, now_h + hours, r);
    }
    battery_.set_levels(q.battery);
    lowest_kwh_ = std::min(lowest_kwh_, q.lowest_kwh);
    auto energy = quick_energy(quick, q, 1e-3 * array_w_ * hours, sun_kwh, hours);
    energy.load_kwh = 1e-3 * load_w * hours;
    energy.pump_kwh = pump_kwh;
    energy.charger_kwh = charger_kwh;
    energy.through_kwh = source_kwh;
    energy.through_loss_kwh = source_kwh - energy.load_kwh - pump_kwh;
    energy.from_generator = on_generator_;
    book(s_, energy, r);
    r.backup_h = r.pass_through_h = hours;
    return true;
}

PowerFlow SupplySide::flow(double load_w, double pump_w, double pump_peak_w) const {
    Feed const feed = break_left_s_ > 0 ? Feed::nothing : feed_;
    double charger_w = 0, through_w = 0;
    if (feed == Feed::backup) {
        // A source that is too small for the inverter's own draw gives what it can.
        through_w = models::pass_through_input_w(s_.inverter, load_w + pump_w);
        if (load_w + pump_w == 0) through_w = std::min(through_w, backup_limit_w());
        charger_w = models::charger_headroom_dc_w(s_.charger, backup_limit_w(), backup_limit_va(), through_w,
                                                  through_w);
    }
    PowerFlow f = power_flow(s_, battery_, feed, array_w_, load_w, pump_w, charger_w, charge_to());
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
    if (s_.rules.backup == Backup::none || called() || s_.rules.transfer_below_v <= 0) return;
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
        if (on_generator_)
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
    if (scenarios::uses_generator(s_.rules)) sooner(next, generator_.hours_of_fuel(generator_output_w(flow)));
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
    bool const through = p.feed == Feed::backup || p.feed == Feed::bypass;
    double const backup_kwh =
        book(s_,
             {.array_kwh = p.array_w * kwh,
              .sun_kwh = sun_kwh,
              .charged_kwh = battery.charged_kwh,
              .discharged_kwh = battery.discharged_kwh,
              .battery_loss_kwh = battery.loss_kwh,
              .standby_kwh = p.standby_w * kwh,
              .heater_kwh = p.heater_w * kwh,
              .inverter_loss_kwh = p.feed == Feed::inverter ? (p.inverter_dc_w - p.ac_w()) * kwh : 0,
              .load_kwh = p.load_w * kwh,
              .pump_kwh = p.pump_w * kwh,
              .charger_kwh = charger_kwh,
              .through_kwh = through ? (p.ac_w() + p.pass_through_w) * kwh : 0,
              .through_loss_kwh = p.pass_through_w * kwh,
              .from_generator = on_generator_},
             r);
    if (p.feed == Feed::backup) r.pass_through_h += hours;
    if (p.load_w < load_demand_w && hours > 0) {
        double const unserved_kwh = (load_demand_w - p.load_w) * kwh;
        r.load_unserved_kw += unserved_kwh;
        r.limit_reason = static_cast<double>(load_reason(p));
        if (unserved_kwh > most_unserved_kwh_) {
            most_unserved_kwh_ = unserved_kwh;
            r.load_unserved_reason = r.limit_reason;
        }
    }
    if (p.feed == Feed::nothing) r.inverter_off_h += hours;
    if (on_backup()) r.backup_h += hours;
    // What rounding leaves of a transfer is no step of its own.
    constexpr double least_left_s = 1e-9;
    break_left_s_ -= seconds_per_hour * hours;
    if (break_left_s_ < least_left_s) break_left_s_ = 0;
    if (scenarios::uses_generator(s_.rules) && hours > 0)
        generator_.advance(hours, on_generator_ ? 1e3 * backup_kwh / hours : 0, now_h + hours, r);
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

}  // namespace holdwater::sim
