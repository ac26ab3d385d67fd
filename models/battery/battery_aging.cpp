#include "models/battery/battery_aging.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>

#include "models/numeric/parameter_error.hpp"

namespace holdwater::models {

CycleLife fit_cycle_life(std::vector<CyclesAtDepth> const& rows, bool bent) {
    require(rows.size() >= (bent ? 3U : 2U), "cycle life rows", static_cast<double>(rows.size()),
            bent ? "at least 3 are needed for the bent curve" : "at least 2 are needed");
    for (std::size_t i = 0; i < rows.size(); ++i) {
        require(rows[i].depth > 0 && rows[i].depth <= 1, "cycle life depth", rows[i].depth,
                "must be above 0 and at most 1");
        require(rows[i].cycles > 0, "cycle life cycles", rows[i].cycles, "must be above 0");
        require(i == 0 || rows[i].depth > rows[i - 1].depth, "cycle life depth", rows[i].depth,
                "must rise from row to row");
        require(i == 0 || rows[i].cycles < rows[i - 1].cycles, "cycle life cycles", rows[i].cycles,
                "must fall while the depth rises");
    }
    auto const n = static_cast<Eigen::Index>(rows.size());
    Eigen::MatrixXd basis(n, bent ? 3 : 2);
    Eigen::VectorXd log_cycles(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        auto const [depth, cycles] = rows[static_cast<std::size_t>(i)];
        basis(i, 0) = 1;
        basis(i, 1) = -std::log(depth);
        if (bent) basis(i, 2) = -depth;
        log_cycles[i] = std::log(cycles);
    }
    Eigen::VectorXd const x = basis.colPivHouseholderQr().solve(log_cycles);
    return {std::exp(x[0]), x[1], bent ? x[2] : 0};
}

double cycles_to_end(CycleLife const& life, double depth) {
    double const d = std::max(depth, 0.02);
    return life.a * std::pow(d, -life.b) * std::exp(-life.g * d);
}

double cycling_damage(CycleLife const& life, std::span<CountedRange const> ranges) {
    double damage = 0;
    for (auto const& r : ranges)
        if (r.range >= 0.01) damage += r.count / cycles_to_end(life, r.range);
    return damage;
}

double calendar_factor(double temperature_c, double halving_k) {
    return std::exp2((temperature_c - 25) / halving_k);
}

double mean_calendar_factor(std::span<double const> temperature_c, double halving_k) {
    if (temperature_c.empty()) return 1;
    double sum = 0;
    for (double const t : temperature_c) sum += calendar_factor(t, halving_k);
    return sum / static_cast<double>(temperature_c.size());
}

std::string_view name(LifeRule rule) {
    switch (rule) {
        case LifeRule::cycling:
            return "cycling";
        case LifeRule::calendar:
            return "calendar";
        case LifeRule::throughput:
            return "throughput";
        case LifeRule::cycling_and_calendar:
            return "cycling and calendar together";
        case LifeRule::none:
            return "nothing";
    }
    return "";
}

BatteryLife battery_life(YearOfUse const& use, LifeCombination combination) {
    require(use.cycling_damage >= 0, "cycling_damage", use.cycling_damage, "must be >= 0");
    require(use.calendar_life_y > 0, "calendar_life_y", use.calendar_life_y, "must be above 0");
    require(use.mean_calendar_factor > 0, "mean_calendar_factor", use.mean_calendar_factor,
            "must be above 0");
    require(use.discharged_kwh >= 0, "discharged_kwh", use.discharged_kwh, "must be >= 0");
    require(use.throughput_life_kwh > 0, "throughput_life_kwh", use.throughput_life_kwh, "must be above 0");
    double constexpr never_y = std::numeric_limits<double>::infinity();
    double const calendar_per_y = use.mean_calendar_factor / use.calendar_life_y;
    double const cycling_y = use.cycling_damage > 0 ? 1 / use.cycling_damage : never_y;
    double const calendar_y = calendar_per_y > 0 ? 1 / calendar_per_y : never_y;
    double const throughput_y =
        use.discharged_kwh > 0 ? use.throughput_life_kwh / use.discharged_kwh : never_y;

    BatteryLife life{never_y, LifeRule::none, cycling_y, calendar_y, throughput_y};
    auto const consider = [&](double years, LifeRule rule) {
        if (years < life.years) life.years = years, life.rule = rule;
    };
    bool const both = use.cycling_damage > 0 && calendar_per_y > 0;
    if (combination == LifeCombination::additive && both) {
        consider(1 / (use.cycling_damage + calendar_per_y), LifeRule::cycling_and_calendar);
    } else {
        consider(cycling_y, LifeRule::cycling);
        consider(calendar_y, LifeRule::calendar);
    }
    consider(throughput_y, LifeRule::throughput);
    return life;
}

double remaining_capacity(double damage) { return std::max(0.0, 1 - 0.2 * damage); }

}  // namespace holdwater::models
