#include "scenarios/text/key_list.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

namespace holdwater::scenarios {
namespace {

constexpr auto common = KeyPlace::common, more = KeyPlace::more;

// One line for a key: key, unit, default, range, where the page shows it, help.
// clang-format off
constexpr KeyText list[] = {
    // The top of the file.
    {"title", "text", "required", "", common, "name of the design, on every answer"},
    {"place", "text", "required", "", common, "where the well is"},
    {"question", "text", "none", "", more, "what the design is asked, printed with the answer"},
    {"units", "choice", "metric", "metric, us, both", common, "units of the answers; both: the report in both systems, other answers in metric units; the option `--units` of a command overrides it"},
    {"rules", "choice", "US", "US, IEC", common, "whose wiring rules decide; with IEC no US code is cited, and what the national wiring rules hold is entered with its source"},
    {"elevation", "ft or m", "required", "-450-6000 m", common, "of the pressure tank above sea level"},
    {"latitude", "deg", "none", "-66-66", more, "of the well, north positive; with the longitude it is used to check that the weather belongs to the site"},
    {"longitude", "deg", "none", "-180-180", more, "of the well, east positive"},
    {"friction", "choice", "darcy-weisbach", "darcy-weisbach, hazen-williams", more, "how friction in pipes is calculated; hazen-williams gives too little friction below a 2 in bore"},
    {"parts", "list of paths", "none", "", more, "parts lists or folders of them, paths from the scenario's folder"},

    // [weather]
    {"weather.file", "path", "required", "", common, "weather file, path from the scenario's folder"},
    {"weather.stamp", "choice", "as the kind of file says", "start, middle, end", more, "which instant of its interval the time of a row means, for any kind of file; not together with `weather.columns.stamp`"},
    {"weather.shift", "min", "0", "-1440-1440, whole", more, "added to the time of every row: corrects a clock that is wrong by this much"},
    {"weather.decomposition", "choice", "boland-ridley-lauret", "boland-ridley-lauret, erbs", more, "how GHI is split where beam and diffuse are missing"},
    {"weather.decompose", "choice", "missing", "missing, all", more, "all: split every hour again (listed as a repair)"},
    {"weather.long_gaps", "choice", "refuse", "refuse, fill", more, "gaps above 2 h, and more than 438 hours (5 %) without light or temperature"},
    {"weather.made_years", "whole number", "50", "0-10000", common, "number of made years for the verdict"},
    {"weather.seed", "whole number", "1", "0-2147483647", more, "seed of the made years: weather, outages, demand and generator failures"},
    {"weather.years", "list of paths", "none", "", common, "recorded years: files, folders and patterns (`*`, `?`, `[a-z]`), paths from the scenario's folder"},
    {"weather.temperature_file", "path", "none", "", more, "second file: temperature and wind where the weather files have none, and the place where they name none"},
    {"weather.light_model", "choice", "both", "both, suny, metstat, measured", more, "which irradiance model to use from files that hold several; with both, `file` uses SUNY"},
    {"weather.columns.latitude", "deg", "required", "-90-90", more, "of the weather's place"},
    {"weather.columns.longitude", "deg", "required", "-180-180", more, "of the weather's place"},
    {"weather.columns.elevation", "ft or m", "required", "-450-9000 m", more, "of the weather's place"},
    {"weather.columns.utc_offset", "h", "required", "-12-14", more, "local standard time of the file less UTC"},
    {"weather.columns.station", "text", "none", "", more, "name of the weather's place"},
    {"weather.columns.time", "column", "`time`, or the next five", "", more, "date and time in one column"},
    {"weather.columns.year", "column", "none", "", more, "year, where date and time are in columns of their own"},
    {"weather.columns.month", "column", "none", "", more, "month"},
    {"weather.columns.day", "column", "none", "", more, "day"},
    {"weather.columns.hour", "column", "none", "", more, "hour"},
    {"weather.columns.minute", "column", "none", "", more, "minute"},
    {"weather.columns.ghi", "column", "none", "", more, "global irradiance on the horizontal"},
    {"weather.columns.ghi_unit", "unit", "W/m2", "", more, "its unit"},
    {"weather.columns.dni", "column", "none", "", more, "direct normal irradiance"},
    {"weather.columns.dni_unit", "unit", "W/m2", "", more, "its unit"},
    {"weather.columns.dhi", "column", "none", "", more, "diffuse irradiance on the horizontal"},
    {"weather.columns.dhi_unit", "unit", "W/m2", "", more, "its unit"},
    {"weather.columns.temperature", "column", "none", "", more, "air temperature"},
    {"weather.columns.temperature_unit", "unit", "degC", "", more, "its unit"},
    {"weather.columns.wind", "column", "none", "", more, "wind speed"},
    {"weather.columns.wind_unit", "unit", "m/s", "", more, "its unit"},
    {"weather.columns.albedo", "column", "none", "", more, "ground reflectance"},
    {"weather.columns.albedo_unit", "unit", "1", "", more, "its unit"},
    {"weather.columns.stamp", "choice", "start", "start, middle, end", more, "which instant of its interval the time of a row means"},
    {"weather.columns.separator", "text", "comma", "one character", more, "character between columns"},
    {"weather.columns.missing", "list of numbers", "none", "-1e9-1e9", more, "numbers that stand for a missing value"},

    // [array]
    {"array.rated_power", "kW", "required", "0-100", common, "whole array; 0: no array; not with `[array.module]`"},
    {"array.tilt", "deg", "required", "0-90", common, "fixed rack: angle from the horizontal"},
    {"array.azimuth", "deg", "required", "0-360", common, "where the array faces, clockwise from north; not with a tracker"},
    {"array.dc_loss", "", "0.05", "0-0.5", common, "constant loss: mismatch, connections, nameplate"},
    {"array.wiring_loss", "", "0", "0-0.2", more, "loss that grows with current (value at 1000 W/m2)"},
    {"array.shading", "", "0", "0-1", common, "share of the light lost to shade, the same at all times"},
    {"array.soiling", "", "0.02", "0-1", common, "share of the light lost to dirt; or `soiling_by_month`"},
    {"array.soiling_by_month", "12 numbers", "none", "0-1", more, "share of the light lost to dirt, month by month"},
    {"array.modules_in_series", "whole number", "1", "1-1000", more, "needs `[array.module]`"},
    {"array.strings", "whole number", "1", "1-1000", more, "strings in parallel; needs `[array.module]`"},
    {"array.tilt_changes.from", "MM-DD", "required", "in order of the year, 2 to 12 entries", more, "rack tilted by hand: from this day on ..."},
    {"array.tilt_changes.tilt", "deg", "required", "0-90", more, "... at this tilt"},
    {"array.horizon.azimuth", "deg", "required", "0-359, a multiple of 10", more, "skyline, 2 or more points clockwise from north, straight lines between them: direction ..."},
    {"array.horizon.elevation", "deg", "required", "0-90", more, "... and height of the skyline there; open without any points"},
    {"array.sky_model", "choice", "perez", "isotropic, hay-davies, perez", more, "how diffuse irradiance is converted to the plane of the array"},
    {"array.ground_reflectance", "", "0.2", "0-1", more, "used where the weather file has none"},
    {"array.power_temperature_coefficient", "1/K", "-0.37 %/K", "-0.01-0", more, "of the module described by its rated power"},
    {"array.low_light_efficiency", "", "0.98", "0.7-1", more, "of the module described by its rated power: efficiency at 200 W/m2 divided by that at 1000 W/m2, from the data sheet or from the table of IEC 61853-1 (power at 200 W/m2 and 25 degC divided by a fifth of the rated power)"},
    {"array.glass_model", "choice", "ashrae", "none, ashrae, fresnel", more, "loss of light in the glass when the sun is at a low angle to the module"},
    {"array.glass_b0", "", "0.05", "0-0.3", more, "ashrae only"},
    {"array.glass_index", "", "1.526", "1.01-2.5", more, "fresnel only: refractive index of the glass"},
    {"array.glass_thickness", "in or mm", "2 mm", "0-20 mm", more, "fresnel only"},
    {"array.glass_extinction", "1/m", "4", "0-100", more, "fresnel only: extinction coefficient of the glass"},
    {"array.coating_index", "", "none", "1-2.5", more, "fresnel only: refractive index of the coating"},
    {"array.temperature_model", "choice", "faiman", "faiman, king, noct", more, "cell temperature"},
    {"array.heat_loss_still", "W/(m2 K)", "25", "5-60", more, "faiman only: heat loss without wind"},
    {"array.heat_loss_wind", "W s/(m3 K)", "6.84", "0-20", more, "faiman only: heat loss for each m/s of wind"},
    {"array.mounting", "choice", "glass-polymer rack", "glass-glass rack, glass-glass close roof, glass-polymer rack, glass-polymer insulated, thin-film steel rack", more, "king only"},
    {"array.nominal_cell_temperature", "degF or degC", "45 degC", "30-80 degC", more, "noct only"},
    {"array.wind_factor", "", "0.725 faiman, 1 king", "0-3", more, "wind at the module divided by wind in the file"},
    {"array.years_in_service", "", "0", "0-60", more, "age of the array in years"},
    {"array.aging_per_year", "", "0.005", "0-0.05", more, "loss of rated power per year"},
    {"array.tracker.axis_azimuth", "deg", "180", "0-360", more, "single-axis tracker, no backtracking: where its axis points"},
    {"array.tracker.axis_tilt", "deg", "0", "0-90", more, "angle of the axis from the horizontal"},
    {"array.tracker.turn_limit", "deg", "60", "0-90", more, "how far it turns to each side"},
    {"array.snow.days_by_month", "12 whole numbers", "none", "0-31", more, "days that the array is covered with snow, in one run in the middle of the month"},
    {"array.snow.periods.from", "MM-DD", "required", "", more, "snow-covered days by date: first day ..."},
    {"array.snow.periods.to", "MM-DD", "required", "", more, "... and last day, both included"},
    {"array.module.described_by", "choice", "required", "rated power, data sheet, diode", more, "module model"},
    {"array.module.rated_power", "W", "required", "0-1e5", more, "for \"rated power\": of one module"},
    {"array.module.low_light_efficiency", "", "0.98", "0.7-1", more, "for \"rated power\": as `array.low_light_efficiency`"},
    {"array.module.power_temperature_coefficient", "1/K", "-0.37 %/K", "-0.01-0", more, "for \"rated power\"; for \"data sheet\" only compared with what the model gives"},
    {"array.module.short_circuit_current", "A", "required", "0.01-100", more, "data sheet, 1000 W/m2, 25 degC"},
    {"array.module.open_circuit_voltage", "V", "required", "0.1-1000", more, "data sheet, 1000 W/m2, 25 degC"},
    {"array.module.max_power_current", "A", "required", "0.5-1 of `short_circuit_current`", more, "data sheet"},
    {"array.module.max_power_voltage", "V", "required", "0.5-1 of `open_circuit_voltage`", more, "data sheet"},
    {"array.module.current_temperature_coefficient", "A/K or %/K", "required", "0-0.2 %/K (diode +-0.5)", more, "data sheet and diode"},
    {"array.module.voltage_temperature_coefficient", "V/K or %/K", "required", "-1 to -0.05 %/K", more, "data sheet"},
    {"array.module.diode_voltage", "V", "required", "0.01-50", more, "diode: modified ideality factor at 25 degC"},
    {"array.module.light_current", "A", "required", "0.01-100", more, "diode"},
    {"array.module.saturation_current", "A", "required", "1e-30-1", more, "diode"},
    {"array.module.series_resistance", "ohm", "required", "0-100", more, "diode"},
    {"array.module.shunt_resistance", "ohm", "required", "0.01-1e9", more, "diode"},
    {"array.module.band_gap", "eV", "1.121", "0.5-2", more, "diode"},

    // [controller]
    {"controller.kind", "choice", "mppt", "mppt, pwm", more, "pwm needs a data-sheet or diode module"},
    {"controller.power_limit", "W", "this or the next", "1-1e6", common, "highest power to the battery"},
    {"controller.current_limit", "A", "this or the one before", "0.1-1e4", common, "highest current to the battery"},
    {"controller.standby", "W", "2", "0-100", common, "the controller's own consumption"},
    {"controller.battery_voltage", "V", "51.2", "6-1000", more, "nominal voltage, for the voltage window and the current limit"},
    {"controller.efficiency", "", "0.97", "0.5-1", more, "mppt only"},
    {"controller.input_max", "V", "600", "1-2000", more, "highest input voltage; while the open-circuit voltage is above it, the array gives no power, and a warning says so"},
    {"controller.tracking_min", "V", "0", "0-2000", more, "mppt only: lowest tracking voltage"},
    {"controller.tracking_max", "V", "input_max", "1-2000", more, "mppt only: highest tracking voltage"},
    {"controller.headroom", "V", "1", "0-20", more, "mppt: volts of the array above the battery to charge; common practice, no source"},
    {"controller.start_margin", "V", "6", "0-50", more, "mppt: volts above the battery to start; common practice, no source"},
    {"controller.run_margin", "V", "2", "0-50", more, "mppt: volts above the battery to keep running; common practice, no source"},
    {"controller.drop", "V", "0.5 per 12 V of battery", "0-5", more, "pwm only: voltage drop"},

    // [battery]
    {"battery.chemistry", "choice", "none", "lithium-iron-phosphate, flooded-lead-acid, sealed-lead-acid, LFP, AGM", common, "kind of battery; its usual values are used for keys that are left out; LFP is lithium-iron-phosphate, AGM is sealed-lead-acid"},
    {"battery.capacity", "kWh", "required", "0-1000", common, "of the whole battery, 0.05 kWh or more; 0: no battery"},
    {"battery.nominal_voltage", "V", "none", "10-800", common, "of the whole battery"},
    {"battery.usable_fraction", "", "usual", "0.1-1", common, "share of the capacity that the design uses: 1 - minimum SOC"},
    {"battery.charge_limit", "kW", "usual", "0-1000", common, "highest charging power, at the terminals"},
    {"battery.discharge_limit", "kW", "usual", "0-1000", common, "highest discharging power, at the terminals"},
    {"battery.start_soc", "", "1", "0-1", common, "SOC at the start of the run"},
    {"battery.standby", "W", "0", "0-200", common, "draw of the management system"},
    {"battery.end_of_life", "", "0.8", "0.3-1", common, "capacity at the end of the battery's life over that of now, for the verdict; 0.8 is common practice"},
    {"battery.unit_voltage", "V", "none", "1-800", more, "instead of `capacity` and `nominal_voltage`, a battery made of units: voltage of one unit"},
    {"battery.unit_capacity", "Ah", "none", "1-10000", more, "charge of one unit"},
    {"battery.in_series", "whole number", "none", "1-400", more, "units in series"},
    {"battery.in_parallel", "whole number", "none", "1-100", more, "strings of units in parallel"},
    {"battery.rated_hours", "list of h", "none", "0.1-1000", more, "discharge times at which the capacity is known, from which the two wells are fitted"},
    {"battery.rated_capacities", "list of Ah", "none", "0.1-1e5", more, "capacity at these discharge times; of one unit if units are given"},
    {"battery.charge_efficiency", "", "usual", "0.5-1", more, "one way"},
    {"battery.discharge_efficiency", "", "usual", "0.5-1", more, "one way"},
    {"battery.self_discharge_per_month", "", "usual, else 0.03", "0-0.5", more, "share of the capacity that it loses in a month"},
    {"battery.restart_above", "", "minimum + 0.1", "0-1", more, "SOC at which the inverter comes back, but not within a minute after it switched off; at least 0.01 above the minimum, up to 0.98 if the battery tapers"},
    {"battery.acceptance_per_hour", "number per hour", "usual, else none", "0.05-100", more, "charge taper; not with two wells"},
    {"battery.voltage_model", "yes or no", "false", "true, false", more, "terminal voltage from SOC and current; needs `chemistry` and `nominal_voltage`"},
    {"battery.resistance", "ohm", "usual", "0-1", more, "internal resistance; needs `voltage_model`"},
    {"battery.temperature.warmer_than_outside_k", "number of K", "0", "-30-40", more, "how much warmer the place of the battery is than the outside air"},
    {"battery.temperature.time_constant", "h", "12", "0-240", more, "how slowly the battery follows it (0.1 h and more with a heater)"},
    {"battery.temperature.heater", "W", "0", "0-2000", more, "heater"},
    {"battery.temperature.heater_rise_k_per_w", "number of K/W", "0.15", "0-5", more, "how much warmer the heater keeps the battery"},
    {"battery.temperature.heater_on_below", "degF or degC", "3 degC", "-20-30 degC", more, "thermostat: on"},
    {"battery.temperature.heater_off_above", "degF or degC", "7 degC", "-20-40 degC", more, "thermostat: off"},
    {"battery.temperature.cold_charge_refused", "yes or no", "true", "true, false", more, "charging is refused in the cold"},
    {"battery.temperature.cold_takes_capacity", "yes or no", "true", "true, false", more, "cold reduces the capacity"},
    {"battery.life.depths", "list of numbers", "none", "0.01-1", more, "table of cycles to end of life: depths of discharge"},
    {"battery.life.cycles", "list of numbers", "none", "1-1e6", more, "cycles to end of life at these depths"},
    {"battery.life.calendar_years", "", "usual", "1-50", more, "calendar life in years at 25 degC"},
    {"battery.life.throughput", "kWh", "none", "1-1e9", more, "energy through the battery until it is worn out"},
    {"battery.life.combination", "choice", "shortest", "shortest, additive", more, "shortest: the shortest of the lives counts; additive: cycling and calendar wear add up"},

    // [inverter]
    {"inverter.rated_power", "kW", "required", "0.1-100", common, "volt-amperes, all legs or phases together"},
    {"inverter.efficiency_at_10_50_100_percent", "3 numbers", "required", "0.3-0.999", common, "the loss curve goes through these three, idle draw included"},
    {"inverter.idle", "W", "from the curve", "0-300", common, "idle draw (no-load loss) while it is on without load; it is limited to the lowest loss at one of the three efficiencies (a warning names both)"},
    {"inverter.surge_power", "list of kW", "none", "0.001-1000", common, "surge rating in volt-amperes; without it, motor starts are not checked against the inverter"},
    {"inverter.surge_times", "list of s", "none", "0.01-86400", common, "how long each surge rating holds"},
    {"inverter.output_voltage", "V", "240", "100-480", common, "must suit the motor"},
    {"inverter.split_phase", "yes or no", "true", "true, false", common, "two legs"},
    {"inverter.phases", "whole number", "1", "1-3", more, "1 or 3; with 3 the output voltage is between two phases, such as \"400 V\", and the pumps are three-phase"},
    {"inverter.phase_power", "kW", "a third of rated_power", "0.03-100", more, "rating of each of three phases in volt-amperes, from the data sheet"},
    {"inverter.low_voltage_cutout", "V", "0 (off)", "0-800", common, "the inverter switches off below this battery voltage; needs `voltage_model`"},
    {"inverter.dc_voltage", "V", "none", "10-800", more, "must be within 10 % of the battery voltage"},
    {"inverter.search_draw", "W", "0", "0-100", more, "search mode: draw"},
    {"inverter.search_wakes_at", "W", "0", "0-1000", more, "search mode: the load that wakes it"},
    {"inverter.pass_through", "W", "unlimited", "1-1e6", more, "highest power that it passes through from the backup"},
    {"inverter.pass_through_draw", "W", "the no-load loss", "0-300", more, "drawn from grid or generator while the inverter passes it through to the loads"},
    {"inverter.pass_through_efficiency", "", "1 (no source)", "0.8-1", more, "AC out divided by AC in while it passes through, in addition to that draw"},
    {"inverter.on_overload", "choice", "hold", "hold, trip", more, "when the start of a motor or small load does not fit, or grid or generator go while they carry more than the inverter's rating: hold loads back, or trip"},
    {"inverter.trip_restart_delay", "s", "45", "1-3600", more, "after a trip: how long until it starts again"},
    {"inverter.trip_restarts", "whole number", "3", "0-20", more, "how often it starts again by itself"},
    {"inverter.trip_reset_after", "h", "24", "0.1-8760", more, "then how long until someone resets it"},

    // [charger]
    {"charger.power_limit", "W", "required", "0-1e5", common, "DC output"},
    {"charger.efficiency", "", "0.92", "0.5-1", common, "DC out divided by AC in"},
    {"charger.power_factor", "", "0.95", "0.3-1", more, "of its AC input"},

    // [load]
    {"load.name", "text", "required", "", common, "what it is"},
    {"load.power", "W", "required", "0-1e5", common, "while it runs"},
    {"load.duty", "", "1", "0-1", common, "share of each hour that it runs; or `profile`"},
    {"load.profile", "24 numbers", "none", "0-1", more, "share of the hour that it runs, hour by hour"},
    {"load.duty_per_kelvin", "", "0", "-0.1-0.1", more, "change of the duty per kelvin of air temperature above 20 degC"},
    {"load.energy_per_volume", "kWh/gal or kWh/m3", "none", "0-100 kWh/m3", more, "the load runs with the water, up to its power: treatment, effluent pump; it follows the demand, also in hours in which water is short"},
    {"load.of_uses", "list of text", "all water", "", more, "only with the water of these uses"},
    {"load.thermostat", "degF or degC", "none", "-20-40 degC", more, "heater of a pump house or of pipes: the temperature that it holds"},
    {"load.rise_k_per_w", "number of K/W", "required with `thermostat`", "1e-4-10", more, "how much warmer than the air one watt keeps the place"},
    {"load.time_constant", "h", "6 h", "0-240", more, "how slowly the place cools"},
    {"load.freezes_below", "degF or degC", "0 degC", "-20-40 degC", more, "below this temperature the place counts as frozen, and a remark says when and why; below the thermostat's"},
    {"load.power_factor", "", "1", "0.1-1", more, "while it runs"},
    {"load.surge", "W", "0", "0-1e5", more, "volt-amperes at its start; a surge too large for the inverter is reported, and trips it with `on_overload = \"trip\"`"},
    {"load.phantom", "W", "0", "0-1000", more, "draw when off"},
    {"load.priority", "whole number", "0", "0-99", more, "high numbers are shed first"},
    {"load.shed_below", "", "0", "0-0.9", more, "SOC below which it is shed"},
    {"load.leg", "whole number", "0", "0-2", more, "leg of a split-phase inverter; 0: both"},
    {"load.phase", "choice", "required on three phases", "all, L1, L2, L3", more, "phase of a three-phase inverter; all: a three-phase load"},

    // [backup]
    {"backup.kind", "choice", "required", "none, grid, generator", common, "what feeds the loads when the battery is low"},
    {"backup.transfer_below", "", "required (normal source grid: minimum)", "0-1", common, "SOC at which the loads transfer to the backup, above the minimum"},
    {"backup.return_above", "", "required (normal source grid: 1)", "0-1", common, "SOC at which they return to the inverter; at least 0.01 above `transfer_below`, up to 0.98 if the battery tapers"},
    {"backup.charge_to", "", "0", "0-1", common, "SOC up to which the charger charges from the backup, above `transfer_below`; 0: it does not charge"},
    {"backup.normal_source", "choice", "inverter", "inverter, grid", common, "which source the loads are on when both could carry them"},
    {"backup.limit", "W", "unlimited", "1-1e6", more, "grid only: highest power"},
    {"backup.transfer_below_voltage", "V", "0", "0-800", more, "transfer when the voltage under load stays this low ..."},
    {"backup.transfer_delay", "s", "60", "0-3600", more, "... for this long"},
    {"backup.accept_delay", "s", "60 grid, 0 generator", "0-3600", more, "how long the grid must be back before it is used"},
    {"backup.transfer_time", "s", "0.02", "0-300", more, "interruption of the loads; more load than the inverter's rating at a transfer to it trips it with `inverter.on_overload = \"trip\"`, after the time of its surge table"},
    {"backup.transfer", "choice", "automatic", "automatic, by-hand", more, "grid only: whether the loads transfer by themselves, or someone bypasses the inverter at `transfer_below` and switches back at `return_above`, or when the grid is out; bypassed, the inverter draws nothing and the charger rests"},
    {"backup.hand_response", "h", "0.5", "0-48", more, "by hand only: how long until someone has switched"},
    {"backup.forewarned", "h", "0 (none)", "0-336", more, "grid only: outages are known this long before; until they begin the loads are on the grid, the battery is charged, cistern and troughs are filled"},
    {"backup.forewarned_over", "h", "8 h", "0-8760", more, "only outages of at least this length are known before"},
    {"backup.forewarned_charge_to", "", "1 (0.98 if it tapers)", "0-1", more, "SOC to which the battery is charged then; transfer_below or more"},

    // [second_backup]
    {"second_backup.kind", "choice", "required", "none, generator", common, "beside the grid, behind the same inverter: a generator, which is called only while the grid is away; the loads leave it as soon as the grid is back"},
    {"second_backup.transfer_below", "", "required", "0-1", common, "without the grid: SOC at which the generator is called, above the minimum; also if the inverter switched off"},
    {"second_backup.return_above", "", "required", "0-1", common, "SOC at which the loads return to the inverter; at least 0.01 above its `transfer_below`, up to 0.98 if the battery tapers"},
    {"second_backup.charge_to", "", "0", "0-1", common, "SOC up to which the charger charges from the generator, above its `transfer_below`; 0: it does not charge"},
    {"second_backup.transfer_time", "s", "that of [backup]", "0-300", more, "interruption of the loads when they come to the generator or leave it"},

    // [tariff]
    {"tariff.peak_from", "whole number", "required", "0-23", common, "the grid has two or three prices by the hour of day: hour from which the high price holds ..."},
    {"tariff.peak_until", "whole number", "required", "1-24", common, "... until this hour, after midnight too"},
    {"tariff.peak_price", "money", "required", "0-1000", common, "price of a kWh in these hours; in hours without a price of their own: `prices.grid_per_kwh`"},
    {"tariff.low_from", "whole number", "none", "0-23", common, "hour from which the low price holds ..."},
    {"tariff.low_until", "whole number", "required with low_from", "1-24", common, "... until this hour"},
    {"tariff.low_price", "money", "required with low_from", "0-1000", common, "price of a kWh in these hours"},
    {"tariff.reserve", "", "none (the battery does not work for the bill)", "0-1", common, "normal source grid only: in the hours of the high price the loads are on the inverter down to this SOC; the charger charges to `backup.charge_to` in those of the low price (without any: outside the high price), at other times to the reserve"},

    // [generator]
    {"generator.rated_power", "kW", "required", "0.1-100", common, "at sea level"},
    {"generator.fuel_at_half_load", "gal/h or L/h", "required", "0-100 L/h", common, "fuel at half load"},
    {"generator.fuel_at_full_load", "gal/h or L/h", "required", "0-100 L/h", common, "fuel at full load"},
    {"generator.start", "choice", "automatic", "automatic, by-hand", common, "how it is started"},
    {"generator.quiet_from", "hh:mm", "none", "both or neither", common, "quiet hours: from ..."},
    {"generator.quiet_to", "hh:mm", "none", "both or neither", common, "... to"},
    {"generator.fuel_loads", "list of numbers", "none", "0-1.2", more, "instead of the two fuel figures: the data sheet's fuel table, loads as shares of `rated_power`, two or more, rising; straight lines between its points, extended at both ends"},
    {"generator.fuel_rates", "list of gal/h or L/h", "none", "0-100 L/h", more, "fuel at these loads"},
    {"generator.least_load", "", "0", "0-0.9", more, "lowest share of its rated power that it should run at"},
    {"generator.power_factor", "", "1", "0.5-1", more, "of its rating"},
    {"generator.derate_above", "ft or m", "0", "0-6000 m", more, "elevation above which it is derated"},
    {"generator.derate_per_300_m", "", "0.035", "0-0.1", more, "derating for each 300 m (1,000 ft) above that"},
    {"generator.derate_above_temperature", "degF or degC", "25 degC", "-20-60 degC", more, "air temperature above which it is derated"},
    {"generator.fuel_tank", "gal or L", "0 (unlimited)", "0-1e5 L", more, "fuel tank"},
    {"generator.refuel_after", "h", "24", "0.1-8760", more, "how long an empty tank takes to be refilled"},
    {"generator.warm_up", "min", "1 min", "0-60", more, "before it takes load"},
    {"generator.cool_down", "min", "3 min", "0-60", more, "after it gave up its load"},
    {"generator.minimum_run", "h", "0.5", "0-24", more, "shortest run"},
    {"generator.minimum_rest", "h", "0.25", "0-24", more, "shortest rest between runs"},
    {"generator.top_up_within", "h", "0 (off)", "0-24", more, "in this many hours before quiet hours (not more than lie between them) ..."},
    {"generator.top_up_below", "", "0 (off)", "0-1", more, "... the generator is already called at this SOC, from `transfer_below` up to 0.01 below `return_above`"},
    {"generator.emergency_below", "", "0", "0-1", more, "SOC below which it also runs in quiet hours"},
    {"generator.longest_day", "h", "unlimited", "0.1-24", more, "longest running time in a day"},
    {"generator.hand_response", "h", "0.5", "0-48", more, "start by hand only: how long it takes to get there"},
    {"generator.attended_from", "hh:mm", "always", "", more, "start by hand only: someone is on site from ..."},
    {"generator.attended_to", "hh:mm", "always", "", more, "... to"},
    {"generator.start_failure", "", "0", "0-1", more, "chance that a crank fails (three tries)"},
    {"generator.repair_after", "h", "24", "0.1-8760", more, "time until it is repaired"},
    {"generator.motor_start", "W", "unlimited", "1-1e6", more, "volt-amperes of the largest motor start that it carries"},
    {"generator.seed", "whole number", "1", "0-1e9", more, "seed of the failures"},

    // [outage]
    {"outage.start", "MM-DD hh:mm", "required", "in order", common, "the grid is down from ..."},
    {"outage.length", "h", "required", "0-8760", common, "... for this long"},

    // [bypass]
    {"bypass.start", "MM-DD hh:mm", "required", "in order", more, "the inverter is out of service and the grid supplies the pump directly from ..."},
    {"bypass.length", "h", "required", "0-8760", more, "... for this long"},

    // [outage_statistics]
    {"outage_statistics.saifi", "", "required", "0-1000", more, "random outages by the utility's reliability figures (IEEE 1366): sustained outages (over five minutes) per customer and year, without major event days. The figures are means over all customers; the end of a rural line often has 2 to 5 times as many (common practice, no source)"},
    {"outage_statistics.caidi", "h", "required", "0.01-2000", more, "their mean length"},
    {"outage_statistics.major_saifi", "", "none", "0-1000", more, "the same for major event days: the figures with all events less those without them. Without this and the next key and without `[[outage]]` a warning says that storms are left out"},
    {"outage_statistics.major_caidi", "h", "none", "0.01-2000", more, "mean length of the outages on major event days; both or neither"},
    {"outage_statistics.length_spread", "", "1.3 (from memory, 1.0 to 1.5)", "0-3", more, "lengths are lognormal: standard deviation of the logarithm of the length. Not given, it counts as assumed, and `sensitivity` tries 1.0 and 1.5"},
    {"outage_statistics.major_length_spread", "", "1.3 (from memory, 1.0 to 1.5)", "0-3", more, "the same for major event days"},
    {"outage_statistics.by_month", "12 numbers", "all 1", "0-100", more, "season: number of outages of a month compared with the mean month"},
    {"outage_statistics.seed", "whole number", "1", "0-1e9", more, "the same seed gives the same outages"},

    // [well]
    {"well.static_level", "ft or m", "required", "0-400 m", common, "static water level: depth below the wellhead; or `static_level_by_month`"},
    {"well.specific_capacity", "gpm/ft or L/min/m", "unlimited", "1e-7-1 m2/s", common, "flow for each unit of drawdown"},
    {"well.lift_to_tank", "ft or m", "0", "-100-200 m", common, "height of the tank above the wellhead"},
    {"well.water_temperature", "degF or degC", "10 degC", "0.1-40 degC", common, "temperature of the water"},
    {"well.intake_depth", "ft or m", "none", "0.5-1000 m", common, "depth of the pump intake; turns the well model on; needs `specific_capacity`"},
    {"well.yield_limit", "gpm or L/min", "none", "1e-8-1 m3/s", common, "highest flow from the aquifer into the well"},
    {"well.static_level_by_month", "12 x ft or m", "none", "0-400 m", more, "instead of `static_level`"},
    {"well.cover", "ft or m", "10 ft", "0-100 m", more, "least depth of water over the intake; the dry-run protection stops the pump there"},
    {"well.casing_inside_diameter", "in or mm", "6 in", "30-2000 mm", more, "for the water stored in the casing"},
    {"well.drop_pipe_outside_diameter", "in or mm", "0", "0-1000 mm", more, "for the water stored in the casing"},
    {"well.restart_delay", "min", "30 min", "0.01667-1440", more, "after a dry-run trip: delay before a restart"},
    {"well.restart_tries", "whole number", "without limit", "0-1000", more, "number of restarts until someone on site has to reset it"},
    {"well.transmissivity", "ft2/day or m2/day", "none", "1e-8-1 m2/s", more, "slow decline of the aquifer"},
    {"well.storativity", "", "1e-4", "1e-7-0.5", more, "of the aquifer"},

    // [pump]
    {"pump.flow", "list of gpm or L/min", "required", "0-0.1 m3/s", common, "pump curve, rows from shut-off on: flow"},
    {"pump.head", "list of ft or m", "required", "0-1000 m", common, "head at these flows, of one stage"},
    {"pump.shaft_power", "list of hp or W", "required", "0-1e5 W", common, "shaft power at these flows, of one stage; or `input_power`"},
    {"pump.input_power", "list of W", "none", "0-1e5", more, "instead of `shaft_power`: electric input at these flows"},
    {"pump.stages", "whole number", "1", "1-500", common, "the curve's head and power times this"},

    // [motor]
    {"motor.rated_power", "hp or kW", "required", "0.001-22.371 kW", common, "nameplate, up to 30 hp"},
    {"motor.rated_input", "W", "required", "1-1e5", common, "electric input at rated power; the input power while running is calculated from these; or `efficiency`"},
    {"motor.service_factor", "", "1", "1-2", common, "nameplate"},
    {"motor.service_factor_input", "W", "required above a service factor of 1", "1-1e5", common, "electric input at the service factor"},
    {"motor.efficiency", "", "none", "0.2-0.98", more, "instead of `rated_input` and `service_factor_input`"},
    {"motor.volts", "V", "230", "100-480", common, "nameplate"},
    {"motor.phases", "whole number", "1", "1-3", more, "1 or 3; 3 needs a drive or a three-phase inverter"},
    {"motor.wiring", "choice", "three-wire", "two-wire, three-wire, drive, 2-wire, 3-wire", common, "how the motor is connected"},
    {"motor.full_load", "A", "not known", "0.1-1000", common, "nameplate"},
    {"motor.locked_rotor", "A", "not known", "0.1-2000", common, "nameplate; without locked rotor and code letter the start current is 6 x full load"},
    {"motor.code_letter", "letter", "not known", "A-V", common, "nameplate"},
    {"motor.running_power_factor", "", "0.7", "0.4-1", more, "while running"},
    {"motor.locked_rotor_power_factor", "", "0.6", "0.05-1", more, "at the start"},
    {"motor.start_seconds", "s", "0.5", "0.02-10", more, "time of the start"},
    {"motor.soft_start", "", "1", "0.2-1", more, "start current divided by that of a direct start"},
    {"motor.min_run", "s", "60 s (120 s from 1.5 hp)", "0-3600", more, "shorter runs are counted"},
    {"motor.min_rest", "s", "0", "0-3600", more, "a start waits until the rest is over"},

    // [drive]
    {"drive.efficiency", "", "0.95", "0.5-1", common, "constant-pressure drive; needs `wiring = \"drive\"`"},
    {"drive.standby", "W", "15", "0-500", common, "while the pump is off"},
    {"drive.min_speed", "", "0.5", "0-1.2", more, "lowest speed over rated speed"},
    {"drive.max_speed", "", "1", "0.3-1.2", more, "highest speed over rated speed"},
    {"drive.sleep_flow", "gpm or L/min", "1 gpm", "0-0.1 m3/s", more, "below this flow the drive stops the pump"},
    {"drive.input_power_factor", "", "0.65", "0.3-1", more, "of its AC input"},

    // [pump_gate]
    {"pump_gate.from", "hh:mm", "none", "both or neither, through midnight too", more, "the well pump may run from ..."},
    {"pump_gate.until", "hh:mm", "none", "", more, "... until this time of day ..."},
    {"pump_gate.battery_above", "", "none", "0-1", more, "... or once the battery is at this SOC; on the backup always"},
    {"pump_gate.battery_band", "", "0.1", "0.01-1", more, "until it has fallen by this band"},
    {"pump_gate.surplus_above", "W", "none", "0-1e6", more, "... or while the charge controller gives at least this much more than the small loads use"},

    // [pipe]
    {"pipe.name", "text", "none", "", common, "what it is; the pipes from the pump to the tank are in series"},
    {"pipe.length", "ft or m", "required", "0-5000 m", common, "length"},
    {"pipe.inside_diameter", "in or mm", "required", "5-500 mm", common, "inside diameter"},
    {"pipe.fittings_k", "", "0", "0-1000", common, "loss coefficients of valves and fittings, added up"},
    {"pipe.roughness", "in or mm", "1.5e-6 m", "0-5 mm", more, "of the inner wall; darcy-weisbach"},
    {"pipe.hazen_williams_c", "", "150", "50-160", more, "hazen-williams"},

    // [tank]
    {"tank.volume", "gal or L", "required", "2-20000 L", common, "total volume of one pressure tank; or `volumes`"},
    {"tank.count", "whole number", "1", "1-20", common, "equal pressure tanks in parallel"},
    {"tank.volumes", "list of gal or L", "none", "2-20000 L", more, "pressure tanks of different volumes in parallel"},
    {"tank.cut_in", "psi or bar", "required", "0.6-7 bar", common, "pressure switch: the pump starts"},
    {"tank.cut_out", "psi or bar", "required", "0.8-8 bar", common, "pressure switch: the pump stops"},
    {"tank.precharge", "psi or bar", "cut_in - 2 psi", "0-7 bar", common, "air pressure with the tank empty"},
    {"tank.air_left", "", "1", "0.01-1", more, "share of the air that is left; below 1 the tank is waterlogged"},
    {"tank.low_pressure_cutoff", "psi or bar", "none", "0-7 bar", more, "pressure at which the switch opens and stays off until it is reset, below cut_in; about 10 psi below it is common; not with a drive"},
    {"tank.low_pressure_reset", "choice", "by-hand", "by-hand, automatic", more, "who resets it: someone who holds the lever until cut_in, or the control by itself"},
    {"tank.reset_after", "min", "30 min (automatic: 5 min)", "1 min-8760 h", more, "how long after the pressure was lost, or after the last try"},
    {"tank.attended_from", "hh:mm", "12:00", "both or neither", more, "by hand: someone is on site from this time of day ..."},
    {"tank.attended_to", "hh:mm", "13:00", "", more, "... until this one"},
    {"tank.visit_every", "h", "24 h", "24-8760", more, "by hand: only once in this time, counted from 1 January"},

    // [cistern]
    {"cistern.capacity", "gal or L", "required", "50-1e7 L", common, "volume up to the overflow"},
    {"cistern.fill_rule", "choice", "level", "level, prefer-surplus, surplus-only", common, "when the well pump fills it: by water level alone; first from surplus power; or only from surplus power"},
    {"cistern.fill_start", "gal or L", "half", "0-1e7 L", common, "at or below this volume filling starts, with or without sun"},
    {"cistern.fill_stop", "gal or L", "95 %", "0-1e7 L", common, "the float switch stops the filling here"},
    {"cistern.reserve", "gal or L", "0", "0-1e7 L", common, "fire reserve, which normal use cannot draw"},
    {"cistern.dead", "gal or L", "0", "0-1e7 L", more, "volume below the intake"},
    {"cistern.fill_enough", "gal or L", "fill_stop", "0-1e7 L", more, "filling without surplus stops here"},
    {"cistern.fill_sun_above", "W", "none", "0-1e6", more, "surplus: the array gives at least this power ..."},
    {"cistern.fill_battery_above", "", "none", "0-1", more, "... or the battery is at this SOC"},
    {"cistern.fill_band", "gal or L", "5 % of the usable", "0-1e7 L", more, "hysteresis of the filling, above 0"},
    {"cistern.fill_from", "whole number", "none", "0-23", more, "surplus also from this hour of the day ..."},
    {"cistern.fill_until", "whole number", "none", "1-24", more, "... until this one, through midnight too"},
    {"cistern.start", "gal or L", "fill_stop", "0 to the capacity", more, "water at the start of the run"},
    {"cistern.resume", "gal or L", "minimum + 5 %", "minimum to the capacity", more, "volume at which the booster comes back"},
    {"cistern.floor_elevation", "ft or m", "0", "-200-500 m", more, "height of the floor above the wellhead"},
    {"cistern.floor_area", "ft2 or m2", "0", "0-10000 m2", more, "from which the water's height follows"},
    {"cistern.outlet_elevation", "ft or m", "required without booster", "-500-500 m", more, "height of the taps above the wellhead when water flows by gravity"},

    // [booster]
    {"booster.lift_to_tank", "ft or m", "0", "-100-200 m", common, "height of the pressure tank above the cistern"},
    {"booster.friction", "choice", "darcy-weisbach", "darcy-weisbach, hazen-williams", more, "as `friction`"},

    // [trough]
    {"trough.full", "gal or L", "required", "10-1e6 L", common, "volume when full; livestock uses drink from it"},
    {"trough.open", "gal or L", "0.9 x full", "0-1e6 L", common, "the float valve opens below this volume"},
    {"trough.float_flow", "gpm or L/min", "required", "1e-7-0.1 m3/s", common, "flow through the float valve"},
    {"trough.fill_from", "whole number", "none", "0-23", more, "a second valve fills the trough from this hour of the day ..."},
    {"trough.fill_until", "whole number", "none", "1-24", more, "... until this one, through midnight too ..."},
    {"trough.fill_battery_above", "", "none", "0-1", more, "... or while the battery is above this SOC"},
    {"trough.fill_band", "gal or L", "half of full - open", "1-1e6 L", more, "the second valve opens once the trough has fallen by this much"},

    // [demand]
    {"demand.daily", "gal/day or L/day", "required", "0-1e6 L/day", common, "a single use: water used in a day"},
    {"demand.tap_flow", "gpm or L/min", "3 gpm", "1e-7-0.1 m3/s", common, "flow while the taps are open"},
    {"demand.profile", "24 numbers", "household", "0-1e6", more, "weights of the hours of the day"},
    {"demand.weekend_profile", "24 numbers", "profile", "0-1e6", more, "the same at weekends; not together with a `[[use]]`, like the next three"},
    {"demand.weekend_factor", "", "1", "0-10", more, "use on a day of the weekend compared with a weekday"},
    {"demand.month_factor", "12 numbers", "all 1", "0-100", more, "use of a month compared with the mean month"},
    {"demand.day_variation", "", "0", "0-3", more, "random variation from day to day by the seed (the year's total stays)"},
    {"demand.multiplier", "", "1", "0.01-10", common, "all water that is used times this, for \"what if\": 1.3 is 30 % more; leaks stay"},
    {"demand.seed", "whole number", "1", "0-1e9", more, "seed of the day-to-day variation"},
    {"demand.calendar_year", "whole number", "2023", "1900-2200", more, "the year whose weekdays are used"},
    {"demand.metered_pump_energy", "kWh/month", "not known", "0-7000", more, "as billed; gives a warning if this energy pumps less than half or more than twice the water entered; not with a cistern"},
    {"demand.drawn_as", "choice", "lump", "lump, events", more, "the water of an hour at once at its beginning, or in single uses; measured use (`[demand.series]`) too: each day keeps its measured volume"},
    {"demand.fixture.name", "text", "required", "", more, "with events: a fixture, instead of those of the end-use study"},
    {"demand.fixture.share", "", "required", "1e-6-1e6", more, "share of the day's volume, on any scale"},
    {"demand.fixture.volume", "gal or L", "required", "0.01-1e4 L", more, "mean volume of one use"},
    {"demand.fixture.flow", "gpm or L/min", "required", "1e-6-0.01 m3/s", more, "mean flow of one use"},
    {"demand.fixture.volume_spread", "", "0", "0-3", more, "standard deviation over mean of the volume"},
    {"demand.fixture.flow_spread", "", "0", "0-3", more, "standard deviation over mean of the flow"},
    {"demand.fixture.profile", "24 numbers", "that of the household", "0-1e6", more, "weights of the hours of the day in which it is used; not with `[demand.series]`, whose readings say so"},
    {"demand.series.file", "path", "required", "", more, "measured water use, path from the scenario's folder; instead of `daily`"},
    {"demand.series.volume", "column", "required", "", more, "column of the volume"},
    {"demand.series.volume_unit", "unit", "required", "a unit of volume", more, "its unit"},
    {"demand.series.date", "column", "`date`, `time` or both", "", more, "date of a row"},
    {"demand.series.time", "column", "`date`, `time` or both", "", more, "time of a row"},
    {"demand.series.date_order", "choice", "year-month-day", "year-month-day, month-day-year, day-month-year", more, "how dates are written"},
    {"demand.series.stamp", "choice", "start", "start, end", more, "which instant of its interval the time of a row means"},
    {"demand.series.reading", "choice", "interval", "interval, counter", more, "the volume of each interval, or the readings of a meter that counts up"},
    {"demand.series.gaps", "choice", "refuse", "refuse, fill", more, "hours without a complete reading"},
    {"demand.series.repeat", "choice", "refuse", "refuse, weeks, days", more, "how days that the file lacks are filled"},
    {"demand.series.from", "YYYY-MM-DD", "first whole day", "", more, "first day that is used"},
    {"demand.series.separator", "text", "comma", "one character", more, "character between columns"},

    // [use]
    {"use.name", "text", "required", "", common, "several uses instead of `demand.daily`"},
    {"use.kind", "choice", "required", "household, livestock, irrigation, backwash, leak, other", common, "decides which of the other keys it has"},
    {"use.persons", "", "required", "0-1000", common, "household: how many people"},
    {"use.per_person", "gal/day or L/day", "75 gal/day", "0-5000 L/day", common, "household: use of one person"},
    {"use.heads", "whole number", "required", "1-1e5", common, "livestock: how many head"},
    {"use.animal", "text", "required", "an animal of the built-in table", common, "livestock: drinking by air temperature; or `per_head` with `at_temperature`"},
    {"use.per_head", "list of gal or L", "none", "0-1000 L", more, "livestock: daily drink of one head ..."},
    {"use.at_temperature", "list of degF or degC", "none", "-60-60 degC", more, "... at these air temperatures"},
    {"use.daily_by_month", "12 x gal/day or L/day", "required", "0-1e6 L/day", common, "irrigation: water in a day, month by month"},
    {"use.from_hour", "whole number", "required", "0-23", common, "irrigation: first hour of the day"},
    {"use.until_hour", "whole number", "required", "0-24", common, "irrigation: hour at which it ends"},
    {"use.flow", "gpm or L/min", "required", "0-0.01 m3/s", common, "leak: flow"},
    {"use.daily", "gal/day or L/day", "required", "0-1e6 L/day", common, "other: water in a day"},
    {"use.volume", "gal or L", "required", "0.1-1e5 L", common, "backwash of a filter or regeneration of a softener: water of one"},
    {"use.every_days", "whole number", "required", "1-365", common, "backwash: days from one to the next"},
    {"use.at_hour", "whole number", "2", "0-23", common, "backwash: hour of the day"},
    {"use.tap_flow", "gpm or L/min", "3 gpm; livestock 5 gpm; irrigation and backwash required", "1e-7-0.1 m3/s", more, "flow while the taps are open"},
    {"use.priority", "whole number", "by kind", "0-100", more, "0 is served first"},
    {"use.profile", "24 numbers", "by kind", "0-1e6", more, "weights of the hours of the day"},
    {"use.weekend_profile", "24 numbers", "profile", "0-1e6", more, "the same at weekends"},
    {"use.weekend_factor", "", "1", "0-10", more, "use on a day of the weekend compared with a weekday"},
    {"use.month_factor", "12 numbers", "all 1", "0-100", more, "use of a month compared with the mean month"},
    {"use.day_variation", "", "0", "0-3", more, "random variation from day to day by the seed (the year's total stays)"},
    {"use.drawn_as", "choice", "lump", "lump, events", more, "the water of an hour at once at its beginning, or in single uses (household and `demand` only)"},
    {"use.fixture.name", "text", "required", "", more, "with events: a fixture, instead of those of the end-use study"},
    {"use.fixture.share", "", "required", "1e-6-1e6", more, "share of the day's volume, on any scale"},
    {"use.fixture.volume", "gal or L", "required", "0.01-1e4 L", more, "mean volume of one use"},
    {"use.fixture.flow", "gpm or L/min", "required", "1e-6-0.01 m3/s", more, "mean flow of one use"},
    {"use.fixture.volume_spread", "", "0", "0-3", more, "standard deviation over mean of the volume"},
    {"use.fixture.flow_spread", "", "0", "0-3", more, "standard deviation over mean of the flow"},
    {"use.fixture.profile", "24 numbers", "that of the household", "0-1e6", more, "weights of the hours of the day in which it is used"},

    // [required]
    {"required.years_without_shortage", "", "0.95", "0.01-1", common, "share of the years that must be without a shortage of water; 0.95 of 50 years are 48"},
    {"required.hours_short_allowed", "h", "0", "0-8760", common, "a year still counts as without a shortage if it has at most this many hours short of water"},
    {"required.longest_shortage_limit", "h", "none", "0-8760", more, "no year may have a longer shortage"},
    {"required.judge", "choice", "end-of-life", "end-of-life, new", more, "whether the battery is judged at the end of its life or new"},

    // [wiring]
    {"wiring.breaker", "A", "none", "1-1000", common, "breaker of the pump circuit"},
    {"wiring.breaker_curve", "choice", "none", "B, C, D", common, "curve of the breaker; the start current is compared with the current at which it trips at once"},
    {"wiring.motor_protection", "A", "none", "0.1-1000", common, "current to which the motor protection (overload relay) is set"},
    {"wiring.motor_protection_class", "choice", "10", "10A, 10, 20, 30", more, "trip class of the motor protection"},
    {"wiring.dc_cable_size", "AWG or mm2", "none", "", common, "battery cable: size, such as \"4/0\" or \"70 mm2\""},
    {"wiring.dc_cable_length", "ft or m", "required with a size", "0-100 m", common, "length one way"},
    {"wiring.dc_fuse", "A", "none", "1-2000", common, "fuse of the battery cable"},
    {"wiring.source_sag", "", "0", "0-0.5", more, "share of the voltage that the source loses at a motor start; or `source_resistance`"},
    {"wiring.source_resistance", "ohm", "0", "0-10", more, "instead of `source_sag`"},
    {"wiring.dc_cable_resistance", "ohm", "from size", "0-1", more, "resistance of both conductors of the battery cable"},
    {"wiring.dc_cable_ampacity", "A", "AWG: the table's; mm2: not known", "0.1-5000", more, "of the battery cable as it is laid, from a table"},
    {"wiring.dc_cable_ampacity_source", "text", "none", "", more, "where `dc_cable_ampacity` was read: table of the national wiring rules or data sheet"},
    {"wiring.battery_peak_current", "A", "none", "1-1e5", common, "peak current that the battery withstands at a motor start"},
    {"wiring.generator_regulation", "choice", "external", "external, internal", more, "column of the start table"},
    {"wiring.generator_output", "choice", "none", "two-wire, three-wire, 2-wire, 3-wire", more, "output arrangement of the generator"},
    {"wiring.charger_needs_three_wire", "yes or no", "false", "true, false", more, "whether the charger needs a three-wire output"},
    {"wiring.charger_folds_back", "yes or no", "false", "true, false", more, "whether it folds back by itself on a weak generator"},
    {"wiring.main_breaker", "A", "none", "1-1000", more, "main breaker or fuse of each phase of the grid connection, with `inverter.phases = 3`; `check` compares the fullest phase with it"},
    {"wiring.generator_phase_power", "kW", "a third of the generator's", "0.03-100", more, "rating of each phase of the generator in volt-amperes, with `inverter.phases = 3`"},
    {"wiring.generator_frequency", "2 x Hz", "none", "20-90", more, "measured at the generator: no load, full load"},
    {"wiring.generator_volts", "2 x V", "none", "50-500", more, "measured at the generator: no load, full load"},
    {"wiring.accepted_frequency", "2 x Hz", "none", "20-90", more, "the charger's input window: low, high"},
    {"wiring.accepted_volts", "2 x V", "none", "50-500", more, "the charger's input window: low, high"},

    // [cable]
    {"cable.name", "text", "cable", "", common, "what it is; the cables are in series from source to motor"},
    {"cable.length", "ft or m", "required", "0-1500 m", common, "length one way"},
    {"cable.size", "AWG or mm2", "required", "14 to 4/0 AWG, 0.5-1000 mm2", common, "\"12\", \"12 AWG\", \"4/0\", \"2.5 mm2\""},
    {"cable.material", "choice", "copper", "copper", more, "material of the conductors"},
    {"cable.resistance", "ohm/m", "AWG: table at 75 degC; mm2: computed for conductor_temperature", "0-0.1", more, "resistance of one conductor; the cable's data sheet overrides the default"},
    {"cable.ampacity", "A", "AWG: the table's; mm2: not known", "0.1-2000", more, "of this cable as it is laid, from a table; without it the ampacity of a mm2 size is UNKNOWN"},
    {"cable.ampacity_source", "text", "none", "", common, "where `ampacity` was read: table of the national wiring rules or data sheet, with the way of laying"},
    {"cable.conductor_temperature", "degF or degC", "75 degC", "-40-150 degC", more, "of the conductor of a mm2 size, for its computed resistance"},
    {"cable.insulation", "choice", "75 degC", "60 degC, 75 degC, 90 degC", more, "rating of the insulation, for the ampacity"},
    {"cable.terminals", "choice", "60 degC", "60 degC, 75 degC, 90 degC", more, "rating of the terminals, for the ampacity"},
    {"cable.ambient", "degF or degC", "30 degC", "-40-85 degC", common, "around the cable, for the ampacity"},
    {"cable.current_carrying", "whole number", "2", "1-100", more, "current-carrying conductors side by side, for the ampacity"},

    // [check]
    {"check.least_motor_volts", "", "0.65", "0.3-1", more, "lowest share of its voltage that the motor may get at a start"},
    {"check.run_drop", "", "0.05", "0.005-0.2", more, "largest voltage drop in the cables while running"},
    {"check.run_drop_source", "text", "none", "", more, "where `run_drop` was read: national wiring rules or the motor maker's manual"},
    {"check.battery_soc", "", "transfer_below or minimum", "0-1", more, "SOC of the battery at a motor start; or `resting_voltage`"},
    {"check.resting_voltage", "V", "none", "5-1000", more, "voltage of the battery at rest at a motor start"},
    {"check.battery_temperature", "degF or degC", "none", "-40-60 degC", common, "lowest temperature of the battery at a motor start"},
    {"check.start_efficiency", "", "0.88", "0.5-1", more, "of the inverter during a motor start"},
    {"check.record_low", "degF or degC", "none", "-70-40 degC", common, "record low temperature, for the highest voltage of the array"},
    {"check.hottest_cell", "degF or degC", "70 degC", "25-110 degC", more, "for the lowest voltage of the array"},
    {"check.absorption_voltage", "V", "14.4 per 12 V", "5-1000", more, "highest voltage of the battery, for the voltages of the array"},
    {"check.array_site", "choice", "none", "dwelling, other building, not on a building", more, "for the voltages of the array"},
    {"check.measured_start_on_inverter", "choice", "not tried", "not tried, succeeded, failed", common, "a start tried on site overrides any table"},
    {"check.measured_start_on_generator", "choice", "not tried", "not tried, succeeded, failed", common, "a start tried on site overrides any table"},
    {"check.soft_start_agreed", "yes or no", "false", "true, false", more, "the motor maker agrees to the soft start"},
    {"check.sun_hours", "", "weather file", "0-14", more, "hand calculation: sun hours of the worst month"},
    {"check.system_factor", "", "0.77", "0.3-1", more, "hand calculation: the share of the array power that is used"},
    {"check.least_autonomy_days", "days", "1 with backup, 3 without", "0-60", more, "limit, written 5 or \"5 days\""},
    {"check.recommended_flow", "2 x gpm or L/min", "60-130 % of the best point", "0-0.1 m3/s", more, "recommended range of the pump: low, high"},

    // [waiver]
    {"waiver.check", "name of a check", "required", "", more, "you accept, in writing and with a reason, a check that does not pass"},
    {"waiver.reason", "text", "required", "", more, "the reason"},

    // [provenance]
    {"provenance.KEY", "choice", "none", "nameplate, measured, table, assumed", more, "KEY: any key that has a value, in quotes, such as `provenance.\"motor.locked_rotor\"`: where an input comes from; printed and stored with every result that rests on it"},

    // [assumed_range]
    {"assumed_range.KEY", "low, high", "none", "at most six for `check`", more, "`sensitivity` tries both ends; `check` tries all combinations of the ends of start, full-load and power-factor figures, surge, battery resistance, source sag, generator rating, water level, precharge and record low: UNKNOWN if a verdict flips to FAIL"},

    // [option]
    {"option.name", "text", "required", "", more, "a variant of the scenario, for `compare` and `--option`"},
    {"option.remove", "list of keys", "none", "", more, "keys or tables that it deletes, before all other changes"},
    {"option.KEY", "as the key", "none", "", more, "any dotted key in quotes, such as `option.\"battery.capacity\"`: what it changes; a table `[option.cistern]` changes or adds keys of a table, `[[option.use]]` adds an entry at the end of a list"},

    // [prices]
    {"prices.currency", "text", "none", "", common, "without [prices], options are compared without costs"},
    {"prices.purchase", "money", "the parts' prices added up", "0-1e9", common, "purchase price of everything that is priced"},
    {"prices.besides_parts", "money", "0", "0-1e9", more, "added to the prices of the parts if `purchase` is not given"},
    {"prices.fuel_per_liter", "money", "required where that backup is used", "0-1000", common, "price of fuel"},
    {"prices.grid_per_kwh", "money", "required where that backup is used", "0-1000", common, "price of grid energy"},
    {"prices.maintenance_per_year", "money", "0", "0-1e9", common, "maintenance in a year"},
    {"prices.generator_maintenance_per_hour", "money", "0", "0-1e4", more, "maintenance for each hour that the generator runs"},
    {"prices.battery_replacement", "money", "0 (with a life: what the battery's part costs)", "0-1e9", common, "price of a new battery"},
    {"prices.battery_life_years", "", "from `[battery.life]` (required without one)", "0.5-100", common, "years until the battery is replaced"},
    {"prices.years", "", "required", "1-100", common, "how many years the costs are added up for"},
    {"prices.discount_rate", "", "required", "-0.05-0.5", common, "for the present value"},

    // [search]
    {"search.least", "choice", "cost with [prices], else size", "cost, purchase, size", more, "what is minimized; size: the first value of a list is the smallest, the first list counts most"},
    {"search.require.demand_met", "", "none", "0-1", more, "at least this share of the year's demand"},
    {"search.require.shortage_hours", "number of h", "none", "0-8760", more, "at most: hours short of water in the year"},
    {"search.require.longest_shortage", "number of h", "none", "0-8760", more, "at most"},
    {"search.require.generator_run_h", "number of h", "none", "0-8760", more, "at most, in the year"},
    {"search.require.fuel", "gal or L", "none", "0-1e6 L", more, "at most, in the year"},
    {"search.require.grid_energy", "kWh", "none", "0-1e6", more, "at most, in the year"},
    {"search.require.cloudy_days", "days", "none", "1-60, whole", more, "at least, without backup and without a shortage: the battery is full when they begin, cistern and trough are where the typical year has them; 5 or \"5 days\""},
    {"search.require.cloudy_clearness", "", "0.12", "0-0.8", more, "clearness of those days"},
    {"search.require.cloudy_share", "", "1", "0.01-1", more, "share of the start dates that must have no shortage"},
    {"search.require.starts_within_limit", "yes or no", "false", "true, false", more, "pump starts in any 24 h within the motor's limit"},
    {"search.require.motor_start", "choice", "any", "pass, not failed, any", more, "the start checks of `check`; not failed: UNKNOWN is accepted"},
    {"search.require.battery_years", "", "none", "0-100", more, "at least: years until the battery is replaced, from the run"},
    {"search.require.purchase", "money", "none", "0-1e9", more, "at most: purchase price"},
    {"search.axis.name", "text", "required", "", more, "as shown in the tables"},
    {"search.axis.label", "list of texts", "the first key's values", "", more, "as shown in the tables"},
    {"search.axis.option", "list of names", "none", "options of the scenario, \"base design\"", more, "which option; applied before the other keys"},
    {"search.axis.KEY", "list of values", "one required", "1-1000 values", more, "any dotted key in quotes, such as `search.axis.\"battery.capacity\"`; several lists of one length change together, from smallest to largest"},
    {"search.axis.price", "list of money", "none", "0-1e9", more, "of each value, added to the purchase"},
    {"search.axis.more_never_hurts", "yes or no", "false", "true, false", more, "a larger value never does worse in what is required (apart from pump starts, battery life and cost)"},
};
// clang-format on

KeyText const* find_key(std::string_view key) {
    auto const* const found =
        std::find_if(std::begin(list), std::end(list), [&](KeyText const& k) { return k.key == key; });
    return found == std::end(list) ? nullptr : found;
}

bool is_number(std::string_view text) {
    return !text.empty() && text.find_first_not_of("0123456789") == std::string_view::npos;
}

// The key without the part at `at`.
std::string without(std::vector<std::string> const& parts, std::size_t at) {
    std::string key;
    for (std::size_t i = 0; i < parts.size(); ++i)
        if (i != at) key += (key.empty() ? "" : ".") + parts[i];
    return key;
}

std::string cell(std::string_view text) {
    std::string out;
    for (char const c : text) out += c == '|' ? std::string("\\|") : std::string(1, c);
    return out;
}

}  // namespace

std::span<KeyText const> key_list() { return list; }

KeyText const* key_text(std::string_view key) {
    std::vector<std::string> parts(1);
    for (char const c : key)
        if (c == '.')
            parts.emplace_back();
        else
            parts.back() += c;
    std::erase_if(parts, is_number);
    constexpr auto none = std::string::npos;
    if (auto const* const found = find_key(without(parts, none))) return found;
    if (parts.size() > 2 && parts[0] == "booster")
        if (auto const* const found = key_text(without(parts, 0))) return found;
    if (parts.size() == 3 && parts[1] == "years_columns") return key_text("weather.columns." + parts[2]);
    for (std::size_t named = 1; named + 1 < parts.size(); ++named)  // "load.refrigerator.power"
        if (auto const* const found = find_key(without(parts, named))) return found;
    return nullptr;
}

std::string key_hint(std::string_view key) {
    auto const* const k = key_text(key);
    if (k == nullptr) return {};
    auto const form =
        fmt::format("{}{}{}", k->unit, k->unit.empty() || k->range.empty() ? "" : ", ", k->range);
    return fmt::format("{}{}{}", form, form.empty() || k->help.empty() ? "" : ": ", k->help);
}

std::string key_table(std::span<std::string const> sections) {
    std::string out = "| key | unit | default | range | meaning |\n|---|---|---|---|---|\n";
    for (auto const& k : list) {
        auto const dot = k.key.find('.');
        auto const section = dot == std::string_view::npos ? std::string_view("top") : k.key.substr(0, dot);
        if (!sections.empty() && std::find(sections.begin(), sections.end(), section) == sections.end())
            continue;
        out += fmt::format("| `{}` | {} | {} | {} | {} |\n", k.key, cell(k.unit), cell(k.usual),
                           cell(k.range), cell(k.help));
    }
    return out;
}

}  // namespace holdwater::scenarios
