#include "tools/answers/verdict_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <limits>
#include <utility>

#include "sim/base/figure_text.hpp"
#include "tools/show/reason_words.hpp"

namespace holdwater::tools {
namespace {

constexpr std::size_t dots_a_line = 50;

struct Mark {
    char mark = ' ';
    double up_to_h = 0;
    char const* meaning = "";
};
constexpr std::array marks{Mark{'.', 0, "no shortage"}, Mark{'o', 24, "short up to 24 h"},
                           Mark{'O', 100, "up to 100 h"},
                           Mark{'#', std::numeric_limits<double>::infinity(), "over 100 h"}};

Mark const& mark_of(double hours) {
    return *std::find_if(marks.begin(), marks.end(), [&](Mark const& m) { return hours <= m.up_to_h; });
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

std::string year_name(bool recorded, int number, bool winters) {
    if (!recorded) return fmt::format("made {} {}", winters_or_years(winters, 1), number);
    return fmt::format("recorded {} {}-{:02}", winters_or_years(winters, 1), number, (number + 1) % 100);
}

std::string required_words(scenarios::YearsRequired const& r, sim::YearsVerdict const& v, bool winters) {
    std::string text = fmt::format("{} of {} {}", v.needed, v.years, winters_or_years(winters, v.years));
    if (r.longest_shortage_limit_h < sim::hours_per_year)
        text += fmt::format(", and no shortage above {:g} h", r.longest_shortage_limit_h);
    return text;
}

nlohmann::ordered_json json_of(sim::YearsVerdict const& v) {
    nlohmann::ordered_json json{{"years", v.years},
                                {"held", v.held},
                                {"held_low", v.held_low},
                                {"held_high", v.held_high},
                                {"needed", v.needed},
                                {"limit_kept", v.limit_kept},
                                {"met", v.met},
                                {"close", v.close},
                                {"unrecovered", v.unrecovered},
                                {"hours_short_1_in_10", v.hours_short_1_in_10},
                                {"worst_hours_short", v.worst_hours_short},
                                {"hours_short", v.hours_short}};
    if (v.close) json["years_to_settle"] = v.years_to_settle;
    return json;
}

}  // namespace

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

std::string worst_words(sim::YearsVerdict const& v, sim::WorstYear const& worst, bool winters) {
    std::string text =
        fmt::format("1 in 10: {}; worst: {} ({}", hours_short(v.hours_short_1_in_10),
                    hours_short(v.worst_hours_short), year_name(worst.recorded, worst.number, winters));
    if (worst.longest)
        text += fmt::format(", {}: {}", dates(*worst.longest), words(worst.longest->reason));
    else
        text += fmt::format(", lowest SOC {} % on {} {}", sim::figure_text(100 * worst.run.summary.soc_min),
                            date(worst.lowest_soc_hour).first, date(worst.lowest_soc_hour).second);
    return text + ")";
}

std::vector<std::string> recorded_words(sim::DesignVerdict const& verdict, bool winters,
                                        scenarios::YearsRequired const& required) {
    std::vector<std::string> out;
    auto const& sets = verdict.judged().sets;
    for (std::size_t i = 1; i < sets.size(); ++i) {
        auto const& [source, v, years] = sets[i];
        out.push_back(fmt::format("Recorded{}: {}; worst: {} ({}).", sim::light_words(source),
                                  held_words(v, winters, required), hours_short(v.worst_hours_short),
                                  year_name(true, years.at(v.worst).number, winters)));
    }
    return out;
}

std::string dots(sim::YearsVerdict const& v) {
    std::string out, line;
    for (double const hours : v.hours_short) {
        line += mark_of(hours).mark;
        if (line.size() < dots_a_line) continue;
        out += (out.empty() ? "" : "\n") + line;
        line.clear();
    }
    if (!line.empty()) out += (out.empty() ? "" : "\n") + line;
    return out;
}

std::vector<DotKind> dot_kinds(sim::YearsVerdict const& v) {
    std::vector<DotKind> kinds;
    for (auto const& m : marks)
        kinds.push_back(
            {m.mark, m.meaning,
             static_cast<int>(std::count_if(v.hours_short.begin(), v.hours_short.end(),
                                            [&](double hours) { return mark_of(hours).mark == m.mark; }))});
    return kinds;
}

std::string dots_legend(sim::YearsVerdict const& v) {
    std::string out;
    for (auto const& kind : dot_kinds(v))
        if (kind.years > 0) out += fmt::format("{}{} {}", out.empty() ? "" : ", ", kind.mark, kind.meaning);
    return out;
}

std::string verdict_block(sim::DesignVerdict const& verdict, sim::WorstYear const& worst,
                          sim::Summary const& typical, scenarios::Scenario const& scenario, bool winters) {
    auto const& required = scenario.years.required;
    auto const& v = verdict.judged().judged().verdict;
    std::string const word = winters_or_years(winters, 2);
    std::string out = fmt::format("Does it hold water?  {}{}: {},\n", v.met ? "YES" : "NO",
                                  v.close ? ", but close" : "", held_words(v, winters, required));
    out += fmt::format("  battery {}; required: {}.\n",
                       verdict.judge_new ? "as it is now"
                                         : fmt::format("at the end of its life ({:g} % of its capacity)",
                                                       100 * scenario.years.battery_end_of_life),
                       required_words(required, v, winters));
    out += fmt::format("  {}.\n", worst_words(v, worst, winters));
    if (v.close)
        out += v.years_to_settle > 0
                   ? fmt::format(
                         "  Close: the required share lies within the interval; about {} {} would "
                         "settle it (--years {}).\n",
                         v.years_to_settle, word, v.years_to_settle)
                   : fmt::format(
                         "  Close: the required share lies within the interval, however many {} are "
                         "run.\n",
                         word);
    if (v.unrecovered > 0)
        out += fmt::format(
            "  In {} of them the stores do not recover: full and empty ones still differ after a "
            "whole year.\n",
            v.unrecovered);
    auto const& other = verdict.judge_new ? verdict.end_of_life : verdict.fresh;
    out += fmt::format("  Battery {}: {}.\n", verdict.judge_new ? "at the end of its life" : "as it is now",
                       held_words(other.judged().verdict, winters, required));
    for (auto const& text : recorded_words(verdict, winters, required)) out += fmt::format("  {}\n", text);
    std::string marks_text = dots(v);
    for (std::size_t at = marks_text.find('\n'); at != std::string::npos; at = marks_text.find('\n', at + 3))
        marks_text.insert(at + 1, "  ");
    out += fmt::format("\n  {}\n  one mark a {}: {}\n\n", marks_text, winters_or_years(winters, 1),
                       dots_legend(v));
    if (sim::milder_than_all(typical, verdict.fresh.judged().years))
        out += fmt::format("This weather file is milder than all of these {}.\n", word);
    return out;
}

nlohmann::ordered_json verdict_json(sim::DesignVerdict const& verdict, int start_month, bool winters) {
    nlohmann::ordered_json json{{"judged", verdict.judge_new ? "new" : "end_of_life"},
                                {"start_month", start_month},
                                {"winters", winters}};
    for (auto const& [name, age] :
         {std::pair{"new", &verdict.fresh}, std::pair{"end_of_life", &verdict.end_of_life}}) {
        for (auto const& set : age->sets) json[name][set.source] = json_of(set.verdict);
    }
    return json;
}

}  // namespace holdwater::tools
