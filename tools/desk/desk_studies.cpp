#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <utility>

#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/design/search_settings.hpp"
#include "scenarios/settings/field_words.hpp"
#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/assumed_inputs.hpp"
#include "sim/autonomy/autonomy_study.hpp"
#include "sim/check/design_check.hpp"
#include "sim/designs/design_figures.hpp"
#include "sim/designs/report_runs.hpp"
#include "sim/designs/sensitivity.hpp"
#include "sim/designs/size_design.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/verdict/years_to_run.hpp"
#include "sim/verdict/years_verdict.hpp"
#include "sim/year/aging_years.hpp"
#include "sim/year/simulate.hpp"
#include "tools/desk/desk_request.hpp"
#include "tools/desk/edit_scenario.hpp"
#include "tools/json/autonomy_json.hpp"
#include "tools/json/check_json.hpp"
#include "tools/json/comparison_json.hpp"
#include "tools/json/sensitivity_json.hpp"
#include "tools/json/size_json.hpp"
#include "tools/json/typed_axes.hpp"
#include "tools/json/year_json.hpp"
#include "tools/json/years_json.hpp"
#include "tools/report/report_page.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::tools {

using Ordered = nlohmann::ordered_json;

Desk::Answer Desk::year(Request const& request) {
    auto const scenario = scenarios::named_design(file_, request.option()).scenario;
    auto const weather = weather_of(scenario);
    sim::Clock clock;
    clock.first_hour = 24 * request.count("first_day", 0, 0, 364);
    clock.hours = 24 * request.count("days", 365, 1, 3650);
    int const age = request.count("age", 1, 1, 50);
    auto const hourly = sim::make_inputs(scenario, *weather);
    auto const system = sim::make_system(scenario);
    auto const result =
        age > 1 ? sim::simulate_years(system, hourly, clock, age) : sim::simulate(system, hourly, clock);
    bool const whole_year = clock.first_hour == 0 && clock.hours == 24 * sim::days_per_year;
    std::optional<sim::SupplyIndices> indices;
    if (whole_year) indices = sim::indices_of(scenario, hourly);
    auto* const of = whole_year && age == 1 ? judged(request, scenario) : nullptr;
    auto warnings = scenario.warnings;
    warnings.insert(warnings.end(), weather->warnings.begin(), weather->warnings.end());
    warnings.insert(warnings.end(), hourly->warnings.begin(), hourly->warnings.end());
    return {year_json(result, of ? &of->verdicts : nullptr, of ? &of->worst() : nullptr, indices,
                      scenarios::provenance_lines_of_run(scenario)),
            warnings};
}

Desk::Answer Desk::years(Request const& request) {
    auto const scenario = scenarios::named_design(file_, request.option()).scenario;
    // As in the command: one file of one year stands in for the scenario's own; anything else is recorded
    // years.
    bool const recorded_alone = !weather_.paths.empty() && records_->is_record(scenario, weather_);
    std::optional<weather::RecordedYears> record;
    if (recorded_alone || (weather_.paths.empty() && !scenario.recorded_paths.empty()))
        record = records_->of(scenario, weather_);
    sim::DrawOptions draw;
    if (record) draw.recorded = sim::recorded_sets(*record);
    draw.years = recorded_alone ? 0 : request.count("years", scenario.years.made, 1, 100000);
    draw.seed = request.get("seed", scenario.years.seed);
    draw.shelf = made_;
    auto const own = recorded_alone ? draw.recorded.at(0).chains.at(0).at(0) : *weather_of(scenario);
    return {years_json(sim::sourced_years(scenario, own, draw), record, draw.seed), scenario.warnings};
}

Desk::Answer Desk::autonomy(Request const& request) {
    sim::AutonomyOptions asked;
    double const clearness = request.get("clearness", 0.12), years = request.get("years", 10.0);
    int const days = request.count("days", 10, 1, 60);
    asked.leak_m3_s = request.get("leak_m3_s", asked.leak_m3_s);
    asked.every_days = request.count("every", asked.every_days, 1, 90);
    asked.cloudy.values = {clearness};
    asked.cloudy.hours = 24 * days;
    auto const option = request.option();
    auto const designs = option.empty() && !request.get("one_design", false)
                             ? all_designs(true)
                             : std::vector{scenarios::named_design(file_, option)};
    std::vector<std::string> warnings;
    std::vector<std::shared_ptr<weather::WeatherYear const>> weathers;
    for (auto const& design : designs) {
        weathers.push_back(weather_of(design.scenario));
        for (auto const& warning : design.scenario.warnings)
            warnings.push_back(designs.size() > 1 ? design.name + ": " + warning : warning);
    }
    auto const columns = sim::autonomy_columns(
        designs, weathers, years, asked,
        sim::years_to_run(designs[0].scenario, stand_in({Ordered::object()}, designs[0].scenario)));
    AutonomyQuestion const question{fmt::format("clearness {:g}", clearness), days, asked.leak_m3_s, years,
                                    false};
    return {autonomy_json(question, columns, scenarios::provenance_lines_of_run(designs[0].scenario)),
            warnings};
}

Desk::Answer Desk::compare(Request const& request) {
    if (file_.options.empty())
        throw std::invalid_argument("the scenario has no [[option]] to compare with the base design");
    auto const designs = all_designs(!request.get("options_only", false));
    std::vector<sim::DrawnDesign> drawn;
    std::vector<std::string> warnings;
    std::vector<std::shared_ptr<weather::WeatherYear const>> weather;
    for (auto const& design : designs) {
        weather.push_back(weather_of(design.scenario));
        drawn.push_back({design.scenario, weather.back().get()});
    }
    // The figures of each design take most of the time.
    constexpr double figures_done = 0.8;
    auto weather_used = stand_in(request, designs[0].scenario);
    weather_used.progress = sim::part_of(progress_, figures_done, 1);
    auto const options = sim::years_to_run(designs[0].scenario, weather_used);
    auto figures = sim::figures_to_compare(drawn, options, sim::part_of(progress_, 0, figures_done));
    for (std::size_t i = 0; i < designs.size(); ++i)
        for (auto const& warning : figures[i].warnings) warnings.push_back(designs[i].name + ": " + warning);
    for (auto& design : drawn) design.scenario = sim::as_judged(design.scenario);
    sim::Draws years;
    std::string no_years;
    if (sim::any_years(options)) try {
            years = sim::draw_years(drawn, options);
        } catch (std::invalid_argument const& error) {
            if (request.json.contains("years")) throw;
            no_years = fmt::format("No range over years: {}.", scenarios::problem_words(error));
        }
    auto ranking = sim::rank_designs(designs, std::move(figures), sim::years_to_show(years));
    auto comparison =
        comparison_of(designs, std::move(ranking), years, units_of({}, designs.front().scenario));
    if (!no_years.empty()) comparison.years_note = no_years;
    return {comparison_json(comparison, scenarios::provenance_lines_of_run(designs[0].scenario)), warnings};
}

Desk::Answer Desk::size(Request const& request) {
    using Texts = std::vector<std::string>;
    auto settings = scenarios::read_search(file_).value_or(scenarios::SearchSettings{});
    for (auto const& text : request.get("vary", Texts())) add_axis(settings, text);
    for (auto const& text : request.get("require", Texts()))
        scenarios::set_requirement(settings.require, text);
    sim::SizeOptions options;
    auto const design = scenarios::named_design(file_, request.option());
    for (auto const& option : file_.options)
        if (option.name == request.option()) options.base = option;
    options.weather = stand_in(request, design.scenario);
    return {size_json(sim::size_design(file_, settings, options)), design.scenario.warnings};
}

Desk::Answer Desk::sensitivity(Request const& request) {
    auto const scenario = scenarios::named_design(file_, request.option()).scenario;
    std::vector<sim::RangeToTry> ranges;
    for (auto const& text : request.get("inputs", std::vector<std::string>()))
        ranges.push_back(range_to_try(text));
    if (ranges.empty()) ranges = sim::stated_ranges(scenario);
    if (ranges.empty())
        throw std::invalid_argument("the scenario states no range to try; add [assumed_range]");
    return {sensitivity_json(sim::sensitivity(file_, request.option(), stand_in(request, scenario), ranges),
                             scenarios::provenance_lines(scenario)),
            scenario.warnings};
}

Desk::Answer Desk::check(Request const& request) {
    auto const scenario = scenarios::named_design(file_, request.option()).scenario;
    sim::CheckOptions options;
    options.units = request.text("units") == "us" ? Units::us : Units::metric;
    auto warnings = scenario.warnings;
    if (!scenario.design_check.sun_h) {
        try {
            options.darkest_month_kwh_per_day = sim::darkest_month_kwh_per_day(
                sim::make_inputs(scenario, *weather_of(scenario))->array_power_w);
        } catch (scenarios::MissingWeatherError const& error) {
            warnings.push_back(fmt::format("no sun for array-to-load: {}", error.what()));
        } catch (weather::WeatherError const& error) {
            warnings.push_back(fmt::format("no sun for array-to-load: {}", error.what()));
        }
    }
    return {check_json(scenario, sim::design_check(scenario, options)), warnings};
}

Desk::Answer Desk::report(Request const& request) {
    sim::ReportRequest asked;
    asked.option = request.option();
    asked.weather = stand_in(request, scenarios::named_design(file_, asked.option).scenario);
    auto const units = request.text("units");
    ReportShow const show{units == "both"     ? ReportUnits::both
                          : units == "us"     ? ReportUnits::us
                          : units == "metric" ? ReportUnits::metric
                                              : report_units(scenarios::base_design(file_).scenario)};
    asked.units = show.units == ReportUnits::us ? sim::ShownUnits::us : sim::ShownUnits::metric;
    asked.both_units = show.units == ReportUnits::both;
    auto const runs = sim::run_report(file_, asked);
    auto const content = report_content(runs,
                                        {file_.path, file_.text, request.text("date"), request.text("firm"),
                                         request.text("customer"), request.text("valid_until")},
                                        show);
    return {{{"page", report_page(content, report_assets())}, {"content", content}},
            quoted_scenario(runs).warnings};
}

}  // namespace holdwater::tools
