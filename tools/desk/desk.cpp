#include "tools/desk/desk.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <system_error>
#include <utility>

#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/settings/field_words.hpp"
#include "scenarios/settings/scenario.hpp"
#include "tools/desk/desk_request.hpp"
#include "tools/show/json_text.hpp"

namespace holdwater::tools {

using Ordered = nlohmann::ordered_json;

namespace {

bool holds(std::filesystem::path const& path, std::string_view bytes) {
    std::error_code none;
    if (std::filesystem::file_size(path, none) != bytes.size() || none) return false;
    std::ifstream in(path, std::ios::binary);
    return std::equal(std::istreambuf_iterator<char>(in), {}, bytes.begin());
}

}  // namespace

std::string Desk::put_file(std::string const& path, std::string_view bytes) {
    try {
        std::filesystem::path const given(path);
        // The page gives all files of a design again with each change.
        if (holds(given, bytes)) return {};
        if (given.has_parent_path()) std::filesystem::create_directories(given.parent_path());
        std::ofstream out(given, std::ios::binary);
        out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
        if (!out.flush()) return path + ": cannot be kept";
        judged_.reset();
        if (given.extension() != ".toml") forget_weather();
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
        error = scenarios::problem_words(thrown);
    } catch (...) {
        error = "internal error";
    }
    return json_text({{"error", error}});
}

Desk::Answer Desk::answer(Request const& request) {
    auto const call = request.text("call");
    if (call == "load_scenario") return load_scenario(request);
    if (call == "describe") return describe(request);
    if (call == "start") return start(request);
    if (file_.path.empty()) throw std::invalid_argument("no scenario is loaded");
    if (call == "load_weather") return load_weather(request);
    using Member = Answer (Desk::*)(Request const&);
    static constexpr std::array<std::pair<std::string_view, Member>, 25> calls{
        {{"set_keys", &Desk::set_keys},
         {"set_text", &Desk::set_text},
         {"remove", &Desk::remove},
         {"removable", &Desk::removable},
         {"add", &Desk::add},
         {"keys", &Desk::keys},
         {"parts", &Desk::parts},
         {"take_part", &Desk::take_part},
         {"save", &Desk::save},
         {"year", &Desk::year},
         {"verdict", &Desk::verdict},
         {"verdicts", &Desk::verdicts},
         {"hours", &Desk::hours},
         {"years", &Desk::years},
         {"autonomy", &Desk::autonomy},
         {"cloudiness", &Desk::cloudiness},
         {"site_periods", &Desk::site_periods},
         {"compare", &Desk::compare},
         {"size", &Desk::size},
         {"sensitivity", &Desk::sensitivity},
         {"ranges", &Desk::ranges},
         {"check", &Desk::check},
         {"cost", &Desk::cost},
         {"report", &Desk::report},
         {"set_key", &Desk::set_keys}}};
    for (auto const& [name, member] : calls)
        if (name == call) return (this->*member)(request);
    throw std::invalid_argument(fmt::format("there is no call '{}'", call));
}

void Desk::use(scenarios::DesignFile file) {
    (void)scenarios::base_design(file);  // throws where the scenario cannot be used
    file_ = std::move(file);
}

Desk::Answer Desk::load_scenario(Request const& request) {
    use(scenarios::read_design_file(request.text("path")));
    auto const scenario = scenarios::base_design(file_).scenario;
    Ordered answer{{"title", scenario.title},
                   {"place", scenario.place},
                   {"units", scenario.units == scenarios::UnitSystem::us ? "us" : "metric"},
                   {"options", Ordered::array()}};
    for (auto const& option : file_.options) answer["options"].push_back(option.name);
    return {answer, scenario.warnings};
}

Desk::Answer Desk::load_weather(Request const& request) {
    scenarios::OtherYears other;
    other.paths = request.get("paths", std::vector<std::string>());
    other.temperature_path = request.text("temperature");
    auto const& paths = other.paths;
    auto const scenario = scenarios::base_design(file_).scenario;
    Ordered stations = Ordered::array();
    std::vector<std::string> warnings;
    if (!paths.empty() && records_->is_record(scenario, other)) {
        auto const record = records_->of(scenario, other);
        for (auto const& light : record.lights)
            for (auto const& chain : light.chains)
                for (auto const& year : chain.years) stations.push_back(year.weather.station);
    } else {
        for (auto const& path : paths) {
            auto const year = scenarios::read_scenario_weather(scenario, path);
            stations.push_back(year.station);
            warnings.insert(warnings.end(), year.warnings.begin(), year.warnings.end());
        }
    }
    weather_ = other;
    judged_.reset();
    return {{{"stations", stations}}, warnings};
}

sim::WeatherStandIn Desk::stand_in(Request const& request, scenarios::Scenario const& scenario) const {
    sim::WeatherStandIn weather;
    weather.shelf = made_;
    weather.records = records_;
    weather.progress = progress_;
    if (int const years = request.count("years", -1, -1, 100000); years >= 0) weather.made_years = years;
    if (request.json.contains("seed")) weather.seed = request.get("seed", std::uint64_t{1});
    if (weather_.paths.empty()) return weather;
    weather.recorded = weather_;
    if (!records_->is_record(scenario, weather.recorded)) {
        weather.file = weather_.paths.front();
        weather.recorded.paths.clear();
    }
    return weather;
}

sim::WorstYear const& Desk::Judged::worst() {
    if (!worst_run) worst_run = sim::worst_year(designs, draw, verdicts, 0);
    return *worst_run;
}

Desk::Judged* Desk::judged(Request const& request, scenarios::Scenario const& scenario) {
    auto asked = fmt::format("{} {}\n{}\n{}", request.get("years", -1), request.get("seed", Ordered()).dump(),
                             request.option(), file_.text);
    if (judged_ && judged_->asked == asked) return &*judged_;
    auto draw = sim::years_to_run(scenario, stand_in(request, scenario));
    if (!sim::any_years(draw)) return nullptr;
    auto const weather = weather_of(scenario);
    std::vector<sim::DrawnDesign> designs{{scenario, weather.get()}};
    auto verdicts = sim::verdicts_over_years(designs, draw);
    return &judged_.emplace(
        Judged{std::move(asked), std::move(designs), weather, std::move(draw), std::move(verdicts)});
}

void Desk::forget_weather() {
    shelves_.clear();
    records_ = std::make_shared<scenarios::RecordShelf>();
    judged_.reset();
}

std::shared_ptr<weather::WeatherYear const> Desk::weather_of(scenarios::Scenario const& scenario) {
    auto const file = stand_in({Ordered::object()}, scenario).file;
    return shelves_.try_emplace(file, file).first->second.of(scenario);
}

std::vector<scenarios::Design> Desk::all_designs(bool with_base) const {
    std::vector<scenarios::Design> designs;
    if (with_base) designs.push_back(scenarios::base_design(file_));
    for (auto const& option : file_.options) designs.push_back(scenarios::option_design(file_, option));
    return designs;
}

}  // namespace holdwater::tools
