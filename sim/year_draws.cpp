#include "sim/year_draws.hpp"

#include <fmt/format.h>
#include <oneapi/tbb/parallel_for.h>

#include <algorithm>
#include <map>
#include <stdexcept>

#include "models/parameter_error.hpp"
#include "models/random_stream.hpp"
#include "sim/make_inputs.hpp"
#include "sim/make_system.hpp"
#include "sim/simulate.hpp"
#include "sim/thread_limit.hpp"
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
    DrawnYear drawn;
    try {
        auto run = simulate(make_system(scenario), make_inputs(scenario, year), Clock{});
        drawn.summary = run.summary;
        drawn.summary.wall_time_s = 0;
        drawn.findings = run.findings;
    } catch (std::invalid_argument const& error) {  // models::ParameterError among them
        drawn.problem = error.what();
    }
    return drawn;
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
        draws.weather = fmt::format("{} made years like the weather file, seed {}", o.years, o.seed);
    } else {
        draws.weather = fmt::format("{} years from {} weather file{}, seed {}", o.years, o.records.size(),
                                    o.records.size() == 1 ? "" : "s", o.seed);
    }
    draws.drawn = what_is_drawn(designs);
    draws.years.assign(designs.size(), std::vector<DrawnYear>(static_cast<std::size_t>(o.years)));

    ThreadLimit const limit(o.threads);
    auto const run_all = [&](int i) {
        std::map<weather::WeatherYear const*, weather::WeatherYear> made;
        for (auto const& [own_year, options] : made_like) {
            auto year = weather::make_weather(options, i);
            year.albedo = own_year->albedo;
            made.emplace(own_year, std::move(year));
        }
        for (std::size_t d = 0; d < designs.size(); ++d) {
            auto const& year = o.records.empty() ? made.at(designs[d].own_year)
                                                 : o.records[static_cast<std::size_t>(i) % o.records.size()];
            draws.years[d][static_cast<std::size_t>(i)] =
                run_year(redrawn(designs[d].scenario, o.seed, i), year);
        }
    };
    for (int first = 0; first < o.years; first += batch_years) {
        int const end = std::min(first + batch_years, o.years);
        oneapi::tbb::parallel_for(first, end, run_all);
        if (o.progress) o.progress(end, o.years);
    }
    for (auto const& years : draws.years) {
        auto const wrong = std::find_if(years.begin(), years.end(),
                                        [](DrawnYear const& year) { return !year.problem.empty(); });
        if (wrong == years.end()) continue;
        auto const count =
            std::count_if(wrong, years.end(), [](DrawnYear const& year) { return !year.problem.empty(); });
        if (count == o.years) throw std::invalid_argument("no year could be run: " + wrong->problem);
        draws.notes.push_back(
            fmt::format("{} of the {} years could not be run: {}", count, o.years, wrong->problem));
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
