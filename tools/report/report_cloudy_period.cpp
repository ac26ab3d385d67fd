#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

#include "sim/base/figure_text.hpp"
#include "sim/water/water_side.hpp"
#include "tools/report/report_content.hpp"
#include "tools/show/date_text.hpp"
#include "tools/show/reason_words.hpp"
#include "tools/show/site_period_words.hpp"
#include "tools/show/store_words.hpp"

namespace holdwater::tools {
namespace {

// "battery at 74 %, cistern at 1,240 gal": what is stored when the worst days begin.
std::string begins_with(sim::ReportRuns const& r, sim::StoreLevels const& begins, ReportShow const& show) {
    std::string text = fmt::format("battery at {:.0f} %", 100 * begins.soc);
    if (r.system.cistern) text += fmt::format(", cistern at {}", show.volume(begins.cistern_m3));
    if (r.system.trough) text += fmt::format(", trough at {}", show.volume(begins.trough_m3));
    if (begins.well)
        text += fmt::format(", water in the well {} below the wellhead", show.length(begins.well->level_m));
    if (begins.battery_c) text += fmt::format(", battery at {}", show.temperature(*begins.battery_c));
    return text;
}

// Hours short of water after the period, as far as the plot shows them.
struct ShortAfter {
    int hours = 0;
    double first_h = 0;  // from the end of the period to the first of these hours
};
ShortAfter short_after(sim::RunResult const& run, int cloudy_period_days) {
    ShortAfter after;
    auto const end = 24 * static_cast<std::size_t>(cloudy_period_days);
    for (std::size_t h = end; h < run.hours.size(); ++h) {
        if (run.hours[h].water_short_m3 <= sim::some_water_m3) continue;
        if (after.hours == 0) after.first_h = static_cast<double>(h - end);
        ++after.hours;
    }
    return after;
}

// "after 1.5 days, because the battery was empty. After the period, water is short for 44 hours.", or
// "none.".
std::string first_shortage_text(sim::CloudyPeriodStart const& start, ShortAfter const& after) {
    std::string text;
    if (std::isfinite(start.first_shortage_h))
        text = fmt::format("after {}, because {}", first_shortage_days(start.first_shortage_h),
                           words(start.reason));
    else if (after.hours == 0)
        return "none.";
    else
        text = fmt::format("none in the period, but {} after its end", time_text(after.first_h));
    text += ".";
    if (after.hours > 0)
        text += fmt::format(" After the period, water is short for {} hour{}.", after.hours,
                            after.hours == 1 ? "" : "s");
    return text;
}

// The largest use of the backup of any start date, with that date.
std::string most_of_backup(std::vector<sim::CloudyPeriodStart> const& starts, ReportShow const& show) {
    auto const most = [&](double sim::CloudyPeriodStart::*figure) {
        return *std::max_element(starts.begin(), starts.end(),
                                 [&](auto const& a, auto const& b) { return a.*figure < b.*figure; });
    };
    std::string text;
    auto const generator = most(&sim::CloudyPeriodStart::generator_h);
    if (generator.generator_h > 0)
        text += fmt::format(
            " In the period the generator runs up to {} h (start date {}) and burns up to {} of fuel.",
            sim::figure_text(generator.generator_h, 1), date_text(generator.first_day),
            show.fuel(most(&sim::CloudyPeriodStart::generator_fuel_l).generator_fuel_l));
    auto const grid = most(&sim::CloudyPeriodStart::grid_kwh);
    if (grid.grid_kwh > 0)
        text += fmt::format(" In the period the grid supplies up to {} kWh (start date {}).",
                            sim::figure_text(grid.grid_kwh), date_text(grid.first_day));
    return text;
}

// For the start date in the plot, then for the worst start date with the backup if that is a different one.
std::string with_backup(sim::ReportRuns const& r, ReportShow const& show) {
    auto const& alone = quoted(r).alone;
    auto const& designed = quoted(r).designed;
    std::string text =
        fmt::format(" With its backup, from the same start date, first shortage: {}",
                    first_shortage_text(designed.starts[alone.worst],
                                        short_after(r.trace.designed, r.trace.cloudy_period_days)));
    auto const& worst = designed.starts[designed.worst];
    if (std::isfinite(worst.first_shortage_h)) {
        if (designed.worst != alone.worst)
            text += fmt::format(
                " The worst start date with backup is {}: first shortage after {}, because {}.",
                date_text(worst.first_day), first_shortage_days(worst.first_shortage_h), words(worst.reason));
    } else if (std::isfinite(worst.dry_after_h)) {
        if (designed.worst != alone.worst)
            text += fmt::format(
                " With its backup no start date has a shortage in the period; from {} there is one {} after "
                "its end.",
                date_text(worst.first_day), time_text(worst.dry_after_h));
    } else {
        text += " With its backup no start date has a shortage.";
    }
    return text + most_of_backup(designed.starts, show);
}

}  // namespace

// The statement always gives the length of the period, what is stored when it starts, the water supplied in
// it, and what happens after it.
std::string cloudy_period_claim(sim::ReportRuns const& r, ReportShow const& show) {
    auto const& start = quoted(r).alone.starts[quoted(r).alone.worst];
    double delivered_m3 = 0, demand_m3 = 0;
    for (std::size_t h = 0; h < 24 * static_cast<std::size_t>(r.trace.cloudy_period_days); ++h) {
        delivered_m3 += r.trace.alone.hours[h].water_delivered_m3;
        demand_m3 += r.trace.alone.hours[h].water_demand_m3;
    }
    bool const backed = r.system.rules.backup != sim::Backup::none;
    std::string text = fmt::format(
        "The period is {}, moved to the worst start date ({}). At the start {} stored is as in the "
        "typical year on that date ({}). {} delivers {} a "
        "day of a demand of {}. First shortage: {}",
        site_period_text(r.site), date_text(start.first_day),
        r.system.cistern && r.system.cistern->gravity ? "everything"
                                                      : "the pressure tank is full, and everything else",
        begins_with(r, start.begins, show), backed ? "Without its backup this system" : "This system",
        show.volume(delivered_m3 / r.trace.cloudy_period_days),
        show.volume(demand_m3 / r.trace.cloudy_period_days),
        first_shortage_text(start, short_after(r.trace.alone, r.trace.cloudy_period_days)));
    auto stores = stores_are(r.system.cistern.has_value(), r.system.trough.has_value());
    stores.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(stores.front())));
    text += std::isinf(start.full_again_h)
                ? fmt::format(" {} not full again within a year.", stores)
                : fmt::format(" {} full again {} after the period.", stores, time_text(start.full_again_h));
    return backed ? text + with_backup(r, show) : text;
}

}  // namespace holdwater::tools
