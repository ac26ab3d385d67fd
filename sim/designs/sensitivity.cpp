#include "sim/designs/sensitivity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>

#include "models/numeric/parameter_error.hpp"
#include "models/numeric/read_double.hpp"
#include "scenarios/design/weather_shelf.hpp"
#include "scenarios/settings/field_words.hpp"
#include "scenarios/text/assumed_inputs.hpp"
#include "scenarios/text/quantity.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "sim/autonomy/site_period.hpp"
#include "sim/check/design_check.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/verdict/site_cloudy_period.hpp"
#include "sim/verdict/years_verdict.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {
namespace {

std::string yes_no(bool yes) { return yes ? "YES" : "NO"; }

std::string full_again(CloudyPeriodOutcome const& outcome) {
    double slowest_h = 0;
    for (auto const& s : outcome.starts) slowest_h = std::max(slowest_h, s.full_again_h);
    return std::isinf(slowest_h) ? "NEVER" : "within a year";
}

// One value that is tried.
struct Tried {
    SensitivityEnd end;
    scenarios::Scenario scenario;
    std::shared_ptr<weather::WeatherYear const> year;
};

// The names of a design's verdicts do not depend on the value that is tried, except for checks that appear or
// disappear with it. The verdicts over many years come later, for all values at once.
Tried look_at(scenarios::Scenario scenario, scenarios::WeatherShelf& shelf, SiteCloudyPeriod const& site,
              std::string value) {
    Tried tried{{}, scenario, shelf.of(scenario)};
    SensitivityEnd& end = tried.end;
    end.value = std::move(value);
    auto const cloudy = make_cloudy_period_inputs(scenario, *tried.year, weather_of(site));
    for (auto& p : scenario.provenance) p.range.reset();
    CheckOptions options;
    if (!scenario.design_check.sun_h)
        options.darkest_month_kwh_per_day = darkest_month_kwh_per_day(cloudy.own.array_power_w);
    for (auto const& c : design_check(scenario, options).checks)
        end.verdicts.push_back({fmt::format("{} ({})", c.title, c.name), std::string(name(c.verdict))});

    auto const system = make_system(scenario);
    auto const run = simulate(system, cloudy.own, Clock{});
    auto const& f = run.findings;
    end.shortage_hours = run.summary.shortage_hours;
    end.generator_h = run.summary.generator_run_h;
    end.grid_kwh = run.summary.grid_kwh;
    auto const period =
        run_cloudy_periods(without_backup(system), cloudy, every_start_day(), levels_of_year(system, run));
    auto const add = [&](char const* what, std::string verdict) {
        end.verdicts.push_back({what, std::move(verdict)});
    };
    add("typical year: the whole demand is met", yes_no(run.summary.shortage_hours == 0));
    add("pump starts within the motor's limit", yes_no(f.hours_above_start_limit == 0));
    add("every run of the pump long enough", yes_no(f.runs_below_least + f.dry_run_short_runs == 0));
    add("every motor start accepted", yes_no(f.starts_refused == 0 && f.inverter_trips == 0));
    add("water through the site's cloudy period, no backup", yes_no(period.survival.back() == 1));
    add("everything full again after it", full_again(period));
    return tried;
}

// The same years for all values; the base design comes first.
void add_years_verdicts(std::vector<Tried>& tried, DrawOptions const& draw, SensitivityAnswer& answer) {
    if (!any_years(draw)) return;
    std::vector<DrawnDesign> designs;
    std::vector<SensitivityEnd*> ends;
    for (auto& [end, scenario, year] : tried) {
        if (!end.problem.empty()) continue;
        designs.push_back({as_judged(scenario), year.get()});
        ends.push_back(&end);
    }
    auto const& base = tried.front();
    designs.push_back({as_not_judged(base.scenario), base.year.get()});
    auto const draws = draw_years(designs, draw);
    stop_if_asked(draw.stop);  // a part of the years gives no verdict
    answer.winters = draws.winters;
    answer.start_month = draws.start_month;
    answer.weather = draws.weather.empty() ? draws.recorded.at(0).weather : draws.weather;
    answer.drawn = draws.drawn;
    answer.notes = notes_on(draws);
    auto const of_design = [&](std::size_t i) {
        std::vector<YearsOfEnd> sets;
        auto const add = [&](std::string const& source, std::vector<DrawnYear> const& years) {
            if (!years.empty())
                sets.push_back({source, verdict_of(years, designs[i].scenario.years.required)});
        };
        if (draw.years > 0) add("made", draws.years[i]);
        for (auto const& set : draws.recorded) add(set.source, set.years[i]);
        return sets;
    };
    for (std::size_t i = 0; i < ends.size(); ++i) {
        ends[i]->years = of_design(i);
        for (auto const& [source, v] : ends[i]->years) {
            std::string const recorded = source == "made" ? "" : "recorded ";
            std::string const light = source != "made" && draws.recorded.size() > 1
                                          ? fmt::format(" ({} light)", source)
                                          : std::string();
            ends[i]->verdicts.push_back({fmt::format("enough {}years without a shortage{}", recorded, light),
                                         yes_no(v.met) + (v.close ? ", close" : "")});
        }
    }
    answer.base_at_other_age = of_design(ends.size());
}

double value_of(scenarios::DesignFile const& file, scenarios::AssumedInput const& input,
                std::string const& typed) {
    if (input.unit == "1") {
        double value = 0;
        auto const* const last = typed.data() + typed.size();
        if (auto const read = models::read_double(typed.data(), last, value);
            read.ec == std::errc{} && read.ptr == last)
            return value;
        throw scenarios::ScenarioError(file.path, 0, std::string(input.key),
                                       fmt::format("\"{}\" is not a number such as 0.6", typed));
    }
    try {
        return scenarios::read_quantity(typed, input.unit);
    } catch (scenarios::QuantityError const& error) {
        throw scenarios::ScenarioError(file.path, 0, std::string(input.key), error.what());
    }
}

scenarios::Scenario with_value(scenarios::DesignFile const& file, scenarios::DesignOption const& base,
                               std::string const& input, std::string const& typed) {
    if (auto const* const known = scenarios::find_assumed_input(input)) {
        auto scenario = scenarios::option_design(file, base).scenario;
        double const value = value_of(file, *known, typed);
        if (value < known->low || value > known->high)
            throw scenarios::ScenarioError(file.path, 0, input,
                                           fmt::format("{} is out of range: {:g} to {:g} {}", typed,
                                                       known->low, known->high, known->unit));
        known->set(scenario, value);
        return scenario;
    }
    auto changed = base;
    changed.overrides.push_back({input, scenarios::as_toml_value(typed), 0});
    return scenarios::option_design(file, changed).scenario;
}

Tried try_value(scenarios::DesignFile const& file, scenarios::DesignOption const& base,
                scenarios::WeatherShelf& shelf, SiteCloudyPeriod const& site, std::string const& input,
                std::string const& typed) {
    try {
        return look_at(with_value(file, base, input, typed), shelf, site, typed);
    } catch (models::ParameterError const& error) {
        Tried refused;
        refused.end.value = typed;
        refused.end.problem = scenarios::problem_words(error);
        return refused;
    }
}

std::string verdict_of(SensitivityEnd const& end, std::string const& name) {
    auto const found =
        std::find_if(end.verdicts.begin(), end.verdicts.end(), [&](auto const& v) { return v.name == name; });
    return found == end.verdicts.end() ? "not run" : found->verdict;
}

Sensitivity at_both_ends(RangeToTry const& range, SensitivityEnd written, SensitivityEnd low,
                         SensitivityEnd high) {
    Sensitivity t;
    t.input = range.input;
    t.provenance = range.provenance;
    t.written = std::move(written);
    t.low = std::move(low);
    t.high = std::move(high);
    std::vector<std::string> names;
    for (auto const* end : {&t.written, &t.low, &t.high})
        for (auto const& v : end->verdicts)
            if (std::find(names.begin(), names.end(), v.name) == names.end()) names.push_back(v.name);
    for (auto const& name : names) {
        FlippedVerdict v{name, verdict_of(t.low, name), verdict_of(t.written, name),
                         verdict_of(t.high, name)};
        if (!t.low.problem.empty()) v.at_low = v.as_written;
        if (!t.high.problem.empty()) v.at_high = v.as_written;
        if (v.at_low != v.as_written || v.at_high != v.as_written) t.flipped.push_back(v);
    }
    return t;
}

}  // namespace

std::vector<RangeToTry> stated_ranges(scenarios::Scenario const& scenario) {
    std::vector<RangeToTry> ranges;
    for (auto const& p : scenario.provenance)
        if (!p.low.empty()) ranges.push_back({p.input, p.low, p.high, std::string(name(p.provenance))});
    return ranges;
}

SensitivityAnswer sensitivity(scenarios::DesignFile const& file, std::string const& option,
                              WeatherStandIn const& weather, std::vector<RangeToTry> const& ranges,
                              StopFlag stop) {
    SensitivityAnswer answer;
    if (ranges.empty()) return answer;
    scenarios::DesignOption base;
    base.name = option;
    auto const written = scenarios::named_design(file, option).scenario;
    for (auto const& o : file.options)
        if (o.name == option) base = o;
    scenarios::WeatherShelf shelf(weather.file);
    // Shares of the time, about: the inputs at both ends, then the years of each.
    constexpr double values_done = 0.6;
    auto of_years = weather;
    of_years.progress = part_of(weather.progress, values_done, 1);
    auto draw = years_to_run(written, of_years);
    draw.stop = stop;
    answer.settings = written.years;
    std::vector<Tried> values;
    try {
        auto const own_year = shelf.of(written);
        auto const site = site_cloudy_periods({{written, own_year.get()}}, draw).front();
        values.push_back(look_at(written, shelf, site, "base design"));
        for (auto const& r : ranges)
            for (auto const& typed : {r.low, r.high}) {
                stop_if_asked(stop);
                values.push_back(try_value(file, base, shelf, site, r.input, typed));
                tell_share(weather.progress, values_done * static_cast<double>(values.size()) /
                                                 (1 + 2 * static_cast<double>(ranges.size())));
            }
        add_years_verdicts(values, draw, answer);
    } catch (StudyStopped const&) {
        answer.stopped = true;
    }
    if (!values.empty()) answer.base = values[0].end;
    for (std::size_t i = 0; i < ranges.size() && 2 + 2 * i < values.size(); ++i)
        answer.inputs.push_back(at_both_ends(ranges[i], values[0].end, std::move(values[1 + 2 * i].end),
                                             std::move(values[2 + 2 * i].end)));
    return answer;
}

}  // namespace holdwater::sim
