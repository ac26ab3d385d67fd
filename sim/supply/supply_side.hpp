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

/// Battery, inverter, charger and backup during a run: which source feeds the loads, how far until that may
/// change, and the books of it. The rules in words: DEVELOPERS.md, "Supply".
///
/// Order of calls in a step: look, then capacity_w and start_fits, then flow, then next_event_h, then
/// advance.
class SupplySide {
  public:
    SupplySide(System const& system, std::vector<Event>& events);

    [[nodiscard]] Battery const& battery() const { return battery_; }
    [[nodiscard]] double array_w() const { return array_w_; }
    [[nodiscard]] GeneratorControl const& generator() const { return generator_; }
    [[nodiscard]] double soc_min() const {
        return battery_.capacity_kwh() > 0 ? lowest_kwh_ / battery_.capacity_kwh() : 0;
    }
    [[nodiscard]] double transfers() const { return transfers_; }
    [[nodiscard]] double starts_refused() const { return starts_refused_; }
    [[nodiscard]] double inverter_trips() const { return inverter_trips_; }

    /// `load_var`: reactive power of the small loads, which the inverter's rating carries too.
    void begin_hour(double array_w, double ambient_c, double leg_imbalance_w, double load_var);

    /// The hour's largest start of a small load [VA], beside `load_w` of loads and the motors that run. It is
    /// taken to fall on the hour's beginning, and on every restart in it, before the pumps are back. Too much
    /// for the inverter, it trips it when the rules say so; else it is only reported.
    void loads_start(double start_va, double load_w, double motors_w);

    /// Content of the battery down to which hours from `now_h` on are quick: on the inverter, nothing
    /// pending, no level of the battery with a rule above it. Infinity when they are not. Ask after a step;
    /// holds until next_clock_event_h. Starts of motors, what the inverter carries and loads are others' to
    /// look at.
    [[nodiscard]] double quick_above_kwh(double now_h) const;
    [[nodiscard]] QuickSupply<double> quick_supply() const;
    /// Takes over what quick hours have done to the battery.
    void take_over(models::TwoWellLevels<double> const& levels, double lowest_kwh) {
        battery_.set_levels(levels);
        lowest_kwh_ = std::min(lowest_kwh_, lowest_kwh);
    }
    /// Content of the battery above which this start fits beside any load up to the given ones, whatever else
    /// holds; infinity when it does not.
    [[nodiscard]] double start_fits_above_kwh(models::StartDraw const& start, double load_w, double load_var,
                                              double leg_imbalance_w) const;

    /// Whether the backup that feeds the loads at `now_h` goes on doing so for an hour, as far as the clock
    /// goes.
    [[nodiscard]] bool stays_on_backup(double now_h) const;
    /// Whether the backup starts this motor beside the loads.
    [[nodiscard]] bool backup_starts(models::StartDraw const& start, double load_w) const;
    /// On such a backup, and after begin_hour: goes through the pump's stretches with all loads on. False,
    /// and all as before but for `r`, when a level of the battery or the fuel asks for another look. `quick`:
    /// of quick_supply().
    bool carry_through(QuickSupply<double> const& quick, std::span<PumpStretch const> pump, double load_w,
                       double now_h, HourRecord& r);

    /// Applies the rules at `now_h`; true when a transfer has just broken the supply of a running pump.
    bool look(double now_h);

    /// Just tripped: the sources have to be looked at again.
    [[nodiscard]] bool tripped() const { return tripped_ && feed_ == Feed::inverter; }
    [[nodiscard]] bool on_backup() const { return feed_ == Feed::backup || feed_ == Feed::bypass; }
    /// Whether the pump gate lets the well pump run; looks at it.
    [[nodiscard]] bool well_pump_allowed(double now_h) {
        gate_.look(now_h, battery_.stored_kwh(), on_backup());
        return gate_.open();
    }

    /// Rules that change by the clock: when the next one does [h].
    [[nodiscard]] double next_clock_event_h(double now_h) const;

    /// AC power the present source can carry for loads and pump [W].
    [[nodiscard]] double capacity_w(double now_h) const {
        if (now_h < break_end_h_) return 0;
        switch (feed_) {
            case Feed::nothing:
                return 0;
            case Feed::inverter:
                return inverting_capacity_w_;
            case Feed::bypass:
                return std::numeric_limits<double>::infinity();
            case Feed::backup:
                break;
        }
        return models::pass_through_output_w(s_.inverter, backup_limit_w());
    }

    /// Whether a motor start fits on top of the running loads; called when a motor is about to start.
    /// A start that does not fit is held back, or trips the inverter when the rules say so.
    bool start_fits(models::StartDraw const& start, double running_w, double now_h);

    /// Why something that was wanted is not served.
    [[nodiscard]] LimitReason limit_reason(double now_h) const {
        if (now_h < break_end_h_) return LimitReason::transfer_break;
        if (feed_ == Feed::backup) return LimitReason::backup_limit;
        if (feed_ == Feed::inverter)
            return refusing_                   ? LimitReason::start_refused
                   : !battery_limits_          ? LimitReason::inverter_limit
                   : inverting_capacity_w_ > 0 ? LimitReason::battery_limit
                                               : LimitReason::battery_empty;
        if (tripped_) return LimitReason::inverter_tripped;
        return bypass_now_ ? LimitReason::grid_out : LimitReason::battery_empty;
    }

    /// How many classes of loads are shed at this level of the battery (see LoadClass::shed_below).
    [[nodiscard]] bool shed_by_level(LoadClass const& c, bool was_shed) const {
        if (c.shed_below <= 0 || on_backup()) return false;
        double const capacity_kwh = battery_.capacity_kwh(), stored_kwh = battery_.stored_kwh();
        return was_shed ? stored_kwh < (c.shed_below + level_band) * capacity_kwh
                        : stored_kwh <= c.shed_below * capacity_kwh;
    }

    /// `pump_peak_w`: most that the running motors may draw during the step; volts are judged by it. The
    /// start, whose energy is part of `pump_w`, is not: start_fits has judged it.
    [[nodiscard]] PowerFlow flow(double load_w, double pump_w, double pump_peak_w, double now_h) const;

    /// The battery has nothing left for this flow: the inverter switches off. True when it did.
    bool switch_off_if_empty(PowerFlow const& flow, double now_h);

    struct BatteryEvent {
        double hours = 0, level_kwh = 0;
    };
    /// When battery, fuel or temperature next ask for another look, not later than `horizon_h` from now, and
    /// the level of the battery that does (NaN for none).
    [[nodiscard]] BatteryEvent next_event(PowerFlow const& flow, double now_h, double horizon_h,
                                          std::vector<LoadClass> const& classes);

    /// Goes on by `hours` at this flow; `reached_kwh` is the level that ends the step, NaN when none does.
    void advance(PowerFlow const& p, double load_demand_w, double now_h, double hours, double reached_kwh,
                 HourRecord& r);

  private:
    static constexpr double never = std::numeric_limits<double>::infinity();
    // Shed loads come back, and an emergency ends, this far above their level.
    static constexpr double level_band = 0.1;
    // An inverter that switched off stays off, and loads on the backup stay there, at least this long: what
    // happens in an hour stays countable however small the battery. Common practice, no source.
    static constexpr double least_stay_h = 1.0 / 60;

    // Why small loads are not served.
    [[nodiscard]] LimitReason load_reason(PowerFlow const& p, double now_h) const {
        if (p.asleep) return LimitReason::asleep;
        if (p.feed == Feed::inverter && !refusing_ && p.ac_w() < inverting_capacity_w_ * (1 - 1e-9))
            return LimitReason::load_shed;
        return limit_reason(now_h);
    }

    // The levels of the battery at which something changes [kWh].
    struct Levels {
        double transfer = 0, come_back = 0, charge_to = 0, restart = 0, emergency = 0, top_up = 0;
    };

    // Calls see(level_kwh, met, carried) with every content of the battery at which a rule of the supply
    // applies as things stand. `carried`: also where the backup carries the whole hour.
    enum class Met { falling, rising, either_way };
    template <class See>
    void rule_levels(double now_h, See const& see) const {
        see(0.0, Met::falling, true);
        see(battery_.floor_kwh(), Met::falling, true);
        if (s_.rules.backup != Backup::none) see(levels_.transfer, Met::falling, topping_up_);
        if (tops_up(now_h)) see(levels_.top_up, Met::falling, false);
        if (on_backup()) see(levels_.charge_to, Met::either_way, s_.rules.charge_to > 0);
        see(levels_.emergency, Met::falling, true);
        if (emergency_) see(levels_.emergency + level_band * battery_.capacity_kwh(), Met::rising, true);
        if (calling_) see(come_back_kwh_, Met::rising, !s_.rules.grid_first);
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

    // Off for want of charge, or of sun where there is no battery. Without a battery it tries again when the
    // next hour begins.
    void switch_off(double now_h) {
        inverter_off_ = true;
        off_until_h_ =
            std::max(off_until_h_, has_battery_ ? now_h + least_stay_h : std::floor(now_h + 1e-9) + 1);
        note(now_h, EventKind::inverter_off);
    }
    [[nodiscard]] bool may_come_back() const {
        return has_battery_ ? battery_.recovered(restart_level_kwh()) : inverting_capacity_w_ > 0;
    }

    // Most AC the inverter gives: its rating, of which a leg that carries more leaves less, and what sun and
    // battery bring beside standby and heater.
    void rate_inverting();

    // No draw the battery allows takes the terminals under a set point while it holds more than this.
    void rate_voltage();
    [[nodiscard]] bool voltage_matters() const {
        return battery_.has_voltage() && battery_.stored_kwh() <= voltage_matters_below_kwh_;
    }

    [[nodiscard]] double backup_limit_w() const {
        double const source_w =
            s_.rules.backup == Backup::generator ? generator_.power_w() : s_.rules.backup_limit_w;
        return std::min(source_w, s_.inverter.pass_through_va);
    }
    [[nodiscard]] double backup_limit_va() const {
        double const factor = s_.generator ? s_.generator->power_factor : 1;
        return std::min(backup_limit_w() / factor, s_.inverter.pass_through_va);
    }
    [[nodiscard]] double generator_output_w(PowerFlow const& p) const {
        return p.feed == Feed::backup
                   ? p.ac_w() + p.pass_through_w + models::charger_ac_w(s_.charger, p.charger_dc_w)
                   : 0;
    }

    // The grid, its acceptance after a return, and the times the inverter is bypassed.
    void look_at_grid(double now_h);

    // Low-voltage transfer: the time under the limit is what counts; the level at which that begins or ends
    // is watched. In a taper the controller holds the terminals at its own voltage, above any limit.
    template <class Watch>
    void watch_voltage(PowerFlow const& flow, double now_h, BatteryEvent& next, Watch const& watch);

    // Whether a rule applies on the way between these contents, or at one of them, while the backup carries
    // all.
    [[nodiscard]] bool rule_between(double a_kwh, double b_kwh, double now_h) const;

    // Content at which an inverter that switched off comes back [kWh]: the restart level, kept as far above
    // the floor when cold raises that.
    [[nodiscard]] double restart_level_kwh() const {
        return std::min(std::max(restart_kwh_, battery_.floor_kwh() + restart_band_kwh()),
                        highest_restart_kwh());
    }
    [[nodiscard]] double restart_band_kwh() const {
        return levels_.restart - s_.battery.min_soc * battery_.capacity_kwh();
    }
    // A taper never quite fills the battery.
    [[nodiscard]] double highest_restart_kwh() const {
        return std::max(levels_.restart, 0.95 * battery_.capacity_kwh());
    }
    // Off for low voltage: the voltage recovers as the load goes, so what counts is that the battery has
    // gained the same band on its content; when it is too full for that, an hour's pause.
    void drop_out(double now_h) {
        restart_kwh_ = std::max(levels_.restart, battery_.stored_kwh() + restart_band_kwh());
        if (restart_kwh_ > highest_restart_kwh()) off_until_h_ = now_h + 1;
    }

    // A call for another reason than the level must not end at once because the battery is above
    // return_above: for low voltage it has to gain the band of a level, and where it is too full for that, or
    // the inverter tripped, the loads stay an hour.
    void come_back_rule(bool low_voltage, double now_h);

    bool trips_at_load_start(Feed was, double now_h);

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
    bool battery_limits_ = false, grid_usable_ = false, bypass_now_ = false, ever_looked_ = false;
    double grid_event_h_ = -never, returned_h_ = never, low_voltage_end_h_ = never;
    double break_end_h_ = -never, trip_end_h_ = never, off_until_h_ = -never, retry_h_ = -never;
    double restart_kwh_ = 0, come_back_kwh_ = 0, stay_until_h_ = -never;
    bool emergency_ = false, load_starts_ = false;
    models::TripState trips_;
    double transfers_ = 0, starts_refused_ = 0, inverter_trips_ = 0;
};

}  // namespace holdwater::sim
