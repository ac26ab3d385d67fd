#include <cmath>
#include <functional>
#include <stdexcept>

#include "scenarios/design/design.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"
#include "tests/fuzz/made_year.hpp"
#include "tests/fuzz/targets.hpp"
#include "tests/support/places.hpp"

// A scenario with its options and the parts that it names (from the lists of the demos). It is refused with
// ScenarioError, or it makes a system; one in eight then runs two days. A rule of a model,
// std::invalid_argument, may still refuse it when the system is made.
void holdwater::fuzz::scenario(std::string_view bytes) {
    using namespace scenarios;
    try {
        auto const file = read_design_text(std::string(bytes), HOLDWATER_SOURCE "/scenarios/fuzz.toml");
        std::vector<Design> designs{base_design(file)};
        for (auto const& option : file.options)
            if (designs.size() < 4) designs.push_back(option_design(file, option));
        for (auto const& design : designs) {
            auto const system = sim::make_system(design.scenario);
            if (std::hash<std::string_view>{}(bytes) % 8 != 0) continue;
            auto const inputs = sim::make_inputs(design.scenario, made_year());
            auto const run = sim::simulate(system, inputs, {0, 48});
            for (auto const& hour : run.hours)
                for (auto const& field : sim::series_fields())
                    if (!std::isfinite(hour.*field.value))
                        throw std::logic_error(std::string(field.name) + " is not finite");
        }
    } catch (ScenarioError const&) {
    } catch (std::invalid_argument const&) {
    }
}
