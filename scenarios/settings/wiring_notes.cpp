#include "scenarios/settings/wiring_notes.hpp"

namespace holdwater::scenarios {
namespace {

void add_notes(std::string const& which, models::MotorParameters const& m, bool pressure_switch,
               WiringRules rules, std::vector<std::string>& notes) {
    using models::MotorWiring;
    std::string const switched = pressure_switch ? "pressure switch" : "float switch";
    bool const three_phases = m.phases == 3 && m.wiring != MotorWiring::drive;
    if (three_phases)
        notes.push_back(which + ": three-phase, a contactor with motor protection that the " + switched +
                        " switches; all three lines switched");
    if (m.wiring == MotorWiring::three_wire && !three_phases)
        notes.push_back(which + ": three-wire, its control box and the " + switched +
                        " stay between supply and motor");
    if (m.wiring == MotorWiring::two_wire)
        notes.push_back(which + ": two-wire, no control box; the " + switched +
                        " stays between supply and motor");
    if (m.wiring == MotorWiring::drive)
        notes.push_back(which + ": fed by the drive alone, no pressure switch or control box behind it");
    if (m.volts >= 200 && m.phases == 1 && m.wiring != MotorWiring::drive)
        notes.push_back(which + (rules == WiringRules::iec
                                     ? ": 230 V class between line and neutral, both switched"
                                     : ": 240 V class, both lines switched, the neutral is not used"));
}

}  // namespace

std::vector<std::string> wiring_notes(Scenario const& scenario) {
    std::vector<std::string> notes;
    add_notes("well pump", scenario.motor, !scenario.cistern, scenario.wiring.rules, notes);
    if (scenario.cistern && scenario.cistern->booster)
        add_notes("booster", scenario.cistern->booster->motor, true, scenario.wiring.rules, notes);
    return notes;
}

}  // namespace holdwater::scenarios
