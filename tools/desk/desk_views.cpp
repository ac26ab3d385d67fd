#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "models/cost/economics.hpp"
#include "sim/autonomy/cloudy_period_run.hpp"
#include "sim/designs/design_cost.hpp"
#include "sim/designs/sensitivity.hpp"
#include "sim/designs/what_ifs.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/verdict/site_cloudy_period.hpp"
#include "sim/verdict/years_to_run.hpp"
#include "sim/verdict/years_verdict.hpp"
#include "sim/water/water_side.hpp"
#include "sim/year/simulate.hpp"
#include "tools/answers/summary_table.hpp"
#include "tools/answers/verdict_words.hpp"
#include "tools/desk/desk_request.hpp"
#include "tools/desk/edit_scenario.hpp"
#include "tools/desk/typed_value.hpp"
#include "tools/report/report_content.hpp"
#include "tools/show/site_period_words.hpp"
#include "weather/sun_position.hpp"

namespace holdwater::tools {
namespace {

using Ordered = nlohmann::ordered_json;

template <class Get>
Ordered hourly_column(std::vector<sim::HourRecord> const& hours, double scale, Get const& get) {
    Ordered values = Ordered::array();
    for (auto const& hour : hours) values.push_back(std::round(scale * get(hour)) / scale);
    return values;
}

}  // namespace

Desk::Answer Desk::verdict(Request const& request) {
    auto const scenario = scenarios::named_design(file_, request.option()).scenario;
    auto* const of = Desk::judged(request, scenario);
    if (!of) return {nullptr};
    auto const& verdicts = of->verdicts;
    auto const& design = verdicts.designs[0];
    auto const& judged = design.judged().judged();
    Ordered answer{
        {"verdict", verdict_json(verdicts, 0)}, {"source", judged.source}, {"years", judged.verdict.years}};
    if (request.get("worst", true))
        answer["worst"] = worst_words(judged.verdict, of->worst(), verdicts.winters);
    return {answer, scenario.warnings};
}

Desk::Answer Desk::verdicts(Request const& request) {
    using Changes = std::vector<std::map<std::string, std::string>>;
    auto const system =
        request.text("units") == "us" ? scenarios::UnitSystem::us : scenarios::UnitSystem::metric;
    std::vector<scenarios::Scenario> scenarios;
    std::vector<std::size_t> place;  // in `scenarios`
    Ordered answer = Ordered::array();
    for (auto const& changes : request.get("sets", std::vector<Changes>())) {
        Ordered row{{"error", nullptr}};
        try {
            auto text = file_.text;
            for (auto const& change : changes)
                text = with_key_set(text, change.at("key"),
                                    typed_as_toml(change.at("key"), change.at("value"), system));
            scenarios.push_back(
                scenarios::named_design(scenarios::read_design_text(text, file_.path), request.option())
                    .scenario);
            place.push_back(answer.size());
        } catch (std::runtime_error const& error) {  // what is wrong with this one is its answer
            row["error"] = error.what();
        }
        answer.push_back(std::move(row));
    }
    if (scenarios.empty()) return {answer};
    std::vector<std::shared_ptr<weather::WeatherYear const>> weather;
    std::vector<sim::DrawnDesign> designs;
    for (auto const& scenario : scenarios) {
        weather.push_back(weather_of(scenario));
        designs.push_back({sim::as_judged(scenario), weather.back().get()});
    }
    auto const draw = sim::years_to_run(scenarios[0], stand_in(request, scenarios[0]));
    if (!sim::any_years(draw)) return {answer};
    auto const draws = sim::draw_years(designs, draw);
    for (std::size_t i = 0; i < scenarios.size(); ++i) {
        auto const& years = draws.years.empty() ? draws.recorded.at(0).years.at(i) : draws.years.at(i);
        auto const verdict = sim::verdict_of(years, scenarios[i].years.required);
        auto& row = answer[place[i]];
        row["held"] = verdict.held;
        row["years"] = verdict.years;
        row["needed"] = verdict.needed;
    }
    return {answer};
}

Desk::Answer Desk::hours(Request const& request) {
    using Hour = sim::HourRecord const&;
    auto const scenario = scenarios::named_design(file_, request.option()).scenario;
    auto const weather = weather_of(scenario);
    auto const system = sim::make_system(scenario);
    std::optional<sim::RunResult> typical;
    sim::RunResult const* run = nullptr;
    Ordered answer;
    if (auto* const of = request.text("year") == "worst" ? judged(request, scenario) : nullptr) {
        auto const& verdicts = of->verdicts;
        auto const& worst = of->worst();
        answer["name"] = year_name(worst, verdicts.winters);
        answer["words"] = worst_words(verdicts.designs[0].judged().judged().verdict, worst, verdicts.winters);
        answer["first_hour"] = worst.run.clock.first_hour;
        answer["from"] = worst.longest ? worst.longest->first_hour : worst.run.lowest_soc_hour;
        answer["to"] =
            worst.longest ? worst.longest->first_hour + worst.longest->hours : worst.run.lowest_soc_hour;
        run = &worst.run;
    } else {
        typical = sim::simulate(system, sim::make_inputs(scenario, *weather), sim::Clock{});
        answer["name"] = "the typical year";
        answer["words"] = "";
        answer["first_hour"] = 0;
        answer["from"] = answer["to"] = nullptr;
        run = &*typical;
    }
    auto const& hours = run->hours;
    auto const level = system.cistern  ? &sim::HourRecord::cistern_water_m3
                       : system.trough ? &sim::HourRecord::trough_water_m3
                                       : &sim::HourRecord::tank_water_m3;
    answer["store"] = system.cistern ? "cistern" : system.trough ? "trough" : "tank";
    answer["min_soc"] = system.battery.min_soc;
    answer["backup"] = scenario.rules.backup == sim::Backup::none        ? ""
                       : scenario.rules.backup == sim::Backup::generator ? "generator"
                       : scenario.rules.second                           ? "grid and generator"
                                                                         : "grid";
    if (scenario.rules.backup == sim::Backup::none)
        answer["transfer_below"] = nullptr;
    else
        answer["transfer_below"] = scenario.rules.transfer_below;
    answer["soc"] = hourly_column(hours, 1e3, [](Hour h) { return h.battery_soc; });
    answer["pv_kw"] = hourly_column(hours, 1e3, [](Hour h) { return h.pv_used_kw; });
    answer["pv_available_kw"] = hourly_column(hours, 1e3, [](Hour h) { return h.pv_available_kw; });
    answer["load_kw"] = hourly_column(hours, 1e3, [](Hour h) { return h.pump_kw + h.load_served_kw; });
    answer["backup_kw"] = hourly_column(hours, 1e3, [](Hour h) { return h.generator_kw + h.grid_kw; });
    answer["generator_run_h"] = hourly_column(hours, 1e2, [](Hour h) { return h.generator_run_h; });
    answer["store_l"] = hourly_column(hours, 1, [&](Hour h) { return 1e3 * h.*level; });
    answer["demand_l"] = hourly_column(hours, 10, [](Hour h) { return 1e3 * h.water_demand_m3; });
    answer["short_l"] = hourly_column(
        hours, 10, [](Hour h) { return h.water_short_m3 > sim::some_water_m3 ? 1e3 * h.water_short_m3 : 0; });
    std::string sources;
    for (auto const& hour : hours) sources += source_of(hour, scenario.rules.backup);
    answer["source"] = sources;
    answer["lines"] = Ordered::array();
    for (auto const& line :
         summary_lines(scenario, *run, request.text("units") == "us" ? Units::us : Units::metric))
        answer["lines"].push_back({{"label", line.label}, {"text", line.text}});
    return {answer, scenario.warnings};
}

Desk::Answer Desk::cloudiness(Request const& request) {
    auto const shares =
        request.get("shares", std::vector<double>{0, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6});
    for (double const share : shares)
        if (!(share >= 0 && share <= 1))
            throw std::invalid_argument(fmt::format("shares: {}: a share of a clear sky is 0 to 1", share));
    auto const scenario = scenarios::named_design(file_, request.option()).scenario;
    auto const weather = weather_of(scenario);
    Ordered answer{{"shares", shares}, {"days", Ordered::array()}, {"most", sim::longest_shortage_days}};
    for (double const share : shares) {
        auto const days = sim::days_to_shortage(scenario, *weather, {share}).front();
        answer["days"].push_back(std::isfinite(days) ? Ordered(days) : Ordered(nullptr));
        sim::tell_share(progress_,
                        static_cast<double>(answer["days"].size()) / static_cast<double>(shares.size()));
    }
    return {answer, scenario.warnings};
}

Desk::Answer Desk::site_periods(Request const& request) {
    auto const scenario = scenarios::named_design(file_, request.option()).scenario;
    auto const weather = weather_of(scenario);
    auto const draw = sim::years_to_run(scenario, stand_in(request, scenario));
    Ordered list = Ordered::array();
    auto const add = [&](sim::SiteCloudyPeriod const& period, weather::Site const& site, std::string source,
                         std::string words) {
        list.push_back({{"source", std::move(source)},
                        {"share", sim::clear_sky_share_of(period.clearness, weather::sun_over_year(site),
                                                          period.first_day)},
                        {"words", std::move(words)}});
    };
    auto const made = sim::site_cloudy_periods({{scenario, weather.get()}}, draw).front();
    add(made, weather->site, made.years > 0 ? "made" : "file", site_period_text(made));
    for (auto const& set : draw.recorded) {
        if (set.chains.empty()) continue;
        auto const worst = sim::worst_recorded_period(scenario, set);
        add(worst, set.chains[0].at(0).site, "recorded", recorded_period_text(worst, set.source));
    }
    return {list, scenario.warnings};
}

Desk::Answer Desk::ranges(Request const& request) {
    Ordered list = Ordered::array();
    for (auto const& r : sim::stated_ranges(scenarios::named_design(file_, request.option()).scenario))
        list.push_back({{"input", r.input}, {"low", r.low}, {"high", r.high}, {"provenance", r.provenance}});
    return {list};
}

Desk::Answer Desk::cost(Request const& request) {
    auto const design = scenarios::named_design(file_, request.option());
    if (!design.prices) return {nullptr};
    auto const& scenario = design.scenario;
    auto const year = sim::simulate(sim::make_system(scenario),
                                    sim::make_inputs(scenario, *weather_of(scenario)), sim::Clock{});
    auto const cost = sim::cost_of(design.prices, year.summary, year.findings);
    return {{{"life_cycle_cost", cost->life_cycle_cost},
             {"years", design.prices->years},
             {"currency", design.prices->currency}}};
}

}  // namespace holdwater::tools
