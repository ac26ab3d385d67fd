#include "tools/desk/desk.hpp"

#include <fmt/format.h>

#include <cstdint>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <utility>

#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/design/search_settings.hpp"
#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/assumed_inputs.hpp"
#include "sim/autonomy/autonomy_study.hpp"
#include "sim/check/design_check.hpp"
#include "sim/designs/made_years.hpp"
#include "sim/designs/sensitivity.hpp"
#include "sim/designs/size_design.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/aging_years.hpp"
#include "sim/year/simulate.hpp"
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
#include "tools/show/json_text.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::tools {

using Ordered = nlohmann::ordered_json;

struct Desk::Answer {
    Ordered answer;
    std::vector<std::string> warnings{};
};

struct Desk::Request {
    Ordered json;

    template <typename T>
    [[nodiscard]] T get(char const* key, T otherwise) const {
        auto const at = json.find(key);
        if (at == json.end() || at->is_null()) return otherwise;
        try {
            return at->get<T>();
        } catch (nlohmann::json::exception const&) {
            throw std::invalid_argument(fmt::format("the request's '{}' has another type", key));
        }
    }
    [[nodiscard]] std::string text(char const* key) const { return get(key, std::string()); }
    [[nodiscard]] int count(char const* key, int otherwise, int low, int high) const {
        int const value = get(key, otherwise);
        if (value < low || value > high)
            throw std::invalid_argument(fmt::format("{} = {}: it is {} to {}", key, value, low, high));
        return value;
    }
    [[nodiscard]] std::string option() const { return text("option"); }
};

std::string Desk::put_file(std::string const& path, std::string_view bytes) {
    try {
        std::filesystem::path const given(path);
        if (given.has_parent_path()) std::filesystem::create_directories(given.parent_path());
        std::ofstream out(given, std::ios::binary);
        out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
        if (!out.flush()) return path + ": cannot be kept";
        shelf_ = nullptr;
        return {};
    } catch (std::exception const& error) {
        return error.what();
    }
}

std::string Desk::call(std::string const& request) {
    std::string error;
    try {
        auto const made = answer({Ordered::parse(request)});
        return json_text({{"answer", made.answer}, {"warnings", made.warnings}});
    } catch (nlohmann::json::exception const&) {
        error = "the request is no JSON that is understood";
    } catch (std::bad_alloc const&) {
        error = "not enough memory";
    } catch (std::exception const& thrown) {
        error = thrown.what();
    } catch (...) {
        error = "internal error";
    }
    return json_text({{"error", error}});
}

Desk::Answer Desk::answer(Request const& request) {
    auto const call = request.text("call");
    if (call == "load_scenario") return load_scenario(request);
    if (file_.path.empty()) throw std::invalid_argument("no scenario is loaded");
    if (call == "load_weather") return load_weather(request);
    if (call == "set_key") return set_key(request);
    if (call == "save") return {file_.text};
    if (call == "year") return year(request);
    if (call == "years") return years(request);
    if (call == "autonomy") return autonomy(request);
    if (call == "compare") return compare(request);
    if (call == "size") return size(request);
    if (call == "sensitivity") return sensitivity(request);
    if (call == "check") return check(request);
    if (call == "report") return report(request);
    throw std::invalid_argument(fmt::format("there is no call '{}'", call));
}

void Desk::use(scenarios::DesignFile file) {
    (void)scenarios::base_design(file);  // throws where the scenario cannot be used
    file_ = std::move(file);
    shelf_ = nullptr;
}

Desk::Answer Desk::load_scenario(Request const& request) {
    use(scenarios::read_design_file(request.text("path")));
    auto const scenario = scenarios::base_design(file_).scenario;
    Ordered answer{{"title", scenario.title}, {"place", scenario.place}, {"options", Ordered::array()}};
    for (auto const& option : file_.options) answer["options"].push_back(option.name);
    return {answer, scenario.warnings};
}

Desk::Answer Desk::load_weather(Request const& request) {
    auto const paths = request.get("paths", std::vector<std::string>());
    auto const scenario = scenarios::base_design(file_).scenario;
    Ordered stations = Ordered::array();
    std::vector<std::string> warnings;
    for (auto const& path : paths) {
        auto const year = scenarios::read_scenario_weather(scenario, path);
        stations.push_back(year.station);
        warnings.insert(warnings.end(), year.warnings.begin(), year.warnings.end());
    }
    weather_ = paths;
    shelf_ = nullptr;
    return {{{"stations", stations}}, warnings};
}

Desk::Answer Desk::set_key(Request const& request) {
    auto const value = scenarios::as_toml_value(request.text("value"));
    use(scenarios::read_design_text(with_key_set(file_.text, request.text("key"), value), file_.path));
    return {true, scenarios::base_design(file_).scenario.warnings};
}

std::string Desk::weather_path() const { return weather_.empty() ? std::string() : weather_.front(); }

std::shared_ptr<weather::WeatherYear const> Desk::weather_of(scenarios::Scenario const& scenario) {
    if (!shelf_) shelf_ = std::make_unique<scenarios::WeatherShelf>(weather_path());
    return shelf_->of(scenario);
}

std::vector<weather::WeatherYear> Desk::recorded_years(scenarios::Scenario const& scenario) const {
    std::vector<weather::WeatherYear> years;
    if (weather_.size() > 1)
        for (auto const& path : weather_) years.push_back(scenarios::read_scenario_weather(scenario, path));
    return years;
}

std::vector<scenarios::Design> Desk::all_designs(bool with_base) const {
    std::vector<scenarios::Design> designs;
    if (with_base) designs.push_back(scenarios::base_design(file_));
    for (auto const& option : file_.options) designs.push_back(scenarios::option_design(file_, option));
    return designs;
}

Desk::Answer Desk::year(Request const& request) {
    auto const scenario = scenarios::named_design(file_, request.option()).scenario;
    auto const weather = weather_of(scenario);
    sim::Clock clock;
    clock.first_hour = 24 * request.count("first_day", 0, 0, 364);
    clock.hours = 24 * request.count("days", 365, 1, 3650);
    int const years = request.count("years", 1, 1, 50);
    auto const hourly = sim::make_inputs(scenario, *weather);
    auto const system = sim::make_system(scenario);
    auto const result =
        years > 1 ? sim::simulate_years(system, hourly, clock, years) : sim::simulate(system, hourly, clock);
    auto warnings = scenario.warnings;
    warnings.insert(warnings.end(), weather->warnings.begin(), weather->warnings.end());
    warnings.insert(warnings.end(), hourly->warnings.begin(), hourly->warnings.end());
    return {year_json(result, scenarios::provenance_lines_of_run(scenario)), warnings};
}

Desk::Answer Desk::years(Request const& request) {
    auto const scenario = scenarios::named_design(file_, request.option()).scenario;
    sim::DrawOptions draw;
    draw.records = recorded_years(scenario);
    int const usual = draw.records.empty() ? 50 : static_cast<int>(draw.records.size());
    draw.years = request.count("draws", usual, 1, 100000);
    draw.seed = request.get("seed", std::uint64_t{1});
    auto const own = weather_of(scenario);
    auto as_written = sim::run_year(scenario, *own);
    if (!as_written.problem.empty()) throw std::invalid_argument(as_written.problem);
    bool const made = draw.records.empty();
    auto const found =
        answer_years(std::move(as_written), sim::draw_years({{scenario, own.get()}}, draw), made);
    return {years_json(found, draw.seed), scenario.warnings};
}

Desk::Answer Desk::autonomy(Request const& request) {
    sim::AutonomyOptions asked;
    double const clearness = request.get("clearness", 0.12), years = request.get("years", 10.0);
    int const days = request.count("days", 10, 1, 60);
    asked.leak_m3_s = request.get("leak_m3_s", asked.leak_m3_s);
    asked.every_days = request.count("every", asked.every_days, 1, 90);
    asked.dull.values = {clearness};
    asked.dull.hours = 24 * days;
    auto const option = request.option();
    auto const designs =
        option.empty() ? all_designs(true) : std::vector{scenarios::named_design(file_, option)};
    std::vector<AutonomyColumn> columns, old;
    std::vector<std::string> warnings;
    for (auto const& design : designs) {
        auto const weather = weather_of(design.scenario);
        columns.push_back(
            {design.name, 0, 1, 1, false, sim::study_autonomy(design.scenario, *weather, asked)});
        for (auto const& warning : design.scenario.warnings)
            warnings.push_back(designs.size() > 1 ? design.name + ": " + warning : warning);
        if (years == 0) continue;
        auto const a = sim::aged(design.scenario, *weather, years);
        old.push_back({design.name, years, a.battery_left, a.array_left, a.life_assumed,
                       sim::study_autonomy(a.scenario, *weather, asked)});
    }
    columns.insert(columns.end(), old.begin(), old.end());
    AutonomyQuestion const question{fmt::format("clearness {:g}", clearness), days, asked.leak_m3_s, years,
                                    false};
    return {autonomy_json(question, columns, scenarios::provenance_lines_of_run(designs[0].scenario)),
            warnings};
}

Desk::Answer Desk::compare(Request const& request) {
    if (file_.options.empty())
        throw std::invalid_argument("the scenario has no [[option]] to compare with the base design");
    auto const designs = all_designs(!request.get("options_only", false));
    int const days = request.count("days", 10, 1, 60), draws = request.get("draws", -1);
    std::vector<sim::DesignFigures> figures;
    std::vector<std::string> warnings;
    std::vector<std::shared_ptr<weather::WeatherYear const>> weather;
    for (auto const& design : designs) {
        weather.push_back(weather_of(design.scenario));
        figures.push_back(sim::figures_of(design.scenario, *weather.back(), days));
        for (auto const& warning : figures.back().warnings) warnings.push_back(design.name + ": " + warning);
    }
    constexpr int usual_draws = 20;
    sim::DrawOptions options;
    options.records = recorded_years(designs[0].scenario);
    options.seed = request.get("seed", std::uint64_t{1});
    options.years = draws >= 0                ? draws
                    : options.records.empty() ? usual_draws
                                              : static_cast<int>(options.records.size());
    sim::Draws drawn;
    std::string no_years;
    if (options.years > 0) {
        std::vector<sim::DrawnDesign> drawn_designs;
        for (std::size_t i = 0; i < designs.size(); ++i)
            drawn_designs.push_back({designs[i].scenario, weather[i].get()});
        try {
            drawn = sim::draw_years(drawn_designs, options);
        } catch (std::invalid_argument const& error) {
            if (draws >= 0) throw;
            no_years = fmt::format("No range over years: {}.", error.what());
        }
    }
    auto comparison = compare_designs(designs, std::move(figures), std::move(drawn), days, Units::metric);
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
    options.weather_path = weather_path();
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
    return {sensitivity_json(sim::sensitivity(file_, request.option(), weather_path(), ranges),
                             scenarios::provenance_lines(scenario)),
            scenario.warnings};
}

Desk::Answer Desk::check(Request const& request) {
    auto const scenario = scenarios::named_design(file_, request.option()).scenario;
    sim::CheckOptions options;
    options.units = Units::metric;
    auto warnings = scenario.warnings;
    if (!scenario.design_check.sun_h) {
        try {
            options.darkest_month_kwh_per_day = sim::darkest_month_kwh_per_day(
                sim::make_inputs(scenario, *weather_of(scenario))->array_power_w);
        } catch (weather::WeatherError const& error) {
            warnings.push_back(fmt::format("no sun for array-to-load: {}", error.what()));
        }
    }
    return {check_json(scenario, sim::design_check(scenario, options)), warnings};
}

Desk::Answer Desk::report(Request const& request) {
    ReportRequest asked;
    asked.option = request.option();
    asked.weather = weather_path();
    asked.cloudy_period_days = request.count("cloudy_period_days", asked.cloudy_period_days, 1, 60);
    auto const stated = scenarios::base_design(file_).scenario.units;
    auto const units = request.text("units");
    asked.show.units = units == "both"                       ? ReportUnits::both
                       : units == "us"                       ? ReportUnits::us
                       : units == "metric"                   ? ReportUnits::metric
                       : stated == scenarios::UnitSystem::us ? ReportUnits::us
                                                             : ReportUnits::metric;
    auto const runs = run_report(file_, asked);
    auto const content = report_content(runs, {file_.path, file_.text, request.text("date")}, asked.show);
    return {{{"page", report_page(content, report_assets())}, {"content", content}},
            quoted_scenario(runs).warnings};
}

}  // namespace holdwater::tools
