#include "tools/spell_answer.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>

#include "sim/figure_text.hpp"

namespace holdwater::tools {
namespace {

constexpr int answer_bar_width = 30;

double rated_kw(models::PvArrayParameters const& a) {
    double module_w = a.module.rated_power_w;
    if (a.module_model == models::ModuleModel::single_diode)
        module_w = models::maximum_power_point(a.diode, 1000, 25).power_w;
    return 1e-3 * module_w * a.modules_in_series * a.strings_in_parallel;
}

std::string_view backup_name(scenarios::Backup backup) {
    switch (backup) {
        case scenarios::Backup::grid:
            return "grid";
        case scenarios::Backup::generator:
            return "generator";
        case scenarios::Backup::none:
            break;
    }
    return "none";
}

std::string long_time(double hours) {
    return hours < 72 ? fmt::format("{} h", sim::figure_text(hours))
                      : fmt::format("{} days", sim::figure_text(hours / 24, 1));
}

void answer_line(std::string& out, std::string_view label, std::string const& text) {
    out += fmt::format("  {:<14}{}\n", label, text);
}

std::string headline(SpellAnswer const& a) {
    sim::SpellStart const& w = a.outcome.starts[a.outcome.worst];
    if (std::isinf(w.first_dry_h))
        return fmt::format("through all {} days, from {}.", a.days,
                           a.outcome.starts.size() == 1 ? "the one start day" : "every start day");
    return fmt::format("{} from the worst start day, {}; {}.", long_time(w.first_dry_h),
                       day_name(w.first_day), words(w.reason));
}

std::string needed(SpellAnswer const& a, std::optional<double> factor, double now, std::string_view unit) {
    std::string const backup = a.sized_without_backup ? " without the backup" : "";
    if (now == 0) return "there is none";
    if (!factor)
        return fmt::format("not even 64 times as much would have held{} (now {} {})", backup,
                           sim::figure_text(now, 1), unit);
    bool const held = a.sized_without_backup || std::isinf(a.outcome.starts[a.outcome.worst].first_dry_h);
    return fmt::format("{} {} {}{} (now {} {})", sim::figure_text(now * *factor, 1), unit,
                       held ? "holds" : "would have held", backup, sim::figure_text(now, 1), unit);
}

std::string to_full(SpellAnswer const& a) {
    if (a.never_full > 0)
        return fmt::format("NEVER within a year after {} of the {} start days, {} among them", a.never_full,
                           a.outcome.starts.size(), day_name(a.outcome.starts[a.slowest].first_day));
    sim::SpellStart const& s = a.outcome.starts[a.slowest];
    return fmt::format("at the latest {} after the spell's end (start {})", long_time(s.full_again_h),
                       day_name(s.first_day));
}

std::string bridging(SpellAnswer const& a) {
    auto const& b = a.bridge;
    std::string text =
        fmt::format("{} h on average, {} h at most (start {}), charging at {} kW{} from {} to {} %",
                    sim::figure_text(b.mean_h, 1), sim::figure_text(b.most_h, 1), day_name(b.most_first_day),
                    sim::figure_text(b.charger_w * 1e-3, 1), b.assumed_charger ? " (assumed)" : "",
                    sim::figure_text(100 * b.transfer_below), sim::figure_text(100 * b.charge_to));
    if (b.outcome.survival.back() < 1)
        text += fmt::format("; even so dry from {} % of the start days ({})",
                            sim::figure_text(100 * (1 - b.outcome.survival.back())),
                            words(b.outcome.starts[b.outcome.worst].reason));
    return text;
}

std::vector<std::pair<sim::LimitReason, int>> failed_first(std::vector<sim::SpellStart> const& starts) {
    std::map<sim::LimitReason, int> count;
    for (auto const& s : starts)
        if (std::isfinite(s.first_dry_h)) ++count[s.reason];
    std::vector<std::pair<sim::LimitReason, int>> list(count.begin(), count.end());
    std::stable_sort(list.begin(), list.end(),
                     [](auto const& x, auto const& y) { return x.second > y.second; });
    return list;
}

std::string failed_text(SpellAnswer const& a) {
    std::string text;
    for (auto const& [reason, days] : a.failed_first)
        text += fmt::format("{}{} ({} start day{})", text.empty() ? "" : "; ", words(reason), days,
                            days == 1 ? "" : "s");
    return text;
}

}  // namespace

SpellAnswer answer_spell(scenarios::Scenario const& scenario, sim::System const& design, bool no_backup,
                         sim::SpellInputs const& inputs, std::vector<int> const& first_days) {
    SpellAnswer a;
    auto const system = no_backup ? sim::without_backup(design) : design;
    a.spell_text = inputs.text;
    a.backup = backup_name(system.rules.backup);
    a.days = inputs.days;
    a.level = system.start_soc;
    a.outcome = sim::run_spells(system, inputs, first_days);
    auto const& starts = a.outcome.starts;
    std::vector<double> wet_h;
    for (std::size_t i = 0; i < starts.size(); ++i) {
        wet_h.push_back(starts[i].first_dry_h);
        if (starts[i].full_again_h > starts[a.slowest].full_again_h) a.slowest = i;
        a.never_full += std::isinf(starts[i].full_again_h) ? 1 : 0;
    }
    a.failed_first = failed_first(starts);
    std::sort(wet_h.begin(), wet_h.end());
    a.median_wet_h = wet_h[wet_h.size() / 2];
    a.bank_kwh = system.bank.capacity_kwh;
    a.array_kw = rated_kw(scenario.array);
    // What a backup holds by itself says nothing about bank and array.
    a.sized_without_backup =
        system.rules.backup != scenarios::Backup::none && std::isinf(starts[a.outcome.worst].first_dry_h);
    auto const sized = a.sized_without_backup ? sim::without_backup(system) : system;
    a.bank_factor = sim::least_bank_factor(sized, inputs, first_days);
    a.array_factor = sim::least_array_factor(sized, inputs, first_days);
    a.bridge = sim::bridge_with_generator(design, inputs, first_days);
    return a;
}

std::string spell_answer_table(scenarios::Scenario const& scenario, SpellAnswer const& a, Units units,
                               bool plain) {
    auto const& starts = a.outcome.starts;
    sim::SpellStart const& w = starts[a.outcome.worst];
    bool const holds = std::isinf(w.first_dry_h);
    std::string out = fmt::format("{}\n{}\n", scenario.title, scenario.place);
    out += fmt::format("Cloudy spell of up to {} days: {}\n", a.days, a.spell_text);
    out += fmt::format("{} start day{}, bank at {} % when it begins, backup: {}\n\n", starts.size(),
                       starts.size() == 1 ? "" : "s", sim::figure_text(100 * a.level), a.backup);
    out += fmt::format("How long does the water last?  {}\n\n", headline(a));

    out += "  days   start days still wet\n";
    for (std::size_t n = 0; n < a.outcome.survival.size(); ++n)
        out += fmt::format("  {:>4}   {:>5} %  {}\n", n + 1, sim::figure_text(100 * a.outcome.survival[n], 1),
                           bar(a.outcome.survival[n], answer_bar_width, plain));
    out += "\n";

    std::string worst = day_name(w.first_day) + ": ";
    worst += std::isinf(w.power_lost_h)
                 ? "power throughout"
                 : fmt::format("power lost after {} h", sim::figure_text(w.power_lost_h, 1));
    if (!holds)
        worst += fmt::format(", first dry hour after {} h, the tap runs {} of {} h",
                             sim::figure_text(w.first_dry_h), sim::figure_text(24 * a.days - w.dry_hours),
                             24 * a.days);
    worst += fmt::format(", bank down to {} %", sim::figure_text(100 * w.lowest_level));
    answer_line(out, "worst start", worst);
    if (!holds)
        answer_line(out, "half of them",
                    std::isinf(a.median_wet_h)
                        ? std::string("stay wet through the spell")
                        : fmt::format("stay wet {} or longer", long_time(a.median_wet_h)));
    if (!holds) answer_line(out, "failed first", failed_text(a));
    double generator_h = 0, fuel_l = 0, grid_kwh = 0;
    for (auto const& s : starts) {
        generator_h = std::max(generator_h, s.generator_h);
        fuel_l = std::max(fuel_l, s.generator_fuel_l);
        grid_kwh = std::max(grid_kwh, s.grid_kwh);
    }
    if (generator_h > 0)
        answer_line(out, "its backup",
                    fmt::format("at most {} h of generator and {} of fuel", sim::figure_text(generator_h, 1),
                                show_fuel(fuel_l, units)));
    if (grid_kwh > 0)
        answer_line(out, "its backup",
                    fmt::format("at most {} kWh from the grid", sim::figure_text(grid_kwh)));
    answer_line(out, "full again", to_full(a));
    answer_line(out, "bank", needed(a, a.bank_factor, a.bank_kwh, "kWh"));
    answer_line(out, "array", needed(a, a.array_factor, a.array_kw, "kW"));
    answer_line(out, "generator", "to bridge the spell: " + bridging(a));
    return out;
}

std::string_view words(sim::LimitReason reason) {
    using sim::LimitReason;
    switch (reason) {
        case LimitReason::none:
            return "nothing failed";
        case LimitReason::bank_empty:
            return "the bank was empty";
        case LimitReason::inverter_limit:
            return "the inverter could not carry pump and loads together";
        case LimitReason::backup_limit:
            return "the backup could not carry pump and loads together";
        case LimitReason::pump_flow:
            return "the taps took more than the pump brings";
        case LimitReason::transfer_break:
            return "the break of a transfer";
        case LimitReason::start_refused:
            return "the motor's start did not fit the supply";
        case LimitReason::inverter_tripped:
            return "the inverter had tripped";
        case LimitReason::grid_out:
            return "the inverter was bypassed and the grid away";
        case LimitReason::well_dry:
            return "the well was drawn down to the pump";
        case LimitReason::cistern_empty:
            return "the cistern was empty";
        case LimitReason::motor_rest:
            return "the pump's rest timer held it";
        case LimitReason::asleep:
            return "the inverter slept in search mode";
        case LimitReason::load_shed:
            return "loads were shed for the level of the bank";
        case LimitReason::trough_empty:
            return "the animals drank faster than the float valve fills";
        case LimitReason::pump_gate:
            return "the pump's hours and bank level held it";
        case LimitReason::bank_limit:
            return "the bank's current limit was too low for pump and loads together";
    }
    return "";
}

int day_of(std::string const& text, std::string const& option) {
    int month = 0, day = 0, end = 0;
    bool const read = std::sscanf(text.c_str(), "%2d-%2d%n", &month, &day, &end) == 2 &&
                      static_cast<std::size_t>(end) == text.size() && month >= 1 && month <= 12 && day >= 1;
    if (read) {
        int const first = weather::month_start_hour[month - 1] / 24,
                  next = weather::month_start_hour[month] / 24;
        if (first + day <= next) return first + day - 1;
    }
    throw CLI::ValidationError(
        option, "'" + text + "' is not a day of a 365-day year; accepted: MM-DD such as 11-15");
}

}  // namespace holdwater::tools
