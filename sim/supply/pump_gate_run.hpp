#pragma once

#include <limits>
#include <optional>

#include "models/water/pump_gate.hpp"

namespace holdwater::sim {

/// The pump gate during a run; always open if there is none.
class PumpGateRun {
  public:
    PumpGateRun(std::optional<models::PumpGate> const& gate, double capacity_kwh) {
        if (!gate) return;
        gate_ = &*gate;
        open_kwh_ = gate->battery_above * capacity_kwh;
        shut_kwh_ = (gate->battery_above - gate->battery_band) * capacity_kwh;
    }

    /// `surplus_w`: output of the charge controller less the small loads of the hour.
    void look(double now_h, double stored_kwh, bool on_backup, double surplus_w) {
        if (gate_ == nullptr) return;
        high_ = high_ ? stored_kwh > shut_kwh_ : stored_kwh >= open_kwh_;
        open_ = on_backup || high_ || surplus_w >= gate_->surplus_above_w || models::in_hours(*gate_, now_h);
    }
    [[nodiscard]] bool open() const { return open_; }

    /// The next time at which it opens or shuts by the clock [h].
    [[nodiscard]] double next_clock_event_h(double now_h) const {
        return gate_ == nullptr ? std::numeric_limits<double>::infinity()
                                : now_h + models::hours_to_change(*gate_, now_h);
    }
    /// Calls `watch` with the stored energy at which it opens or shuts [kWh].
    template <class Watch>
    void watch_levels(Watch const& watch) const {
        if (gate_ == nullptr || !(open_kwh_ < std::numeric_limits<double>::infinity())) return;
        watch(high_ ? shut_kwh_ : open_kwh_);
    }

  private:
    models::PumpGate const* gate_ = nullptr;
    double open_kwh_ = 0, shut_kwh_ = 0;
    bool high_ = false, open_ = true;
};

}  // namespace holdwater::sim
