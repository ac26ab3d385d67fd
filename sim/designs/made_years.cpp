#include "sim/designs/made_years.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <stdexcept>

#include "models/numeric/parameter_error.hpp"
#include "models/numeric/random_stream.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/batch/scenario_years.hpp"
#include "weather/fit_maker.hpp"

namespace holdwater::sim {
namespace {

constexpr int batch_years = 32;
enum Stream : std::uint64_t { weather_stream = 41, outage_stream, demand_stream, generator_stream };

scenarios::Scenario redrawn(scenarios::Scenario s, std::uint64_t seed, int year) {
    auto const of = [&](Stream stream) {
        return models::stream_seed(seed, stream, static_cast<std::uint64_t>(year));
    };
    if (s.outage_draw)
        s.outages = models::merge(s.listed_outages,
                                  models::draw_outages(*s.outage_draw, of(outage_stream), hours_per_year));
    s.demand.seed = of(demand_stream);
    s.generator_operation.seed = of(generator_stream);
    return s;
}

std::shared_ptr<weather::WeatherYear const> not_owned(weather::WeatherYear const& year) {
    return {std::shared_ptr<void>(), &year};
}

std::string what_is_drawn(std::vector<DrawnDesign> const& designs) {
    bool outages = false, demand = false, generator = false;
    for (auto const& [s, year] : designs) {
        outages = outages || (s.outage_draw && s.rules.backup == scenarios::Backup::grid);
        auto const varies = [](auto const& use) { return use.day_variation > 0; };
        demand = demand || std::any_of(s.demand.uses.begin(), s.demand.uses.end(), varies) ||
                 (s.demand.varying && varies(*s.demand.varying));
        generator = generator || (s.rules.backup == scenarios::Backup::generator &&
                                  s.generator_operation.run.start_failure > 0);
    }
    std::string text = "weather";
    if (outages) text += ", outages";
    if (demand) text += ", demand from day to day";
    if (generator) text += ", generator starts that fail";
    return text;
}

}  // namespace

DrawnYear run_year(scenarios::Scenario const& scenario, weather::WeatherYear const& year) {
    InputsShelf inputs;
    ScenarioYear const job{&scenario, not_owned(year)};
    return run_scenario_years(std::span(&job, 1), inputs).front();
}

Draws draw_years(std::vector<DrawnDesign> const& designs, DrawOptions const& o) {
    models::require(o.years >= 1 && o.years <= 100000, "draws", o.years, "must be 1 .. 100000");
    Draws draws;
    // Designs mostly share one weather file.
    std::map<weather::WeatherYear const*, weather::MakeOptions> made_like;
    if (o.records.empty()) {
        for (auto const& [scenario, own_year] : designs) {
            if (made_like.contains(own_year)) continue;
            auto fit = weather::fit_maker(*own_year, models::stream_seed(o.seed, weather_stream, 0));
            made_like.emplace(own_year, fit.options);
            draws.notes.insert(draws.notes.end(), fit.notes.begin(), fit.notes.end());
        }
    }
    draws.drawn = what_is_drawn(designs);
    draws.years.assign(designs.size(), std::vector<DrawnYear>(static_cast<std::size_t>(o.years)));

    ThreadLimit const limit(o.threads);
    using SharedYear = std::shared_ptr<weather::WeatherYear const>;
    int finished = 0;
    for (int first = 0; first < o.years && !asked_to_stop(o.stop); first += batch_years) {
        int const end = std::min(first + batch_years, o.years);
        auto const count = static_cast<std::size_t>(end - first);
        std::vector<std::map<weather::WeatherYear const*, SharedYear>> made(count);
        for_each_job(count, [&](std::size_t i) {
            for (auto const& [own_year, options] : made_like) {
                auto year = weather::make_weather(options, first + static_cast<int>(i));
                year.albedo = own_year->albedo;
                made[i].emplace(own_year, std::make_shared<weather::WeatherYear const>(std::move(year)));
            }
        });
        std::vector<scenarios::Scenario> scenarios;
        std::vector<SharedYear> weather;
        for (auto const& design : designs) {
            for (std::size_t i = 0; i < count; ++i) {
                std::size_t const number = static_cast<std::size_t>(first) + i;
                scenarios.push_back(redrawn(design.scenario, o.seed, static_cast<int>(number)));
                weather.push_back(o.records.empty() ? made[i].at(design.own_year)
                                                    : not_owned(o.records[number % o.records.size()]));
            }
        }
        std::vector<ScenarioYear> jobs;
        for (std::size_t j = 0; j < scenarios.size(); ++j) jobs.push_back({&scenarios[j], weather[j]});
        InputsShelf inputs;  // of these years alone
        auto run = run_scenario_years(jobs, inputs);
        for (std::size_t j = 0; j < jobs.size(); ++j)
            draws.years[j / count][static_cast<std::size_t>(first) + j % count] = std::move(run[j]);
        finished = end;
        if (o.progress) o.progress(end, o.years);
    }
    if (finished == 0) throw StudyStopped();
    for (auto& years : draws.years) years.resize(static_cast<std::size_t>(finished));
    draws.weather = o.records.empty()
                        ? fmt::format("{} made years like the weather file, seed {}", finished, o.seed)
                        : fmt::format("{} years from {} weather file{}, seed {}", finished, o.records.size(),
                                      o.records.size() == 1 ? "" : "s", o.seed);
    for (auto const& years : draws.years) {
        auto const wrong = std::find_if(years.begin(), years.end(),
                                        [](DrawnYear const& year) { return !year.problem.empty(); });
        if (wrong == years.end()) continue;
        auto const count =
            std::count_if(wrong, years.end(), [](DrawnYear const& year) { return !year.problem.empty(); });
        if (count == finished) throw std::invalid_argument("no year could be run: " + wrong->problem);
        draws.notes.push_back(
            fmt::format("{} of the {} years could not be run: {}", count, finished, wrong->problem));
    }
    return draws;
}

Spread spread_of(std::vector<double> const& values, int better) {
    Spread s{};
    s.mean = models::mean(values);
    s.median = models::quantile(values, 0.5);
    s.low = models::quantile(values, 0.1);
    s.high = models::quantile(values, 0.9);
    s.bad = better > 0 ? s.low : s.high;
    s.worst = better > 0 ? *std::min_element(values.begin(), values.end())
                         : *std::max_element(values.begin(), values.end());
    return s;
}

Odds odds_of(std::vector<DrawnYear> const& years, std::function<bool(DrawnYear const&)> const& happened) {
    Odds odds{0, 0, {}};
    for (auto const& year : years) {
        if (!year.problem.empty()) continue;
        ++odds.years;
        odds.times += happened(year) ? 1 : 0;
    }
    models::require(odds.years > 0, "years", 0, "could not be run");
    odds.share = models::wilson_interval(odds.times, odds.years);
    return odds;
}

}  // namespace holdwater::sim
