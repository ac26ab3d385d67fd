#pragma once

#include <map>
#include <stdexcept>
#include <string>

#include "scenarios/settings/scenario.hpp"
#include "sim/check/design_check.hpp"
#include "tests/support/error_of.hpp"

namespace holdwater::test {

/// A whole scenario, invented, whose sections can be replaced one by one. One-hp three-wire motor at 230 V.
class CheckScenario {
  public:
    CheckScenario& set(std::string const& section, std::string const& text) {
        sections_[section] = text;
        return *this;
    }
    std::string text() const {
        std::string out =
            "title = \"t\"\nplace = \"Nowhere (invented)\"\nelevation = \"" + elevation + "\"\n";
        for (auto const& [name, text] : sections_) out += text + "\n";
        return out;
    }
    scenarios::Scenario read() const { return scenarios::read_scenario_text(text(), "test.toml"); }
    std::string error() const { return error_of(text()); }
    sim::DesignCheck run() const { return sim::design_check(read()); }

    std::string elevation = "0 m";

  private:
    std::map<std::string, std::string> sections_{
        {"weather", "[weather]\nfile = \"weather.csv\""},
        {"array",
         "[array]\nrated_power = \"1.6 kW\"\ntilt = \"45 deg\"\nazimuth = \"180 deg\"\n"
         "[controller]\npower_limit = \"2 kW\"\nstandby = \"0 W\""},
        {"battery",
         "[battery]\ncapacity = \"10 kWh\"\nusable_fraction = 0.9\ncharge_efficiency = 0.97\n"
         "discharge_efficiency = 0.97\ncharge_limit = \"5 kW\"\ndischarge_limit = \"10 kW\""},
        {"inverter",
         "[inverter]\nrated_power = \"5 kW\"\noutput_voltage = \"230 V\"\nsplit_phase = false\n"
         "surge_power = [\"10 kW\", \"7.5 kW\"]\nsurge_times = [\"5 s\", \"30 s\"]\n"
         "efficiency_at_10_50_100_percent = [0.90, 0.955, 0.94]\nidle = \"40 W\""},
        {"load", ""},
        {"backup", "[backup]\nkind = \"none\""},
        {"well", "[well]\nstatic_level = \"120 ft\"\nspecific_capacity = \"1 gpm/ft\""},
        {"pump",
         "[pump]\nstages = 12\n"
         "flow = [\"0 gpm\", \"4 gpm\", \"8 gpm\", \"12 gpm\", \"16 gpm\"]\n"
         "head = [\"27.0 ft\", \"25.9 ft\", \"23.1 ft\", \"17.0 ft\", \"5.5 ft\"]\n"
         "shaft_power = [\"0.052 hp\", \"0.0671 hp\", \"0.0812 hp\", \"0.0896 hp\", \"0.0794 hp\"]"},
        {"motor", motor("1 hp", "1250 W", "48 A")},
        {"tank",
         "[tank]\nvolume = \"85 gal\"\ncut_in = \"40 psi\"\ncut_out = \"60 psi\"\nprecharge = \"38 psi\""},
        {"demand", "[demand]\ndaily = \"225 gal/day\"\ntap_flow = \"3 gpm\""},
    };

  public:
    /// 15 kVA for a start, out below 42 V.
    static std::string low_cutout_inverter() {
        return "[inverter]\nrated_power = \"5 kW\"\noutput_voltage = \"230 V\"\nsplit_phase = false\n"
               "surge_power = [\"15 kW\"]\nsurge_times = [\"5 s\"]\nlow_voltage_cutout = \"42 V\"\n"
               "efficiency_at_10_50_100_percent = [0.90, 0.955, 0.94]";
    }
    static std::string motor(std::string const& size, std::string const& input,
                             std::string const& locked_rotor,
                             std::string const& more = "full_load = \"8 A\"\n") {
        return "[motor]\nrated_power = \"" + size + "\"\nrated_input = \"" + input +
               "\"\nvolts = \"230 V\"\nwiring = \"three-wire\"\nrunning_power_factor = 0.75\n" +
               "locked_rotor_power_factor = 0.7\nlocked_rotor = \"" + locked_rotor + "\"\n" + more;
    }
};

inline sim::Check const& check_named(sim::DesignCheck const& p, std::string const& name) {
    for (auto const& c : p.checks)
        if (c.name == name) return c;
    throw std::runtime_error("no check " + name);
}

}  // namespace holdwater::test
