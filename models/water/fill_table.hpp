#pragma once

#include <algorithm>
#include <cstddef>
#include <limits>
#include <vector>

#include "models/water/pump_cycle.hpp"

namespace holdwater::models {

/// The pump fills the tank against one constant demand. Time and energy are added up from node to node
/// beforehand, so a run of any length costs one search, one logarithm and one exponential, however many nodes
/// the curve has.
///
/// Same equations and results (except for rounding) as time_to_reach_s and advance of pump_cycle.hpp, for a
/// rising amount of stored water. If it falls or stays, those functions are used.
class FillTable {
  public:
    FillTable(TankFillCurve const& curve, double demand_m3_s) : curve_(&curve), demand_m3_s_(demand_m3_s) {
        time_s_.push_back(0);
        energy_j_.push_back(0);
        for (auto const& p : curve.pieces) {
            double const net = p.flow_m3_s - demand_m3_s;
            if (!(net > 0)) break;
            double const t = fill_detail::piece_time_s(p.to_m3 - p.from_m3, net, p.flow_slope_1_s);
            if (t == std::numeric_limits<double>::infinity()) break;
            time_s_.push_back(time_s_.back() + t);
            energy_j_.push_back(energy_j_.back() + piece_energy_j(p, net, p.power_w, t));
        }
        auto const at = [&](double water_m3) {
            return place_on(fill_detail::piece_at(curve, water_m3, true), water_m3);
        };
        cut_in_ = at(curve.cut_in_m3);
        cut_out_ = at(curve.cut_out_m3);
    }

    [[nodiscard]] double demand_m3_s() const { return demand_m3_s_; }

    /// Pump on from `from_m3` until cut-out, or for `limit_s` if that is shorter; `seconds` of the result
    /// says how long. `piece`: the piece of the curve where the water was last and, afterward, where it is. A
    /// wrong piece only costs a search.
    [[nodiscard, gnu::always_inline]] inline FillStep fill(double from_m3, double limit_s,
                                                           std::size_t& piece) const {
        Place const from = place(from_m3, piece);
        if (!from.inside || !cut_out_.inside || from_m3 >= curve_->cut_out_m3) {
            double const full_s = time_to_reach_s(*curve_, from_m3, curve_->cut_out_m3, demand_m3_s_);
            FillStep step = models::advance(*curve_, from_m3, demand_m3_s_, std::min(limit_s, full_s));
            if (full_s <= limit_s) step.water_m3 = curve_->cut_out_m3;
            step.seconds = std::min(limit_s, full_s);
            return step;
        }
        double const full_s = cut_out_.time_s - from.time_s;
        if (full_s > limit_s) return advance(from, from_m3, limit_s, piece);
        FillStep step;
        step.seconds = full_s;
        step.water_m3 = curve_->cut_out_m3;
        step.pumped_m3 = (step.water_m3 - from_m3) + demand_m3_s_ * full_s;
        step.energy_j = cut_out_.energy_j - from.energy_j;
        return step;
    }

    /// Pump on for `seconds`, from `from_m3` of stored water.
    [[nodiscard]] FillStep advance(double from_m3, double seconds, std::size_t& piece) const {
        return advance(place(from_m3, piece), from_m3, seconds, piece);
    }

  private:
    struct Place {
        double time_s = 0, energy_j = 0;
        bool inside = false;
    };

    [[nodiscard, gnu::always_inline]] inline FillStep advance(Place const& from, double from_m3,
                                                              double seconds, std::size_t& piece) const {
        double const end_s = from.time_s + seconds;
        if (!from.inside || !(end_s <= time_s_.back())) {
            FillStep step = models::advance(*curve_, from_m3, demand_m3_s_, seconds);
            step.seconds = seconds;
            return step;
        }
        auto const i = fill_detail::last_for_which(time_s_.size() - 1,
                                                   [&](std::size_t k) { return time_s_[k] <= end_s; });
        piece = i;
        auto const& p = curve_->pieces[i];
        double const net = p.flow_m3_s - demand_m3_s_, t = end_s - time_s_[i];
        FillStep step;
        step.seconds = seconds;
        step.water_m3 = end_s == time_s_[i + 1]
                            ? p.to_m3
                            : p.from_m3 + net * t * fill_detail::expm1_over(p.flow_slope_1_s * t);
        step.pumped_m3 = (step.water_m3 - from_m3) + demand_m3_s_ * seconds;
        step.energy_j = energy_j_[i] + piece_energy_j(p, net, p.power_w, t) - from.energy_j;
        return step;
    }

    static double piece_energy_j(FillPiece const& p, double net, double power_w, double t) {
        return t * (power_w + p.power_slope_w_m3 * net * t * fill_detail::expm2_over(p.flow_slope_1_s * t));
    }

    [[nodiscard, gnu::always_inline]] inline Place place(double water_m3, std::size_t guess) const {
        if (water_m3 == curve_->cut_in_m3) return cut_in_;
        auto const& pieces = curve_->pieces;
        bool const right = guess + 1 < pieces.size() && pieces[guess].from_m3 <= water_m3 &&
                           water_m3 < pieces[guess + 1].from_m3;
        return place_on(right ? guess : fill_detail::piece_at(*curve_, water_m3, true), water_m3);
    }
    [[nodiscard, gnu::always_inline]] inline Place place_on(std::size_t i, double water_m3) const {
        if (i >= time_s_.size()) return {};
        auto const& p = curve_->pieces[i];
        if (water_m3 == p.from_m3) return {time_s_[i], energy_j_[i], true};
        if (i + 1 == time_s_.size() || water_m3 > p.to_m3) return {};
        if (water_m3 == p.to_m3) return {time_s_[i + 1], energy_j_[i + 1], true};
        double const net = p.flow_m3_s - demand_m3_s_;
        double const t = fill_detail::piece_time_s(water_m3 - p.from_m3, net, p.flow_slope_1_s);
        return {time_s_[i] + t, energy_j_[i] + piece_energy_j(p, net, p.power_w, t), true};
    }

    TankFillCurve const* curve_;
    double demand_m3_s_;
    Place cut_in_, cut_out_;
    std::vector<double> time_s_,
        energy_j_;  // from the first node; one entry for each node that rising water reaches
};

}  // namespace holdwater::models
