#include "sim/verdict/years_to_run.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <memory>

#include "scenarios/design/record_shelf.hpp"
#include "sim/verdict/made_weather.hpp"

namespace holdwater::sim {
namespace {

std::vector<std::string> notes_on(weather::RecordedYears const& record, weather::LightModel model) {
    static constexpr std::string_view kinds[] = {"left out",    "chain", "filled",
                                                 "second file", "level", "place"};
    std::vector<std::string> notes;
    for (auto const& f : record.findings) {
        bool const ours = f.model == model || f.model == weather::LightModel::own;
        if (!ours || std::find(std::begin(kinds), std::end(kinds), f.kind) == std::end(kinds)) continue;
        std::string const hours = f.hours == 0 || f.kind == "left out" ? "" : fmt::format("{} h, ", f.hours);
        std::string const years = f.kind == "left out" ? "" : weather::words_of_years(f.years);
        notes.push_back(hours + years + (years.empty() ? "" : ": ") + f.text);
    }
    return notes;
}

}  // namespace

DrawOptions years_to_run(scenarios::Scenario const& scenario, WeatherStandIn const& weather) {
    DrawOptions options;
    options.shelf = weather.shelf ? weather.shelf : std::make_shared<MadeShelf>();
    options.years = weather.made_years.value_or(scenario.years.made);
    options.seed = weather.seed.value_or(scenario.years.seed);
    if (!weather.recorded.paths.empty() || !scenario.recorded_paths.empty())
        options.recorded =
            recorded_sets(weather.records ? weather.records->of(scenario, weather.recorded)
                                          : scenarios::read_scenario_years(scenario, weather.recorded));
    options.stop = weather.stop;
    if (weather.progress)
        options.progress = [tell = weather.progress](int done, int all) {
            tell(static_cast<double>(done) / all);
        };
    return options;
}

bool any_years(DrawOptions const& options) {
    auto const consecutive = [](RecordedSet const& set) {
        return std::any_of(set.chains.begin(), set.chains.end(),
                           [](RecordedChain const& chain) { return chain.size() > 1; });
    };
    return options.years > 0 || std::any_of(options.recorded.begin(), options.recorded.end(), consecutive);
}

std::vector<RecordedSet> recorded_sets(weather::RecordedYears const& record) {
    std::vector<RecordedSet> sets;
    for (auto const& light : record.lights) {
        auto& set = sets.emplace_back();
        if (light.model != weather::LightModel::own) set.source = weather::name_of(light.model);
        set.notes = notes_on(record, light.model);
        for (auto const& chain : light.chains) {
            auto& years = set.chains.emplace_back();
            for (auto const& year : chain.years) years.push_back(year.weather);
        }
    }
    return sets;
}

}  // namespace holdwater::sim
