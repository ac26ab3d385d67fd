#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "sim/base/figure_text.hpp"
#include "sim/year/shortages.hpp"
#include "tools/answers/outage_words.hpp"
#include "tools/answers/verdict_words.hpp"
#include "tools/json/site_period_json.hpp"
#include "tools/report/report_content.hpp"
#include "tools/show/date_text.hpp"
#include "tools/show/reason_words.hpp"

namespace holdwater::tools {
namespace {

using models::Verdict;

std::string backup_words(sim::Summary const& y, sim::Backup backup, ReportShow const& show) {
    if (backup == sim::Backup::generator)
        return y.generator_run_h > 0
                   ? fmt::format(" The generator runs {} h in {} start{} and burns {} of fuel.",
                                 sim::figure_text(y.generator_run_h, 1), sim::figure_text(y.generator_starts),
                                 y.generator_starts == 1 ? "" : "s", show.fuel(y.generator_fuel_l))
                   : " The generator is never called.";
    if (backup == sim::Backup::grid)
        return fmt::format(" The grid gives {} kWh in the year.", sim::figure_text(y.grid_kwh)) +
               (y.generator_run_h > 0 ? backup_words(y, sim::Backup::generator, show) : "");
    return "";
}

// The outages of the year in which water was short: the worst one by name, and the number of the others.
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

// The longest shortage of the year, with its date and its cause.
std::string longest_shortage(sim::RunResult const& year) {
    auto const list = sim::shortages(year);
    if (list.empty()) return "";
    auto const longest = *std::max_element(list.begin(), list.end(),
                                           [](auto const& a, auto const& b) { return a.hours < b.hours; });
    return fmt::format("; the longest shortage, {}, begins on {} at {:02}:00, because {}",
                       time_text(longest.hours), date_text(longest.first_hour / 24), longest.first_hour % 24,
                       words(longest.reason));
}

// " (73 because the well was drawn down to the pump, 21 because the battery was empty)"; "" for one cause.
std::string hours_by_cause(sim::RunResult const& year) {
    auto causes = sim::shortage_causes(year);
    if (causes.size() < 2) return "";
    std::stable_sort(causes.begin(), causes.end(),
                     [](auto const& a, auto const& b) { return a.hours > b.hours; });
    std::string text;
    for (auto const& c : causes)
        text += fmt::format("{}{} because {}", text.empty() ? " (" : ", ", sim::figure_text(c.hours),
                            words(c.reason));
    return text + ")";
}

std::string answer(sim::RunResult const& year, sim::Backup backup, ReportShow const& show) {
    auto const& y = year.summary;
    if (y.shortage_hours == 0)
        return fmt::format("Yes: the whole demand of the modeled year, {}, was delivered.",
                           show.volume(y.water_demand_m3)) +
               backup_words(y, backup, show);
    return fmt::format(
               "Not all year: {} % of the demand of the modeled year was delivered; water was short in {} "
               "hours{}{}.",
               number_text(100 * y.demand_met_fraction, 2), sim::figure_text(y.shortage_hours),
               hours_by_cause(year), longest_shortage(year)) +
           backup_words(y, backup, show);
}

// What must be settled before the design can be signed: failures one by one, unknown checks in one line.
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

// The lowest state of charge of the year, with its date.
Json lowest_soc_tile(sim::RunResult const& year) {
    return tile(fmt::format("{} %", sim::figure_text(100 * year.summary.soc_min)), "lowest SOC",
                fmt::format("on {}; mean of the year {} %", date_text(year.lowest_soc_hour / 24),
                            sim::figure_text(100 * year.summary.soc_mean)));
}

Json start_tile(sim::ReportRuns const& r) {
    auto const& checks = quoted(r).design_check.checks;
    auto const start =
        std::find_if(checks.begin(), checks.end(), [](auto const& c) { return c.name == "start-surge"; });
    auto const& s = quoted_scenario(r);
    std::string const battery =
        s.design_check.resting_v ? fmt::format("{} V at rest", sim::figure_text(*s.design_check.resting_v, 1))
                                 : fmt::format("{} %", sim::figure_text(100 * sim::start_check_soc(s)));
    std::string const proof =
        s.design_check.on_inverter == models::MeasuredStart::succeeded
            ? "tried on site and succeeded"
            : fmt::format("to be proved by a start test at hand-over, battery at {}", battery);
    if (start == checks.end()) return nullptr;
    return tile(start->waived ? "waived" : std::string(name(start->verdict)), "motor start on the inverter",
                proof);
}

Json glance(sim::ReportRuns const& r, ReportShow const& show) {
    auto const& y = r.year.summary;
    auto const& q = quoted(r);
    Json tiles = Json::array();
    tiles.push_back(tile(
        fmt::format("{} %", number_text(100 * y.demand_met_fraction, 2)), "of the year's demand delivered",
        fmt::format("{} hours short of water in the modeled year", sim::figure_text(y.shortage_hours))));
    auto const& autonomy = q.figures.autonomy.water;
    tiles.push_back(
        tile(autonomy_text(q), "autonomy: water, no sun, no backup",
             std::isinf(autonomy.worst_d)
                 ? std::string("battery full at sunset, any start date")
                 : fmt::format("battery full at sunset, worst start date {}{}", date_text(autonomy.worst_day),
                               sim::not_for_power(q.figures.autonomy.water_reason)
                                   ? fmt::format("; because {}", words(q.figures.autonomy.water_reason))
                                   : std::string())));
    if (scenarios::uses_generator(r.system.rules))
        tiles.push_back(tile(fmt::format("{} h", sim::figure_text(y.generator_run_h, 1)), "generator a year",
                             show.fuel(y.generator_fuel_l) + " of fuel"));
    if (r.system.rules.backup == sim::Backup::grid)
        tiles.push_back(tile(fmt::format("{} kWh", sim::figure_text(y.grid_kwh)), "from the grid a year"));
    tiles.push_back(lowest_soc_tile(r.year));
    if (Json start = start_tile(r); !start.is_null()) tiles.push_back(std::move(start));
    return tiles;
}

// One mark for each year of a design, by hours short, fewest first, and what the marks mean. The marks differ
// in shape as well as in color; the legend says the same in words.
Json dot_row(sim::DesignVerdict const& verdict) {
    constexpr std::array shapes{"disk", "ring", "frame", "block", "cross"};
    auto const kinds = dot_kinds(verdict.judged().judged().verdict);
    Json dots = Json::array(), legend = Json::array();
    for (std::size_t k = 0; k < kinds.size(); ++k) {
        std::string const shape = shapes.at(k);
        for (int n = 0; n < kinds[k].years; ++n) dots.push_back({{"shape", shape}});
        if (kinds[k].years > 0)
            legend.push_back(
                {{"shape", shape}, {"text", fmt::format("{}: {}", kinds[k].meaning, kinds[k].years)}});
    }
    return {{"dots", dots}, {"legend", legend}};
}

// The same for all designs, each with its name; nothing where there is only one.
Json dot_rows(sim::ReportRuns const& r) {
    Json rows = Json::array();
    if (r.designs.size() == 1) return rows;
    for (std::size_t i = 0; i < r.designs.size(); ++i) {
        Json row = dot_row(r.verdicts->designs[i]);
        row["name"] = r.designs[i].design.name + (i == r.quoted ? " (quoted)" : "");
        rows.push_back(std::move(row));
    }
    return rows;
}

// How many years are short by how many hours, fewest first; those that do not recover last.
Json hours_short_table(sim::YearsVerdict const& v) {
    Json rows = Json::array();
    std::size_t const recovered = v.hours_short.size() - static_cast<std::size_t>(v.unrecovered);
    for (std::size_t i = 0; i < recovered;) {
        auto const hours = sim::figure_text(v.hours_short[i]);
        std::size_t const first = i;
        while (i < recovered && sim::figure_text(v.hours_short[i]) == hours) ++i;
        rows.push_back({{"hours", hours}, {"years", fmt::format("{}", i - first)}});
    }
    if (v.unrecovered > 0)
        rows.push_back({{"hours", "does not recover"}, {"years", fmt::format("{}", v.unrecovered)}});
    return rows;
}

// The verdict over many years: {"text": one sentence with counts, interval and worst year, "note": seed, kind
// and number of the years}. The page begins with it and calls what follows the result of the typical year.
// Null: no years were run.
Json verdict_over_years(sim::ReportRuns const& r) {
    if (!r.verdicts) return nullptr;
    auto const& verdict = r.verdicts->designs[r.quoted];
    auto const& v = verdict.judged().judged().verdict;
    auto const& years = quoted_scenario(r).years;
    bool const winters = r.verdicts->winters;
    std::string recorded_text;
    for (auto const& text : recorded_words(*r.verdicts, r.quoted, years.required))
        recorded_text += text + " ";
    // For the annex: the other age of the battery, a close verdict, and what was done to recorded years.
    Json notes = Json::array();
    notes.push_back(other_age_words(verdict.not_judged().judged().verdict, winters, years.required));
    if (v.close) notes.push_back(close_words(v, winters));
    for (auto const& note : r.verdicts->notes) notes.push_back(note);
    return {
        {"text", fmt::format("{}{}: {}; {}.", v.met ? "Yes" : "No", v.close ? ", but close" : "",
                             held_words(v, winters, years.required), worst_words(v, *r.worst_year, winters))},
        {"milder", sim::milder_than_all(r.year.summary, verdict.fresh.judged().years)
                       ? Json(fmt::format("The weather file itself is milder than all of these {}.",
                                          winters_or_years(winters, 2)))
                       : Json(nullptr)},
        {"note", fmt::format("{}{}; {}; required: {}.", recorded_text, r.verdicts->weather,
                             judged_battery_words(years), required_words(years.required, v, winters))},
        {"notes", notes},
        {"table_title",
         fmt::format("The {} of the verdict{}, by hours short of water", winters_or_years(winters, 2),
                     r.designs.size() > 1 ? " on the quoted design" : "")},
        {"table_count", winters_or_years(winters, 2)},
        {"table", hours_short_table(v)},
        {"dots_title",
         fmt::format("The {}, one mark each, by hours short of water", winters_or_years(winters, 2))},
        {"row", dot_row(verdict)},
        {"several", r.designs.size() > 1},
        {"rows", dot_rows(r)}};
}

// What follows when the battery is empty.
std::string after_the_battery(sim::SupplyRules const& rules) {
    if (rules.backup == sim::Backup::generator) return ", then the generator.";
    if (rules.backup == sim::Backup::none) return ", then no water until the sun is back.";
    return rules.grid_first ? " while the grid is out; the rest of the time the grid supplies."
                            : ", then the grid.";
}

// What the promise rests on.
std::string conditions_of(scenarios::Scenario const& s) {
    std::string const always = " Conditions: battery as new; water use and small loads as this quote assumes";
    if (!scenarios::uses_generator(s.rules)) return always + ".";
    return always + (s.generator_operation.run.started_by_hand || s.rules.by_hand
                         ? "; someone starts the generator when it is called, and it has fuel."
                         : "; the generator starts when it is called, and it has fuel.");
}

// "no shortage", "first shortage after 1.2 days", "first shortage 6 hours after its end".
std::string first_shortage(sim::CloudyPeriodStart const& start) {
    if (std::isfinite(start.first_shortage_h))
        return "first shortage after " + first_shortage_days(start.first_shortage_h);
    if (std::isfinite(start.dry_after_h))
        return fmt::format("first shortage {} after its end", time_text(start.dry_after_h));
    return "no shortage";
}

// What the customer may rely on, and under which conditions: days without any sun, then the backup, and the
// site's cloudy period.
std::string promise(sim::ReportRuns const& r, ReportShow const& show) {
    auto const& q = quoted(r);
    auto const& rules = r.system.rules;
    bool const backed = rules.backup != sim::Backup::none;
    auto const& autonomy = q.figures.autonomy.water;
    auto const& power = q.figures.autonomy.power;
    std::string text;
    if (auto const reason = q.figures.autonomy.water_reason; sim::not_for_power(reason)) {
        text = fmt::format(
            "Water can be short at any time, with or without sun, because {}: on the worst start date ({}) "
            "{} after "
            "sunset. Power for {} without any sun, battery full at sunset{}",
            words(reason), date_text(autonomy.worst_day), time_text(24 * autonomy.worst_d),
            std::isinf(power.worst_d) ? fmt::format("over {} days", sim::autonomy_looked_at_d)
                                      : sim::figure_text(power.worst_d, 1) + " days",
            after_the_battery(rules));
    } else {
        text = fmt::format("Water for {} without any sun, battery full at sunset", autonomy_text(q));
        if (std::isfinite(autonomy.worst_d))
            text += fmt::format(" (worst start date {})", date_text(autonomy.worst_day));
        text += after_the_battery(rules);
    }
    double demand_m3 = 0;
    int const days = r.trace.cloudy_period_days;
    for (std::size_t h = 0; h < 24 * static_cast<std::size_t>(days); ++h)
        demand_m3 += r.trace.alone.hours[h].water_demand_m3;
    auto const& start = backed ? q.designed.starts[q.designed.worst] : q.alone.starts[q.alone.worst];
    text += fmt::format(" In a cloudy period of {} days{}, with {} of water a day: {}{}.", days,
                        r.site.years > 0 ? " that 1 year in 10 brings" : "", show.volume(demand_m3 / days),
                        first_shortage(start), backed ? ", with the backup" : "");
    text += conditions_of(quoted_scenario(r));
    auto const& checks = q.design_check.checks;
    if (std::none_of(checks.begin(), checks.end(), sim::stands_in_the_way)) return text;
    return "Nothing yet: what FAILS in the checks must be changed first. Then: " + text;
}

// What the scenario requires of the design, and what it does.
Json asked(sim::ReportRuns const& r) {
    Json rows = Json::array();
    for (auto const& v : r.required)
        rows.push_back({{"label", v.label},
                        {"wanted", v.wanted},
                        {"found", v.looked_at ? v.found : std::string("not run")},
                        {"verdict", v.looked_at ? (v.holds ? "holds" : "does not hold") : "–"}});
    return rows;
}

}  // namespace

Json report_answer(sim::ReportRuns const& r, ReportShow const& show) {
    auto const& s = quoted_scenario(r);
    Json settle = to_settle(quoted(r).design_check);
    Json requirements = asked(r);
    return {
        {"question", s.question},
        {"years", verdict_over_years(r)},
        {"answer", answer(r.year, r.system.rules.backup, show) + outage_sentences(r.year.outages, show)},
        {"holds", r.year.summary.shortage_hours == 0},
        {"promise", promise(r, show)},
        {"claim", cloudy_period_claim(r, show)},
        {"site_cloudy_period", site_period_json(r.site)},
        {"any_to_settle", !settle.empty()},
        {"to_settle", settle},
        // With the years alone there is no table: the note below the answer says what is required of them.
        {"any_asked", requirements.size() > 1},
        {"asked", requirements},
        {"glance", glance(r, show)}};
}

}  // namespace holdwater::tools
