#include "sim/sweep/size_rows.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <stdexcept>
#include <type_traits>
#include <utility>

#include "scenarios/text/scenario_error.hpp"
#include "sim/files/text_hash.hpp"
#include "sim/sweep/sweep_run.hpp"
#include "sim/sweep/years_rows.hpp"

namespace holdwater::sim {
namespace {

// A figure of a run that not every run has, or that is no figure of its year. NaN: it has none.
using RunField = RowField<RequirementFigures>;
template <auto member>
RunField number_field(char const* name, char const* unit, char const* long_name) {
    return {name, unit, long_name, [](RequirementFigures const& f) { return static_cast<double>(f.*member); },
            [](RequirementFigures& f, double v) {
                f.*member = static_cast<std::decay_t<decltype(f.*member)>>(v);
            }};
}
template <auto member>
RunField optional_field(char const* name, char const* unit, char const* long_name) {
    return {
        name, unit, long_name,
        [](RequirementFigures const& f) { return f.*member ? static_cast<double>(*(f.*member)) : not_run; },
        [](RequirementFigures& f, double v) {
            if (!std::isnan(v)) f.*member = static_cast<std::decay_t<decltype(*(f.*member))>>(v);
        }};
}
// Of an optional part of the figures: of the cost over the years, or of their verdict.
template <auto part, auto member>
RunField part_field(char const* name, char const* unit, char const* long_name) {
    return {name, unit, long_name,
            [](RequirementFigures const& f) {
                return f.*part ? static_cast<double>((*(f.*part)).*member) : not_run;
            },
            [](RequirementFigures& f, double v) {
                if (std::isnan(v)) return;
                if (!(f.*part)) (f.*part).emplace();
                auto& value = (*(f.*part)).*member;
                value = static_cast<std::decay_t<decltype(value)>>(v);
            }};
}

std::vector<RunField> const& run_fields() {
    using F = RequirementFigures;
    using V = YearsVerdict;
    static std::vector<RunField> const fields{
        number_field<&F::over_years>("over_years", "1", "1: a share of the years is required"),
        number_field<&F::hours_short_allowed>("hours_short_allowed", "h", "in a year that counts as held"),
        number_field<&F::longest_shortage_limit_h>("longest_shortage_limit_h", "h", "in any year"),
        optional_field<&F::purchase>("purchase", "", "purchase"),
        optional_field<&F::cost>("life_cycle_cost", "", "life-cycle cost, mean of the years"),
        part_field<&F::cost_spread, &Spread::mean>("life_cycle_cost_mean", "", "over the years: mean"),
        part_field<&F::cost_spread, &Spread::median>("life_cycle_cost_median", "", "median"),
        part_field<&F::cost_spread, &Spread::low>("life_cycle_cost_low", "", "10 % of the years are below"),
        part_field<&F::cost_spread, &Spread::high>("life_cycle_cost_high", "", "90 % of the years are below"),
        part_field<&F::cost_spread, &Spread::bad>("life_cycle_cost_bad", "", "exceeded in 1 year in 10"),
        part_field<&F::cost_spread, &Spread::worst>("life_cycle_cost_worst", "", "worst year"),
        optional_field<&F::cloudy_days>("cloudy_days", "day",
                                        "longest cloudy period held, up to what is required"),
        part_field<&F::years, &V::years>("years", "1", "made years that could be run"),
        part_field<&F::years, &V::held>("years_held", "1", "of them held"),
        part_field<&F::years, &V::held_low>("years_held_low", "1", "lower end of the 90 % interval"),
        part_field<&F::years, &V::held_high>("years_held_high", "1", "upper end of the 90 % interval"),
        part_field<&F::years, &V::needed>("years_needed", "1", "years needed for the required share"),
        part_field<&F::years, &V::limit_met>("years_limit_met", "1", "1: no year has a longer shortage"),
        part_field<&F::years, &V::met>("years_met", "1", "1: what is required of the years is met"),
        part_field<&F::years, &V::close>("years_close", "1", "1: the required share is within the interval"),
        part_field<&F::years, &V::years_to_settle>("years_to_settle", "1", "if close; 0: above 100,000"),
        part_field<&F::years, &V::unrecovered>("years_unrecovered", "1",
                                               "years whose state depends on how the run-in was begun"),
        part_field<&F::years, &V::shortage_hours_one_in_ten>("shortage_hours_one_in_ten", "h",
                                                             "exceeded in one year of ten"),
        part_field<&F::years, &V::worst>("worst_year_place", "1", "of the worst year, from 0"),
        part_field<&F::years, &V::worst_number>("worst_year", "1", "number of the worst year"),
        part_field<&F::years, &V::worst_shortage_hours>("worst_year_shortage_hours", "h",
                                                        "of the worst year")};
    return fields;
}

// "45*0 3 12.5": equal hours are counted, because most years have none.
std::string hours_text(std::vector<double> const& hours) {
    std::string text;
    for (std::size_t i = 0; i < hours.size();) {
        std::size_t count = 1;
        while (i + count < hours.size() && hours[i + count] == hours[i]) ++count;
        text += fmt::format("{}{}{}", text.empty() ? "" : " ", count > 1 ? fmt::format("{}*", count) : "",
                            hours[i]);
        i += count;
    }
    return text;
}

std::vector<double> hours_of(std::string const& text) {
    std::vector<double> hours;
    char const *at = text.data(), *const end = at + text.size();
    while (at < end) {
        auto const word_end = std::find(at, end, ' '), star = std::find(at, word_end, '*');
        std::size_t count = 1;
        double value = 0;
        if (star != word_end) std::from_chars(at, star, count);
        std::from_chars(star == word_end ? at : star + 1, word_end, value);
        hours.insert(hours.end(), count, value);
        at = word_end == end ? end : word_end + 1;
    }
    return hours;
}

enum SizeText : std::size_t { start_fault, hours_short, years_problem };

}  // namespace

std::vector<SweepFigure> size_figures() {
    std::vector<SweepFigure> figures{{"combination", "1", "number of the combination, from 1"}};
    auto const of_year = year_figures();
    figures.insert(figures.end(), of_year.begin(), of_year.end());
    for (auto const& f : run_fields()) figures.push_back({f.name, f.unit, f.long_name});
    return figures;
}

std::vector<SweepFigure> size_texts() {
    return {{"start_fault", "", "check of the motor start that does not pass"},
            {"hours_short", "h", "of each made year, fewest first; 45*0: 45 years with none"},
            {"years_problem", "", "made years that could not be run"}};
}

std::size_t combination_count(scenarios::SearchSettings const& settings) {
    std::size_t count = 1;
    for (auto const& axis : settings.axes) {
        if (axis.values.size() > most_combinations / count)
            throw std::invalid_argument("the lists have more than 100,000 combinations");
        count *= axis.values.size();
    }
    return count;
}

Combination combination_at(scenarios::SearchSettings const& settings, std::size_t number) {
    Combination c(settings.axes.size());
    for (std::size_t a = c.size(); a-- > 0;) {
        auto const length = settings.axes[a].values.size();
        c[a] = number % length;
        number /= length;
    }
    return c;
}

void run_combinations(SweepBlock& block, scenarios::SearchSettings const& settings,
                      std::function<std::vector<SizeRun>(std::vector<Combination> const&)> const& run) {
    std::vector<Combination> combinations;
    combinations.reserve(block.size());
    for (std::size_t i = 0; i < block.size(); ++i)
        combinations.push_back(combination_at(settings, block.first + i));
    auto const runs = run(combinations);
    for (std::size_t i = 0; i < block.size(); ++i) {
        auto const& r = runs.at(i);
        double* figure = block.figures_of(i);
        *figure++ = static_cast<double>(block.first + i + 1);
        block.problems[i] = r.problem;
        if (!r.problem.empty()) continue;
        for (auto const& f : repeatable_fields()) *figure++ = r.figures.year.*f.value;
        for (auto const& f : finding_fields()) *figure++ = r.figures.findings.*f.value;
        for (auto const& f : run_fields()) *figure++ = f.get(r.figures);
        block.texts[start_fault][i] = r.figures.start_fault;
        if (r.figures.years) block.texts[hours_short][i] = hours_text(r.figures.years->hours_short);
        block.texts[years_problem][i] = r.years_problem;
    }
}

void take_combinations(SweepBlock const& block, scenarios::SearchSettings const& settings,
                       std::map<Combination, SizeRun>& runs) {
    for (std::size_t i = 0; i < block.size(); ++i) {
        auto& r = runs[combination_at(settings, block.first + i)];
        double const* figure = block.figures_of(i) + 1;
        r.problem = block.problems[i];
        if (!r.problem.empty()) continue;
        for (auto const& f : repeatable_fields()) r.figures.year.*f.value = *figure++;
        for (auto const& f : finding_fields()) r.figures.findings.*f.value = *figure++;
        for (auto const& f : run_fields()) f.set(r.figures, *figure++);
        r.figures.start_fault = block.texts[start_fault][i];
        if (r.figures.years) r.figures.years->hours_short = hours_of(block.texts[hours_short][i]);
        r.years_problem = block.texts[years_problem][i];
        judge(r, settings.require);
    }
}

std::string size_inputs_hash(scenarios::DesignFile const& file, scenarios::SearchSettings const& settings,
                             SizeOptions const& options) {
    std::string all;
    for (auto const& list : file.parts)
        for (auto const& part : list.parts) all += part.text;
    auto const add = [&](scenarios::Scenario const& s) {
        all += file_hash(options.weather.file.empty() ? s.weather_path : options.weather.file);
        if (auto const& series = s.demand.series) all += numbers_text(series->hourly_m3);
    };
    auto const base = scenarios::option_design(file, options.base).scenario;
    add(base);
    for (auto const& axis : settings.axes)
        for (auto const& value : axis.values) {
            auto option = options.base;
            auto const changes = scenarios::options_first(value);
            option.overrides.insert(option.overrides.end(), changes.begin(), changes.end());
            try {
                add(scenarios::option_design(file, option).scenario);
            } catch (scenarios::ScenarioError const&) {
                continue;  // its rows have the message
            }
        }
    for (auto const& set : years_to_run(base, options.weather).recorded)
        for (auto const& chain : set.chains)
            for (auto const& year : chain) all += bytes_of(year);
    return text_hash(all);
}

}  // namespace holdwater::sim
