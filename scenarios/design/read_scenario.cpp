#include <fmt/format.h>

#include <array>
#include <cmath>
#include <filesystem>
#include <sstream>

#include "scenarios/design/read_scenario_document.hpp"
#include "scenarios/design/read_years.hpp"
#include "scenarios/design/unusual_values.hpp"
#include "scenarios/parts/put_parts_in.hpp"
#include "scenarios/sections/read_array.hpp"
#include "scenarios/sections/read_backup.hpp"
#include "scenarios/sections/read_battery.hpp"
#include "scenarios/sections/read_inverter.hpp"
#include "scenarios/sections/read_water_side.hpp"
#include "scenarios/sections/read_wiring.hpp"
#include "scenarios/settings/scenario.hpp"
#include "scenarios/text/section.hpp"
#include "scenarios/text/toml_text.hpp"

namespace holdwater::scenarios {
namespace {

weather::Column read_column(Section& s, std::string_view name, std::string_view unit) {
    weather::Column column;
    column.name = s.text(name, "");
    column.unit = s.text(std::string(name) + "_unit", unit);
    return column;
}

constexpr std::array stamp_names{std::pair{std::string_view("start"), weather::Stamp::start},
                                 std::pair{std::string_view("middle"), weather::Stamp::middle},
                                 std::pair{std::string_view("end"), weather::Stamp::end}};

weather::ColumnMap read_columns(Section s) {
    weather::ColumnMap map;
    map.station = s.text("station", "");
    map.site.latitude_deg = s.quantity("latitude", "deg", {-90, 90});
    map.site.longitude_deg = s.quantity("longitude", "deg", {-180, 180});
    map.site.elevation_m = s.quantity("elevation", "m", {-450, 9000});
    map.site.utc_offset_h = s.quantity("utc_offset", "h", {-12, 14});
    map.time = s.text("time", "");
    map.year = s.text("year", "");
    map.month = s.text("month", "");
    map.day = s.text("day", "");
    map.hour = s.text("hour", "");
    map.minute = s.text("minute", "");
    map.ghi = read_column(s, "ghi", "W/m2");
    map.dni = read_column(s, "dni", "W/m2");
    map.dhi = read_column(s, "dhi", "W/m2");
    map.temperature = read_column(s, "temperature", "degC");
    map.wind = read_column(s, "wind", "m/s");
    map.albedo = read_column(s, "albedo", "1");
    map.stamp = s.choice("stamp", stamp_names, weather::Stamp::start);
    std::string const separator = s.text("separator", ",");
    if (separator.size() != 1) s.fail("separator", "must be one character");
    map.separator = separator[0];
    if (s.has("missing")) map.missing_codes = s.list("missing", 0, "", {-1e9, 1e9});
    s.finish();
    return map;
}

std::string below_scenario(Scenario const& scenario, std::string const& given) {
    std::filesystem::path const path = given;
    return (path.is_absolute() ? path : std::filesystem::path(scenario.path).parent_path() / path)
        .lexically_normal()
        .string();
}

void read_recorded_years(Section& s, Scenario& scenario) {
    bool const recorded = s.has("years");
    if (recorded) scenario.recorded_paths = s.texts("years");
    if (auto columns = s.optional_table("years_columns")) {
        if (!recorded) s.fail("years_columns", "is given without years, the files that it describes");
        scenario.recorded_columns = read_columns(*columns);
    }
    auto const second = s.text("temperature_file", "");
    if (!second.empty()) scenario.temperature_path = below_scenario(scenario, second);
    using weather::LightModel;
    using Models = std::vector<LightModel>;
    auto const choice = s.choice("light_model",
                                 std::array{std::pair{std::string_view("both"), LightModel::own},
                                            std::pair{std::string_view("suny"), LightModel::suny},
                                            std::pair{std::string_view("metstat"), LightModel::metstat},
                                            std::pair{std::string_view("measured"), LightModel::measured}},
                                 LightModel::own);
    scenario.light_models =
        choice == LightModel::own ? Models{LightModel::suny, LightModel::metstat} : Models{choice};
}

void read_weather_source(Section s, Scenario& scenario) {
    scenario.weather_path = below_scenario(scenario, s.text("file"));
    read_recorded_years(s, scenario);
    if (auto columns = s.optional_table("columns")) {
        scenario.weather_columns = read_columns(*columns);
        if (columns->has("stamp") && s.has("stamp"))
            s.fail("stamp", "is given in [weather] and in [weather.columns]; one of them says what it means");
    }
    if (s.has("stamp")) scenario.weather_stamp = s.choice("stamp", stamp_names);
    double const shift_min = s.quantity("shift", "min", {-1440, 1440}, 0);
    scenario.weather_shift_min = static_cast<int>(std::lround(shift_min));
    if (std::abs(shift_min - scenario.weather_shift_min) > 1e-6)
        s.fail("shift", fmt::format("{:g} min; whole minutes are accepted", shift_min));
    using weather::DecompositionModel;
    scenario.decomposition =
        s.choice("decomposition",
                 std::array{std::pair{std::string_view("boland-ridley-lauret"), DecompositionModel::brl},
                            std::pair{std::string_view("erbs"), DecompositionModel::erbs}},
                 DecompositionModel::brl);
    scenario.decompose_all = s.choice(
        "decompose",
        std::array{std::pair{std::string_view("missing"), false}, std::pair{std::string_view("all"), true}},
        false);
    scenario.fill_long_gaps = s.choice(
        "long_gaps",
        std::array{std::pair{std::string_view("refuse"), false}, std::pair{std::string_view("fill"), true}},
        false);
    read_made_years(s, scenario.years);
    s.finish();
}

void read_place(Section& root, Scenario& scenario) {
    scenario.title = root.text("title");
    scenario.question = root.text("question", "");
    scenario.place = root.text("place");
    if (root.has("units")) {
        enum class Stated { metric, us, both };
        auto const stated =
            root.choice("units", std::array{std::pair{std::string_view("metric"), Stated::metric},
                                            std::pair{std::string_view("us"), Stated::us},
                                            std::pair{std::string_view("both"), Stated::both}});
        scenario.units = stated == Stated::us ? UnitSystem::us : UnitSystem::metric;
        scenario.report_in_both = stated == Stated::both;
    }
    scenario.wiring.rules = root.choice("rules",
                                        std::array{std::pair{std::string_view("US"), WiringRules::us},
                                                   std::pair{std::string_view("IEC"), WiringRules::iec}},
                                        WiringRules::us);
    scenario.elevation_m = root.quantity("elevation", "m", {-450, 6000});
    if (root.has("latitude") != root.has("longitude"))
        root.fail(root.has("latitude") ? "longitude" : "latitude", "is missing; give both or neither");
    if (root.has("latitude"))
        scenario.coordinates = Coordinates{root.quantity("latitude", "deg", {-66, 66}),
                                           root.quantity("longitude", "deg", {-180, 180})};
}

}  // namespace

std::string text_of(toml::table const& document) {
    std::ostringstream out;
    out.exceptions(std::ios::badbit);  // too little memory must not end in half of the text
    out << toml::toml_formatter(document) << "\n";
    return out.str();
}

Scenario read_scenario_document(toml::table const& document, std::string const& path,
                                std::shared_ptr<DemandSeries const> stored_demand) {
    Scenario scenario;
    scenario.path = path;
    if (document.empty())
        throw ScenarioError(path, 0, "",
                            "holds nothing; `holdwater init FILE` writes a scenario to start from");
    ErrorList errors;
    Section root(path, "", document, &errors);
    root.attempt(true, [&] { read_place(root, scenario); });
    root.attempt(true, [&] { read_weather_source(root.table("weather"), scenario); });
    bool const array = root.attempt(true, [&] { read_array_side(root, scenario); });
    bool const battery = root.attempt(true, [&] { read_battery(root.table("battery"), scenario); });
    bool supply = root.attempt(array && battery, [&] { read_inverter_side(root, scenario); });
    supply = root.attempt(supply, [&] { read_backup_side(root, scenario); });
    bool const water = root.attempt(true, [&] { read_water_side(root, scenario, std::move(stored_demand)); });
    root.attempt(true, [&] { read_wiring_side(root, scenario); });
    root.attempt(true, [&] { read_required(root, scenario.years.required); });
    root.attempt(supply && water, [&] { check_motor_voltage(root, scenario); });
    root.attempt(supply && water, [&] { check_load_uses(root, scenario); });
    root.finish();
    errors.throw_if_any();
    auto const unusual = unusual_values(scenario);
    scenario.warnings.insert(scenario.warnings.end(), unusual.begin(), unusual.end());
    return scenario;
}

Scenario read_scenario_text(std::string const& text, std::string const& path) {
    auto document = parse_toml(text, path);
    bool const of_parts = document.contains("parts");
    auto parts = put_parts_in(document, parts_lists_of(document, path), path);
    auto scenario = read_scenario_document(document, path);
    scenario.text = of_parts ? text_of(document) : text;
    count_parts(parts, document);
    scenario.parts = std::move(parts);
    return scenario;
}

Scenario read_scenario(std::string const& path) {
    return read_scenario_text(text_of_file(path, "scenario file (TOML)"), path);
}

}  // namespace holdwater::scenarios
