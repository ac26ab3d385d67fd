#include "tools/answers/sweep_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "scenarios/settings/unit_text.hpp"
#include "sim/base/figure_text.hpp"
#include "tools/show/json_text.hpp"

namespace holdwater::tools {
namespace {

using sim::SweepMethod;
constexpr int sweep_bar_width = 40;

std::string described(sim::SweepTally const& t, std::size_t i) {
    auto const row = t.plan.row(t.first + i);
    std::string out;
    for (std::size_t a = 0; a < row.size(); ++a)
        if (!row[a].empty()) out += (out.empty() ? "" : ", ") + t.plan.axes()[a].key + " = " + row[a];
    return out.empty() ? "base design" : out;
}

std::string with_unit(double value, std::string const& unit, Units units) {
    auto const s = shown(value, unit, units);
    return fmt::format("{}{}{}", sim::with_thousands(fmt::format("{:.6g}", s.value)),
                       s.unit.empty() ? "" : " ", s.unit);
}

// The bar of one key on both sides of the base design, on a scale for all keys.
std::string swing_bar(double low, double high, double base, double least, double most, bool plain) {
    double const span = most - least;
    auto const place = [&](double v) {
        return span > 0 ? static_cast<int>(std::lround((v - least) / span * sweep_bar_width)) : 0;
    };
    int const from = place(low), to = place(high), middle = place(base);
    std::string out;
    for (int i = 0; i <= sweep_bar_width; ++i)
        out += i == middle ? (plain ? "|" : "│") : i >= from && i <= to ? (plain ? "#" : "█") : " ";
    return out;
}

// Full blocks for the effect of a key alone, light ones for its effect together with others.
std::string share_bar(double alone, double in_all, bool plain) {
    auto const length = [](double share) {
        return static_cast<int>(std::lround(std::clamp(share, 0.0, 1.0) * sweep_bar_width));
    };
    std::string out;
    for (int i = 0; i < std::max(length(alone), length(in_all)); ++i)
        out += i < length(alone) ? (plain ? "#" : "█") : (plain ? "+" : "░");
    return out;
}

std::vector<std::size_t> by_total(std::vector<sim::SobolShare> const& axes) {
    std::vector<std::size_t> order(axes.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return axes[a].total.center > axes[b].total.center;
    });
    return order;
}

std::string heading(sim::SweepTally const& t) {
    return fmt::format("{} ({})", t.figure.name, t.figure.long_name);
}

nlohmann::ordered_json row_json(sim::SweepTally const& t, std::size_t i) {
    nlohmann::ordered_json json{{"row", t.first + i + 1}, {"value", t.values[i]}};
    auto const row = t.plan.row(t.first + i);
    json["set"] = nlohmann::ordered_json::object();
    for (std::size_t a = 0; a < row.size(); ++a)
        if (!row[a].empty()) json["set"][t.plan.axes()[a].key] = row[a];
    return json;
}

}  // namespace

std::string run_count(sim::SweepTally const& t) {
    if (t.refused == 0) return fmt::format("{} runs", t.run());
    return fmt::format("{} runs, {} rows refused (column 'problem' of the table)", t.run(), t.refused);
}

std::string extremes_table(sim::SweepTally const& t, Units units) {
    std::string out = heading(t) + "\n";
    if (t.run() == 0) return out + "  no row could be run: " + t.problem + "\n";
    auto const [least, most] = sim::extremes_of(t);
    for (auto const& [label, row] : {std::pair{"least", least}, std::pair{"most", most}})
        out += fmt::format("  {:<6}{:<14}{}\n", label, with_unit(t.values[row], t.figure.unit, units),
                           scenarios::in_units(units, described(t, row)));
    if (t.plan.spec().method != SweepMethod::latin_hypercube || t.run() < 10) return out;
    auto const spread = sim::row_spread(t);
    auto const text = [&](double value) { return with_unit(value, t.figure.unit, units); };
    return out + fmt::format("  10 of 100 rows up to {}, 50 up to {}, 90 up to {}\n", text(spread.low),
                             text(spread.median), text(spread.high));
}

std::string tornado(sim::SweepTally const& t, Units units, bool plain) {
    auto const swings = sim::swings_of(t);
    double const base = t.values[0];
    double least = base, most = base;
    for (auto const& s : swings) {
        least = std::min(least, t.values[s.low]);
        most = std::max(most, t.values[s.high]);
    }
    std::string out = fmt::format("{}, one key at a time; base design: {}\n\n", heading(t),
                                  with_unit(base, t.figure.unit, units));
    for (sim::Swing const& s : swings) {
        double const low = t.values[s.low], high = t.values[s.high];
        out += fmt::format("  {:<28}{}\n", t.plan.axes()[s.axis].key,
                           swing_bar(low, high, base, least, most, plain));
        auto const end = [&](std::size_t row) {
            return fmt::format(
                "{} at {}", with_unit(t.values[row], t.figure.unit, units),
                row == 0 ? "the base design" : scenarios::in_units(units, t.plan.row(row)[s.axis]));
        };
        out += high > low ? fmt::format("  {:<28}{}  to  {}\n", "", end(s.low), end(s.high))
                          : fmt::format("  {:<28}changes nothing\n", "");
    }
    return out;
}

std::string sobol_table(sim::SweepTally const& t, Units units, bool plain) {
    auto const answer = sim::sobol_of(t);
    std::string out = heading(t) + "\n";
    if (answer.left_out > 0)
        out += fmt::format("{} of {} base samples left out: one of their rows was refused\n", answer.left_out,
                           answer.left_out + answer.samples);
    if (answer.samples == 0) return out + "  no base sample could be run: " + t.problem + "\n";
    out += fmt::format("mean {}", with_unit(answer.mean, t.figure.unit, units));
    if (answer.axes.empty()) return out + ", and none of the keys changes it\n";
    // A standard deviation is a difference, so the zero point of °F does not apply to it.
    auto const zero = shown(0, t.figure.unit, units),
               width = shown(std::sqrt(answer.variance), t.figure.unit, units);
    out += fmt::format(", standard deviation {:.4g}{}{}\n\n", width.value - zero.value,
                       width.unit.empty() ? "" : " ", width.unit);
    out += fmt::format("  {:<28}{:<22}{}\n", "share of the spread", "alone", "with other keys");
    double together = 0, widest = 0;
    for (std::size_t const a : by_total(answer.axes)) {
        auto const& s = answer.axes[a];
        together += s.first.center;
        widest = std::max({widest, s.first.high - s.first.low, s.total.high - s.total.low});
        auto const text = [](models::Interval const& i) {
            return fmt::format("{:5.2f} ({:.2f} to {:.2f})", i.center, i.low, i.high);
        };
        out += fmt::format("  {:<28}{:<22}{}\n", t.plan.axes()[a].key, text(s.first), text(s.total));
        auto const bar = share_bar(s.first.center, s.total.center, plain);
        if (!bar.empty()) out += fmt::format("  {:<28}{}\n", "", bar);
    }
    return out + fmt::format("  {:<28}{:5.2f}\n\n  in brackets: 95 of 100 resamples of the base samples{}\n",
                             "all keys, each alone", together,
                             widest > 0.3 ? "; wide: more base samples narrow them" : "");
}

nlohmann::ordered_json sweep_json(sim::SweepTally const& t) {
    nlohmann::ordered_json json;
    json["plan"] = sim::plan_text(t.plan.spec());
    json["rows"] = t.values.size();
    json["rows_of_the_plan"] = t.plan.size();
    json["refused"] = t.refused;
    if (t.refused > 0) json["first_problem"] = t.problem;
    json["figure"] = t.figure.name;
    json["unit"] = t.figure.unit;
    if (t.run() > 0) {
        auto const [least, most] = sim::extremes_of(t);
        json["least"] = row_json(t, least);
        json["most"] = row_json(t, most);
    }
    if (t.values.size() < t.plan.size()) return json;
    if (t.plan.spec().method == SweepMethod::latin_hypercube && t.run() >= 10) {
        auto const spread = sim::row_spread(t);
        json["10_of_100_up_to"] = spread.low;
        json["50_of_100_up_to"] = spread.median;
        json["90_of_100_up_to"] = spread.high;
    }
    if (t.plan.spec().method == SweepMethod::one_at_a_time) {
        json["base_design"] = t.values[0];
        for (auto const& s : sim::swings_of(t))
            json["swings"].push_back({{"key", t.plan.axes()[s.axis].key},
                                      {"least", row_json(t, s.low)},
                                      {"most", row_json(t, s.high)}});
    }
    if (t.plan.spec().method == SweepMethod::sobol) {
        auto const answer = sim::sobol_of(t);
        json["mean"] = json_number(answer.mean);
        json["variance"] = json_number(answer.variance);
        json["base_samples"] = answer.samples;
        json["base_samples_left_out"] = answer.left_out;
        json["sobol"] = nlohmann::ordered_json::array();
        for (std::size_t const a : by_total(answer.axes)) {
            auto const& s = answer.axes[a];
            json["sobol"].push_back({{"key", t.plan.axes()[a].key},
                                     {"first", s.first.center},
                                     {"first_95", {s.first.low, s.first.high}},
                                     {"total", s.total.center},
                                     {"total_95", {s.total.low, s.total.high}}});
        }
    }
    return json;
}

nlohmann::ordered_json lane_json(sim::LaneTally const& lanes) {
    nlohmann::ordered_json json{{"side_by_side", lanes.side_by_side}, {"alone", lanes.alone}};
    for (auto const& [feature, rows] : lanes.alone_for) json["alone_for"][std::string(feature)] = rows;
    return json;
}

}  // namespace holdwater::tools
