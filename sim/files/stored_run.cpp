#include "sim/files/stored_run.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <limits>
#include <memory>
#include <utility>

#include "scenarios/design/design.hpp"
#include "sim/files/hdf5_limits.hpp"
#include "sim/files/hdf5_values.hpp"
#include "sim/files/seal.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/aging_years.hpp"
#include "sim/year/outage_record.hpp"
#include "sim/year/simulate.hpp"
#include "weather/csv.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::sim {
namespace {

constexpr std::string_view clock_time = "wall_time_s";

// The longest run that `simulate` allows.
constexpr int most_hours = 10 * hours_per_year, most_years = 50;
constexpr std::size_t longest_scenario = std::size_t{4} << 20;

// A whole number within limits; any other number would not fit the type.
int whole_number(double value, int least, int most) {
    if (!(value >= least && value <= most) || value != std::floor(value))
        throw H5::AttributeIException("whole_number",
                                      fmt::format("{} where {} to {} is expected", value, least, most));
    return static_cast<int>(value);
}

// Texts that are printed, without control characters, which a terminal would obey.
std::string shown_text(H5::Group const& group, std::string const& name) {
    return weather::to_utf8(get_text(group, name));
}

std::vector<std::string> shown_lines(H5::Group const& group, std::string const& name) {
    auto lines = get_lines(group, name);
    for (auto& line : lines) line = weather::to_utf8(line);
    return lines;
}

weather::WeatherYear read_weather_group(H5::Group const& inputs) {
    weather::WeatherYear year;
    year.path = shown_text(inputs, "weather_path");
    year.format = shown_text(inputs, "weather_format");
    year.station = shown_text(inputs, "weather_station");
    year.site = {get_number(inputs, "latitude_deg"), get_number(inputs, "longitude_deg"),
                 get_number(inputs, "elevation_m"), get_number(inputs, "utc_offset_h")};
    auto const group = inputs.openGroup("weather");
    for (WeatherColumn const& column : weather_columns())
        if (group.nameExists(std::string(column.name)))
            year.*column.values = get_column(group, std::string(column.name));
    for (double const y : get_column(group, "file_year"))
        year.file_year.push_back(whole_number(y, -9999, 9999));
    weather::validate(year);
    return year;
}

RunInputs read_inputs(H5::Group const& group) {
    RunInputs in;
    in.scenario_text = get_long_text(group, "scenario");
    if (in.scenario_text.size() > longest_scenario)
        throw H5::DataSetIException("read_inputs", "/inputs/scenario is longer than any scenario");
    in.scenario_path = shown_text(group, "scenario_path");
    in.option = shown_text(group, "option");
    in.weather = read_weather_group(group);
    if (group.nameExists("demand_series")) {
        auto series = std::make_shared<scenarios::DemandSeries>();
        series->hourly_m3 = get_column(group, "demand_series");
        bool const sound = series->hourly_m3.size() == static_cast<std::size_t>(hours_per_year) &&
                           std::all_of(series->hourly_m3.begin(), series->hourly_m3.end(),
                                       [](double v) { return v >= 0 && std::isfinite(v); });
        if (!sound) throw H5::DataSetIException("read_inputs", "/inputs/demand_series is not 8760 volumes");
        in.demand = std::move(series);
    }
    in.years = whole_number(get_number(group, "years"), 1, most_years);
    in.weather_repairs = shown_lines(group, "weather_repairs");
    in.warnings = shown_lines(group, "warnings");
    in.wiring_notes = shown_lines(group, "wiring_notes");
    in.version = shown_text(group, "version");
    return in;
}

void read_columns(std::vector<Figure>& to, H5::H5File const& file, std::string const& group_name) {
    if (!file.nameExists(group_name)) return;
    auto const group = file.openGroup(group_name);
    for (hsize_t i = 0; i < group.getNumObjs(); ++i) {
        std::string const name = group.getObjnameByIdx(i);
        to.emplace_back(group_name + "/" + name, get_column(group, name));
    }
}

void read_numbers(std::vector<Figure>& to, H5::H5File const& file, std::string const& group_name) {
    auto const group = file.openGroup(group_name);
    for (unsigned i = 0; i < static_cast<unsigned>(group.getNumAttrs()); ++i) {
        auto const attribute = group.openAttribute(i);
        if (attribute.getTypeClass() == H5T_FLOAT && attribute.getName() != clock_time)
            to.emplace_back(group_name + "/" + attribute.getName(),
                            std::vector{get_number(group, attribute.getName())});
    }
}

template <class Value>
std::vector<double> read_member(H5::DataSet const& data, std::string const& member,
                                H5::DataType const& type) {
    std::vector<Value> values(static_cast<std::size_t>(data.getSpace().getSimpleExtentNpoints()));
    H5::CompType row(sizeof(Value));
    row.insertMember(member, 0, type);
    if (!values.empty()) data.read(values.data(), row);
    return {values.begin(), values.end()};
}

void read_events(std::vector<Figure>& to, H5::H5File const& file) {
    auto const data = file.openDataSet("/events");
    auto const kind = data.getCompType().getMemberDataType(data.getCompType().getMemberIndex("kind"));
    to.emplace_back("/events/time_h", read_member<double>(data, "time_h", H5::PredType::NATIVE_DOUBLE));
    to.emplace_back("/events/kind", read_member<std::int32_t>(data, "kind", kind));
    to.emplace_back("/events/value", read_member<double>(data, "value", H5::PredType::NATIVE_DOUBLE));
}

template <class Fields, class Records>
void add_columns(std::vector<Figure>& to, std::string const& group, Fields const& fields,
                 Records const& records) {
    for (auto const& field : fields) {
        std::vector<double> values;
        values.reserve(records.size());
        for (auto const& record : records) values.push_back(record.*field.value);
        to.emplace_back(fmt::format("{}/{}", group, field.name), std::move(values));
    }
}

Figure const* find(std::vector<Figure> const& in, std::string const& name) {
    auto const found = std::find_if(in.begin(), in.end(), [&](Figure const& f) { return f.first == name; });
    return found == in.end() ? nullptr : &*found;
}

bool same_bits(double a, double b) {
    return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b);
}

Difference difference(std::string const& name, std::vector<double> const& before,
                      std::vector<double> const& after) {
    double const nan = std::numeric_limits<double>::quiet_NaN();
    Difference d{name};
    for (std::size_t i = 0; i < std::max(before.size(), after.size()); ++i) {
        double const a = i < before.size() ? before[i] : nan, b = i < after.size() ? after[i] : nan;
        if (i < before.size() && i < after.size() && same_bits(a, b)) continue;
        if (d.rows++ == 0) d.first_row = i, d.before = a, d.after = b;
        double const by = std::abs(a - b);
        d.largest = std::max(d.largest, std::isnan(by) ? std::numeric_limits<double>::infinity() : by);
    }
    return d;
}

ResultFileError cannot_be_read(std::string const& path, std::string const& why) {
    return ResultFileError(fmt::format("{}: cannot be read as a result of \"simulate\" ({})", path, why));
}

}  // namespace

StoredRun read_stored_run(std::string const& path) {
    H5::Exception::dontPrint();
    std::error_code failure;
    if (!std::filesystem::is_regular_file(path, failure))
        throw ResultFileError(path + ": there is no such file; give one that \"simulate\" wrote");
    if (!file_seal_holds(path))
        throw cannot_be_read(
            path,
            "another file, or damaged or changed since it was written; give one that has been left alone");
    try {
        H5::H5File const file(path, H5F_ACC_RDONLY);
        check_hdf5(file, {largest_run});
        auto const inputs = file.openGroup("/inputs");
        if (!inputs.nameExists("weather"))
            throw ResultFileError(path +
                                  ": does not hold the weather it was run with (/inputs/weather), so it "
                                  "cannot be repeated; give a file that \"simulate\" wrote");
        StoredRun run;
        run.inputs = read_inputs(inputs);
        run.clock.first_hour = whole_number(get_number(inputs, "first_hour"), 0, hours_per_year - 1);
        run.clock.hours = whole_number(get_number(inputs, "hours"), 1, most_hours);
        for (auto const* group : {"/start", "/series", "/daily", "/years", "/outages"})
            read_columns(run.figures, file, group);
        for (auto const* group : {"/summary", "/findings"}) read_numbers(run.figures, file, group);
        read_events(run.figures, file);
        if (file.nameExists("/indices")) read_numbers(run.figures, file, "/indices");
        return run;
    } catch (H5::Exception const& error) {
        throw cannot_be_read(path, error.getDetailMsg());
    } catch (weather::WeatherError const& error) {
        throw cannot_be_read(path, error.what());
    }
}

Repeat repeat(StoredRun const& stored) {
    auto const& in = stored.inputs;
    auto file = scenarios::read_design_text(in.scenario_text, in.scenario_path);
    file.stored_demand = in.demand;
    auto const scenario = scenarios::base_design(file).scenario;
    auto const hourly = make_inputs(scenario, in.weather);
    auto system = make_system(scenario);
    auto result = in.years > 1 ? simulate_years(system, hourly, stored.clock, in.years)
                               : simulate(system, hourly, stored.clock);
    add_light_series(hourly, result);
    return {scenario, hourly, std::move(system), std::move(result)};
}

std::vector<Figure> figures_of(SupplyIndices const& indices) {
    std::vector<Figure> figures;
    for (IndexField const& field : index_fields())
        figures.emplace_back(fmt::format("/indices/{}", field.name), std::vector{indices.*field.value});
    return figures;
}

std::vector<Figure> figures_of(RunResult const& result) {
    std::vector<Figure> figures;
    add_columns(figures, "/start", run_start_fields(), std::vector{result.start});
    add_columns(figures, "/series", series_fields(), result.hours);
    for (LightField const& field : light_fields())
        if (!(result.*field.values).empty())
            figures.emplace_back(fmt::format("/series/{}", field.name), result.*field.values);
    add_columns(figures, "/daily", day_fields(), result.days);
    if (!result.years.empty()) add_columns(figures, "/years", year_fields(), result.years);
    if (!result.outages.empty()) add_columns(figures, "/outages", outage_fields(), result.outages);
    for (SummaryField const& field : summary_fields())
        if (field.name != clock_time)
            figures.emplace_back(fmt::format("/summary/{}", field.name),
                                 std::vector{result.summary.*field.value});
    for (FindingField const& field : finding_fields())
        figures.emplace_back(fmt::format("/findings/{}", field.name),
                             std::vector{result.findings.*field.value});
    std::vector<double> times, kinds, values;
    for (Event const& e : result.events) {
        times.push_back(e.time_h);
        kinds.push_back(static_cast<double>(e.kind));
        values.push_back(e.value);
    }
    figures.emplace_back("/events/time_h", std::move(times));
    figures.emplace_back("/events/kind", std::move(kinds));
    figures.emplace_back("/events/value", std::move(values));
    return figures;
}

std::vector<Difference> differences(std::vector<Figure> const& before, std::vector<Figure> const& after) {
    std::vector<Difference> found;
    auto const keep = [&](Difference d) {
        if (d.rows > 0) found.push_back(std::move(d));
    };
    for (auto const& [name, values] : before) {
        auto const* other = find(after, name);
        keep(difference(name, values, other == nullptr ? std::vector<double>{} : other->second));
    }
    for (auto const& [name, values] : after)
        if (find(before, name) == nullptr) keep(difference(name, {}, values));
    return found;
}

}  // namespace holdwater::sim
