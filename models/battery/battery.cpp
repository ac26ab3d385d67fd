#include "models/battery/battery.hpp"

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

namespace {

// Time until the available well is empty or full; 0 if it is already there (except for rounding) and moves
// further outward.
double hours_until_well_edge(TwoWellParameters const& p, BatteryState const& from, double draw_kw,
                             double level_kwh, double outwards) {
    double const slack_kwh = 1e-12 * p.capacity_kwh;
    if (outwards * (from.available_kwh - level_kwh) >= -slack_kwh) {
        double const c = p.available_fraction;
        double const rate_kw = -draw_kw + p.exchange_per_h * c * (1 - c) * head_difference_kwh(p, from) -
                               p.self_discharge_per_h * from.available_kwh;
        if (outwards * rate_kw > 0) return 0;
        // It moves inward first. Start slightly inside, so that the root found is the return to the limit.
        TwoWellState const inside{level_kwh - 2 * outwards * slack_kwh, from.bound_kwh};
        return hours_until_available(p, inside, draw_kw, level_kwh);
    }
    return hours_until_available(p, from, draw_kw, level_kwh);
}

}  // namespace

void validate(BatteryParameters const& b) {
    validate(b.energy);
    if (b.kind == BatteryKind::two_well) {
        validate(wells(b));
        require(std::isinf(b.acceptance_per_h), "acceptance_per_h", b.acceptance_per_h,
                "must be left out with two wells: their exchange already tapers the charge");
    }
    require(b.acceptance_per_h > 0, "acceptance_per_h", b.acceptance_per_h, "must be above 0");
}

double detail::hours_until_well_limit(BatteryParameters const& b, BatteryState const& from, double power_kw) {
    if (power_kw == 0) return never_h;
    TwoWellParameters const p = wells(b);
    double const draw_kw = -store_power_kw(b.energy, power_kw);
    if (power_kw < 0)
        return hours_until_well_edge(p, from, draw_kw, p.available_fraction * p.capacity_kwh, 1);
    double const floor_kwh = b.energy.min_soc * p.capacity_kwh;
    if (stored_kwh(from) <= floor_kwh + 1e-12 * p.capacity_kwh) return 0;
    return std::min(hours_until_well_edge(p, from, draw_kw, 0, -1),
                    hours_until_stored(p, from, draw_kw, floor_kwh));
}

double max_discharge_kw(BatteryParameters const& b, BatteryState const& from, double hours) {
    double const to_floor_kw = max_discharge_kw(b.energy, stored_kwh(from), hours);
    if (b.kind == BatteryKind::energy_bucket) return to_floor_kw;
    double const to_empty_kw = max_draw_kw(wells(b), from, hours) * b.energy.discharge_efficiency;
    return std::max(0.0, std::min(to_floor_kw, to_empty_kw));
}

double max_charge_kw(BatteryParameters const& b, BatteryState const& from, double hours) {
    double const to_full_kw = max_charge_kw(b.energy, stored_kwh(from), hours);
    if (b.kind == BatteryKind::two_well)
        return std::clamp(max_fill_kw(wells(b), from, hours) / b.energy.charge_efficiency, 0.0, to_full_kw);
    if (std::isinf(b.acceptance_per_h)) return to_full_kw;
    // First charging at the hardware limit, then the taper: the energy of both, spread evenly over the time.
    double const limit_kw = b.energy.charge_limit_kw;
    double const first_h = std::isinf(limit_kw) ? 0 : std::min(hours, hours_until_limit(b, from, -limit_kw));
    double charged_kwh = 0;
    BatteryState state = from;
    if (first_h > 0) {
        charged_kwh = limit_kw * first_h;
        state = after(b, from, -limit_kw, first_h).state;
    }
    if (first_h < hours) charged_kwh += taper(b, state, hours - first_h).charged_kwh;
    return std::clamp(charged_kwh / hours, 0.0, to_full_kw);
}

BatteryTaper taper(BatteryParameters const& b, TwoWellRates<double> const& rates, BatteryState const& from,
                   double hours) {
    double const s = b.energy.self_discharge_per_h, efficiency = b.energy.charge_efficiency;
    double const full_kwh = b.energy.capacity_kwh;
    BatteryTaper result{};
    double filled_kwh = 0;
    if (b.kind == BatteryKind::two_well) {
        TwoWellTaper const step = taper(wells(b), rates, from, hours);
        filled_kwh = step.filled_kwh;
        result.state = step.state;
        result.self_loss_kwh = step.self_loss_kwh;
    } else if (std::isinf(b.acceptance_per_h)) {
        result.state = {full_kwh, 0};
        result.self_loss_kwh = s * full_kwh * hours;
        filled_kwh = full_kwh - from.available_kwh + result.self_loss_kwh;
    } else {
        double const rate = b.acceptance_per_h + s, settled_kwh = full_kwh * b.acceptance_per_h / rate;
        double const away_kwh = from.available_kwh - settled_kwh;
        double const decayed_h = decay_hours(rate, hours);
        result.state = {settled_kwh + away_kwh * std::exp(-rate * hours), 0};
        result.self_loss_kwh = s * (settled_kwh * hours + away_kwh * decayed_h);
        filled_kwh = result.state.available_kwh - from.available_kwh + result.self_loss_kwh;
    }
    result.charged_kwh = filled_kwh / efficiency;
    result.loss_kwh = result.charged_kwh - filled_kwh;
    return result;
}

double hours_until_soc_in_taper(BatteryParameters const& b, BatteryState const& from, double soc) {
    double const s = b.energy.self_discharge_per_h, full_kwh = b.energy.capacity_kwh;
    double level_kwh = soc * full_kwh, now_kwh = stored_kwh(from), rate = b.acceptance_per_h + s;
    double settled_kwh = full_kwh * b.acceptance_per_h / rate;
    if (now_kwh >= level_kwh) return 0;
    if (b.kind == BatteryKind::two_well) {
        double const c = b.available_fraction, exchange = b.exchange_per_h * c;
        rate = exchange + s;
        settled_kwh = full_kwh * (c + (1 - c) * exchange / rate);
    } else if (std::isinf(b.acceptance_per_h)) {
        return level_kwh <= full_kwh ? 0 : never_h;
    }
    if (level_kwh >= settled_kwh) return never_h;
    return std::log((settled_kwh - now_kwh) / (settled_kwh - level_kwh)) / rate;
}

}  // namespace holdwater::models
