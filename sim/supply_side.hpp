#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "sim/power_flow.hpp"
#include "sim/run_result.hpp"
#include "sim/system.hpp"

namespace holdwater::sim {

/// Bank, inverter, charger and backup during a run: which source feeds the loads, how far until that may
/// change, and the books of it.
class SupplySide {
  public:
    SupplySide(System const& system, std::vector<Event>& events)
        : s_(system), events_(events), capacity_kwh_(system.bank.capacity_kwh) {
        levels_ = {s_.bank.floor_soc * capacity_kwh_, s_.rules.transfer_below * capacity_kwh_,
                   s_.rules.return_above * capacity_kwh_, s_.rules.charge_to * capacity_kwh_,
                   s_.rules.restart_above * capacity_kwh_};
        stored_kwh_ = s_.start_soc * capacity_kwh_;
        soc_min_ = soc();
    }

    [[nodiscard]] double stored_kwh() const { return stored_kwh_; }
    [[nodiscard]] double soc() const { return capacity_kwh_ > 0 ? stored_kwh_ / capacity_kwh_ : 0; }
    [[nodiscard]] double soc_min() const { return soc_min_; }
    [[nodiscard]] double transfers() const { return transfers_; }
    [[nodiscard]] double generator_starts() const { return generator_starts_; }

    /// When the grid fails or returns next [h]; infinity when that does not matter.
    [[nodiscard]] double next_grid_change_h(double now_h) {
        if (s_.rules.backup != Backup::grid) return std::numeric_limits<double>::infinity();
        if (now_h >= grid_change_h_) {
            grid_up_ = models::grid_up(s_.outages, now_h);
            grid_change_h_ = models::next_grid_change_h(s_.outages, now_h);
        }
        return grid_change_h_;
    }

    /// Applies the transfer rules (DEVELOPERS.md, "Supply"); true when a transfer broke the supply for a
    /// moment. Ask next_grid_change_h first.
    bool choose_source(double now_h) {
        Backup const backup = s_.rules.backup;
        bool const present = backup == Backup::generator || (backup == Backup::grid && grid_up_);
        bool broken = false;
        if (state_.transferred && (!present || stored_kwh_ >= levels_.come_back)) {
            state_.transferred = false;
            transfer(now_h, EventKind::to_inverter);
            broken = true;
        } else if (!state_.transferred && present &&
                   (state_.inverter_off || stored_kwh_ <= levels_.transfer)) {
            state_.transferred = true;
            state_.inverter_off = false;
            transfer(now_h, EventKind::to_backup);
            broken = true;
        }
        if (state_.inverter_off && stored_kwh_ >= levels_.restart) {
            state_.inverter_off = false;
            note(now_h, EventKind::inverter_on);
        }
        return broken;
    }

    /// AC power the present source can carry [W].
    [[nodiscard]] double capacity_w(double array_w) {
        if (state_.transferred || state_.inverter_off) return ac_capacity_w(s_, state_, array_w);
        if (array_w != inverting_array_w_) {
            inverting_array_w_ = array_w;
            inverting_capacity_w_ = ac_capacity_w(s_, state_, array_w);
        }
        return inverting_capacity_w_;
    }

    /// Why something that was wanted is not served.
    [[nodiscard]] LimitReason limit_reason() const {
        if (state_.transferred) return LimitReason::backup_limit;
        return state_.inverter_off ? LimitReason::bank_empty : LimitReason::inverter_limit;
    }

    [[nodiscard]] PowerFlow flow(double array_w, double load_w, double pump_w) const {
        return power_flow(s_, state_, stored_kwh_, array_w, load_w, pump_w);
    }

    /// The bank stands at its floor and this flow would go below: the inverter switches off. True when it
    /// did.
    bool switch_off_if_empty(PowerFlow const& flow, double now_h) {
        if (!(flow.bank_w > 0) || stored_kwh_ > levels_.floor || state_.transferred || state_.inverter_off)
            return false;
        state_.inverter_off = true;
        note(now_h, EventKind::inverter_off);
        return true;
    }

    struct BankEvent {
        double hours, level_kwh;
    };
    /// The next level of the bank at which a rule applies, and when it is reached at this flow; infinity when
    /// that is not within `horizon_h`.
    [[nodiscard]] BankEvent next_bank_event(PowerFlow const& flow, double horizon_h) const {
        double const bank_kw = flow.bank_w * 1e-3;
        double const rate_kw =
            models::store_power_kw(s_.bank, bank_kw) - s_.bank.self_discharge_per_h * stored_kwh_;
        // The nearest watched level in the direction of travel.
        double target_kwh;
        if (rate_kw < 0) {
            target_kwh = 0;
            auto const watch = [&](double level) {
                if (level < stored_kwh_) target_kwh = std::max(target_kwh, level);
            };
            watch(levels_.floor);
            if (s_.rules.backup != Backup::none) watch(levels_.transfer);
            if (state_.transferred) watch(levels_.charge_to);
            if (!(stored_kwh_ > 0)) return {std::numeric_limits<double>::infinity(), 0};
        } else if (rate_kw > 0) {
            target_kwh = std::numeric_limits<double>::infinity();
            auto const watch = [&](double level) {
                if (level > stored_kwh_) target_kwh = std::min(target_kwh, level);
            };
            watch(capacity_kwh_);
            if (state_.transferred) {
                watch(levels_.come_back);
                watch(levels_.charge_to);
            }
            if (state_.inverter_off) watch(levels_.restart);
            if (std::isinf(target_kwh)) return {target_kwh, 0};
        } else {
            return {std::numeric_limits<double>::infinity(), 0};
        }
        // Self-discharge only ever delays: the straight line is a lower bound that spares a logarithm.
        if ((target_kwh - stored_kwh_) / rate_kw > horizon_h)
            return {std::numeric_limits<double>::infinity(), 0};
        return {models::hours_until(s_.bank, stored_kwh_, bank_kw, target_kwh), target_kwh};
    }

    /// Goes on by `hours` at this flow; `reached_kwh` is the level that ends the step, NaN when none does.
    void advance(PowerFlow const& p, double load_wanted_w, double hours, double reached_kwh, HourRecord& r) {
        double const kwh = 1e-3 * hours;
        auto const bank = models::after(s_.bank, stored_kwh_, p.bank_w * 1e-3, hours);
        bool const held = stored_kwh_ == capacity_kwh_ || stored_kwh_ == levels_.charge_to;
        bool const still = std::abs(bank.stored_kwh - stored_kwh_) < 1e-13 * capacity_kwh_;
        // Standing on a level up to rounding is standing on it.
        if (!(held && still)) stored_kwh_ = std::isnan(reached_kwh) ? bank.stored_kwh : reached_kwh;
        soc_min_ = std::min(soc_min_, soc());
        r.array_used_kw += p.array_used_w * kwh;
        r.array_curtailed_kw += p.array_curtailed_w * kwh;
        r.controller_loss_kw += p.controller_loss_w * kwh;
        (p.bank_w > 0 ? r.battery_discharge_kw : r.battery_charge_kw) += std::abs(p.bank_w) * kwh;
        r.battery_loss_kw += bank.loss_kwh + bank.self_loss_kwh;
        if (p.inverter_dc_w > 0) r.inverter_loss_kw += (p.inverter_dc_w - p.load_served_w - p.pump_w) * kwh;
        r.standby_kw += p.standby_w * kwh;
        r.charger_loss_kw += (p.charger_ac_w - p.charger_dc_w) * kwh;
        r.load_served_kw += p.load_served_w * kwh;
        if (p.load_served_w < load_wanted_w) {
            r.load_unserved_kw += (load_wanted_w - p.load_served_w) * kwh;
            r.limit_reason = static_cast<double>(limit_reason());
        }
        r.pump_kw += p.pump_w * kwh;
        if (state_.inverter_off) r.inverter_off_h += hours;
        if (!state_.transferred) return;
        r.backup_h += hours;
        if (s_.rules.backup == Backup::grid) {
            r.grid_kw += p.backup_w * kwh;
        } else {
            r.generator_kw += p.backup_w * kwh;
            r.generator_run_h += hours;
            r.generator_fuel_l += models::fuel_l_per_h(*s_.generator, p.backup_w) * hours;
        }
    }

  private:
    // The levels of the bank at which something changes [kWh].
    struct Levels {
        double floor, transfer, come_back, charge_to, restart;
    };

    void transfer(double now_h, EventKind kind) {
        ++transfers_;
        note(now_h, kind);
        if (s_.rules.backup != Backup::generator) return;
        bool const start = kind == EventKind::to_backup;
        note(now_h, start ? EventKind::generator_start : EventKind::generator_stop);
        if (start) ++generator_starts_;
    }
    void note(double time_h, EventKind kind) { events_.push_back({time_h, kind, soc()}); }

    System const& s_;
    std::vector<Event>& events_;
    double capacity_kwh_;
    Levels levels_{};
    double stored_kwh_ = 0, soc_min_ = 1;
    SupplyState state_;
    bool grid_up_ = true;
    double inverting_array_w_ = -1, inverting_capacity_w_ = 0;  // the capacity follows from the sun alone
    double grid_change_h_ = -1, transfers_ = 0, generator_starts_ = 0;
};

}  // namespace holdwater::sim
