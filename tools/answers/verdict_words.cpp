#include "tools/answers/verdict_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <limits>
#include <utility>

#include "models/numeric/statistics.hpp"
#include "scenarios/settings/supply_settings.hpp"
#include "sim/base/clock.hpp"
#include "sim/base/figure_text.hpp"
#include "tools/show/reason_words.hpp"
#include "tools/show/wrap_text.hpp"

namespace holdwater::tools {
namespace {

constexpr std::size_t dots_a_line = 50;

struct Mark {
    char mark = ' ';
    double up_to_h = 0;
    char const* meaning = "";
};
constexpr std::array year_marks{Mark{'.', 0, "no shortage"}, Mark{'o', 24, "short up to 24 h"},
                                Mark{'O', 100, "up to 100 h"},
                                Mark{'#', std::numeric_limits<double>::infinity(), "over 100 h"},
                                Mark{'x', std::numeric_limits<double>::infinity(), "does not recover"}};

// The mark of year `i` of the hours short of a verdict.
Mark const& mark_of(sim::YearsVerdict const& v, std::size_t i) {
    if (i + static_cast<std::size_t>(v.unrecovered) >= v.hours_short.size()) return year_marks.back();
    return *std::find_if(year_marks.begin(), year_marks.end(),
                         [&](Mark const& m) { return v.hours_short[i] <= m.up_to_h; });
}

std::string hours_short(double hours) {
    return hours == 0 ? std::string("none short") : sim::figure_text(hours) + " h short";
}

// Day and month of an hour of the year.
std::pair<int, std::string> date(int hour) {
    auto const at = weather::calendar_hour(hour % sim::hours_per_year);
    return {at.day, std::string(sim::short_month_name(at.month))};
}

// "4 Jan" or "4 to 6 Jan".
std::string dates(sim::Shortage const& s) {
    auto const [day, month] = date(s.first_hour);
    auto const [last_day, last_month] = date(s.first_hour + static_cast<int>(s.hours) - 1);
    if (month != last_month) return fmt::format("{} {} to {} {}", day, month, last_day, last_month);
    if (day != last_day) return fmt::format("{} to {} {}", day, last_day, month);
    return fmt::format("{} {}", day, month);
}

// The question with its answer, `second` below it if there is something to say at once, and what is required.
std::string first_lines(sim::YearsVerdict const& v, scenarios::YearsSettings const& years, bool winters,
                        std::string const& second) {
    std::string out;
    wrap(out, "Does it hold water?  ",
         fmt::format("{}{}: {},", v.met ? "YES" : "NO", v.close ? ", but close" : "",
                     held_words(v, winters, years.required)),
         100);
    return out + second +
           fmt::format("  {}; required: {}.\n", judged_battery_words(years),
                       required_words(years.required, v, winters));
}

// A recorded year that begins in January is a calendar year.
std::string year_name(bool recorded, int number, bool winters, int start_month) {
    std::string const kind = winters_or_years(winters, 1);
    if (!recorded) return fmt::format("made {} {}", kind, number);
    if (start_month == 1) return fmt::format("recorded {} {}", kind, number);
    return fmt::format("recorded {} {}-{:02}", kind, number, (number + 1) % 100);
}

}  // namespace

nlohmann::ordered_json years_verdict_json(sim::YearsVerdict const& v) {
    nlohmann::ordered_json json{{"years", v.years},
                                {"held", v.held},
                                {"held_low", v.held_low},
                                {"held_high", v.held_high},
                                {"needed", v.needed},
                                {"limit_met", v.limit_met},
                                {"met", v.met},
                                {"close", v.close},
                                {"unrecovered", v.unrecovered},
                                {"shortage_hours_one_in_ten", v.shortage_hours_one_in_ten},
                                {"worst_shortage_hours", v.worst_shortage_hours},
                                {"hours_short", v.hours_short}};
    if (v.close) json["years_to_settle"] = v.years_to_settle;
    return json;
}

std::string winters_or_years(bool winters, int count) {
    return std::string(winters ? "winter" : "year") + (count == 1 ? "" : "s");
}

std::string held_words(sim::YearsVerdict const& v, bool winters, scenarios::YearsRequired const& r) {
    std::string const without = r.hours_short_allowed > 0
                                    ? fmt::format("with at most {:g} h short of water", r.hours_short_allowed)
                                    : std::string("without a shortage");
    return fmt::format("{} of {} {} {} (90 % interval {} to {})", v.held, v.years,
                       winters_or_years(winters, v.years), without, v.held_low, v.held_high);
}

std::string required_words(scenarios::YearsRequired const& r, sim::YearsVerdict const& v, bool winters) {
    std::string text = fmt::format("{} of {} {}", v.needed, v.years, winters_or_years(winters, v.years));
    if (r.longest_shortage_limit_h < sim::hours_per_year)
        text += fmt::format(", and no shortage above {:g} h", r.longest_shortage_limit_h);
    return text;
}

std::string held_label(scenarios::YearsRequired const& r) {
    return r.hours_short_allowed > 0 ? fmt::format("at most {:g} h short", r.hours_short_allowed)
                                     : std::string("without a shortage");
}

std::string other_age_words(sim::YearsVerdict const& other, bool winters,
                            scenarios::YearsRequired const& required) {
    return fmt::format("Battery {}: {}", required.judge_new ? "at the end of its life" : "as it is now",
                       held_words(other, winters, required));
}

std::string judged_battery_words(scenarios::YearsSettings const& years) {
    if (years.required.judge_new) return "battery as it is now";
    return fmt::format("battery at the end of its life ({:g} % of its capacity)",
                       100 * years.battery_end_of_life);
}

std::string close_words(sim::YearsVerdict const& v, bool winters) {
    if (!v.close) return "";
    std::string const word = winters_or_years(winters, 2);
    if (v.years_to_settle == 0)
        return fmt::format("Close: the required share lies within the interval, however many {} are run",
                           word);
    return fmt::format(
        "Close: the required share lies within the interval; about {} {} would settle it (--years {})",
        sim::figure_text(v.years_to_settle), word, v.years_to_settle);
}

std::string year_name(sim::WorstYear const& worst, bool winters) {
    return year_name(worst.recorded, worst.number, winters, sim::month_of_hour(worst.run.clock.first_hour));
}

std::string worst_words(sim::YearsVerdict const& v, sim::WorstYear const& worst, bool winters) {
    std::string text = fmt::format("1 in 10: {}; worst: {} ({}", hours_short(v.shortage_hours_one_in_ten),
                                   hours_short(v.worst_shortage_hours), year_name(worst, winters));
    // One shortage needs no other length than that of the year.
    if (worst.longest && worst.longest->short_hours < worst.run.summary.shortage_hours)
        text += fmt::format("; longest {} h, {}: {}", sim::figure_text(worst.longest->hours),
                            dates(*worst.longest), words(worst.longest->reason));
    else if (worst.longest)
        text += fmt::format(", {}: {}", dates(*worst.longest), words(worst.longest->reason));
    else
        text += fmt::format(", lowest SOC {} % on {} {}", sim::figure_text(100 * worst.run.summary.soc_min),
                            date(worst.run.lowest_soc_hour).first, date(worst.run.lowest_soc_hour).second);
    return text + ")";
}

std::string verdict_lines(sim::YearsVerdict const& v, scenarios::YearsSettings const& years,
                          VerdictYears const& of) {
    std::string out = first_lines(v, years, of.winters, "");
    out += fmt::format("  1 in 10: {}; worst: {} ({}).\n", hours_short(v.shortage_hours_one_in_ten),
                       hours_short(v.worst_shortage_hours),
                       year_name(of.recorded, v.worst_number, of.winters, of.start_month));
    return out + further_lines(v, of.winters);
}

std::string further_lines(sim::YearsVerdict const& v, bool winters) {
    std::string out;
    if (v.close) out += fmt::format("  {}.\n", close_words(v, winters));
    if (v.unrecovered > 0)
        out += fmt::format(
            "  In {} of them the design does not recover: begun full or empty, what is stored still differs\n"
            "  after a whole year.\n",
            v.unrecovered);
    return out;
}

std::vector<std::string> recorded_words(sim::DesignVerdicts const& all, std::size_t design,
                                        scenarios::YearsRequired const& required) {
    std::vector<std::string> out;
    auto const& sets = all.designs.at(design).judged().sets;
    for (std::size_t i = 1; i < sets.size(); ++i) {
        auto const& [source, v, years] = sets[i];
        out.push_back(fmt::format("Recorded{}: {}; worst: {} ({}).", sim::light_words(source),
                                  held_words(v, all.winters, required), hours_short(v.worst_shortage_hours),
                                  year_name(true, v.worst_number, all.winters, all.start_month)));
    }
    return out;
}

std::string dots(sim::YearsVerdict const& v) {
    std::string out, line;
    for (std::size_t i = 0; i < v.hours_short.size(); ++i) {
        line += mark_of(v, i).mark;
        if (line.size() < dots_a_line) continue;
        out += (out.empty() ? "" : "\n") + line;
        line.clear();
    }
    if (!line.empty()) out += (out.empty() ? "" : "\n") + line;
    return out;
}

std::vector<DotKind> dot_kinds(sim::YearsVerdict const& v) {
    std::vector<DotKind> kinds;
    kinds.reserve(year_marks.size());
    for (auto const& m : year_marks) kinds.push_back({m.mark, m.meaning, 0});
    for (std::size_t i = 0; i < v.hours_short.size(); ++i)
        ++kinds[static_cast<std::size_t>(&mark_of(v, i) - year_marks.data())].years;
    return kinds;
}

std::string dots_legend(std::vector<sim::YearsVerdict> const& verdicts) {
    std::string out;
    for (std::size_t k = 0; k < year_marks.size(); ++k) {
        auto const occurs = [&](sim::YearsVerdict const& v) { return dot_kinds(v)[k].years > 0; };
        if (std::any_of(verdicts.begin(), verdicts.end(), occurs))
            out += fmt::format("{}{} {}", out.empty() ? "" : ", ", year_marks[k].mark, year_marks[k].meaning);
    }
    return out;
}

std::string verdict_block(sim::DesignVerdicts const& all, sim::WorstYear const& worst,
                          sim::Summary const& typical, scenarios::Scenario const& scenario) {
    auto const& verdict = all.designs[0];
    auto const& required = scenario.years.required;
    auto const& v = verdict.judged().judged().verdict;
    bool const winters = all.winters;
    std::string const milder = sim::milder_than_all(typical, verdict.fresh.judged().years)
                                   ? fmt::format("  This weather file is milder than all of these {}.\n",
                                                 winters_or_years(winters, 2))
                                   : std::string();
    std::string out = first_lines(v, scenario.years, winters, milder);
    wrap(out, "  ", worst_words(v, worst, winters) + ".", 100);
    out += further_lines(v, winters);
    if (scenarios::uses_generator(scenario.rules)) {
        std::vector<double> hours;
        for (auto const& year : verdict.judged().judged().years)
            if (year.problem.empty()) hours.push_back(year.summary.generator_run_h);
        if (!hours.empty())
            out += fmt::format(
                "  Generator in these {}: median {} h, at most {} h (with fuel: holdwater years).\n",
                winters_or_years(winters, 2), sim::figure_text(models::quantile(hours, 0.5), 1),
                sim::figure_text(*std::max_element(hours.begin(), hours.end()), 1));
    }
    out += fmt::format("  {}.\n", other_age_words(verdict.not_judged().judged().verdict, winters, required));
    for (auto const& text : recorded_words(all, 0, required)) wrap(out, "  ", text, 100);
    std::string marks_text = dots(v);
    for (std::size_t at = marks_text.find('\n'); at != std::string::npos; at = marks_text.find('\n', at + 3))
        marks_text.insert(at + 1, "  ");
    out += fmt::format("\n  {}\n  one mark a {}: {}\n", marks_text, winters_or_years(winters, 1),
                       dots_legend({v}));
    return out + "\n" + years_run_lines(all.weather, all.drawn, all.notes) + "\n";
}

std::string years_run_lines(std::string const& weather, std::string const& drawn,
                            std::vector<std::string> const& notes) {
    std::string out;
    wrap(out, "  ", fmt::format("Years: {}; different in each: {}.", weather, drawn), 100);
    for (auto const& note : notes) wrap(out, "  ", note + ".", 100);
    return out;
}

nlohmann::ordered_json verdict_json(sim::DesignVerdicts const& all, std::size_t design,
                                    sim::WorstYear const* worst, sim::Summary const* typical) {
    auto const& verdict = all.designs.at(design);
    nlohmann::ordered_json json{{"judged", verdict.judge_new ? "new" : "end_of_life"},
                                {"start_month", all.start_month},
                                {"winters", all.winters},
                                {"seed", all.seed},
                                {"weather", all.weather},
                                {"random_in_each_year", all.drawn},
                                {"notes", all.notes}};
    if (typical != nullptr)
        json["milder_than_all"] = sim::milder_than_all(*typical, verdict.fresh.judged().years);
    if (worst != nullptr) {
        json["worst"] = {{"number", worst->number},
                         {"recorded", worst->recorded},
                         {"soc_min", worst->run.summary.soc_min},
                         {"soc_min_at", sim::stamp_of_hour(worst->run.lowest_soc_hour)}};
        if (worst->longest) {
            json["worst"]["longest_shortage_from"] = sim::stamp_of_hour(worst->longest->first_hour);
            json["worst"]["longest_shortage_h"] = worst->longest->hours;
            json["worst"]["cause"] = words(worst->longest->reason);
        }
    }
    for (auto const& [name, age] :
         {std::pair{"new", &verdict.fresh}, std::pair{"end_of_life", &verdict.end_of_life}}) {
        for (auto const& set : age->sets) json[name][set.source] = years_verdict_json(set.verdict);
    }
    return json;
}

}  // namespace holdwater::tools
