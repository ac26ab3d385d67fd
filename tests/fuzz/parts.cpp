#include "scenarios/parts/parts.hpp"

#include "scenarios/design/check_part.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "tests/fuzz/targets.hpp"

// A parts list; each of its parts is also read as a scenario would read it.
void holdwater::fuzz::parts(std::string_view bytes) {
    using namespace scenarios;
    PartsList list;
    try {
        list = read_parts_text(std::string(bytes), "fuzz.toml");
    } catch (ScenarioError const&) {
        return;
    }
    duplicates({list});
    for (auto const& part : list.parts) try {
            check_part(list, part);
        } catch (ScenarioError const&) {
        }
}
