#include "tools/answers/cloudy_period_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/autonomy/least_size.hpp"
#include "sim/base/figure_text.hpp"
#include "tools/show/date_text.hpp"
#include "tools/show/reason_words.hpp"
#include "tools/show/store_words.hpp"
#include "tools/show/wrap_text.hpp"

namespace holdwater::tools {
namespace {

constexpr int answer_bar_width = 30;

std::string long_time(double hours) {
    return hours < 72 ? fmt::format("{} h", sim::figure_text(hours))
                      : fmt::format("{} days", sim::figure_text(hours / 24, 1));
}

void answer_line(std::string& out, std::string_view label, std::string const& text) {
    wrap(out, fmt::format("  {:<14}", label), text, 100);
}

// "84 h" or "10 days".
std::string length_of(int hours) {
    return hours % 24 == 0 ? fmt::format("{} day{}", hours / 24, hours == 24 ? "" : "s")
                           : fmt::format("{} h", hours);
}

std::string clock_of(int hour) { return fmt::format("{:02}:00", hour); }

std::string headline(sim::CloudyPeriodAnswer const& a) {
    sim::CloudyPeriodStart const& w = a.outcome.starts[a.outcome.worst];
    if (std::isinf(w.first_shortage_h))
        return fmt::format("through {}, from {}{}.",
                           a.hours == 24 ? "the whole day" : "all " + length_of(a.hours),
                           a.outcome.starts.size() == 1 ? "the one start date" : "every start date",
                           a.short_after > 0 ? "; but short afterwards" : "");
    return fmt::format("{} from the worst start date, {}; {}.", long_time(w.first_shortage_h),
                       date_text(w.first_day), words(w.reason));
}

bool held(sim::CloudyPeriodAnswer const& a) {
    return a.sized_without_backup || std::isinf(a.outcome.starts[a.outcome.worst].first_shortage_h);
}
char const* without_backup_words(sim::CloudyPeriodAnswer const& a) {
    return a.sized_without_backup ? " without the backup" : "";
}

std::string needed(sim::CloudyPeriodAnswer const& a, std::optional<double> factor, double now,
                   std::string_view unit) {
    if (now == 0) return "there is none";
    if (!factor)
        return fmt::format("no size up to {} {} would have been enough{} (now {} {})",
                           sim::figure_text(sim::largest_factor * now), unit, without_backup_words(a),
                           sim::figure_text(now, 1), unit);
    return fmt::format("{} {} {}{} (now {} {})", sim::figure_text(now * *factor, 1), unit,
                       held(a) ? "is enough" : "would have been enough", without_backup_words(a),
                       sim::figure_text(now, 1), unit);
}

std::string needed_cistern(sim::CloudyPeriodAnswer const& a, Units units) {
    auto const now = show_volume(a.cistern_m3, units);
    if (!a.cistern_needed_m3)
        return fmt::format("no size up to {} would have been enough{} (now {})",
                           show_volume(sim::largest_factor * a.cistern_m3, units), without_backup_words(a),
                           now);
    return fmt::format("{} {}{} (now {})", show_volume(*a.cistern_needed_m3, units),
                       held(a) ? "is enough" : "would have been enough", without_backup_words(a), now);
}

// "74 to 98 %" over the start dates that have the figure, or one figure if they are equal.
template <class Get, class Show>
std::string range_of(std::vector<sim::CloudyPeriodStart> const& starts, Get const& get, Show const& show) {
    double least = get(starts[0]), most = least;
    for (auto const& s : starts) least = std::fmin(least, get(s)), most = std::fmax(most, get(s));
    auto const low = show(least), high = show(most);
    return low == high ? low : low + " to " + high;
}

std::string to_full(sim::CloudyPeriodAnswer const& a) {
    if (a.never_full > 0)
        return fmt::format("NEVER within a year after {} of the {} start dates, {} among them", a.never_full,
                           a.outcome.starts.size(), date_text(a.outcome.starts[a.slowest].first_day));
    sim::CloudyPeriodStart const& s = a.outcome.starts[a.slowest];
    return fmt::format("{} at the latest {} after its end (start {})",
                       store_words(a.has_cistern, a.has_trough), long_time(s.full_again_h),
                       date_text(s.first_day));
}

std::string bridging(sim::CloudyPeriodAnswer const& a) {
    auto const& b = a.bridge;
    std::string const hours =
        b.most_h > 0 ? fmt::format("{} h on average, {} h at most (start {})", sim::figure_text(b.mean_h, 1),
                                   sim::figure_text(b.most_h, 1), date_text(b.most_first_day))
                     : std::string("0 h");
    std::string text =
        fmt::format("{}, charging at {} kW{} from {} to {} %", hours, sim::figure_text(b.charger_w * 1e-3, 1),
                    b.assumed_charger ? " (assumed)" : "", sim::figure_text(100 * b.transfer_below),
                    sim::figure_text(100 * b.charge_to));
    if (b.outcome.survival.back() < 1)
        text += fmt::format("; even so short of water from {} % of the start dates ({})",
                            sim::figure_text(100 * (1 - b.outcome.survival.back())),
                            words(b.outcome.starts[b.outcome.worst].reason));
    return text;
}

std::string failed_text(sim::CloudyPeriodAnswer const& a) {
    std::string text;
    for (auto const& [reason, days] : a.failed_first)
        text += fmt::format("{}{} ({} start date{})", text.empty() ? "" : "; ", words(reason), days,
                            days == 1 ? "" : "s");
    return text;
}

}  // namespace

std::string_view backup_word(sim::Backup backup) {
    switch (backup) {
        case sim::Backup::grid:
            return "grid";
        case sim::Backup::generator:
            return "generator";
        case sim::Backup::none:
            break;
    }
    return "none";
}

std::string start_levels_text(sim::CloudyPeriodAnswer const& a, Units units) {
    auto const& starts = a.outcome.starts;
    std::string named, of_year;
    auto const add = [&](bool is_named, std::string const& store, std::string const& level) {
        auto& list = is_named ? named : of_year;
        list += fmt::format("{}{} at {}", list.empty() ? "" : ", ", store, level);
    };
    auto const volume = [&](double m3) { return show_volume(m3, units); };
    add(a.named.soc.has_value(), "battery",
        range_of(
            starts, [](auto const& s) { return s.begins.soc; },
            [](double soc) { return fmt::format("{:.0f} %", 100 * soc); }));
    if (a.has_cistern)
        add(a.named.cistern_m3.has_value(), "cistern",
            range_of(
                starts, [](auto const& s) { return s.begins.cistern_m3; }, volume));
    if (a.has_trough)
        add(a.named.trough_m3.has_value(), "trough",
            range_of(
                starts, [](auto const& s) { return s.begins.trough_m3; }, volume));
    if (a.has_well_level)
        add(false, "water in the well",
            range_of(
                starts, [](auto const& s) { return s.begins.well ? s.begins.well->level_m : NAN; },
                [&](double m) { return show_length(m, units) + " below the wellhead"; }));
    if (a.has_battery_temperature)
        add(false, "temperature of the battery",
            range_of(
                starts, [](auto const& s) { return s.begins.battery_c.value_or(NAN); },
                [&](double c) { return show_temperature(c, units); }));
    if (!of_year.empty()) of_year += ", where the design's typical year has them at that date and hour";
    return of_year + (named.empty() || of_year.empty() ? "" : "; ") + named +
           (named.empty() ? "" : ", as you gave");
}

std::string cloudy_period_answer_table(scenarios::Scenario const& scenario, sim::CloudyPeriodAnswer const& a,
                                       Units units, bool plain) {
    auto const& starts = a.outcome.starts;
    sim::CloudyPeriodStart const& w = starts[a.outcome.worst];
    bool const holds = std::isinf(w.first_shortage_h);
    std::string out = fmt::format("{}\n{}\n", scenario.title, scenario.place);
    out += fmt::format("Cloudy period of up to {} from {}: {}\n", length_of(a.hours), clock_of(a.start_hour),
                       a.cloudy_period_text);
    out += fmt::format("{} start date{}, backup: {}\n", starts.size(), starts.size() == 1 ? "" : "s",
                       backup_word(a.backup));
    wrap(out, "It begins with ", start_levels_text(a, units), 100);
    out += "\n";
    wrap(out, "How long does the water last?  ", headline(a), 100);
    out += "\n";

    out += "  days   start dates without shortage so far\n";
    for (std::size_t n = 0; n < a.outcome.survival.size(); ++n)
        out += fmt::format("  {:>4.3g}   {:>5} %  {}\n", std::min(static_cast<double>(n) + 1, a.hours / 24.0),
                           sim::figure_text(100 * a.outcome.survival[n], 1),
                           bar(a.outcome.survival[n], answer_bar_width, plain));
    out += "\n";

    std::string worst = date_text(w.first_day) + ": ";
    worst += std::isinf(w.power_lost_h)
                 ? "power throughout"
                 : fmt::format("power lost after {} h", sim::figure_text(w.power_lost_h, 1));
    if (!holds)
        worst +=
            fmt::format(", first short of water after {} h, {} of {} h with water, {} short",
                        sim::figure_text(w.first_shortage_h), sim::figure_text(a.hours - w.shortage_hours),
                        a.hours, show_volume(w.water_short_m3, units));
    worst += fmt::format(", lowest SOC {} %", sim::figure_text(100 * w.lowest_level));
    answer_line(out, "worst start", worst);
    if (!holds)
        answer_line(out, "median start",
                    std::isinf(a.median_until_shortage_h)
                        ? std::string("no shortage in the period")
                        : fmt::format("first shortage after {}", long_time(a.median_until_shortage_h)));
    if (!holds) answer_line(out, "first cause", failed_text(a));
    double generator_h = 0, fuel_l = 0, grid_kwh = 0;
    for (auto const& s : starts) {
        generator_h = std::max(generator_h, s.generator_h);
        fuel_l = std::max(fuel_l, s.generator_fuel_l);
        grid_kwh = std::max(grid_kwh, s.grid_kwh);
    }
    if (generator_h > 0)
        answer_line(out, "backup",
                    fmt::format("at most {} h of generator and {} of fuel", sim::figure_text(generator_h, 1),
                                show_fuel(fuel_l, units)));
    if (grid_kwh > 1e-6)  // a smaller difference is rounding of the time at which an outage ends
        answer_line(out, "backup", fmt::format("at most {} kWh from the grid", sim::figure_text(grid_kwh)));
    if (a.short_after > 0)
        answer_line(out, "afterwards",
                    fmt::format("water is short after the period from {} start date{}", a.short_after,
                                a.short_after == 1 ? "" : "s") +
                        (std::isinf(w.dry_after_h)
                             ? std::string()
                             : fmt::format("; worst start: {:.0f} h in all, the first {:.0f} h after its end",
                                           w.dry_hours_after, w.dry_after_h)));
    answer_line(out, "full again", to_full(a));
    answer_line(out, "battery", needed(a, a.battery_factor, a.battery_kwh, "kWh"));
    answer_line(out, "array", needed(a, a.array_factor, a.array_kw, "kW"));
    if (a.has_cistern) answer_line(out, "cistern", needed_cistern(a, units));
    answer_line(out, "generator", "to carry the period: " + bridging(a));
    return out;
}

}  // namespace holdwater::tools
