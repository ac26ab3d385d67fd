#include "sim/designs/sensitivity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "models/numeric/parameter_error.hpp"
#include "models/numeric/read_double.hpp"
#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/text/assumed_inputs.hpp"
#include "scenarios/text/quantity.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/check/design_check.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"

namespace holdwater::sim {
namespace {

constexpr int cloudy_period_days = 10;

std::string yes_no(bool yes) { return yes ? "YES" : "NO"; }

std::string full_again(CloudyPeriodOutcome const& outcome) {
    double slowest_h = 0;
    for (auto const& s : outcome.starts) slowest_h = std::max(slowest_h, s.full_again_h);
    return std::isinf(slowest_h) ? "NEVER" : "within a year";
}

// Names of a design's verdicts do not depend on the value tried, but for checks that come and go with it.
SensitivityEnd look_at(scenarios::Scenario scenario, std::string const& weather_path, std::string value) {
    SensitivityEnd end;
    end.value = std::move(value);
    auto const year = scenarios::read_scenario_weather(scenario, weather_path);
    auto const poorest = make_cloudy_period_inputs(
        scenario, year, {CloudyPeriodKind::worst_of_file, {}, 24 * cloudy_period_days});
    for (auto& p : scenario.provenance) p.range.reset();
    CheckOptions options;
    if (!scenario.design_check.sun_h)
        options.darkest_month_kwh_per_day = darkest_month_kwh_per_day(poorest.own.array_power_w);
    for (auto const& c : design_check(scenario, options).checks)
        end.verdicts.push_back({fmt::format("{} ({})", c.title, c.name), std::string(name(c.verdict))});

    auto const system = make_system(scenario);
    auto const run = simulate(system, poorest.own, Clock{});
    auto const& f = run.findings;
    end.shortage_hours = run.summary.shortage_hours;
    end.generator_h = run.summary.generator_run_h;
    end.grid_kwh = run.summary.grid_kwh;
    auto const period =
        run_cloudy_periods(without_backup(system), poorest, every_start_day(), levels_of_year(system, run));
    auto const add = [&](char const* what, std::string verdict) {
        end.verdicts.push_back({what, std::move(verdict)});
    };
    add("the whole demand is met, all year", yes_no(run.summary.shortage_hours == 0));
    add("pump starts within the motor's limit", yes_no(f.hours_above_start_limit == 0));
    add("every run of the pump long enough", yes_no(f.runs_below_least + f.dry_run_short_runs == 0));
    add("every motor start accepted", yes_no(f.starts_refused == 0 && f.inverter_trips == 0));
    add("water through the poorest 10 days, no backup", yes_no(period.survival.back() == 1));
    add("battery and cistern full again after them", full_again(period));
    return end;
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

SensitivityEnd try_value(scenarios::DesignFile const& file, scenarios::DesignOption const& base,
                         std::string const& weather_path, std::string const& input,
                         std::string const& typed) {
    try {
        return look_at(with_value(file, base, input, typed), weather_path, typed);
    } catch (models::ParameterError const& error) {
        SensitivityEnd end;
        end.value = typed;
        end.problem = error.what();
        return end;
    }
}

std::string verdict_of(SensitivityEnd const& end, std::string const& name) {
    auto const found =
        std::find_if(end.verdicts.begin(), end.verdicts.end(), [&](auto const& v) { return v.name == name; });
    return found == end.verdicts.end() ? "not looked at" : found->verdict;
}

}  // namespace

std::vector<RangeToTry> stated_ranges(scenarios::Scenario const& scenario) {
    std::vector<RangeToTry> ranges;
    for (auto const& p : scenario.provenance)
        if (!p.low.empty()) ranges.push_back({p.input, p.low, p.high, std::string(name(p.provenance))});
    return ranges;
}

std::vector<Sensitivity> sensitivity(scenarios::DesignFile const& file, std::string const& option,
                                     std::string const& weather_path, std::vector<RangeToTry> const& ranges) {
    scenarios::DesignOption base;
    base.name = option.empty() ? "sensitivities" : option;
    auto const written = scenarios::named_design(file, option).scenario;
    for (auto const& o : file.options)
        if (o.name == option) base = o;
    std::vector<Sensitivity> tried;
    auto const now = look_at(written, weather_path, "base design");
    for (auto const& r : ranges) {
        Sensitivity t;
        t.input = r.input;
        t.provenance = r.provenance;
        t.written = now;
        t.low = try_value(file, base, weather_path, r.input, r.low);
        t.high = try_value(file, base, weather_path, r.input, r.high);
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
        tried.push_back(std::move(t));
    }
    return tried;
}

}  // namespace holdwater::sim
