#pragma once

#include <algorithm>
#include <cmath>
#include <limits>

#include "models/battery/battery.hpp"
#include "models/battery/battery_temperature.hpp"
#include "models/battery/battery_voltage.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// The power of the battery over a step.
struct BatteryFlow {
    double power_kw = 0;  ///< at the terminals, > 0 discharges; constant
    bool taper = false;   ///< instead: it charges as fast as it accepts, with a power that falls as it fills
};

/// Energies of the battery in a step; charge and discharge are at the terminals.
struct BatteryBooks {
    double charged_kwh = 0, discharged_kwh = 0, loss_kwh = 0;
};

/// The battery during a run: stored energy, temperature, voltage.
///
/// Cold takes capacity away from the bottom: the minimum SOC rises to 1 - factor of the rated capacity. So
/// the energy that the battery has already given counts, and the energy below the minimum is available again
/// when the battery is warm. (Scaling the whole store would create or destroy energy around a cold cloudy
/// period.)
class Battery {
  public:
    explicit Battery(System const& system)
        : behavior_(system.battery_behavior),
          battery_{behavior_.store, system.battery},
          rates_(models::rates_of(battery_)),
          capacity_kwh_(system.battery.capacity_kwh),
          plain_(models::is_plain(battery_)),
          state_(system.carried_supply ? system.carried_supply->battery
                                       : models::at_soc(battery_, system.start_soc)),
          floor_kwh_(system.battery.min_soc * capacity_kwh_),
          charge_limit_kw_(system.battery.charge_limit_kw),
          resistance_ohm_(behavior_.voltage.resistance_ohm) {
        if (!system.carried_supply) return;
        warmed_ = true;
        temperature_c_ = system.carried_supply->battery_c;
        heater_on_ = system.carried_supply->heater_on;
        refused_ = system.carried_supply->charge_refused;
    }

    /// Outside temperature of the hour. In the first hour the battery gets the temperature of its place.
    void begin_hour(double ambient_c);

    [[nodiscard]] double capacity_kwh() const { return capacity_kwh_; }
    [[nodiscard]] double stored_kwh() const { return models::stored_kwh(state_); }
    [[nodiscard]] double soc() const { return capacity_kwh_ > 0 ? stored_kwh() / capacity_kwh_ : 0; }
    [[nodiscard]] models::BatteryState const& state() const { return state_; }
    [[nodiscard]] double temperature_c() const { return temperature_c_; }
    [[nodiscard]] double floor_kwh() const { return floor_kwh_; }
    [[nodiscard]] bool charge_refused() const { return refused_; }
    [[nodiscard]] double heater_w() const { return heater_on_ ? behavior_.thermal->heater_w : 0; }

    /// Whether quick hours can compute this battery: an energy bucket without taper, or two wells of which
    /// none has run empty; without a temperature model.
    [[nodiscard]] bool goes_quick() const {
        return (plain_ || is_two_well()) && !behavior_.thermal && !drained_;
    }
    [[nodiscard]] bool is_two_well() const { return models::has_wells(battery_); }
    [[nodiscard]] models::BatteryParameters const& parameters() const { return battery_; }
    [[nodiscard]] models::TwoWellLevels<double> levels() const {
        return is_two_well() ? models::levels_of(models::wells(battery_), state_)
                             : models::TwoWellLevels<double>{state_.available_kwh, 0};
    }
    [[nodiscard]] models::BatteryState state_at(models::TwoWellLevels<double> const& levels) const {
        return is_two_well() ? models::wells_of(models::wells(battery_), levels)
                             : models::BatteryState{levels.stored_kwh, 0};
    }
    /// Sets the state after quick hours.
    void set_levels(models::TwoWellLevels<double> const& levels) { state_ = state_at(levels); }

    /// The battery can deliver nothing more: it is at its minimum SOC, or the available well is empty.
    [[nodiscard]] bool empty() const {
        return stored_kwh() <= floor_kwh_ || drained_ ||
               (!plain_ && is_two_well() && state_.available_kwh <= slack_kwh());
    }
    /// Whether the battery, and its available well too, has reached this stored energy again.
    [[nodiscard]] bool recovered(double level_kwh) const {
        if (is_two_well() && !available_at(level_kwh)) return false;
        return stored_kwh() >= level_kwh && stored_kwh() > floor_kwh_;
    }

    /// Whether standby and heater can draw from it. An available well that ran empty must first recover a
    /// little.
    [[nodiscard]] bool feeds_standby() const { return stored_kwh() > 0 && !drained_; }

    /// Highest charging power by hardware and temperature [kW].
    [[nodiscard]] double charge_limit_kw() const { return charge_limit_kw_; }
    [[nodiscard]] double discharge_limit_kw() const { return battery_.energy.discharge_limit_kw; }
    /// Highest charging power that it accepts in its present state [kW]; infinite below the taper.
    [[nodiscard]] double accepted_kw() const {
        if (plain_)
            return stored_kwh() < capacity_kwh_ ? std::numeric_limits<double>::infinity()
                                                : -models::holding_power_kw(battery_.energy, capacity_kwh_);
        return models::accepted_charge_kw(battery_, state_);
    }
    /// Whether its charging tapers: it accepts less than `kw`, or exactly that except for rounding.
    [[nodiscard]] bool tapers_at(double kw) const {
        double const accepted = accepted_kw();
        if (std::isinf(accepted)) return false;
        double const rounding_kw =
            std::isinf(battery_.acceptance_per_h) ? 0 : 4 * slack_kwh() * battery_.acceptance_per_h;
        return kw >= accepted * (1 - 1e-12) - rounding_kw;
    }
    /// Charging power that exactly balances self-discharge [kW].
    [[nodiscard]] double holding_kw() const {
        return -models::holding_power_kw(battery_.energy, stored_kwh());
    }

    [[nodiscard]] bool has_voltage() const { return !behavior_.voltage.open_circuit.empty(); }
    [[nodiscard]] double resistance_ohm() const { return resistance_ohm_; }
    [[nodiscard]] models::Terminal terminal(double power_w) const {
        return models::terminal_at_power(models::open_circuit_v(behavior_.voltage, soc()), resistance_ohm_,
                                         power_w);
    }
    [[nodiscard]] double full_open_circuit_v() const { return models::open_circuit_v(behavior_.voltage, 1); }
    /// Stored energy at which the terminals fall to `volts` at this power [kWh].
    [[nodiscard]] double content_at_voltage_kwh(double volts, double power_w) const {
        models::BatteryVoltageParameters const cold{behavior_.voltage.open_circuit, resistance_ohm_};
        return models::soc_at_terminal_voltage(cold, volts, power_w) * capacity_kwh_;
    }

    /// Hours until the stored energy is `level_kwh` with this flow; infinity if not within `horizon_h`.
    [[nodiscard]] double hours_until(BatteryFlow const& flow, double level_kwh, double horizon_h) const {
        double const gap_kwh = level_kwh - stored_kwh();
        if (flow.taper) {
            if (plain_ || gap_kwh <= 0) return models::never_h;
            double const hours =
                models::hours_until_soc_in_taper(battery_, state_, level_kwh / capacity_kwh_);
            return hours > 0 ? hours : models::never_h;
        }
        // Self-discharge can only delay, so the straight line is a lower bound that saves a logarithm.
        double const rate_kw = rate_of_content_kw(flow);
        if (!(gap_kwh * rate_kw > 0) || gap_kwh / rate_kw > horizon_h) return models::never_h;
        return models::hours_until_stored(battery_, stored_kwh(), flow.power_kw, level_kwh);
    }
    [[nodiscard]] double rate_of_content_kw(BatteryFlow const& flow) const {
        if (flow.taper) return plain_ ? 0 : 1;
        return models::rate_of_stored_kw(battery_, stored_kwh(), flow.power_kw);
    }

    /// Hours until this flow must end because a well is empty or the taper begins; infinity if not within the
    /// horizon. For an energy bucket without taper the watched levels are enough.
    [[nodiscard]] double hours_until_limit(BatteryFlow const& flow, double horizon_h) const;

    /// Hours until the available well, which was emptied before the bound one, has its share of a stored
    /// energy again; infinity if it has that already, if it never does, and for an energy bucket.
    [[nodiscard]] double hours_until_available(BatteryFlow const& flow, double level_kwh) const {
        if (drained_) level_kwh = std::min(level_kwh, drained_until_kwh_);
        if (!is_two_well() || flow.taper || available_at(level_kwh)) return models::never_h;
        double const draw_kw = -models::store_power_kw(battery_.energy, flow.power_kw);
        return models::hours_until_available(models::wells(battery_), state_, draw_kw,
                                             battery_.available_fraction * level_kwh);
    }

    /// Hours of taper until the battery accepts only `kw`; infinity if never.
    [[nodiscard]] double hours_until_accepts(double kw) const;

    /// Hours until thermostat or charge rule changes next; infinity without a temperature model.
    [[nodiscard]] double hours_until_temperature_event() const;

    /// Advances by `hours`. `reached_kwh` is the stored energy that ends the step; NaN if none does.
    BatteryBooks advance(BatteryFlow const& flow, double hours, double reached_kwh);

  private:
    [[nodiscard]] bool available_at(double level_kwh) const {
        return state_.available_kwh >= battery_.available_fraction * level_kwh - 1e3 * slack_kwh();
    }
    // An emptied well must have its share of a stored energy, which is set at that moment, before it supplies
    // standby again.
    void look_at_wells() {
        if (drained_) {
            drained_ = !available_at(drained_until_kwh_);
        } else if (state_.available_kwh <= slack_kwh()) {
            drained_ = true;
            drained_until_kwh_ = std::min(0.02 * capacity_kwh_, 0.9 * stored_kwh());
        }
    }
    [[nodiscard]] double slack_kwh() const { return 1e-12 * capacity_kwh_; }

    // Thermostat and charge rule at the present temperature.
    void look_at_temperature() {
        auto const& rule = behavior_.charge_rule;
        heater_on_ = models::heater_on(*behavior_.thermal, heater_on_, temperature_c_);
        refused_ = models::charge_refused(rule, refused_, temperature_c_);
        charge_limit_kw_ =
            refused_ ? 0
                     : std::min(battery_.energy.charge_limit_kw,
                                models::charge_rate_limit_per_h(rule, temperature_c_) * capacity_kwh_);
    }

    BatteryBehavior const& behavior_;
    models::BatteryParameters battery_;
    models::TwoWellRates<double> rates_;
    double capacity_kwh_;
    bool plain_;  // an energy bucket without taper
    models::BatteryState state_;
    double floor_kwh_, charge_limit_kw_, resistance_ohm_;
    bool drained_ = false;  // two wells: the available one ran empty and has not recovered yet
    double drained_until_kwh_ = 0;
    bool warmed_ = false, refused_ = false, heater_on_ = false;
    double temperature_c_ = 25, place_c_ = 25;
};

}  // namespace holdwater::sim
