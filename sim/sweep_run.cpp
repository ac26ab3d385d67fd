#include "sim/sweep_run.hpp"

#include <fmt/format.h>
#include <oneapi/tbb/global_control.h>
#include <oneapi/tbb/parallel_for.h>

#include <algorithm>
#include <map>
#include <memory>
#include <optional>
#include <stdexcept>

#include "scenarios/scenario_error.hpp"
#include "scenarios/scenario_weather.hpp"
#include "sim/make_inputs.hpp"
#include "sim/make_system.hpp"
#include "sim/simulate.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::sim {
namespace {

constexpr std::size_t batch_rows = 64;

using SharedYear = std::shared_ptr<weather::WeatherYear const>;

// Weather by everything of the scenario its reading depends on, the column map apart.
class Years {
  public:
    Years(std::string path, bool columns_vary) : path_(std::move(path)), columns_vary_(columns_vary) {}

    SharedYear of(scenarios::Scenario const& s) {
        auto const read = [&] {
            return std::make_shared<weather::WeatherYear const>(scenarios::read_scenario_weather(s, path_));
        };
        if (columns_vary_) return read();
        std::string const key =
            fmt::format("{}|{}|{}|{}|{}", s.weather_path, static_cast<int>(s.decomposition), s.decompose_all,
                        s.fill_long_gaps, s.albedo);
        auto& year = years_[key];
        if (!year) year = read();
        return year;
    }

  private:
    std::string path_;
    bool columns_vary_;
    std::map<std::string, SharedYear> years_;
};

scenarios::DesignOption option_of(scenarios::DesignOption option, std::vector<SweepAxis> const& axes,
                                  SweepRow const& row) {
    for (std::size_t a = 0; a < axes.size(); ++a)
        if (!row[a].empty()) option.overrides.push_back({axes[a].key, scenarios::as_toml_value(row[a]), 0});
    return option;
}

struct Job {
    scenarios::Scenario scenario;
    SharedYear year;
};

void run_job(Job const& job, SweepResult& result) {
    try {
        auto const inputs = make_inputs(job.scenario, *job.year);
        auto run = simulate(make_system(job.scenario), inputs, Clock{});
        result.summary = run.summary;
        result.summary.wall_time_s = 0;
    } catch (std::invalid_argument const& error) {  // models::ParameterError among them
        result.problem = error.what();
    }
}

}  // namespace

std::vector<SweepResult> run_sweep(scenarios::DesignFile const& file, std::vector<SweepAxis> const& axes,
                                   std::vector<SweepRow> const& rows, SweepOptions const& options) {
    (void)scenarios::option_design(file,
                                   options.base);  // what is wrong without any change is no finding of a row
    bool const columns_vary = std::any_of(
        axes.begin(), axes.end(), [](SweepAxis const& a) { return a.key.starts_with("weather.columns"); });
    Years years(options.weather_path, columns_vary);
    std::optional<oneapi::tbb::global_control> limit;
    if (options.threads > 0)
        limit.emplace(oneapi::tbb::global_control::max_allowed_parallelism,
                      static_cast<std::size_t>(options.threads));
    std::vector<SweepResult> results(rows.size());
    for (std::size_t first = 0; first < rows.size(); first += batch_rows) {
        std::size_t const count = std::min(batch_rows, rows.size() - first);
        // Reading is not for several threads (units), running is.
        std::vector<std::optional<Job>> jobs(count);
        for (std::size_t i = 0; i < count; ++i) {
            try {
                auto scenario =
                    scenarios::option_design(file, option_of(options.base, axes, rows[first + i])).scenario;
                auto year = years.of(scenario);
                jobs[i] = Job{std::move(scenario), std::move(year)};
            } catch (scenarios::ScenarioError const& error) {
                results[first + i].problem = error.what();
            } catch (weather::WeatherError const& error) {
                results[first + i].problem = error.what();
            }
        }
        oneapi::tbb::parallel_for(std::size_t{0}, count, [&](std::size_t i) {
            if (jobs[i]) run_job(*jobs[i], results[first + i]);
        });
        if (options.progress) options.progress(first + count, rows.size());
    }
    return results;
}

}  // namespace holdwater::sim
