#pragma once

#include <algorithm>
#include <limits>
#include <span>
#include <vector>

#include "sim/inputs/checked_inputs.hpp"
#include "sim/supply/quick_hour.hpp"
#include "sim/year/coupled_hour.hpp"

namespace holdwater::sim {

/// Computes an hour in which no rule of the supply applies at once: it runs the plain water side through the
/// hour as if its motor always had power, then the supply through the stretches of the motor, and then checks
/// the result. If a rule would have applied, it resets the state, and coupled_hour computes the hour.
class QuickPath {
  public:
    QuickPath(System const& system, CheckedInputs const& inputs, Clock const& clock, WaterSide& water,
              SupplySide& supply, LoadShedding& loads)
        : s_(system),
          in_(inputs),
          clock_(clock),
          water_(water),
          supply_(supply),
          loads_(loads),
          plant_(supply.quick_supply()),
          possible_(water.plain() && clock.longest_step_s >= seconds_per_hour && !system.pump_gate &&
                    !(system.rules.trip_on_overload && inputs.peaks().start_va > 0)) {
        if (!possible_) return;
        LoadPeaks const& peaks = inputs.peaks();
        start_above_kwh_ = supply.start_fits_above_kwh(system.pump_start, peaks.load_w, peaks.load_var,
                                                       peaks.leg_imbalance_w);
        carries_all_ =
            inverter_carries(plant_, 0.0, peaks.load_w + std::max(water.running_w(), water.standing_w()),
                             peaks.load_var, peaks.leg_imbalance_w);
        standing_ = {1, water.standing_w()};
    }

    /// Runs any hour; `r` is a new record.
    void go_through(int hour, HourRecord& r) {
        if (!go(hour, r) && !go_on_backup(hour, r)) go_coupled(hour, r);
    }
    /// Runs the hour step by step, which works for every hour.
    void go_coupled(int hour, HourRecord& r) {
        coupled_hour(clock_, in_, water_, supply_, loads_, hour, r);
        look(hour + 1);
    }

    /// Updates the limits for quick hours after an hour that was not quick.
    void look(double now_h) {
        if (!possible_) return;
        above_kwh_ = std::max(supply_.quick_above_kwh(now_h),
                              loads_.all_on_above_kwh(supply_.battery().capacity_kwh()));
        until_h_ = supply_.next_clock_event_h(now_h);
    }

    /// Stored energy that a quick hour must stay above, without and with a motor start, and the time until
    /// which these limits hold.
    [[nodiscard]] double above_kwh() const { return above_kwh_; }
    [[nodiscard]] double start_above_kwh() const { return std::max(above_kwh_, start_above_kwh_); }
    [[nodiscard]] double until_h() const { return until_h_; }
    /// Whether the inverter carries pump and loads in every hour of the year.
    [[nodiscard]] bool carries_all() const { return carries_all_; }

    /// Runs the hour if it is quick; otherwise nothing has changed.
    bool go(int hour, HourRecord& r) {
        Battery const& battery = supply_.battery();
        if (!(battery.stored_kwh() > above_kwh_) || !(hour + 1 <= until_h_)) return false;
        WaterState const before = water_.state();
        if (battery.is_two_well() ? take<true>(hour, r) : take<false>(hour, r)) return true;
        water_.set(before);
        r = {};
        return false;
    }

    /// Runs the hour if the backup carries it from beginning to end; otherwise nothing has changed.
    bool go_on_backup(int hour, HourRecord& r) {
        if (!stays_on_backup(hour)) return false;
        WaterState const before = water_.state();
        auto const pump = supplied_hour(hour, static_cast<std::size_t>(hour % hours_per_year), r);
        if (backup_carries(hour, pump, r)) return true;
        water_.set(before);
        r = {};
        return false;
    }
    /// The same in two steps for a caller that has the stretches of the pump: first, whether it is possible.
    [[nodiscard]] bool stays_on_backup(int hour) const {
        return possible_ && supply_.stays_on_backup(hour) && loads_.all_on();
    }
    /// Second, whether the backup carries the hour. `r` has the starts of the pump and gets the energies of
    /// the supply; discard it if the result is false.
    bool backup_carries(int hour, std::span<PumpStretch const> pump, HourRecord& r) {
        auto const h = static_cast<std::size_t>(hour % hours_per_year);
        loads_.begin_hour(h);
        supply_.begin_hour(in_.array_power_w[h], value_or(in_.ambient_c, h, 25),
                           value_or(in_.leg_imbalance_w, h, 0), value_or(in_.load_var, h, 0));
        double const load_w = loads_.wanted_w(), room_w = supply_.capacity_w(hour) - load_w;
        bool const carried = room_w >= std::max(water_.running_w(), water_.standing_w()) &&
                             (r.pump_starts == 0 || supply_.backup_starts(s_.pump_start, load_w)) &&
                             supply_.carry_through(plant_, pump, load_w, hour, r);
        if (carried)
            end_hour(in_, s_.array_factor, h, load_w, supply_.battery(), supply_.battery().stored_kwh(), r);
        return carried;
    }

  private:
    // Runs the water side through an hour (`h` of the year) in which its motor always has power.
    std::span<PumpStretch const> supplied_hour(int hour, std::size_t h, HourRecord& r) {
        if (water_.stand_through_hour(in_.demand_m3[h], r)) return {&standing_, 1};
        water_.begin_hour(hour, in_);
        water_.run_supplied_hour(r, pump_);
        water_.end_hour(r);
        return pump_;
    }
    // If the hour is quick, advances the battery and returns true; otherwise only the water side has changed.
    template <bool two_wells>
    bool take(int hour, HourRecord& r) {
        Battery const& battery = supply_.battery();
        auto const h = static_cast<std::size_t>(hour % hours_per_year);
        double const load_w = loads_.wanted_w(h);
        if (models::sleeps(s_.inverter, load_w)) return false;
        auto const pump = supplied_hour(hour, h, r);
        double const array_w = s_.array_factor * in_.array_power_w[h];
        double const sun_w =
            controller_output_w(array_w, plant_.controller_efficiency, plant_.controller_limit_w);
        double inverter_dc_kwh = 0, pump_kwh = 0;
        auto const stretch_of = [&](PumpStretch const& p) {
            pump_kwh += p.power_w * (1e-3 * p.hours);
            return plant_.stretch<two_wells>(p, load_w, inverter_dc_kwh);
        };
        auto const q = quick_hour<two_wells>(plant_, sun_w, pump, stretch_of, battery.levels());
        if (!(q.lowest_kwh > (r.pump_starts > 0 ? start_above_kwh() : above_kwh_)) ||
            !carries(h, sun_w, load_w + (r.pump_run_h > 0 ? water_.running_w() : water_.standing_w())))
            return false;
        double const taken_kwh = inverter_dc_kwh + 1e-3 * plant_.standby_w + q.charged_kwh - q.discharged_kwh;
        // Except for rounding it is within these limits. There is no branch, because at night the sign of the
        // rounding error is random.
        double const sun_kwh = models::least(models::most(taken_kwh, 0.0), 1e-3 * sun_w);
        auto energy = quick_energy(plant_, q, 1e-3 * array_w, sun_kwh, 1);
        energy.inverter_loss_kwh = inverter_dc_kwh - 1e-3 * load_w - pump_kwh;
        energy.load_kwh = 1e-3 * load_w;
        energy.pump_kwh = pump_kwh;
        book(s_, energy, r);
        end_hour(in_, s_.array_factor, h, load_w, battery, q.battery.stored_kwh, r);
        supply_.take_over(q.battery, q.lowest_kwh);
        return true;
    }
    [[nodiscard]] bool carries(std::size_t h, double sun_w, double ac_w) const {
        return carries_all_ || inverter_carries(plant_, sun_w, ac_w, value_or(in_.load_var, h, 0),
                                                value_or(in_.leg_imbalance_w, h, 0));
    }

    System const& s_;
    HourlyInputs const& in_;
    Clock const& clock_;
    WaterSide& water_;
    SupplySide& supply_;
    LoadShedding& loads_;
    QuickSupply<double> plant_;
    bool possible_, carries_all_ = false;
    PumpStretch standing_{};
    double start_above_kwh_ = 0, until_h_ = 0;
    double above_kwh_ = std::numeric_limits<double>::infinity();
    std::vector<PumpStretch> pump_;
};

}  // namespace holdwater::sim
