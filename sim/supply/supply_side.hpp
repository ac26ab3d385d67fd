#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <span>
#include <vector>

#include "models/electric/motor.hpp"
#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/supply/battery_side.hpp"
#include "sim/supply/generator_control.hpp"
#include "sim/supply/power_flow.hpp"
#include "sim/supply/pump_gate_run.hpp"
#include "sim/supply/quick_hour.hpp"

namespace holdwater::sim {

/// Battery, inverter, charger and backup during a run: which source supplies the loads, how long until that
/// may change, and the energies. DEVELOPERS.md has the rules in words ("Rules of the supply").
///
/// Order of calls in a step: look, capacity_w and start_fits, flow, next_event, advance.
class SupplySide {
  public:
    SupplySide(System const& system, std::vector<Event>& events);

    [[nodiscard]] Battery const& battery() const { return battery_; }
    [[nodiscard]] double array_w() const { return array_w_; }
    [[nodiscard]] double array_factor() const { return s_.array_factor; }
    [[nodiscard]] GeneratorControl const& generator() const { return generator_; }
    [[nodiscard]] double soc_min() const {
        return battery_.capacity_kwh() > 0 ? lowest_kwh_ / battery_.capacity_kwh() : 0;
    }
    [[nodiscard]] double transfers() const { return transfers_; }
    [[nodiscard]] double starts_refused() const { return starts_refused_; }
    [[nodiscard]] double inverter_trips() const { return inverter_trips_; }
    /// Transfers from grid, generator or a bypass with more load than the rating of the inverter; from a
    /// bypass also if the grid went before someone switched back.
    [[nodiscard]] double overload_transfers() const { return overload_transfers_; }
    /// What the loads take at the moment of a transfer matters: an overload trips the inverter.
    [[nodiscard]] bool trips_on_overload() const { return s_.rules.trip_on_overload; }

    /// `load_var`: reactive power of the small loads, which counts toward the rating of the inverter.
    /// `array_w`: of the inputs.
    void begin_hour(double array_w, double ambient_c, double leg_imbalance_w, double load_var);

    /// The largest start of a small load in the hour [VA], together with `load_w` of loads and the running
    /// motors. It is assumed to happen at the beginning of the hour, and at every restart in it, before the
    /// pumps run again. If it is too much for the inverter, it trips the inverter if the rules say so;
    /// otherwise it is only reported.
    void loads_start(double start_va, double load_w, double motors_w);

    /// Stored energy down to which the hours from `now_h` on can be computed as quick hours: the loads are on
    /// the inverter, nothing is pending, and no SOC with a rule is above it. Infinity if they cannot. Call it
    /// after a step; the result holds until next_clock_event_h. Motor starts, the capacity of the inverter
    /// and the loads must be checked separately.
    [[nodiscard]] double quick_above_kwh(double now_h) const;
    [[nodiscard]] QuickSupply<double> quick_supply() const;
    /// Sets the battery to its state after quick hours.
    void take_over(models::TwoWellLevels<double> const& levels, double lowest_kwh) {
        battery_.set_levels(levels);
        lowest_kwh_ = std::min(lowest_kwh_, lowest_kwh);
    }
    /// Stored energy above which this motor start fits in any case, with any loads up to the given ones;
    /// infinity if it does not.
    [[nodiscard]] double start_fits_above_kwh(models::StartDraw const& start, double load_w, double load_var,
                                              double leg_imbalance_w) const;

    /// Whether, by the clock, the backup that supplies the loads at `now_h` does so for another hour.
    [[nodiscard]] bool stays_on_backup(double now_h) const;
    /// Whether the backup can start this motor in addition to the loads.
    [[nodiscard]] bool backup_starts(models::StartDraw const& start, double load_w) const;
    /// For an hour on such a backup, after begin_hour: runs through the stretches of the pump with all loads
    /// on. False if a rule by SOC or fuel applies; then nothing has changed except `r`. `quick` is
    /// quick_supply().
    bool carry_through(QuickSupply<double> const& quick, std::span<PumpStretch const> pump, double load_w,
                       double now_h, HourRecord& r);

    /// Applies the rules at `now_h`; true if a transfer has just interrupted the supply of a running pump.
    /// `carried_w`: what loads and running motors take now; only needed if trips_on_overload().
    bool look(double now_h, double carried_w = 0);

    /// The inverter has just tripped, so look() must be called again.
    [[nodiscard]] bool tripped() const { return tripped_ && feed_ == Feed::inverter; }
    /// An outage of the grid is known to come.
    [[nodiscard]] bool warned() const { return warned_; }
    [[nodiscard]] bool on_backup() const { return feed_ == Feed::backup || feed_ == Feed::bypass; }
    /// Updates the pump gate; true if it lets the well pump run. `load_w`: small loads of the hour.
    [[nodiscard]] bool well_pump_allowed(double now_h, double load_w) {
        gate_.look(now_h, battery_.stored_kwh(), on_backup(),
                   controller_output_w(array_w_, s_.controller_efficiency, s_.controller_limit_w) - load_w);
        return gate_.open();
    }

    /// Next time at which a rule changes by the clock [h]; the end of a transfer is break_left_s().
    [[nodiscard]] double next_clock_event_h(double now_h) const;
    /// What is left of the interruption by a transfer [s]. It is counted down: two times of the year, of
    /// which the last digit is 6e-9 s, would give milliseconds to seven digits only.
    [[nodiscard]] double break_left_s() const { return break_left_s_; }

    /// AC power that the present source can carry for loads and pump [W].
    [[nodiscard]] double capacity_w(double now_h) const {
        if (break_left_s_ > 0) return 0;
        switch (feed_) {
            case Feed::nothing:
                return 0;
            case Feed::inverter:
                // The sun that helped to carry an overload may be gone before it ends.
                return now_h < overload_end_h_
                           ? std::max(inverting_capacity_w_, std::min(overload_w_, brought_w_))
                           : inverting_capacity_w_;
            case Feed::bypass:
                return std::numeric_limits<double>::infinity();
            case Feed::backup:
                break;
        }
        return models::pass_through_output_w(s_.inverter, backup_limit_w());
    }

    /// Whether a motor start fits in addition to the running loads; called when a motor is about to start.
    /// A start that does not fit is held back, or trips the inverter if the rules say so.
    bool start_fits(models::StartDraw const& start, double running_w, double now_h);

    /// The reason why a demand is not served.
    [[nodiscard]] LimitReason limit_reason() const {
        if (break_left_s_ > 0) return LimitReason::transfer_break;
        if (feed_ == Feed::backup) return LimitReason::backup_limit;
        if (feed_ == Feed::inverter)
            return refusing_                   ? LimitReason::start_refused
                   : !battery_limits_          ? LimitReason::inverter_limit
                   : !has_battery_             ? LimitReason::sun_too_weak
                   : inverting_capacity_w_ > 0 ? LimitReason::battery_limit
                                               : LimitReason::battery_empty;
        if (tripped_) return LimitReason::inverter_tripped;
        if (bypass_now_) return LimitReason::grid_out;
        return has_battery_ ? LimitReason::battery_empty : LimitReason::sun_too_weak;
    }

    /// Whether this class of loads is shed at the present SOC (see LoadClass::shed_below).
    [[nodiscard]] bool shed_by_level(LoadClass const& c, bool was_shed) const {
        if (c.shed_below <= 0 || on_backup()) return false;
        double const capacity_kwh = battery_.capacity_kwh(), stored_kwh = battery_.stored_kwh();
        return was_shed ? stored_kwh < (c.shed_below + level_band) * capacity_kwh
                        : stored_kwh <= c.shed_below * capacity_kwh;
    }

    /// `pump_peak_w`: highest draw of the running motors during the step, at which the voltage is checked. It
    /// does not include a motor start, whose energy is part of `pump_w`, because start_fits has checked that.
    [[nodiscard]] PowerFlow flow(double load_w, double pump_w, double pump_peak_w) const;

    /// Switches the inverter off if the battery has nothing left for this flow; true if it did.
    bool switch_off_if_empty(PowerFlow const& flow, double now_h);

    struct BatteryEvent {
        double hours = 0, level_kwh = 0;
    };
    /// Hours until battery, fuel or temperature next need a look(), at most `horizon_h`, and the stored
    /// energy that is the cause (NaN if none is).
    [[nodiscard]] BatteryEvent next_event(PowerFlow const& flow, double now_h, double horizon_h,
                                          std::vector<LoadClass> const& classes);

    /// Advances by `hours` at this flow. `reached_kwh` is the stored energy that ends the step; NaN if none
    /// does.
    void advance(PowerFlow const& p, double load_demand_w, double now_h, double hours, double reached_kwh,
                 HourRecord& r);

  private:
    static constexpr double never = std::numeric_limits<double>::infinity();
    // Shed loads come back, and an emergency ends, this far above their SOC.
    static constexpr double level_band = 0.1;
    // An inverter that switched off stays off, and loads on the backup stay there, for at least this time.
    // This limits the number of events in an hour, however small the battery is. Common practice, no source.
    static constexpr double least_stay_h = 1.0 / 60;

    // The reason why small loads are not served.
    [[nodiscard]] LimitReason load_reason(PowerFlow const& p) const {
        if (p.asleep) return LimitReason::asleep;
        if (p.feed == Feed::inverter && !refusing_ && p.ac_w() < inverting_capacity_w_ * (1 - 1e-9))
            return LimitReason::load_shed;
        return limit_reason();
    }

    // The stored energies at which something changes [kWh].
    struct Levels {
        double transfer = 0, come_back = 0, restart = 0, emergency = 0, top_up = 0;
        double second_transfer = 0, second_come_back = 0, reserve = 0;
    };

    // Calls see(level_kwh, met, carried) with every stored energy at which a rule of the supply applies in
    // the present state. `carried`: the rule also applies if the backup carries the whole hour.
    enum class Met { falling, rising, either_way };
    template <class See>
    void rule_levels(double now_h, See const& see) const {
        see(0.0, Met::falling, true);
        see(battery_.floor_kwh(), Met::falling, true);
        if (s_.rules.backup != Backup::none) see(levels_.transfer, Met::falling, topping_up_ || !calling_);
        if (tops_up(now_h)) see(levels_.top_up, Met::falling, false);
        if (on_backup()) see(charge_to() * battery_.capacity_kwh(), Met::either_way, charge_to() > 0);
        see(levels_.emergency, Met::falling, true);
        if (emergency_) see(levels_.emergency + level_band * battery_.capacity_kwh(), Met::rising, true);
        if (calling_) see(come_back_kwh_, Met::rising, !s_.rules.grid_first);
        if (for_the_bill_) see(levels_.reserve, Met::falling, false);
        if (s_.rules.second) see(levels_.second_transfer, Met::falling, false);
        if (second_calling_) see(second_come_back_kwh_, Met::rising, true);
        if (inverter_off_) see(restart_level_kwh(), Met::rising, true);
        see(battery_.capacity_kwh(), Met::rising, !battery_.is_two_well());
        see(voltage_matters_below_kwh_, Met::either_way, false);
    }

    [[nodiscard]] bool tops_up(double now_h) const {
        return s_.rules.backup == Backup::generator && generator_.tops_up(now_h);
    }

    template <bool two_wells>
    bool carry_through(QuickSupply<double> const& quick, std::span<PumpStretch const> pump, double load_w,
                       double now_h, HourRecord& r);

    // Off because there is no charge left, or, without a battery, not enough array power. Without a battery
    // it tries again when the next hour begins.
    void switch_off(double now_h) {
        inverter_off_ = true;
        off_until_h_ =
            std::max(off_until_h_, has_battery_ ? now_h + least_stay_h : std::floor(now_h + 1e-9) + 1);
        note(now_h, EventKind::inverter_off);
    }
    [[nodiscard]] bool may_come_back() const {
        return has_battery_ ? battery_.recovered(restart_level_kwh()) : inverting_capacity_w_ > 0;
    }

    // Sets the highest AC output of the inverter: its rating, less the imbalance of the legs, and what array
    // and battery give in addition to standby and heater.
    void rate_inverting();

    // Sets the stored energy above which no draw within the battery's limit takes the terminals below a set
    // point.
    void rate_voltage();
    [[nodiscard]] bool voltage_matters() const {
        return battery_.has_voltage() && battery_.stored_kwh() <= voltage_matters_below_kwh_;
    }

    // Whether the backup that can carry the loads now is called for: the generator, if it is the second
    // backup and the grid is away.
    [[nodiscard]] bool called() const {
        return s_.rules.second && !grid_usable_ ? second_calling_ : calling_;
    }
    void call_second(bool low_voltage, double now_h);
    // Someone bypasses the inverter by hand while the grid is called for and there, and switches back.
    void switch_by_hand(double now_h);

    [[nodiscard]] double backup_limit_w() const {
        double const source_w = on_generator_ ? generator_.power_w() : s_.rules.backup_limit_w;
        return std::min(source_w, s_.inverter.pass_through_va);
    }
    [[nodiscard]] double backup_limit_va() const {
        double const factor = on_generator_ ? s_.generator->power_factor : 1;
        return std::min(backup_limit_w() / factor, s_.inverter.pass_through_va);
    }
    [[nodiscard]] double generator_output_w(PowerFlow const& p) const {
        return p.feed == Feed::backup && on_generator_
                   ? p.ac_w() + p.pass_through_w + models::charger_ac_w(s_.charger, p.charger_dc_w)
                   : 0;
    }

    // The SOC up to which the charger charges now.
    [[nodiscard]] double charge_to() const {
        if (on_generator_ && s_.rules.second) return s_.rules.second->charge_to;
        double to = s_.rules.charge_to;
        if (works_for_the_bill_)
            to = peak_now_ ? 0 : cheap_now_ ? to : std::min(to, s_.rules.tariff->reserve);
        return warned_ ? std::max(to, s_.rules.forewarned_charge_to) : to;
    }

    // The grid, its delay after a return, the warning of an outage, the hours of its tariff, and the times
    // when the inverter is bypassed.
    void look_at_grid(double now_h);

    // Low-voltage transfer: the time below the set point counts, so the stored energy at which that begins or
    // ends is watched. In a taper the controller holds the terminals at its own voltage, above any set point.
    template <class Watch>
    void watch_voltage(PowerFlow const& flow, double now_h, BatteryEvent& next, Watch const& watch);

    // Whether a rule applies between these stored energies, or at one of them, while the backup carries the
    // loads.
    [[nodiscard]] bool rule_between(double a_kwh, double b_kwh, double now_h) const;

    // Stored energy at which an inverter that switched off comes back [kWh]: restart_above, which stays as
    // far above the minimum SOC when cold raises that.
    [[nodiscard]] double restart_level_kwh() const {
        return std::min(std::max(restart_kwh_, battery_.floor_kwh() + restart_band_kwh()),
                        highest_restart_kwh());
    }
    [[nodiscard]] double restart_band_kwh() const {
        return levels_.restart - s_.battery.min_soc * battery_.capacity_kwh();
    }
    // A taper never fills the battery completely.
    [[nodiscard]] double highest_restart_kwh() const {
        return std::max(levels_.restart, 0.95 * battery_.capacity_kwh());
    }
    // Off for low voltage: the voltage recovers as soon as the load is off, so the battery must gain the same
    // band in stored energy. If it is too full for that, the inverter stays off for an hour.
    void drop_out(double now_h) {
        restart_kwh_ = std::max(levels_.restart, battery_.stored_kwh() + restart_band_kwh());
        if (restart_kwh_ > highest_restart_kwh()) off_until_h_ = now_h + 1;
    }

    // A call for another reason than SOC must not end at once because the battery is above return_above.
    // After low voltage the battery must gain level_band. If it is too full for that, or the inverter
    // tripped, the loads stay on the backup for an hour. Returns the stored energy that ends the call.
    double come_back_rule(double transfer_kwh, double come_back_kwh, bool low_voltage, double now_h);

    bool trips_at_load_start(Feed was, double now_h);

    // The loads come from a backup to the inverter, or it comes back after it tripped for them: above its
    // rating it carries them for the time of its surge table, and trips if they still are above it then.
    // True if it trips now.
    bool trips_at_overload(Feed was, double carried_w, double now_h);

    void trip(double now_h);

    void note(double time_h, EventKind kind) { events_.push_back({time_h, kind, battery_.soc()}); }

    System const& s_;
    std::vector<Event>& events_;
    Battery battery_;
    bool has_battery_;
    GeneratorControl generator_;
    PumpGateRun gate_;
    Levels levels_{};
    double rated_resistance_ohm_ = -1, voltage_matters_below_kwh_ = -1;
    double lowest_kwh_, array_w_ = 0, inverting_capacity_w_ = 0, leg_imbalance_w_ = 0, rated_heater_w_ = 0,
                        load_var_ = 0, load_start_va_ = 0, load_w_ = 0, motors_w_ = 0;

    Feed feed_ = Feed::inverter, refused_on_ = Feed::inverter;
    bool calling_ = false, topping_up_ = false, inverter_off_ = false, tripped_ = false, refusing_ = false;
    bool on_generator_;  // the backup that carries the loads, or would, is the generator
    bool second_calling_ = false, overloaded_ = false;
    bool listed_bypass_ = false, hand_bypass_ = false;
    bool was_bypassed_ = false;  // at the look before
    double hand_switch_h_ = never;
    // The tariff: its hours, whether the battery carries the loads for it, and whether it is at its reserve,
    // or failed to, in these hours.
    bool works_for_the_bill_, peak_now_ = false, cheap_now_ = false, for_the_bill_ = false, spent_ = false;
    bool battery_limits_ = false, grid_usable_ = false, bypass_now_ = false, ever_looked_ = false,
         warned_ = false;
    models::OutageList warnings_;
    double grid_event_h_ = -never, returned_h_ = never, low_voltage_end_h_ = never;
    double break_left_s_ = 0, trip_end_h_ = never, off_until_h_ = -never, retry_h_ = -never;
    double restart_kwh_ = 0, come_back_kwh_ = 0, second_come_back_kwh_ = 0, stay_until_h_ = -never;
    double overload_end_h_ = -never, overload_w_ = 0, brought_w_ = 0;
    bool emergency_ = false, load_starts_ = false;
    models::TripState trips_;
    double transfers_ = 0, starts_refused_ = 0, inverter_trips_ = 0, overload_transfers_ = 0;
    double most_unserved_kwh_ = 0;  // to small loads in one step of this hour
};

}  // namespace holdwater::sim
