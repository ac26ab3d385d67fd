#pragma once

#include <limits>
#include <span>
#include <vector>

#include "models/generator/generator_run.hpp"
#include "sim/base/run_result.hpp"
#include "sim/base/system.hpp"

namespace holdwater::sim {

/// The generator during a run. The transfer rules call and release it. It starts, warms up, carries the loads
/// and cools down; it keeps quiet hours and the daily limit; it can fail to start and run out of fuel.
class GeneratorControl {
  public:
    GeneratorControl(System const& system, std::vector<Event>& events)
        : used_(system.generator.has_value()),
          operation_(system.generator_operation),
          events_(events),
          set_(used_ ? *system.generator : models::GeneratorParameters{}),
          fuel_l_(system.carried_supply && system.carried_supply->fuel_l > 0 ? system.carried_supply->fuel_l
                                                                             : set_.fuel_tank_l) {}

    [[nodiscard]] bool carries_load() const { return models::carries_load(state_); }
    /// Whether it is off at this time; also if its cool-down has ended since the last look().
    [[nodiscard]] bool off(double now_h) const {
        return state_.phase == models::GeneratorPhase::off || (cooling() && state_.next_h <= now_h);
    }
    [[nodiscard]] bool burns_fuel() const { return models::burns_fuel(state_); }
    [[nodiscard]] int starts() const { return state_.starts; }
    [[nodiscard]] int failed_starts() const { return state_.failed_starts; }
    [[nodiscard]] double fuel_l() const { return fuel_l_; }

    /// Sets the output at the air temperature of the hour [W].
    void begin_hour(double ambient_c) {
        if (used_) power_w_ = models::site_power_w(set_, operation_.elevation_m, ambient_c);
    }
    [[nodiscard]] double power_w() const { return power_w_; }

    /// Brings the generator up to `now_h`. `wanted`: the transfer rules call for it; `emergency`: quiet hours
    /// are ignored.
    void look(double now_h, bool wanted, bool emergency);

    /// Quiet hours are near, so a higher SOC calls the generator.
    [[nodiscard]] bool tops_up(double now_h) const { return models::is_top_up_time(operation_.run, now_h); }

    /// Time at which the generator, or the SOC that calls it, changes next by itself [h]; call it after
    /// look().
    [[nodiscard]] double next_change_h(double now_h, bool wanted) const;

    /// Whether a generator that carries the loads at `now_h` does so until `end_h` unless it is released: no
    /// phase, quiet hours, daily limit or emergency changes that.
    [[nodiscard]] bool runs_through(double now_h, double end_h) const {
        return carries_load() && state_.next_h >= end_h && !emergency_ &&
               std::isinf(operation_.longest_day_h) && !models::is_quiet(operation_.run, now_h) &&
               models::next_quiet_h(operation_.run, now_h) >= end_h;
    }

    /// Hours for which the fuel lasts at this output.
    [[nodiscard]] double hours_of_fuel(double output_w) const {
        return burns_fuel() ? models::hours_of_fuel(set_, fuel_l_, output_w) : never;
    }

    /// Whether the fuel lasts for this number of hours while the output falls from one value to the other
    /// [W], with the output always below the lowest load or never, and on one line of the fuel table.
    [[nodiscard]] bool carries_evenly(double first_w, double last_w, double hours) const {
        double const least_w = models::least_load_w(set_);
        return (first_w < least_w) == (last_w < least_w) &&
               models::fuel_is_straight_between(set_, first_w, last_w) &&
               hours_of_fuel(first_w) > hours * (1 + 1e-9);
    }

    /// Points of its fuel table at which the fuel rate changes its slope; empty without one.
    [[nodiscard]] std::span<models::FuelPoint const> fuel_bends() const {
        auto const& table = set_.fuel_table;
        return table.size() < 3 ? std::span<models::FuelPoint const>{}
                                : std::span(table).subspan(1, table.size() - 2);
    }

    /// Advances by `hours` at this output and records run time and fuel. A crank or a cool-down may end
    /// within it.
    void advance(double hours, double output_w, double end_h, HourRecord& r);
    /// The state that advance() changes while the fuel lasts.
    struct Account {
        double fuel_l = 0, day_run_h = 0, low_load_h = 0;
    };
    [[nodiscard]] Account account() const { return {fuel_l_, day_run_h_, low_load_h_}; }
    void set(Account const& a) {
        fuel_l_ = a.fuel_l;
        day_run_h_ = a.day_run_h;
        low_load_h_ = a.low_load_h;
    }
    [[nodiscard]] double low_load_h() const { return low_load_h_; }
    [[nodiscard]] int fuel_outs() const { return fuel_outs_; }

  private:
    void go_through_phases(double now_h);
    // Time of the next change of phase, without changes that only matter for the fuel.
    [[nodiscard]] double next_phase_h(double now_h) const;
    [[nodiscard]] bool cooling() const { return state_.phase == models::GeneratorPhase::cooling; }

    // A start was given up or the fuel tank is empty, so someone has to come.
    void note_failure() {
        repaired_h_ = state_.stopped_h + (fuel_out_ ? operation_.refuel_after_h : operation_.repair_after_h);
        events_.push_back({state_.stopped_h, EventKind::generator_failed, 0});
    }

    [[nodiscard]] bool day_spent() const { return day_run_h_ >= operation_.longest_day_h * (1 - 1e-12); }

    static constexpr double never = std::numeric_limits<double>::infinity();

    // Time at which quiet hours begin, or end if the generator is in them (in an emergency).
    [[nodiscard]] double next_quiet_boundary_h(double now_h) const {
        auto const& run = operation_.run;
        return models::is_quiet(run, now_h) ? models::next_allowed_h(run, now_h)
                                            : models::next_quiet_h(run, now_h);
    }

    bool used_;
    GeneratorOperation const& operation_;
    std::vector<Event>& events_;
    models::GeneratorParameters set_;
    models::GeneratorState state_;
    double power_w_ = 0, fuel_l_, start_h_ = never, repaired_h_ = never;
    double day_h_ = 0, day_run_h_ = 0, low_load_h_ = 0;
    bool fuel_out_ = false, quiet_ = false, emergency_ = false;
    int fuel_outs_ = 0;
    std::uint64_t attempts_ = 0;
};

}  // namespace holdwater::sim
