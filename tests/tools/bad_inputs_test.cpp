#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "tests/tools/refusals.hpp"

using namespace holdwater;
using namespace holdwater::test;

TEST_SUITE_BEGIN("tools/bad_inputs");

TEST_CASE("a key of a scenario that cannot be is refused by file, line, key and remedy") {
    struct Row {
        std::string table, key, value, says;
    };
    Desk desk;
    std::vector<Row> const rows{
        {"", "elevation", "1100",
         "key 'elevation': \"1100\" has no unit; expected a length such as \"120 ft\", \"1.36 in\" or \"30 "
         "m\""},
        {"", "elevation", "\"1100 ft/s\"",
         "key 'elevation': \"1100 ft/s\" is not the right kind of quantity; expected a length such as \"120 "
         "ft\", \"1.36 in\" "},
        {"", "elevation", "\"high\"",
         "key 'elevation': \"high\" does not start with a number; expected a length such as \"120 ft\", "
         "\"1.36 in\" or \"30 m\""},
        {"", "elevation", "\"-900 m\"", "key 'elevation': -900 m is out of range; accepted: -450 to 6000 m"},
        {"", "elevation", "\"99999 ft\"",
         "key 'elevation': \"99999 ft\" is out of range; accepted: -1476 to 19680 ft"},
        {"", "title", "-", "the key 'title' is missing"},
        {"", "place", "7", "key 'place': must be a text in quotes"},
        {"", "titel", "\"x\"", "key 'titel': no such key; the nearest known key is 'title'"},
        {"", "latitude", "\"44 deg\"", "key 'longitude': is missing; give both or neither"},
        {"", "friction", "\"guess\"",
         "key 'friction': \"guess\" is not a choice; accepted: darcy-weisbach, hazen-williams"},
        {"weather", "file", "-", "key 'weather': the key 'file' is missing in the table [weather]"},
        {"weather", "file", "42", "key 'weather.file': must be a text in quotes"},
        {"weather", "decomposition", "\"mine\"",
         "key 'weather.decomposition': \"mine\" is not a choice; accepted: boland-ridley-lauret, erbs"},
        {"weather", "long_gaps", "\"ignore\"",
         "key 'weather.long_gaps': \"ignore\" is not a choice; accepted: refuse, fill"},
        {"weather", "flie", "\"x\"", "key 'weather.flie': no such key; the nearest known key is 'file'"},
        {"array", "rated_power", "1.6",
         "key 'array.rated_power': \"1.6\" has no unit; expected a power such as \"1500 W\", \"6 kW\" or "
         "\"1.5 hp\""},
        {"array", "rated_power", "\"1.6 kWh\"",
         "key 'array.rated_power': \"1.6 kWh\" is not the right kind of quantity; expected a power such as "
         "\"1500 W\", \"6 kW"},
        {"battery", "capacity", "\"0 kWh\"",
         "key 'battery.voltage_model': capacity is 0, no battery: it has no voltage"},
        {"array", "rated_power", "\"-1.6 kW\"",
         "key 'array.rated_power': \"-1.6 kW\" is out of range; accepted: 0 to 100 kW"},
        {"array", "rated_power", "\"1600 kW\"",
         "key 'array.rated_power': \"1600 kW\" is out of range; accepted: 0 to 100 kW"},
        {"array", "rated_power", "\"nan kW\"",
         "key 'array.rated_power': \"nan kW\" does not start with a number; expected a power such as \"1500 "
         "W\", \"6 kW\" or \""},
        {"array", "rated_power", "\"inf W\"",
         "key 'array.rated_power': \"inf W\" does not start with a number; expected a power such as \"1500 "
         "W\", \"6 kW\" or \"1"},
        {"array", "rated_power", "\"\"",
         "key 'array.rated_power': \"\" does not start with a number; expected a power such as \"1500 W\", "
         "\"6 kW\" or \"1.5 hp"},
        {"array", "rated_power", "\"kW\"",
         "key 'array.rated_power': \"kW\" does not start with a number; expected a power such as \"1500 W\", "
         "\"6 kW\" or \"1.5 "},
        {"array", "rated_power", "\"1.6 kW extra\"",
         "key 'array.rated_power': \"kW extra\" is not a known unit; expected a power such as \"1500 W\", "
         "\"6 kW\" or \"1.5 hp\""},
        {"array", "rated_power", "\"1,6 kW\"",
         "key 'array.rated_power': \"1,6 kW\": a comma stands between thousands only (\"1,200\"); decimals "
         "have "
         "a point (\"1.5\"); expected a power such as \"1500 W\", \"6 kW\" or \"1.5 hp\""},
        {"array", "rated_power", "[1, 2]",
         "key 'array.rated_power': must be a quantity with its unit, in quotes"},
        {"array", "tilt", "\"120 deg\"", "key 'array.tilt': 120 deg is out of range; accepted: 0 to 90 deg"},
        {"array", "tilt", "\"-5 deg\"", "key 'array.tilt': -5 deg is out of range; accepted: 0 to 90 deg"},
        {"array", "tilt", "55", "key 'array.tilt': \"55\" has no unit; expected an angle such as \"35 deg\""},
        {"array", "azimuth", "\"400 deg\"",
         "key 'array.azimuth': 400 deg is out of range; accepted: 0 to 360 deg"},
        {"array", "azimuth", "\"south\"",
         "key 'array.azimuth': \"south\" does not start with a number; expected an angle such as \"35 deg\""},
        {"array", "dc_loss", "1.2", "key 'array.dc_loss': 1.2 is out of range; accepted: 0 to 0.5"},
        {"array", "soiling_by_month", "[0.1, 0.2]",
         "key 'array.soiling_by_month': must be a list of 12 values, not 2"},
        {"array", "soiling_by_month", "[0.1,0.1,0.1,0.1,0.1,0.1,0.1,0.1,0.1,0.1,0.1,1.5]",
         "key 'array.soiling_by_month': 1.5 is out of range; accepted: 0 to 1"},
        {"array", "soiling_by_month", "0.1",
         "key 'array.soiling_by_month': must be a list of 12 values, not a single value"},
        {"array", "sky_model", "\"cloudy\"",
         "key 'array.sky_model': \"cloudy\" is not a choice; accepted: isotropic, hay-davies, perez"},
        {"array", "ground_reflectance", "2",
         "key 'array.ground_reflectance': 2 is out of range; accepted: 0 to 1"},
        {"array", "strings", "1.5",
         "key 'array.strings': modules can be counted only when one is described in [array.module]"},
        {"array", "strings", "0",
         "key 'array.strings': modules can be counted only when one is described in [array.module]"},
        {"array", "temperature_model", "\"warm\"",
         "key 'array.temperature_model': \"warm\" is not a choice; accepted: faiman, king, noct"},
        {"array", "mounting", "\"roof\"",
         "key 'array.mounting': is used only with temperature_model = \"king\""},
        {"array", "horizon", "[{azimuth = \"0 deg\", elevation = \"10 deg\"}]",
         "key 'array.horizon': one point makes no skyline; give at least two, clockwise from north"},
        {"array", "horizon",
         "[{azimuth = \"3 deg\", elevation = \"10 deg\"}, {azimuth = \"90 deg\", elevation = \"5 deg\"}]",
         "key 'array.horizon.azimuth': must be a multiple of 10 deg: the skyline is kept in steps of 10 deg, "
         "with straig"},
        {"array", "tilt_changes",
         "[{from = \"13-01\", tilt = \"30 deg\"}, {from = \"06-01\", tilt = \"20 deg\"}]",
         "key 'array.tilt': is given beside 'tilt_changes'; one of them sets the rack"},
        {"array", "tilt_changes",
         "[{from = \"06-01\", tilt = \"30 deg\"}, {from = \"03-01\", tilt = \"20 deg\"}]",
         "key 'array.tilt': is given beside 'tilt_changes'; one of them sets the rack"},
        {"array", "module.described_by", "\"rumour\"",
         "key 'array.rated_power': stands in [array.module] when the modules are described there; the "
         "array's power foll"},
        {"array", "years_in_service", "200",
         "key 'array.years_in_service': 200 is out of range; accepted: 0 to 60"},
        {"array", "aging_per_year", "0.5",
         "key 'array.aging_per_year': 0.5 is out of range; accepted: 0 to 0.05"},
        {"array", "shading", "-0.1", "key 'array.shading': -0.1 is out of range; accepted: 0 to 1"},
        {"array", "snow.days_by_month", "[40,0,0,0,0,0,0,0,0,0,0,0]",
         "key 'array.snow.days_by_month': 40 is out of range; accepted: 0 to 31"},
        {"controller", "power_limit", "\"0 W\"",
         "key 'controller.power_limit': 0 W is out of range; accepted: 1 to 1e+06 W"},
        {"controller", "power_limit", "-",
         "key 'controller': needs 'power_limit' or 'current_limit': the most it puts into the battery"},
        {"controller", "power_limit", "\"1.8 kV\"",
         "key 'controller.power_limit': \"1.8 kV\" is not the right kind of quantity; expected a power such "
         "as \"1500 W\", \""},
        {"controller", "efficiency", "1.2",
         "key 'controller.efficiency': 1.2 is out of range; accepted: 0.5 to 1"},
        {"controller", "kind", "\"magic\"",
         "key 'controller.kind': \"magic\" is not a choice; accepted: mppt, pwm"},
        {"controller", "standby", "\"500 W\"",
         "key 'controller.standby': 500 W is out of range; accepted: 0 to 100 W"},
        {"controller", "kind", "\"pwm\"",
         "key 'controller.kind': \"pwm\" needs the array's voltage, which a module described by its rated "
         "power alone does"},
        {"battery", "capacity", "\"500 MWh\"",
         "key 'battery.capacity': \"500 MWh\" is out of range; accepted: 0 to 1 MWh"},
        {"battery", "capacity", "\"-1 kWh\"",
         "key 'battery.capacity': -1 kWh is out of range; accepted: 0 to 1000 kWh"},
        {"battery", "capacity", "\"200 Ah\"",
         "key 'battery.capacity': \"200 Ah\" is not the right kind of quantity; expected an energy such as "
         "\"14.3 kWh\" or \"800"},
        {"battery", "capacity", "-", "key 'battery': the key 'capacity' is missing in the table [battery]"},
        {"battery", "chemistry", "\"zinc\"",
         "key 'battery.chemistry': \"zinc\" is not a choice; accepted: lithium-iron-phosphate, "
         "flooded-lead-acid, sealed-lead"},
        {"battery", "nominal_voltage", "\"5 V\"",
         "key 'battery.nominal_voltage': 5 V is out of range; accepted: 10 to 800 V"},
        {"battery", "usable_fraction", "0.01",
         "key 'battery.usable_fraction': 0.01 is out of range; accepted: 0.1 to 1"},
        {"battery", "usable_fraction", "1.5",
         "key 'battery.usable_fraction': 1.5 is out of range; accepted: 0.1 to 1"},
        {"battery", "charge_efficiency", "0.2",
         "key 'battery.charge_efficiency': 0.2 is out of range; accepted: 0.5 to 1"},
        {"battery", "charge_efficiency", "1.01",
         "key 'battery.charge_efficiency': 1.01 is out of range; accepted: 0.5 to 1"},
        {"battery", "charge_limit", "\"-5 kW\"",
         "key 'battery.charge_limit': -5 kW is out of range; accepted: 0 to 1000 kW"},
        {"battery", "start_soc", "1.5", "key 'battery.start_soc': 1.5 is out of range; accepted: 0 to 1"},
        {"battery", "restart_above", "0.05",
         "key 'battery.restart_above': 0.05 is not at least 0.01 above the battery's minimum SOC 0.1 (1 - "
         "usable_fraction); the inverter would swi"},
        {"battery", "restart_above", "0.105",
         "key 'battery.restart_above': 0.105 is not at least 0.01 above the battery's minimum SOC 0.1 (1 - "
         "usable_fraction); the inverter would swi"},
        {"battery", "capacity", "\"1e-9 kWh\"",
         "key 'battery.capacity': 1e-09 kWh is too little: an inverter would empty and refill it many times "
         "a "
         "minute; at least 0.05 kWh, or capacity = \"0 kWh\" for no battery"},
        {"battery", "self_discharge_per_month", "0.9",
         "key 'battery.self_discharge_per_month': 0.9 is out of range; accepted: 0 to 0.5"},
        {"battery", "in_series", "16",
         "key 'battery.in_series': no such key; accepted here: acceptance_per_hour, capacity, "
         "charge_efficiency, charge_lim"},
        {"battery", "rated_hours", "[\"1 h\", \"20 h\"]",
         "key 'battery': the key 'rated_capacities' is missing in the table [battery]"},
        {"battery", "temperature.time_constant", "\"-1 h\"",
         "key 'battery.temperature.time_constant': -1 h is out of range; accepted: 0 to 240 h"},
        {"battery", "temperature.heater", "\"5 kW\"",
         "key 'battery.temperature.heater': \"5 kW\" is out of range; accepted: 0 to 2 kW"},
        {"battery", "life.depths", "[0.2, 0.8]",
         "key 'battery.life': the key 'cycles' is missing in the table [battery.life]"},
        {"battery", "acceptance_per_hour", "0",
         "key 'battery.acceptance_per_hour': 0 is out of range; accepted: 0.05 to 100"},
        {"battery", "voltage_model", "\"yes\"",
         "key 'battery.voltage_model': must be true or false, without quotes"},
        {"inverter", "rated_power", "\"50 W\"",
         "key 'inverter.rated_power': 50 W is out of range; accepted: 100 to 100000 W"},
        {"inverter", "rated_power", "-",
         "key 'inverter': the key 'rated_power' is missing in the table [inverter]"},
        {"inverter", "efficiency_at_10_50_100_percent", "[0.9, 0.95]",
         "key 'inverter.efficiency_at_10_50_100_percent': must be a list of 3 values, not 2"},
        {"inverter", "efficiency_at_10_50_100_percent", "[0.9, 1.05, 0.94]",
         "key 'inverter.efficiency_at_10_50_100_percent': 1.05 is out of range; accepted: 0.3 to 0.999"},
        {"inverter", "efficiency_at_10_50_100_percent", "[0.1, 0.2, 0.1]",
         "key 'inverter.efficiency_at_10_50_100_percent': 0.1 is out of range; accepted: 0.3 to 0.999"},
        {"inverter", "idle", "\"500 W\"", "key 'inverter.idle': 500 W is out of range; accepted: 0 to 300 W"},
        {"inverter", "idle", "\"-3 W\"", "key 'inverter.idle': -3 W is out of range; accepted: 0 to 300 W"},
        {"inverter", "surge_power", "[\"12 kW\"]",
         "key 'inverter.surge_times': must be a list of 1 values, not 2"},
        {"inverter", "surge_times", "[\"30 s\", \"5 s\"]",
         "key 'inverter.surge_power': surge ratio = 1.5 (must fall from row to row while the seconds rise)"},
        {"inverter", "surge_power", "[\"9 kW\", \"12 kW\"]",
         "key 'inverter.surge_power': surge ratio = 2 (must fall from row to row while the seconds rise)"},
        {"inverter", "surge_power", "[\"5 kW\", \"4 kW\"]",
         "key 'inverter.surge_power': surge ratio = 0.833333 (must be above 1: it is a multiple of the "
         "rating)"},
        {"inverter", "output_voltage", "\"120 V\"",
         "key 'motor': volts = 230 V with inverter.output_voltage = 120 V: the inverter does not make this "
         "voltage: use "},
        {"inverter", "output_voltage", "\"12 V\"",
         "key 'inverter.output_voltage': 12 V is out of range; accepted: 100 to 480 V"},
        {"inverter", "dc_voltage", "\"24 V\"",
         "key 'inverter.dc_voltage': 24 V does not suit a battery of 51.2 V: put as many units in series as "
         "the "
         "inverter is"},
        {"inverter", "search_draw", "\"60 W\"",
         "key 'inverter.search_draw': \"60 W\": must be at least 0 and not above the idle draw"},
        {"inverter", "on_overload", "\"explode\"",
         "key 'inverter.on_overload': \"explode\" is not a choice; accepted: hold, trip"},
        {"inverter", "trip_restarts", "-1",
         "key 'inverter.trip_restarts': -1 is out of range; accepted: 0 to 20"},
        {"charger", "power_limit", "\"1.8\"",
         "key 'charger.power_limit': \"1.8\" has no unit; expected a power such as \"1500 W\", \"6 kW\" or "
         "\"1.5 hp\""},
        {"charger", "efficiency", "0", "key 'charger.efficiency': 0 is out of range; accepted: 0.5 to 1"},
        {"charger", "power_factor", "1.5",
         "key 'charger.power_factor': 1.5 is out of range; accepted: 0.3 to 1"},
        {"load", "power", "\"-15 W\"", "key 'load.power': -15 W is out of range; accepted: 0 to 100000 W"},
        {"load", "duty", "2", "key 'load.duty': 2 is out of range; accepted: 0 to 1"},
        {"load", "name", "-", "key 'load': the key 'name' is missing in the table [load]"},
        {"load", "leg", "3", "key 'load.leg': 3 is out of range; accepted: 0 to 2"},
        {"load", "power_factor", "0", "key 'load.power_factor': 0 is out of range; accepted: 0.1 to 1"},
        {"load", "profile", "[1,2,3]", "key 'load.profile': must be a list of 24 values, not 3"},
        {"load", "shed_below", "0.95", "key 'load.shed_below': 0.95 is out of range; accepted: 0 to 0.9"},
        {"backup", "kind", "\"wind\"",
         "key 'backup.kind': \"wind\" is not a choice; accepted: none, grid, generator"},
        {"backup", "transfer_below", "0.05",
         "key 'backup.transfer_below': 0.05 is not above the battery's minimum SOC 0.1 (1 - "
         "usable_fraction): the "
         "inverter would "},
        {"backup", "transfer_below", "0.9",
         "key 'backup.return_above': 0.8 must be at least 0.01 above transfer_below = 0.9"},
        {"backup", "return_above", "1.2", "key 'backup.return_above': 1.2 is out of range; accepted: 0 to 1"},
        {"backup", "charge_to", "0.2",
         "key 'backup.charge_to': 0.2 must be above transfer_below = 0.25; leave it out for no charging"},
        {"backup", "normal_source", "\"sometimes\"",
         "key 'backup.normal_source': \"sometimes\" is not a choice; accepted: inverter, grid"},
        {"backup", "transfer_below_voltage", "\"900 V\"",
         "key 'backup.transfer_below_voltage': 900 V is out of range; accepted: 0 to 800 V"},
        {"backup", "transfer_time", "\"1 day\"",
         "key 'backup.transfer_time': \"1 day\" is out of range; accepted: 0 to 0.003472 day"},
        {"generator", "rated_power", "\"7 hp/s\"",
         "key 'generator.rated_power': \"7 hp/s\" is not the right kind of quantity; expected a power such "
         "as \"1500 W\", \"6"},
        {"generator", "fuel_at_full_load", "\"2 L/h\"",
         "key 'generator.fuel_at_full_load': must be more than fuel_at_half_load"},
        {"generator", "least_load", "1.5",
         "key 'generator.least_load': 1.5 is out of range; accepted: 0 to 0.9"},
        {"generator", "quiet_from", "\"22:00\"",
         "key 'generator.quiet_from': quiet hours need quiet_from and quiet_to"},
        {"generator", "quiet_from", "\"25:00\"",
         "key 'generator.quiet_from': must be a time of day such as \"21:30\""},
        {"generator", "top_up_within", "\"3 h\"",
         "key 'generator.top_up_within': topping up before quiet hours needs top_up_within and top_up_below"},
        {"generator", "top_up_within", "\"30 h\"",
         "key 'generator.top_up_within': 30 h is out of range; accepted: 0 to 24 h"},
        {"generator", "top_up_below", "1.5",
         "key 'generator.top_up_below': 1.5 is out of range; accepted: 0 to 1"},
        {"generator", "start", "\"kick\"",
         "key 'generator.start': \"kick\" is not a choice; accepted: automatic, by-hand"},
        {"generator", "start_failure", "2",
         "key 'generator.start_failure': 2 is out of range; accepted: 0 to 1"},
        {"generator", "minimum_run", "\"48 h\"",
         "key 'generator.minimum_run': 48 h is out of range; accepted: 0 to 24 h"},
        {"generator", "fuel_tank", "\"-3 L\"",
         "key 'generator.fuel_tank': -3 L is out of range; accepted: 0 to 100000 L"},
        {"generator", "longest_day", "\"30 h\"",
         "key 'generator.longest_day': 30 h is out of range; accepted: 0.1 to 24 h"},
        {"well", "static_level", "\"-3 m\"",
         "key 'well.static_level': -3 m is out of range; accepted: 0 to 400 m"},
        {"well", "static_level", "\"900 ft\"", "key 'tank.cut_out': \"60 psi\": the pump tops"},
        {"well", "static_level", "-", "key 'well': the key 'static_level' is missing in the table [well]"},
        {"well", "static_level", "\"10000 psi\"",
         "key 'well.static_level': \"10000 psi\" is not the right kind of quantity; expected a length such "
         "as \"120 ft\", \"1"},
        {"well", "static_level_by_month", "[\"1 m\"]",
         "key 'well.static_level': give static_level or static_level_by_month, not both"},
        {"well", "specific_capacity", "\"0 gpm/ft\"",
         "key 'well.specific_capacity': \"0 gpm/ft\" is out of range; accepted: 0.0004832 to 4831 "
         "gpm/ft"},
        {"well", "intake_depth", "\"100 ft\"",
         "key 'well.intake_depth': \"100 ft\": must lie below the static water level by more than the "
         "cover: the pump wou"},
        {"well", "intake_depth", "\"1 ft\"",
         "key 'well.intake_depth': \"1 ft\" is out of range; accepted: 1.641 to 3280 ft"},
        {"well", "water_temperature", "\"60 degC\"",
         "key 'well.water_temperature': 60 degC is out of range; accepted: 0.1 to 40 degC"},
        {"well", "lift_to_tank", "\"900 m\"",
         "key 'well.lift_to_tank': 900 m is out of range; accepted: -100 to 200 m"},
        {"well", "yield_limit", "\"0 gpm\"",
         "key 'well.yield_limit': needs intake_depth: how deep the pump hangs decides when the well runs "
         "dry"},
        {"well", "casing_inside_diameter", "\"1 mm\"",
         "key 'well.casing_inside_diameter': needs intake_depth: how deep the pump hangs decides when the "
         "well runs dry"},
        {"pump", "stages", "0", "key 'pump.stages': 0 is out of range; accepted: 1 to 500"},
        {"pump", "stages", "900", "key 'pump.stages': 900 is out of range; accepted: 1 to 500"},
        {"pump", "flow", "[\"2 gpm\", \"4 gpm\"]", "key 'pump.head': must be a list of 2 values, not 9"},
        {"pump", "flow",
         "[\"0 gpm\", \"2 gpm\", \"4 gpm\", \"6 gpm\", \"8 gpm\", \"7 gpm\", \"12 gpm\", \"14 gpm\", \"16 "
         "gpm\"]",
         "key 'pump.flow': flow = 7 gpm (must rise from row to row)"},
        {"pump", "head",
         "[\"27 ft\", \"28 ft\", \"25.9 ft\", \"24.8 ft\", \"23.1 ft\", \"20.6 ft\", \"17.0 ft\", \"12.0 "
         "ft\", \"5.5 ft\"]",
         "key 'pump.head': head = 336 ft (must fall from row to row: a rising curve has no unique "
         "operating point)"},
        {"pump", "head",
         "[\"27 ft\", \"26 ft\", \"25.9 ft\", \"24.8 ft\", \"23.1 ft\", \"20.6 ft\", \"17.0 ft\", \"12.0 "
         "ft\", \"-5.5 ft\"]",
         "key 'pump.head': \"-5.5 ft\" is out of range; accepted: 0 to 3280 ft"},
        {"pump", "shaft_power",
         "[\"0.001 hp\",\"0.001 hp\",\"0.001 hp\",\"0.001 hp\",\"0.001 hp\",\"0.001 hp\",\"0.001 "
         "hp\",\"0.001 hp\",\"0.001 hp\"]",
         "key 'pump': power = 8.9484 W (must exceed the hydraulic power of its own row: no pump gives out "
         "more than it t"},
        {"pump", "shaft_power", "-", "key 'pump': the key 'shaft_power' is missing in the table [pump]"},
        {"pump", "input_power", "[\"1 hp\"]",
         "key 'pump.shaft_power': give shaft_power or input_power, not both"},
        {"pump", "head", "[\"27 psi\"]", "key 'pump.head': must be a list of 9 values, not 1"},
        {"motor", "rated_power", "\"100 hp\"",
         "key 'motor.rated_power': \"100 hp\" is out of range; accepted: 0.001342 to 30 hp"},
        {"motor", "rated_power", "\"0 hp\"",
         "key 'motor.rated_power': \"0 hp\" is out of range; accepted: 0.001342 to 30 hp"},
        {"motor", "rated_input", "\"500 W\"",
         "key 'motor.rated_input': 500 W is not above rated_power = 746 W at the shaft: no motor gives out "
         "more than it "},
        {"motor", "volts", "\"12 V\"", "key 'motor.volts': 12 V is out of range; accepted: 100 to 480 V"},
        {"motor", "phases", "2", "key 'motor.phases': phases = 2 (must be 1 or 3)"},
        {"motor", "phases", "3",
         "key 'motor.phases': a three-phase motor on this single-phase system needs wiring = \"drive\""},
        {"motor", "wiring", "\"four-wire\"",
         "key 'motor.wiring': \"four-wire\" is not a choice; accepted: two-wire, three-wire, drive"},
        {"motor", "code_letter", "\"I\"",
         "key 'motor.code_letter': \"I\": must be one of A..V without I, O and Q, in capitals"},
        {"motor", "code_letter", "\"ZZ\"",
         "key 'motor.code_letter': must be one capital letter, as on the nameplate"},
        {"motor", "locked_rotor", "\"5 A\"",
         "key 'motor.locked_rotor': \"5 A\": must exceed the full-load current: a motor that does not turn "
         "draws most"},
        {"motor", "start_seconds", "\"20 s\"",
         "key 'motor.start_seconds': 20 s is out of range; accepted: 0.02 to 10 s"},
        {"motor", "soft_start", "0.1", "key 'motor.soft_start': 0.1 is out of range; accepted: 0.2 to 1"},
        {"motor", "service_factor", "0.5",
         "key 'motor.service_factor': 0.5 is out of range; accepted: 1 to 2"},
        {"motor", "min_run", "\"5 h\"", "key 'motor.min_run': \"5 h\" is out of range; accepted: 0 to 1 h"},
        {"motor", "running_power_factor", "1.2",
         "key 'motor.running_power_factor': 1.2 is out of range; accepted: 0.4 to 1"},
        {"pipe", "length", "\"-160 ft\"",
         "key 'pipe.length': \"-160 ft\" is out of range; accepted: 0 to 16400 ft"},
        {"pipe", "inside_diameter", "\"0 in\"",
         "key 'pipe.inside_diameter': \"0 in\" is out of range; accepted: 0.1969 to 19.68 in"},
        {"pipe", "inside_diameter", "\"1.029\"",
         "key 'pipe.inside_diameter': \"1.029\" has no unit; expected a length such as \"120 ft\", \"1.36 "
         "in\" or \"30 m\""},
        {"pipe", "hazen_williams_c", "20",
         "key 'pipe.hazen_williams_c': 20 is out of range; accepted: 50 to 160"},
        {"pipe", "fittings_k", "-1", "key 'pipe.fittings_k': -1 is out of range; accepted: 0 to 1000"},
        {"pipe", "roughness", "\"2 in\"",
         "key 'pipe.roughness': \"2 in\" is out of range; accepted: 0 to 0.1968 in"},
        {"tank", "volume", "\"0 gal\"",
         "key 'tank.volume': \"0 gal\" is out of range; accepted: 0.5284 to 5283 gal"},
        {"tank", "volume", "\"86 psi\"",
         "key 'tank.volume': \"86 psi\" is not the right kind of quantity; expected a volume such as \"86 "
         "gal\", \"300 L\" or "},
        {"tank", "volume", "-", "key 'tank': the key 'volume' is missing in the table [tank]"},
        {"tank", "cut_out", "\"35 psi\"",
         "key 'tank.cut_out': \"35 psi\": must lie above cut-in: the switch opens at the higher pressure"},
        {"tank", "cut_out", "\"10000 psi\"",
         "key 'tank.cut_out': \"10000 psi\" is out of range; accepted: 11.61 to 116 psi"},
        {"tank", "cut_out", "\"110 psi\"", "key 'tank.cut_out': \"110 psi\": the pump tops"},
        {"tank", "precharge", "\"45 psi\"",
         "key 'tank.precharge': \"45 psi\": must not lie above cut-in: the tank would be empty before the "
         "switch starts th"},
        {"tank", "precharge", "\"-5 psi\"",
         "key 'tank.precharge': \"-5 psi\" is out of range; accepted: 0 to 101.5 psi"},
        {"tank", "cut_in", "\"2 psi\"",
         "key 'tank.cut_in': \"2 psi\" is out of range; accepted: 8.703 to 101.5 psi"},
        {"tank", "count", "0", "key 'tank.count': 0 is out of range; accepted: 1 to 20"},
        {"tank", "volumes", "[\"44 gal\", \"-1 gal\"]",
         "key 'tank.volume': give volume or volumes, not both"},
        {"tank", "air_left", "0", "key 'tank.air_left': 0 is out of range; accepted: 0.01 to 1"},
        {"tank", "volum", "\"86 gal\"", "key 'tank.volum': no such key; the nearest known key is 'volume'"},
        {"demand", "daily", "\"225 gal\"",
         "key 'demand.daily': \"225 gal\" is not the right kind of quantity; expected a daily volume such as "
         "\"240 gal/day\""},
        {"demand", "daily", "\"-5 gal/day\"",
         "key 'demand.daily': \"-5 gal/day\" is out of range; accepted: 0 to 264100 gal/day"},
        {"demand", "tap_flow", "\"0 gpm\"",
         "key 'demand.tap_flow': \"0 gpm\" is out of range; accepted: 0.001586 to 1585 gpm"},
        {"demand", "profile", "[1,2,3]", "key 'demand.profile': must be a list of 24 values, not 3"},
        {"demand", "profile", "[0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0]",
         "key 'demand.profile': profile = 0 (must not be all zero)"},
        {"demand", "daily", "\"225 gal/day\" extra",
         "not a TOML file: Error while parsing key-value pair: expected a comment or whitespace, saw 'e'"},
        {"inverter", "low_voltage_cutout", "\"60 V\"",
         "key 'inverter.low_voltage_cutout': 60 V is not below the battery's 51.2 V"},
    };
    CHECK(rows.size() >= 150);
    for (auto const& [table, key, value, says] : sampled(rows)) {
        std::string const label = table + "." + key + " = " + value;
        CAPTURE(label);
        std::ofstream(desk.folder / "bad.toml") << with(household, table, key, value);
        refused(desk, "simulate bad.toml --days 1 --out r.h5", {"bad.toml:", says});
    }
}

// Before: 8.5 units in series made a battery of half a unit, 1.5 tanks one and a half, 1.5 phases one, -0.5
// tries none, 2.9 restarts two; -1 tries stood for "without limit".
TEST_CASE("a count is a whole number") {
    struct Row {
        std::string demo, table, key, range;
    };
    Desk desk;
    for (auto const& [demo, table, key, range] :
         std::vector<Row>{{"juniper-bend-household", "tank", "count", "1 to 20"},
                          {"juniper-bend-household", "motor", "phases", "1 to 3"},
                          {"juniper-bend-household", "pump", "stages", "1 to 500"},
                          {"juniper-bend-household", "load", "priority", "0 to 99"},
                          {"juniper-bend-household", "load", "leg", "0 to 2"},
                          {"juniper-bend-household", "cable", "current_carrying", "1 to 100"},
                          {"juniper-bend-household", "generator", "seed", "0 to 1000000000"},
                          {"saltbush-low-yield", "well", "restart_tries", "0 to 1000"},
                          {"saltbush-low-yield", "use", "priority", "0 to 100"},
                          {"juniper-bend-tankless", "use", "priority", "0 to 100"}}) {
        auto const text = test::file_text(HOLDWATER_SOURCE "/scenarios/" + demo + ".toml");
        for (std::string const value : {"1.5", "-0.5", "\"2\"", "\"150 %\"", "1e-9", "true"}) {
            std::ofstream(desk.folder / "design.toml") << with(text, table, key, value);
            CAPTURE(key);
            refused(desk, "check design.toml", {fmt::format("key '{}.{}': must be a", table, key)});
            if (value == "1.5")
                refused(desk, "check design.toml",
                        {fmt::format("a whole number from {}, without quotes, not 1.5", range)});
        }
    }
    // Units of a battery, modules of an array, animals, hours of the day.
    struct Piece {
        std::string demo, table, text, says;
    };
    for (auto const& [demo, table, text, says] : std::vector<Piece>{
             {"juniper-bend-household", "battery",
              "unit_voltage = \"6 V\"\nunit_capacity = \"225 Ah\"\nin_series = 8.5\nin_parallel = 1\n",
              "key 'battery.in_series': must be a whole number from 1 to 400, without quotes, not 8.5"},
             {"juniper-bend-household", "battery",
              "unit_voltage = \"6 V\"\nunit_capacity = \"225 Ah\"\nin_series = 8\nin_parallel = 1.5\n",
              "key 'battery.in_parallel': must be a whole number from 1 to 100, without quotes, not 1.5"}}) {
        auto changed =
            with(test::file_text(HOLDWATER_SOURCE "/scenarios/" + demo + ".toml"), table, "capacity", "-");
        auto const at = changed.find("[" + table + "]\n") + table.size() + 3;
        std::ofstream(desk.folder / "design.toml") << changed.insert(at, text);
        refused(desk, "check design.toml", {says});
    }
    auto const herd = test::file_text(HOLDWATER_SOURCE "/scenarios/saltbush-low-yield.toml");
    auto half = herd;
    half.replace(half.find("heads    = 12"), 13, "heads    = 12.5");
    std::ofstream(desk.folder / "design.toml") << half;
    refused(desk, "check design.toml",
            {"key 'use.heads': must be a whole number from 1 to 100000, without quotes, not 12.5"});
    std::ofstream(desk.folder / "design.toml") << with(herd, "well", "restart_tries", "-1");
    refused(desk, "check design.toml", {"key 'well.restart_tries': -1 is out of range; accepted: 0 to 1000"});
}

TEST_SUITE_END();
