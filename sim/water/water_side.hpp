#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <span>
#include <vector>

#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"
#include "sim/water/cistern_side.hpp"
#include "sim/water/motor_run.hpp"
#include "sim/water/pressure_side.hpp"
#include "sim/water/pump_marks.hpp"
#include "sim/water/pump_stretch.hpp"
#include "sim/water/taps.hpp"
#include "sim/water/trough_side.hpp"
#include "sim/water/well_side.hpp"

namespace holdwater::sim {

/// Smallest volume that counts as water: far below a drop, far above rounding.
inline constexpr double some_water_m3 = 1e-9;

/// Time until something on the water side changes, and the draw of its motors until then.
struct WaterPlan {
    double seconds = 0;  ///< > 0, at most the limit that was given
    double pump_w = 0;   ///< mean over these seconds, of all motors, their starts and a sleeping drive
};

/// The state of a plain water side, without the list of starts.
struct WaterState {
    PressureState tank;
    MotorState motor;
};

/// The water side during a run: taps, trough, pressure tank, cistern, well and up to two motors. The supply
/// decides whether a motor gets its power.
///
/// Without a cistern one motor pumps from the well to the pressure tank. With one, the well pump fills the
/// cistern and a booster serves the pressure tank, or the taps run by gravity.
///
/// Order of calls in a step: look, set_running for every motor, plan, advance.
class WaterSide {
  public:
    WaterSide(System const& system, std::vector<Event>& events) : s_(system), events_(events) {
        auto const& carried = system.carried_water;
        if (system.well) well_.emplace(*system.well, carried && carried->well ? &*carried->well : nullptr);
        if (system.cistern)
            cistern_.emplace(*system.cistern, carried ? carried->cistern_m3 : system.cistern->start_m3,
                             system.rules.backup == Backup::grid && system.rules.forewarned_h > 0);
        if (system.trough)
            trough_.emplace(*system.trough, carried ? carried->trough_m3 : system.trough->full_m3);
        if (!system.cistern || !system.cistern->gravity) {
            pressure_.emplace(system);
            motors_.emplace_back(system.motor, pressure_->peak_w());
        }
        if (!system.cistern) return;
        double peak_w = 0;
        for (auto const& point : system.cistern->filling) peak_w = std::max(peak_w, point.power_w);
        motors_.emplace_back(system.cistern->fill_motor, peak_w);
    }
    WaterSide(WaterSide const&) = delete;
    WaterSide& operator=(WaterSide const&) = delete;

    void begin_hour(int hour, HourlyInputs const& inputs) {
        auto const h = static_cast<std::size_t>(hour % hours_per_year);
        hour_begin_s_ = hour * seconds_per_hour;
        demand_m3_ = inputs.demand_m3[h];
        delivered_m3_ = 0;
        most_short_m3_ = 0;
        stands_ = false;
        if (inputs.first_draw.empty())
            taps_.begin_hour(trough_ ? 0 : demand_m3_, inputs.tap_flow_m3_s[h]);
        else
            taps_.begin_hour(
                std::span(inputs.draws)
                    .subspan(inputs.first_draw[h], inputs.first_draw[h + 1] - inputs.first_draw[h]));
        if (trough_) trough_->begin_hour(inputs.trough_m3.empty() ? demand_m3_ : inputs.trough_m3[h]);
        if (well_) well_->begin_hour(hour);
    }
    /// At the beginning of an hour, after the source has been chosen: decides whether there is a surplus for
    /// filling a cistern or a trough.
    void judge_surplus(SupplyView const& supply) {
        if (cistern_) cistern_->judge_surplus(supply);
        if (trough_) trough_->judge_surplus(supply);
    }

    /// Updates switches, floats, protection and timers; they decide which motors are wanted.
    void look(double t_s) {
        t_s_ = t_s;
        now_s_ = hour_begin_s_ + t_s;
        taps_m3_s_ = taps_.draw_m3_s(t_s);
        valve_m3_s_ = trough_ ? trough_->look() : 0;
        double const draw_m3_s = taps_m3_s_ + valve_m3_s_;
        standing_reason_ = tap_reason_ = LimitReason::none;
        bool const filling = cistern_ && cistern_->look();
        if (pressure_) {
            MotorRun& m = motors_.front();
            look_at_cutoff();
            m.wanted = pressure_->look(draw_m3_s);
            if (pressure_->locked_out()) refuse(m, LimitReason::low_pressure);
            if ((m.wanted || pressure_->locked_out()) && cistern_ && !cistern_->has_water())
                refuse(m, LimitReason::cistern_empty);
        }
        if (cistern_) motors_.back().wanted = filling;
        draw_m3_s_ = draw_m3_s;
        if (well_) look_at_well(motors_.back());
        for (MotorRun& m : motors_)
            if (m.wanted && m.rest_left_s() > 0) refuse(m, LimitReason::motor_rest);
    }

    /// The supply keeps a motor from running that is wanted.
    void held_by_supply(MotorRun const& m, LimitReason reason) {
        if (&m == &motors_.front()) tap_reason_ = reason;
    }
    /// A supply that could not carry the pump is the reason for a shortage, and not the cutoff that opened
    /// because of it. `capacity_w`: what it can carry; `reason`: why it is not more.
    void locked_out_without_power(double capacity_w, LimitReason reason) {
        if (pressure_ && pressure_->locked_out() && motors_.front().peak_w() > capacity_w)
            standing_reason_ = tap_reason_ = reason;
    }
    /// The pump gate is shut.
    void hold_well_pump() {
        if (motors_.back().wanted) refuse(motors_.back(), LimitReason::pump_gate);
    }

    /// The pump at the pressure tank, then the pump that fills the cistern; one of the two may be missing.
    [[nodiscard]] std::vector<MotorRun>& motors() { return motors_; }
    /// Surge of a motor's start.
    [[nodiscard]] models::StartDraw const& start_of(MotorRun const& m) const {
        return cistern_ && &m == &motors_.back() ? s_.cistern->fill_start : s_.pump_start;
    }

    /// Starts or stops a motor. `broken`: a transfer has just interrupted the supply for a moment.
    void set_running(MotorRun& m, bool running, bool broken, HourRecord& r) {
        bool const filler = cistern_ && &m == &motors_.back();
        bool const whole = filler ? (running ? cistern_->at_call() : cistern_->at_stop())
                                  : (running ? pressure_->at_cut_in() : pressure_->at_cut_out());
        bool started = broken && running && m.broken(now_s_);
        if (!(broken && running && m.rest_left_s() > 0)) {
            bool const stopping = m.running() && !running,
                       of_well = well_ && &m == &motors_.back() && !m.wanted;
            if (stopping && of_well && tripped_)
                m.stop_protected(now_s_);
            else
                started = m.set_running(running, whole, now_s_) || started;
            if (stopping && of_well && !tripped_) well_->stopped_normally();
        }
        if (!filler && pressure_ && !m.running() && m.rest_left_s() == 0) pressure_->let_go(now_s_);
        if (started) (filler && pressure_ ? r.fill_pump_starts : r.pump_starts) += 1;
    }

    /// Draw of a drive while its pump is off, if the source has that left [W].
    double standby(double room_w) {
        bool const stands = pressure_ && !motors_.front().running() && pressure_->standby_w() <= room_w;
        standby_w_ = stands ? pressure_->standby_w() : 0;
        return standby_w_;
    }

    /// `starts_apart`: a start is a step of its own at its own power, so that its energy is drawn even if the
    /// run ends soon after it; otherwise it is spread over the step.
    [[nodiscard]] WaterPlan plan(double limit_s, bool starts_apart) {
        // While the pump at the taps is off and its tank stays above cut-in, all that is drawn is given, and
        // it does not matter when within the step.
        stands_ = pressure_ && !motors_.front().running() && pressure_->stands();
        double seconds = std::min(
            limit_s, stands_ ? taps_.seconds_to_draw(t_s_, pressure_->above_cut_in_m3(), valve_m3_s_, limit_s)
                             : taps_.next_change_s(t_s_) - t_s_);
        if (starts_apart)
            for (MotorRun const& m : motors_)
                if (double const start_s = m.start_left_s(); start_s > 0)
                    seconds = std::min(seconds, start_s);
        MotorRun const* const booster = pressure_ ? &motors_.front() : nullptr;
        bool const pumping = booster != nullptr && booster->running();
        if (trough_) seconds = std::min(seconds, trough_->event_s());
        if (pressure_) seconds = std::min(seconds, pressure_->reset_left_s(now_s_));
        if (well_ || cistern_) {
            auto const drawn =
                pressure_ ? pressure_->flow_range(pumping) : PressureSide::FlowRange{draw_m3_s_, draw_m3_s_};
            if (cistern_) {
                filling_m3_s_ = motors_.back().running() ? fill_point().flow_m3_s : 0;
                seconds =
                    std::min(seconds, cistern_->event_s(filling_m3_s_, drawn.least_m3_s, drawn.most_m3_s));
            }
            if (well_)
                seconds = std::min(seconds, well_->event_s(motors_.back().running(),
                                                           cistern_ ? filling_m3_s_ : drawn.most_m3_s));
        }
        for (MotorRun const& m : motors_)
            if (double const rest_s = m.rest_left_s(); rest_s > 0 && !(stands_ && &m == booster))
                seconds = std::min(seconds, rest_s);
        double power_w = standby_w_;
        if (pressure_ && !stands_) {
            seconds = pressure_->plan(pumping, seconds);
            // If the length of the step is only rounding, so is the energy.
            if (pumping) power_w += std::clamp(pressure_->fill().energy_j / seconds, 0.0, booster->peak_w());
        }
        if (cistern_ && motors_.back().running()) power_w += fill_point().power_w;
        for (MotorRun& m : motors_) power_w += m.running() ? m.plan_start_w(seconds) : m.no_start();
        return {seconds, power_w};
    }

    /// Advances by `seconds`: the planned time, or less if the supply side needs it.
    void advance(double seconds, bool as_planned, HourRecord& r) {
        if (!(seconds > 0)) return;
        if (plain() && !stands_) {
            if (!as_planned) pressure_->cut_short(motors_.front().running(), seconds);
            advance_plain(seconds, r);
            return;
        }
        double given_m3 = 0, pumped_m3 = 0;
        bool pumping = false;
        if (stands_) {
            given_m3 = taps_.drawn_m3(t_s_, seconds) + valve_m3_s_ * seconds;
            pressure_->give(given_m3);
        } else if (pressure_) {
            pumping = motors_.front().running();
            if (!as_planned) pressure_->cut_short(pumping, seconds);
            pumped_m3 = pressure_->fill().pumped_m3;
            given_m3 = pressure_->advance(pumping, seconds);
        }
        if (cistern_) {
            double const boosted_m3 = pumped_m3;
            pumped_m3 = filling_m3_s_ * seconds;
            if (pressure_)
                cistern_->advance(pumped_m3, boosted_m3, r);
            else
                given_m3 = cistern_->advance_by_gravity(filling_m3_s_, draw_m3_s_, seconds, r);
        }
        if (well_) well_->advance(pumped_m3, seconds, r);
        r.water_pumped_m3 += pumped_m3;
        auto const tap_reason = stands_ ? LimitReason::none : note_shortage(given_m3, seconds, pumping, r);
        if (trough_) {
            double const valve_m3 = stands_          ? valve_m3_s_ * seconds
                                    : draw_m3_s_ > 0 ? given_m3 * (valve_m3_s_ / draw_m3_s_)
                                                     : 0;
            double const drunk_m3 = trough_->advance(valve_m3, seconds);
            given_m3 += drunk_m3 - valve_m3;
            if (double const short_m3 = trough_->wanted_m3(seconds) - drunk_m3; short_m3 > some_water_m3) {
                if (r.limit_reason == 0) r.limit_reason = static_cast<double>(LimitReason::trough_empty);
                note_largest(short_m3,
                             tap_reason != LimitReason::none ? tap_reason : LimitReason::trough_empty, r);
            }
        }
        delivered_m3_ += given_m3;
        for (MotorRun& m : motors_) {
            if (m.running()) {
                bool const second = cistern_ && pressure_ && &m == &motors_.back();
                (second ? r.fill_pump_run_h : r.pump_run_h) += seconds / seconds_per_hour;
            }
            m.advance(seconds);
        }
    }

    /// Only a pressure tank, its pump and taps. A WaterState holds the complete state of these.
    [[nodiscard]] bool plain() const { return pressure_ && !cistern_ && !well_ && !trough_ && !s_.cutoff; }
    /// Uses the fill tables of another plain water side with the same curve.
    void set_tables(std::vector<models::FillTable> const& tables) { pressure_->set_tables(tables); }
    [[nodiscard]] WaterState state() const { return {pressure_->state(), motors_.front().state()}; }
    /// Returns to an earlier state; call begin_hour next.
    void set(WaterState const& state) {
        pressure_->set(state.tank);
        motors_.front().set(state.motor);
    }
    /// Extremes since the beginning, or since they were last cleared; without the heating of starts.
    [[nodiscard]] PumpMarks marks() const {
        MotorState const& m = motors_.front().state();
        double start_energy_j = 0;
        for (MotorRun const& motor : motors_) start_energy_j += motor.state().start_energy_j;
        return {m.shortest_run_s,
                m.longest_run_s,
                m.short_runs,
                m.shortest_rest_s,
                start_energy_j,
                0,
                pressure_ ? pressure_->state().lowest_m3 : std::numeric_limits<double>::infinity()};
    }
    /// Clears the extremes and the list of starts of a plain water side.
    void forget_marks() {
        motors_.front().forget_marks();
        pressure_->forget_lowest();
    }
    /// Runs an hour in which the tank supplies the whole demand and the pump is off, instead of begin_hour
    /// and end_hour. False, without any change, if it is not such an hour.
    bool stand_through_hour(double demand_m3, HourRecord& r) {
        MotorRun& m = motors_.front();
        if (m.running() || !pressure_->stays_open(demand_m3)) return false;
        m.no_start();
        m.advance(seconds_per_hour);
        pressure_->give(demand_m3);
        r.water_demand_m3 = r.water_delivered_m3 = demand_m3;
        r.tank_water_m3 = pressure_->tank_m3();
        r.tank_pressure_kpa = pressure_->pressure_kpa();
        return true;
    }
    /// Runs any other hour after begin_hour, with power for the motor whenever it is wanted; returns its draw
    /// in `pump`.
    void run_supplied_hour(HourRecord& r, std::vector<PumpStretch>& pump) {
        pump.clear();
        MotorRun& m = motors_.front();
        bool stood = false;
        for (double t_s = 0; t_s < seconds_per_hour;) {
            now_s_ = hour_begin_s_ + t_s;
            draw_m3_s_ = taps_m3_s_ = taps_.draw_m3_s(t_s);
            double seconds = std::min(seconds_per_hour, taps_.next_change_s(t_s)) - t_s;
            bool wanted = pressure_->look(draw_m3_s_);
            standing_reason_ = tap_reason_ = LimitReason::none;
            if (double const rest_s = m.rest_left_s(); rest_s > 0) {
                if (wanted) standing_reason_ = tap_reason_ = LimitReason::motor_rest;
                wanted = false;
                seconds = std::min(seconds, rest_s);
            }
            m.wanted = wanted;
            if (wanted != m.running()) {
                bool const at_switch = wanted ? pressure_->at_cut_in() : pressure_->at_cut_out();
                if (m.set_running(wanted, at_switch, now_s_)) r.pump_starts += 1;
            }
            seconds = pressure_->plan(wanted, seconds);
            double power_w = pressure_->standby_w();
            if (wanted)
                power_w = models::least(models::most(pressure_->fill().energy_j / seconds, 0.0), m.peak_w()) +
                          m.plan_start_w(seconds);
            else
                m.no_start();
            advance_plain(seconds, r);
            t_s += seconds;
            if (stood && !wanted)
                pump.back().hours += seconds / seconds_per_hour;
            else
                pump.push_back({seconds / seconds_per_hour, power_w});
            stood = !wanted;
        }
    }
    /// Draw of the pump while it is off, and its highest draw while it runs [W].
    [[nodiscard]] double standing_w() const { return pressure_->standby_w(); }
    [[nodiscard]] double running_w() const { return motors_.front().peak_w(); }

    /// Writes the totals of the hour.
    void end_hour(HourRecord& r) const {
        r.water_demand_m3 = demand_m3_;
        r.water_delivered_m3 = delivered_m3_;
        r.water_short_m3 = models::most(demand_m3_ - delivered_m3_, 0.0);
        if (pressure_) {
            r.tank_water_m3 = pressure_->tank_m3();
            r.tank_pressure_kpa = pressure_->pressure_kpa();
        }
        if (cistern_) {
            cistern_->end_hour(r);
            if (!pressure_) r.tank_pressure_kpa = cistern_->gravity_kpa();
        }
        if (trough_) r.trough_water_m3 = trough_->volume_m3();
        if (well_) well_->end_hour(r);
    }

    /// All water above ground [m3].
    [[nodiscard]] double stored_m3() const {
        return (pressure_ ? pressure_->tank_m3() : 0) + (cistern_ ? cistern_->volume_m3() : 0) +
               (trough_ ? trough_->volume_m3() : 0);
    }
    [[nodiscard]] CarriedWater carried() const {
        return {pressure_ ? pressure_->tank_m3() : 0, cistern_ ? cistern_->volume_m3() : 0,
                trough_ ? trough_->volume_m3() : 0, well_ ? well_->carried() : std::nullopt};
    }
    /// Highest draw of the motors that run now [W].
    [[nodiscard]] double running_peak_w() const {
        double sum = 0;
        for (MotorRun const& m : motors_) sum += m.running() ? m.peak_w() : 0;
        return sum;
    }
    /// The motor of the well pump, which the dry-run protection stops.
    [[nodiscard]] MotorRun const& well_pump() const { return motors_.back(); }
    /// The motor whose starts count as the pump's.
    [[nodiscard]] MotorRun const& pump() const { return motors_.front(); }
    [[nodiscard]] std::optional<PressureSide> const& pressure() const { return pressure_; }
    [[nodiscard]] std::optional<CisternSide> const& cistern() const { return cistern_; }
    [[nodiscard]] std::optional<WellSide> const& well() const { return well_; }

  private:
    void refuse(MotorRun& m, LimitReason reason) {
        m.wanted = false;
        standing_reason_ = reason;
        if (&m == &motors_.front()) tap_reason_ = reason;
    }
    [[nodiscard]] FillPoint const& fill_point() const {
        return s_.cistern->filling[well_ ? well_->curve() : 0];
    }
    void look_at_cutoff() {
        using Cutoff = PressureSide::Cutoff;
        auto const what = pressure_->look_at_cutoff(now_s_);
        if (what != Cutoff::nothing)
            events_.push_back(
                {now_s_ / seconds_per_hour,
                 what == Cutoff::opened ? EventKind::low_pressure_cutoff : EventKind::low_pressure_reset,
                 pressure_->pressure_kpa()});
    }
    void look_at_well(MotorRun& m) {
        bool const ready = well_->look(m.running(), tripped_);
        if (tripped_) events_.push_back({now_s_ / seconds_per_hour, EventKind::well_dry, well_->depth_m()});
        bool const locked_out = !cistern_ && pressure_->locked_out();
        if ((m.wanted || locked_out) && !ready) refuse(m, LimitReason::well_dry);
        if (!cistern_) pressure_->set_level(well_->curve());
    }
    // A step of a plain water side.
    void advance_plain(double seconds, HourRecord& r) {
        MotorRun& m = motors_.front();
        bool const pumping = m.running();
        r.water_pumped_m3 += pressure_->fill().pumped_m3;
        if (pumping) r.pump_run_h += seconds / seconds_per_hour;
        double const given_m3 = pressure_->advance(pumping, seconds);
        note_shortage(given_m3, seconds, pumping, r);
        delivered_m3_ += given_m3;
        m.advance(seconds);
    }
    // Why the taps got less than they drew for; none if they got everything.
    LimitReason note_shortage(double given_m3, double seconds, bool pumping, HourRecord& r) {
        double const short_m3 = draw_m3_s_ * seconds - given_m3;
        if (!(short_m3 > some_water_m3)) return LimitReason::none;
        LimitReason reason = standing_reason_;
        if (pumping) reason = LimitReason::pump_flow;
        if (!pressure_) reason = LimitReason::cistern_empty;
        if (reason != LimitReason::none) r.limit_reason = static_cast<double>(reason);
        if (!pumping && pressure_) reason = tap_reason_;
        note_largest(short_m3, reason, r);
        return reason;
    }
    // A shortage of one step; the largest one of the hour gives the reason of the hour.
    void note_largest(double short_m3, LimitReason reason, HourRecord& r) {
        if (reason == LimitReason::none || short_m3 <= most_short_m3_) return;
        most_short_m3_ = short_m3;
        r.water_short_reason = static_cast<double>(reason);
    }

    System const& s_;
    std::vector<Event>& events_;
    Taps taps_;
    std::optional<PressureSide> pressure_;
    std::optional<CisternSide> cistern_;
    std::optional<WellSide> well_;
    std::optional<TroughSide> trough_;
    std::vector<MotorRun> motors_;

    bool tripped_ = false, stands_ = false;
    LimitReason standing_reason_ = LimitReason::none;  // why the water side holds a motor back
    LimitReason tap_reason_ = LimitReason::none;       // why water or supply holds back the pump at the taps
    double most_short_m3_ = 0;                         // of a step of this hour
    double hour_begin_s_ = 0, t_s_ = 0, now_s_ = 0, demand_m3_ = 0, delivered_m3_ = 0;
    double taps_m3_s_ = 0, valve_m3_s_ = 0, draw_m3_s_ = 0, filling_m3_s_ = 0;
    double standby_w_ = 0;
};

}  // namespace holdwater::sim
