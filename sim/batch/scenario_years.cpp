#include "sim/batch/scenario_years.hpp"

#include <optional>
#include <stdexcept>

#include "scenarios/settings/field_words.hpp"
#include "sim/base/job_pool.hpp"
#include "sim/inputs/make_system.hpp"

namespace holdwater::sim {

std::vector<BatchYear> run_scenario_years(std::span<ScenarioYear const> years, InputsShelf& shelf) {
    std::vector<BatchYear> out(years.size());
    std::vector<std::shared_ptr<CheckedInputs const>> inputs(years.size());
    std::vector<std::optional<System>> systems(years.size());
    for_each_job(years.size(), [&](std::size_t i) {
        try {
            inputs[i] = shelf.of(*years[i].scenario, years[i].weather);
            systems[i] = make_system(*years[i].scenario);
        } catch (std::invalid_argument const& error) {  // including models::ParameterError
            out[i].problem = scenarios::problem_words(error);
        }
    });
    std::vector<BatchJob> jobs;
    std::vector<std::size_t> place;
    for (std::size_t i = 0; i < years.size(); ++i) {
        if (!systems[i]) continue;
        jobs.push_back({&*systems[i], inputs[i].get()});
        place.push_back(i);
    }
    auto run = run_batch(jobs, Clock{}, {.threads = BatchOptions::callers, .findings = true});
    for (std::size_t j = 0; j < jobs.size(); ++j) out[place[j]] = std::move(run.years[j]);
    return out;
}

}  // namespace holdwater::sim
