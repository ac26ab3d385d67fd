#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sim/base/figure_text.hpp"
#include "sim/water/water_side.hpp"
#include "tools/answers/cloudy_period_answer.hpp"
#include "tools/answers/outage_words.hpp"
#include "tools/report/report_content.hpp"
#include "tools/show/reason_words.hpp"

namespace holdwater::tools {
namespace {

using models::Verdict;

std::string backup_words(sim::Summary const& y, sim::Backup backup, ReportShow const& show) {
    if (backup == sim::Backup::generator)
        return y.generator_run_h > 0
                   ? fmt::format(" The generator runs {} h in {} starts and burns {}.",
                                 sim::figure_text(y.generator_run_h, 1), sim::figure_text(y.generator_starts),
                                 show.fuel(y.generator_fuel_l))
                   : " The generator is never called.";
    if (backup == sim::Backup::grid)
        return fmt::format(" The grid gives {} kWh in the year.", sim::figure_text(y.grid_kwh));
    return "";
}

// Which outages of the year left the water short: the worst by name, the number of the others.
std::string outage_sentences(std::vector<sim::OutageRecord> const& outages, ReportShow const& show) {
    if (outages.empty()) return "";
    constexpr std::size_t most_named = 3;
    auto const failed = failed_outages(outages, [&](double m3) { return show.volume(m3); });
    std::string text = " " + outages_in_a_sentence(outages);
    for (std::size_t i = 0; i < std::min(failed.size(), most_named); ++i)
        text += fmt::format("{}{}", i == 0 ? " (" : "; ", failed[i]);
    if (failed.size() > most_named) text += fmt::format("; and {} more", failed.size() - most_named);
    return text + (failed.empty() ? "." : ").");
}

std::string answer(sim::Summary const& y, sim::Backup backup, ReportShow const& show) {
    if (y.shortage_hours == 0)
        return fmt::format("Yes: the whole demand of the modeled year, {}, was delivered.",
                           show.volume(y.water_demand_m3)) +
               backup_words(y, backup, show);
    return fmt::format(
               "Not all year: {} % of the demand was delivered; water was short in {} hours, {} of "
               "them on end.",
               sim::figure_text(100 * y.demand_met_fraction, 2), sim::figure_text(y.shortage_hours),
               sim::figure_text(y.longest_shortage_h)) +
           backup_words(y, backup, show);
}

// "battery at 74 %, cistern at 1,240 gal": what the stores hold when the poorest days begin.
std::string begins_with(sim::ReportRuns const& r, sim::StoreLevels const& begins, ReportShow const& show) {
    std::string text = fmt::format("battery at {:.0f} %", 100 * begins.soc);
    if (r.system.cistern) text += fmt::format(", cistern at {}", show.volume(begins.cistern_m3));
    if (r.system.trough) text += fmt::format(", trough at {}", show.volume(begins.trough_m3));
    return text;
}

// Hours short of water after the period, in what the plot shows of them.
struct ShortAfter {
    int hours = 0;
    double first_h = 0;  // from the period's end to the first of them
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

// No claim without the length of the run, what the stores hold when it starts, the water it supplied and what
// followed it.
std::string claim(sim::ReportRuns const& r, ReportShow const& show) {
    auto const& start = quoted(r).alone.starts[quoted(r).alone.worst];
    double delivered_m3 = 0, wanted_m3 = 0;
    for (std::size_t h = 0; h < 24 * static_cast<std::size_t>(r.trace.cloudy_period_days); ++h) {
        delivered_m3 += r.trace.alone.hours[h].water_delivered_m3;
        wanted_m3 += r.trace.alone.hours[h].water_demand_m3;
    }
    bool const backed = r.system.rules.backup != sim::Backup::none;
    std::string text = fmt::format(
        "In the poorest {} days found in the one typical year of the weather file, moved to the worst start "
        "day ({}) and starting with what the typical year has in store at that date ({}), this system "
        "supplied {} a day of the {} wanted{}; first shortage: ",
        r.trace.cloudy_period_days, date_text(start.first_day), begins_with(r, start.begins, show),
        show.volume(delivered_m3 / r.trace.cloudy_period_days),
        show.volume(wanted_m3 / r.trace.cloudy_period_days), backed ? " without its backup" : "");
    auto const after = short_after(r.trace.alone, r.trace.cloudy_period_days);
    if (std::isfinite(start.first_shortage_h))
        text += fmt::format("after {}, because {}", time_text(start.first_shortage_h), words(start.reason));
    else if (after.hours == 0)
        text += "none";
    else
        text += fmt::format("none in these days, but {} after their end", time_text(after.first_h));
    if (after.hours > 0)
        text += fmt::format("; on the days after them water is short in {} hour{}", after.hours,
                            after.hours == 1 ? "" : "s");
    std::string const stores = r.system.cistern ? "battery and cistern are" : "the battery is";
    text += std::isinf(start.full_again_h)
                ? fmt::format("; {} not full again within a year.", stores)
                : fmt::format("; {} full again {} after the run.", stores, time_text(start.full_again_h));
    if (!backed) return text;
    auto const& with = quoted(r).designed.starts[quoted(r).designed.worst];
    if (std::isfinite(with.first_shortage_h))
        text += fmt::format(" With its backup the worst start date is short after {}",
                            time_text(with.first_shortage_h));
    else if (std::isfinite(with.dry_after_h))
        text += fmt::format(
            " With its backup no start date is short in these days, but one is {} after "
            "their end",
            time_text(with.dry_after_h));
    else
        text += " With its backup no start date has a shortage";
    double generator_h = 0, fuel_l = 0, grid_kwh = 0;
    for (auto const& s : quoted(r).designed.starts) {
        generator_h = std::max(generator_h, s.generator_h);
        fuel_l = std::max(fuel_l, s.generator_fuel_l);
        grid_kwh = std::max(grid_kwh, s.grid_kwh);
    }
    if (generator_h > 0)
        text += fmt::format(", at up to {} generator hours and {} of fuel", sim::figure_text(generator_h, 1),
                            show.fuel(fuel_l));
    if (grid_kwh > 0) text += fmt::format(", at up to {} kWh from the grid", sim::figure_text(grid_kwh));
    return text + ".";
}

// What stands between this page and a signature: failures one by one, what is not known in one line.
Json to_settle(sim::DesignCheck const& p) {
    Json list = Json::array();
    std::string unknown;
    for (auto const& c : p.checks) {
        if (c.waived) continue;
        if (c.verdict == Verdict::unknown) unknown += (unknown.empty() ? "" : "; ") + c.title;
        if (c.verdict == Verdict::fail)
            list.push_back(fmt::format("{} FAILS: {} against {}. {}", c.title,
                                       c.value_text.empty() ? "no figure" : c.value_text,
                                       c.limit_text.empty() ? "no limit" : c.limit_text, sentence(c.change)));
    }
    if (!unknown.empty()) list.push_back(fmt::format("Not known yet, see the checks: {}.", unknown));
    return list;
}

Json tile(std::string value, std::string label, std::string note = "") {
    return {{"value", std::move(value)}, {"label", std::move(label)}, {"note", std::move(note)}};
}

Json glance(sim::ReportRuns const& r, ReportShow const& show) {
    auto const& y = r.year.summary;
    auto const& q = quoted(r);
    Json tiles = Json::array();
    tiles.push_back(
        tile(fmt::format("{} %", sim::figure_text(100 * y.demand_met_fraction, 2)), "of the demand met",
             fmt::format("{} hours short of water in the year", sim::figure_text(y.shortage_hours))));
    if (r.system.rules.backup == sim::Backup::generator)
        tiles.push_back(tile(fmt::format("{} h", sim::figure_text(y.generator_run_h, 1)), "generator a year",
                             show.fuel(y.generator_fuel_l) + " of fuel"));
    if (r.system.rules.backup == sim::Backup::grid)
        tiles.push_back(tile(fmt::format("{} kWh", sim::figure_text(y.grid_kwh)), "from the grid a year"));
    auto const& autonomy = q.figures.autonomy.water;
    tiles.push_back(tile(
        std::isinf(autonomy.worst_d) ? fmt::format("over {} days", sim::autonomy_looked_at_d)
                                     : fmt::format("{} days", sim::figure_text(autonomy.worst_d, 1)),
        "of water with no sun and no backup",
        std::isinf(autonomy.worst_d)
            ? std::string("battery full at sunset, any start date")
            : fmt::format("battery full at sunset, worst start date {}", date_text(autonomy.worst_day))));
    tiles.push_back(tile(fmt::format("{} %", sim::figure_text(100 * y.soc_min)), "lowest SOC",
                         fmt::format("mean {} %", sim::figure_text(100 * y.soc_mean))));
    tiles.push_back(
        tile(sim::figure_text(q.figures.starts_per_day, 1), "pump starts a day",
             fmt::format("at most {} in 24 hours", sim::figure_text(r.year.findings.most_starts_in_24h))));
    return tiles;
}

}  // namespace

Json report_answer(sim::ReportRuns const& r, ReportShow const& show) {
    auto const& s = quoted_scenario(r);
    bool const holds = r.year.summary.shortage_hours == 0;
    Json settle = to_settle(quoted(r).design_check);
    return {{"question", s.question},
            {"answer",
             answer(r.year.summary, r.system.rules.backup, show) + outage_sentences(r.year.outages, show)},
            {"holds", holds},
            {"claim", claim(r, show)},
            {"any_to_settle", !settle.empty()},
            {"to_settle", settle},
            {"glance", glance(r, show)}};
}

}  // namespace holdwater::tools
