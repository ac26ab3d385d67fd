#include "sim/sweep/sweep_run.hpp"

#include <fmt/format.h>
#include <oneapi/tbb/parallel_pipeline.h>
#include <oneapi/tbb/task_arena.h>

#include <algorithm>
#include <optional>
#include <stdexcept>

#include "scenarios/design/scenario_weather.hpp"
#include "scenarios/settings/field_words.hpp"
#include "scenarios/text/assumed_inputs.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "sim/batch/scenario_years.hpp"
#include "sim/files/result_file.hpp"
#include "sim/files/text_hash.hpp"
#include "sim/sweep/sweep_plan.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::sim {
namespace {

constexpr std::size_t most_years = 64;  // number of weather years kept in memory, 0.7 MB each

// Rows of a few groups of lanes; while they run, the next ones are read.
constexpr std::size_t rows_at_once = 64;

}  // namespace

std::vector<SweepFigure> year_figures() {
    std::vector<SweepFigure> figures;
    auto const add = [&](auto const& f) {
        figures.push_back({std::string(f.name), std::string(f.unit), std::string(f.long_name)});
    };
    for (auto const& f : repeatable_fields()) add(f);
    for (auto const& f : finding_fields()) add(f);
    return figures;
}

std::vector<std::string> sweep_provenance(scenarios::Scenario const& scenario,
                                          std::vector<SweepAxis> const& axes) {
    auto lines = scenarios::provenance_lines_of_run(scenario);
    for (auto& line : lines)
        for (auto const& axis : axes)
            if (line.starts_with(axis.key + ": ")) line += ", varied";
    return lines;
}

YearSweep::YearSweep(scenarios::DesignFile file, scenarios::DesignOption base, std::string weather_path,
                     std::vector<SweepAxis> axes)
    : variants_(std::move(file), std::move(base)),
      weather_path_(std::move(weather_path)),
      axes_(std::move(axes)),
      columns_vary_(std::any_of(axes_.begin(), axes_.end(),
                                [](auto const& a) { return a.key.starts_with("weather.columns"); })) {}

scenarios::Scenario YearSweep::scenario_of(SweepRow const& row) const {
    std::vector<scenarios::Override> changes;
    for (std::size_t a = 0; a < row.size(); ++a)
        if (!row[a].empty()) changes.push_back({axes_[a].key, scenarios::as_toml_value(row[a]), 0});
    return variants_.scenario(changes);
}

YearSweep::SharedYear YearSweep::year_of(scenarios::Scenario const& s) {
    auto const read = [&] {
        return std::make_shared<weather::WeatherYear const>(
            scenarios::read_scenario_weather(s, weather_path_));
    };
    if (columns_vary_) return read();
    std::string const key = scenarios::weather_reading_key(s);
    auto const known =
        std::find_if(years_.begin(), years_.end(), [&](ReadYear const& y) { return y.key == key; });
    if (known != years_.end()) {
        if (known->year == nullptr) throw std::invalid_argument(known->problem);
        return known->year;
    }
    years_.push_front({key, nullptr, ""});
    if (years_.size() > most_years) years_.pop_back();
    try {
        years_.front().year = read();
    } catch (std::exception const& error) {
        years_.front().problem = error.what();
        throw;
    }
    return years_.front().year;
}

std::optional<YearSweep::Job> YearSweep::read(SweepBlock& block, std::size_t row) {
    try {
        auto scenario = scenario_of(block.settings[row]);
        auto year = year_of(scenario);
        return Job{row, std::move(scenario), std::move(year)};
    } catch (scenarios::ScenarioError const& error) {
        block.problems[row] = error.first();
    } catch (weather::WeatherError const& error) {
        block.problems[row] = error.what();
    } catch (std::invalid_argument const& error) {
        block.problems[row] = scenarios::problem_words(error);
    }
    return std::nullopt;
}

void YearSweep::run_jobs(std::vector<Job> const& jobs, SweepBlock& block) {
    std::vector<ScenarioYear> years;
    years.reserve(jobs.size());
    for (Job const& job : jobs) years.push_back({&job.scenario, job.year});
    auto const run = run_scenario_years(years, *inputs_);
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        std::size_t const row = jobs[i].row;
        block.problems[row] = run[i].problem;
        block.alone_for[row] = run[i].alone_for;
        if (!run[i].problem.empty()) continue;
        double* figure = block.figures_of(row);
        for (auto const& f : repeatable_fields()) *figure++ = run[i].summary.*f.value;
        for (auto const& f : finding_fields()) *figure++ = run[i].findings.*f.value;
    }
}

void YearSweep::run(SweepBlock& block) {
    namespace tbb = oneapi::tbb;
    using Jobs = std::shared_ptr<std::vector<Job>>;
    std::size_t next = 0;
    block.alone_for.assign(block.size(), "");
    // Scenarios are read by one thread only, which shares the weather years it has read; runs use all
    // threads.
    auto const read_some = [&](tbb::flow_control& flow) -> Jobs {
        if (next == block.size()) {
            flow.stop();
            return nullptr;
        }
        auto jobs = std::make_shared<std::vector<Job>>();
        for (std::size_t const end = std::min(next + rows_at_once, block.size()); next < end; ++next)
            if (auto job = read(block, next)) jobs->push_back(std::move(*job));
        return jobs;
    };
    auto const tokens = 2 * static_cast<std::size_t>(tbb::this_task_arena::max_concurrency());
    tbb::parallel_pipeline(
        tokens, tbb::make_filter<void, Jobs>(tbb::filter_mode::serial_in_order, read_some) &
                    tbb::make_filter<Jobs, void>(tbb::filter_mode::parallel,
                                                 [&](Jobs const& jobs) { run_jobs(*jobs, block); }));
}

std::string YearSweep::inputs_hash() const {
    auto const& file = variants_.file();
    auto const base = scenarios::option_design(file, variants_.base()).scenario;
    std::string all = base.text + file_hash(weather_path_.empty() ? base.weather_path : weather_path_);
    for (auto const& list : file.parts)
        for (auto const& part : list.parts) all += part.text;
    for (std::size_t a = 0; a < axes_.size(); ++a) {
        if (axes_[a].key != "weather.file") continue;
        SweepRow row(axes_.size());
        for (auto const& value : axes_[a].values) {
            row[a] = value;
            try {
                all += file_hash(scenario_of(row).weather_path);
            } catch (scenarios::ScenarioError const& error) {
                all += error.what();
            }
        }
    }
    return text_hash(all);
}

}  // namespace holdwater::sim
