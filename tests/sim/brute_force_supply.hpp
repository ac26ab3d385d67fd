#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "sim/base/system.hpp"
#include "tests/sim/brute_force_water.hpp"

namespace holdwater::test {

/// The source of the loads in the plain loop, decided once in each step: the rules of DEVELOPERS.md ("Rules
/// of the supply") in the order in which a person would go through them.
class PlainSource {
  public:
    enum class From { nothing, inverter, grid, generator, straight };

    explicit PlainSource(sim::System const& s)
        : s_(s), r_(s.rules), cap_kwh_(s.battery.capacity_kwh), has_grid_(r_.backup == sim::Backup::grid) {}

    /// At `now_h` with `stored_kwh` in the battery. `asked_w`: what loads and motors take, or would take if
    /// there were power; `uneven_w`: by how much uneven phases lower the rating.
    void look(double now_h, double stored_kwh, double asked_w, double uneven_w, BruteForce& sum) {
        now_h_ = now_h;
        e_ = stored_kwh;
        uneven_w_ = uneven_w;
        changed_ = false;
        bypassed_before_ = listed_ || by_hand_on_;
        look_at_grid();
        if (tripped_ && now_h >= trip_end_h_) tripped_ = false;
        if (off_ && !tripped_ && e_ >= r_.restart_above * cap_kwh_ && now_h >= off_h_ + 1.0 / 60)
            off_ = false;
        From const was = from_;
        choose(sum);
        if (overload_trips(was, asked_w, sum)) choose(sum);
    }
    [[nodiscard]] From from() const { return in_break() ? From::nothing : from_; }
    [[nodiscard]] bool on_backup() const { return through() || from_ == From::straight; }
    /// A running pump was interrupted.
    [[nodiscard]] bool changed() const { return changed_; }
    [[nodiscard]] bool engine_runs() const { return engine_ && now_h_ >= since_h_; }
    [[nodiscard]] bool warned() const { return warned_; }

    void switch_off(double now_h) {
        off_ = true;
        off_h_ = now_h;
        if (from_ == From::inverter) from_ = From::nothing;
    }

    /// What grid or generator gives, before the inverter's own draw.
    [[nodiscard]] double source_w() const {
        double const own_w = from_ == From::generator ? s_.generator->rated_power_w : r_.backup_limit_w;
        return std::min(own_w, s_.inverter.pass_through_va);
    }
    /// What loads and pumps can have.
    [[nodiscard]] double limit_w() const {
        switch (from()) {
            case From::nothing:
                return 0;
            case From::straight:
                return 1e12;
            case From::inverter: {
                double const rated_w = std::max(s_.inverter.rated_power_w - uneven_w_, 0.0);
                return now_h_ < overload_end_h_ ? std::max(rated_w, overload_w_) : rated_w;
            }
            default:
                return std::max(source_w() - own_draw_w(), 0.0) * s_.inverter.pass_through_efficiency;
        }
    }
    [[nodiscard]] double own_draw_w() const {
        return s_.inverter.pass_through_draw_w ? *s_.inverter.pass_through_draw_w : s_.inverter.idle_w;
    }
    /// SOC to which the charger charges now; 0: it rests.
    [[nodiscard]] double charge_to() const {
        if (from() == From::generator) return r_.second ? r_.second->charge_to : r_.charge_to;
        if (from() != From::grid) return 0;
        double to = r_.charge_to;
        if (bills() && dear_)
            to = 0;
        else if (bills() && !cheap_)
            to = std::min(to, r_.tariff->reserve);
        return warned_ ? std::max(to, r_.forewarned_charge_to) : to;
    }

  private:
    static constexpr double long_ago_h = -1e9;

    [[nodiscard]] bool in_break() const { return now_h_ < break_end_h_; }
    [[nodiscard]] bool through() const { return from_ == From::grid || from_ == From::generator; }
    [[nodiscard]] bool bills() const {
        return has_grid_ && r_.grid_first && r_.tariff && r_.tariff->reserve < 1;
    }
    static bool in_span(double clock_h, double from_h, double until_h) {
        if (from_h == until_h) return false;
        return std::fmod(clock_h - from_h + 24, 24.0) < std::fmod(until_h - from_h + 24, 24.0) ||
               std::fmod(until_h - from_h + 24, 24.0) == 0;
    }

    void look_at_grid() {
        if (!has_grid_) return;
        bool up = true;
        warned_ = false;
        for (auto const& o : s_.outages) {
            if (now_h_ >= o.start_h && now_h_ < o.end_h) up = false;
            if (r_.forewarned_h > 0 && o.end_h - o.start_h >= r_.forewarned_over_h && now_h_ < o.start_h &&
                now_h_ >= o.start_h - r_.forewarned_h)
                warned_ = true;
        }
        if (!up) was_away_ = true, back_h_ = -1;
        if (up && was_away_ && back_h_ < 0) back_h_ = now_h_;
        usable_ = up && (!was_away_ || now_h_ >= back_h_ + r_.accept_delay_s / 3600);
        listed_ = false;
        for (auto const& b : r_.bypass)
            if (now_h_ >= b.start_h && now_h_ < b.end_h) listed_ = true;
        if (!bills()) return;
        double const clock_h = std::fmod(now_h_, 24.0);
        auto const& t = *r_.tariff;
        dear_ = in_span(clock_h, t.peak.from, t.peak.until);
        cheap_ = t.low.from == t.low.until ? !dear_ : in_span(clock_h, t.low.from, t.low.until);
    }

    // Goes through the rules once: calls, generator, hand, source.
    void choose(BruteForce& sum) {
        call_first();
        call_second();
        if (r_.by_hand && has_grid_) switch_by_hand();
        bool const straight_now = listed_ || by_hand_on_;
        run_generator(r_.second ? second_calls_ : calls_);
        bool const set_carries = engine_ && !cooling_ && now_h_ >= since_h_ + run().warm_up_h;

        From next = From::inverter;
        if (has_grid_ && usable_ && straight_now)
            next = From::straight;
        else if (has_grid_ && usable_ && calls_ && !r_.by_hand)
            next = From::grid;
        else if (set_carries && (!r_.second || (!usable_ && !straight_now)))
            next = From::generator;
        else if (off_ || tripped_ || (has_grid_ && straight_now))
            next = From::nothing;
        bool const was_on_backup = on_backup();
        From const was = from_;
        from_ = next;
        bool const transfer = was_on_backup != on_backup() || (on_backup() && was != next);
        if (!transfer) return;
        changed_ = true;
        sum.transfers += 1;
        if (on_backup()) stay_until_h_ = std::max(stay_until_h_, now_h_ + 1.0 / 60);
        bool const beside = r_.second && (was == From::generator || next == From::generator);
        break_end_h_ = now_h_ + (beside ? r_.second->break_s : r_.break_s) / 3600;
    }

    void call_first() {
        if (r_.backup == sim::Backup::none) return;
        bool const low = e_ <= r_.transfer_below * cap_kwh_;
        // In the hours of the high price the battery works until it is at its reserve, or something else
        // keeps it from working.
        bool const has_none = bills() && e_ <= r_.tariff->reserve * cap_kwh_ + (works_ ? 0 : 1e-6 * cap_kwh_);
        spent_ = dear_ && (spent_ || low || has_none || tripped_ || off_);
        works_ = bills() && dear_ && !spent_ && !warned_;
        bool const was = calls_;
        if (for_the_night_ && !evening()) calls_ = for_the_night_ = false;
        if (calls_ && works_) {
            calls_ = now_h_ < stay_until_h_;
        } else if (calls_) {
            calls_ = r_.grid_first || warned_ || off_ || tripped_ || e_ < r_.return_above * cap_kwh_ ||
                     now_h_ < stay_until_h_;
            for_the_night_ = for_the_night_ && calls_ && !low;
        } else {
            for_the_night_ = r_.backup == sim::Backup::generator && evening() && !low && !off_ && !tripped_ &&
                             e_ <= s_.generator_operation.top_up_below * cap_kwh_;
            calls_ = low || off_ || tripped_ || warned_ || for_the_night_ || (r_.grid_first && !works_);
        }
        if (calls_ && !was && tripped_ && !low) stay_until_h_ = now_h_ + 1;
    }

    void call_second() {
        if (!r_.second) return;
        bool const was = second_calls_, low = e_ <= r_.second->transfer_below * cap_kwh_;
        bool const goes_on = was && (e_ < r_.second->return_above * cap_kwh_ || now_h_ < stay_until_h_);
        second_calls_ = !usable_ && !listed_ && !by_hand_on_ && (off_ || tripped_ || low || goes_on);
        if (second_calls_ && !was && tripped_ && !low) stay_until_h_ = now_h_ + 1;
    }

    // Someone goes for it when the call comes, or ends, and is there after a while.
    void switch_by_hand() {
        bool const wanted = calls_ && usable_;
        if (wanted == by_hand_on_) {
            goes_ = false;
        } else if (!goes_) {
            goes_ = true;
            there_h_ = now_h_ + r_.hand_response_h;
        }
        if (!goes_ || now_h_ < there_h_) return;
        by_hand_on_ = wanted;
        goes_ = false;
    }

    // Cranked, warming up, carrying the loads, kept on for its minimum run unless quiet hours begin, cooling
    // down.
    void run_generator(bool called) {
        if (!s_.generator || (r_.backup != sim::Backup::generator && !r_.second)) return;
        auto const& g = run();
        if (!engine_ && !silent() && called && now_h_ >= stopped_h_ + g.min_rest_h) {
            engine_ = true;
            cooling_ = false;
            since_h_ = now_h_ + g.crank_s / 3600;  // the first crank works
        }
        bool const let_go = !called && now_h_ >= since_h_ + std::max(g.min_run_h, g.warm_up_h);
        if (engine_ && !cooling_ && (let_go || (silent() && now_h_ >= since_h_))) {
            cooling_ = true;
            cool_end_h_ = now_h_ + g.cool_down_h;
        }
        if (engine_ && cooling_ && now_h_ >= cool_end_h_) {
            engine_ = false;
            stopped_h_ = now_h_;
        }
    }
    [[nodiscard]] models::GeneratorRunParameters const& run() const { return s_.generator_operation.run; }
    [[nodiscard]] double silent_length_h() const {
        return std::fmod(run().quiet_to_h - run().quiet_from_h + 24, 24.0);
    }
    [[nodiscard]] double into_silence_h() const {
        return std::fmod(std::fmod(now_h_, 24.0) - run().quiet_from_h + 24, 24.0);
    }
    [[nodiscard]] bool silent() const { return into_silence_h() < silent_length_h(); }
    [[nodiscard]] bool evening() const {
        return silent_length_h() > 0 && !silent() && 24 - into_silence_h() <= run().top_up_within_h;
    }

    // From grid or generator to the inverter with more than its rating, or the same again at a restart: it
    // carries this for the time of its table, and trips if it still is too much then.
    bool overload_trips(From was, double asked_w, BruteForce& sum) {
        if (from_ != From::inverter) overload_end_h_ = long_ago_h;
        if (through()) overloaded_ = false;
        if (from_ == From::straight) overloaded_ = true;  // all comes at once when someone switches back
        if (from_ != From::inverter || !r_.trip_on_overload) return false;
        bool const comes = was == From::grid || was == From::generator || was == From::straight ||
                           (was == From::nothing && bypassed_before_),
                   again = was == From::nothing && overloaded_,
                   over = overload_end_h_ > long_ago_h && now_h_ >= overload_end_h_;
        if (!comes && !again && !over) return false;
        overload_end_h_ = long_ago_h;
        double const ratio = (asked_w + uneven_w_) / s_.inverter.rated_power_w;
        if (ratio <= 1 + 1e-9) return overloaded_ = false;
        if (comes) sum.overload_transfers += 1;
        double const held_s = comes || again ? carries_for_s(ratio) : 0;
        if (held_s > 0) {
            overload_w_ = asked_w;
            overload_end_h_ = std::max(now_h_, break_end_h_) + held_s / 3600;
            return false;
        }
        overloaded_ = true;
        trip(sum);
        return true;
    }
    // Between two rows of the table the time falls by the same factor for the same step of the ratio.
    [[nodiscard]] double carries_for_s(double ratio) const {
        auto const& rows = s_.inverter.surge;
        if (rows.empty() || ratio > rows[0].ratio) return 0;
        std::size_t i = 0;
        while (i + 1 < rows.size() && rows[i + 1].ratio > ratio) ++i;
        if (i + 1 == rows.size()) return rows[i].seconds;
        double const part = (rows[i].ratio - ratio) / (rows[i].ratio - rows[i + 1].ratio);
        return std::exp((1 - part) * std::log(rows[i].seconds) + part * std::log(rows[i + 1].seconds));
    }
    void trip(BruteForce& sum) {
        sum.inverter_trips += 1;
        trips_ = (now_h_ - last_trip_h_) * 3600 > r_.trip.forget_after_s ? 1 : trips_ + 1;
        last_trip_h_ = now_h_;
        tripped_ = true;
        bool const waits = trips_ > r_.trip.restarts;
        trip_end_h_ = now_h_ + (waits ? r_.trip_reset_h : r_.trip.restart_delay_s / 3600);
        if (waits) trips_ = 0, last_trip_h_ = long_ago_h;
    }

    sim::System const& s_;
    sim::SupplyRules const& r_;
    double cap_kwh_, now_h_ = 0, e_ = 0, uneven_w_ = 0;
    bool has_grid_;
    From from_ = From::inverter;
    bool changed_ = false, usable_ = false, was_away_ = false, listed_ = false, warned_ = false;
    bool dear_ = false, cheap_ = false, spent_ = false, works_ = false;
    bool calls_ = false, for_the_night_ = false, second_calls_ = false, off_ = false;
    bool by_hand_on_ = false, bypassed_before_ = false, goes_ = false, engine_ = false, cooling_ = false;
    bool tripped_ = false, overloaded_ = false;
    int trips_ = 0;
    double back_h_ = -1, stay_until_h_ = long_ago_h, break_end_h_ = long_ago_h, off_h_ = long_ago_h;
    double there_h_ = 0, since_h_ = 0, cool_end_h_ = 0, stopped_h_ = long_ago_h;
    double trip_end_h_ = 0, last_trip_h_ = long_ago_h, overload_end_h_ = long_ago_h, overload_w_ = 0;
};

}  // namespace holdwater::test
