#include "sim/files/result_file.hpp"

#include <fmt/format.h>

#include <cstdint>

#include "sim/files/hdf5_limits.hpp"
#include "sim/files/hdf5_values.hpp"
#include "sim/year/outage_record.hpp"

namespace holdwater::sim {
namespace {

template <class Field, class Record>
std::vector<double> column(Field const& field, std::vector<Record> const& records) {
    std::vector<double> values;
    values.reserve(records.size());
    for (Record const& r : records) values.push_back(r.*field.value);
    return values;
}

// The weather as it was used in the run, after all repairs, so the run can be repeated without the weather
// file.
void put_weather(H5::Group& inputs, weather::WeatherYear const& year) {
    put_text(inputs, "weather_path", year.path);
    put_text(inputs, "weather_format", year.format);
    put_text(inputs, "weather_station", year.station);
    put_number(inputs, "latitude_deg", year.site.latitude_deg);
    put_number(inputs, "longitude_deg", year.site.longitude_deg);
    put_number(inputs, "elevation_m", year.site.elevation_m);
    put_number(inputs, "utc_offset_h", year.site.utc_offset_h);
    auto group = inputs.createGroup("weather");
    for (WeatherColumn const& column : weather_columns()) {
        if ((year.*column.values).empty()) continue;
        auto data = put_column(group, column.name, year.*column.values);
        put_text(data, "units", column.unit);
        put_text(data, "long_name", column.long_name);
    }
    auto data = put_column(group, "file_year", {year.file_year.begin(), year.file_year.end()});
    put_text(data, "units", "1");
    put_text(data, "long_name", "calendar year of the hour");
}

void put_inputs(H5::H5File& file, RunInputs const& in, Clock const& clock) {
    auto group = file.createGroup("/inputs");
    put_long_text(group, "scenario", in.scenario_text);
    put_text(group, "scenario_path", in.scenario_path);
    put_text(group, "scenario_hash_fnv1a64", text_hash(in.scenario_text));
    put_text(group, "option", in.option);
    put_weather(group, in.weather);
    if (in.demand) {
        auto data = put_column(group, "demand_series", in.demand->hourly_m3);
        put_text(data, "units", "m3");
        put_text(data, "long_name", "measured water use in place of the file that demand.series names");
        put_text(data, "hour_meaning", "total over the hour that starts at the index");
    }
    put_lines(group, "weather_repairs", in.weather_repairs);
    put_lines(group, "warnings", in.warnings);
    put_lines(group, "wiring_notes", in.wiring_notes);
    put_lines(group, "provenance", in.provenance);
    put_text(group, "version", in.version);
    put_number(group, "first_hour", clock.first_hour);
    put_number(group, "hours", clock.hours);
    put_number(group, "years", in.years);
}

void put_events(H5::H5File& file, std::vector<Event> const& events) {
    struct Row {
        double time_h = 0;
        std::int32_t kind = 0;
        double value = 0;
    };
    H5::EnumType kind(H5::PredType::NATIVE_INT32);
    for (auto k : {EventKind::to_backup, EventKind::to_inverter, EventKind::generator_start,
                   EventKind::generator_stop, EventKind::generator_failed, EventKind::inverter_off,
                   EventKind::inverter_on, EventKind::inverter_tripped, EventKind::start_refused,
                   EventKind::water_short, EventKind::water_back, EventKind::well_dry, EventKind::grid_failed,
                   EventKind::grid_returned, EventKind::low_pressure_cutoff, EventKind::low_pressure_reset}) {
        auto code = static_cast<std::int32_t>(k);
        kind.insert(std::string(name_of(k)), &code);
    }
    H5::CompType type(sizeof(Row));
    type.insertMember("time_h", HOFFSET(Row, time_h), H5::PredType::NATIVE_DOUBLE);
    type.insertMember("kind", HOFFSET(Row, kind), kind);
    type.insertMember("value", HOFFSET(Row, value), H5::PredType::NATIVE_DOUBLE);
    std::vector<Row> rows;
    rows.reserve(events.size());
    for (Event const& e : events) rows.push_back({e.time_h, static_cast<std::int32_t>(e.kind), e.value});
    hsize_t const size = rows.size();
    H5::CompType packed;
    packed.copy(type);
    packed.pack();  // no padding between the members, because its bytes would be undefined
    auto data = file.createDataSet("/events", packed, H5::DataSpace(1, &size), dataset_properties());
    if (size > 0) data.write(rows.data(), type);
    put_text(data, "time_meaning", "hours since 00:00 on 1 January, local standard time");
    put_text(
        data, "value_meaning",
        "state of charge (0..1) for supply events, tank pressure (kPa) for water events, depth of the water "
        "(m) for well_dry, the outage's length (h) for grid_failed, the water short in it (m3) for "
        "grid_returned");
}

void fill_file(H5::H5File& file, RunResult const& result, RunInputs const& inputs) {
    put_inputs(file, inputs, result.clock);
    auto start = file.createGroup("/start");
    for (RunStartField const& field : run_start_fields()) {
        auto data = put_column(start, field.name, {result.start.*field.value});
        put_text(data, "units", field.unit);
        put_text(data, "long_name", field.long_name);
    }
    auto series = file.createGroup("/series");
    for (SeriesField const& field : series_fields()) {
        auto data = put_column(series, field.name, column(field, result.hours));
        put_text(data, "units", field.unit);
        put_text(data, "long_name", field.long_name);
        put_text(data, "hour_meaning", field.hour_meaning);
    }
    for (LightField const& field : light_fields()) {
        if ((result.*field.values).empty()) continue;
        auto data = put_column(series, field.name, result.*field.values);
        put_text(data, "units", field.unit);
        put_text(data, "long_name", field.long_name);
        put_text(data, "hour_meaning", field.hour_meaning);
    }
    auto daily = file.createGroup("/daily");
    for (DayField const& field : day_fields()) {
        auto data = put_column(daily, field.name, column(field, result.days));
        put_text(data, "units", field.unit);
        put_text(data, "long_name", field.long_name);
    }
    auto summary = file.createGroup("/summary");
    for (SummaryField const& field : summary_fields())
        put_number(summary, std::string(field.name), result.summary.*field.value);
    if (!result.years.empty()) {
        auto years = file.createGroup("/years");
        for (YearField const& field : year_fields()) {
            auto data = put_column(years, field.name, column(field, result.years));
            put_text(data, "units", field.unit);
            put_text(data, "long_name", field.long_name);
        }
    }
    if (!result.outages.empty()) {
        auto outages = file.createGroup("/outages");
        for (OutageField const& field : outage_fields()) {
            auto data = put_column(outages, field.name, column(field, result.outages));
            put_text(data, "units", field.unit);
            put_text(data, "long_name", field.long_name);
        }
    }
    auto findings = file.createGroup("/findings");
    for (FindingField const& field : finding_fields())
        put_number(findings, std::string(field.name), result.findings.*field.value);
    put_lines(findings, "remarks", inputs.remarks);
    if (inputs.indices) {
        auto indices = file.createGroup("/indices");
        put_text(indices, "meaning", "the design without grid and generator, one year of the weather file");
        for (IndexField const& field : index_fields()) {
            std::string const name(field.name);
            put_number(indices, name, *inputs.indices.*field.value);
            put_text(indices, name + "_units", field.unit);
            put_text(indices, name + "_long_name", field.long_name);
            put_text(indices, name + "_source", field.source);
        }
    }
    put_events(file, result.events);
}

}  // namespace

std::vector<WeatherColumn> const& weather_columns() {
    using weather::WeatherYear;
    static std::vector<WeatherColumn> const columns{
        {"ghi", "W/m2", "global irradiance on the horizontal, mean over the hour", &WeatherYear::ghi_w_m2},
        {"dni", "W/m2", "beam irradiance on a plane facing the sun, mean over the hour",
         &WeatherYear::dni_w_m2},
        {"dhi", "W/m2", "diffuse irradiance on the horizontal, mean over the hour", &WeatherYear::dhi_w_m2},
        {"temperature", "degC", "air temperature, mean over the hour", &WeatherYear::temperature_c},
        {"wind", "m/s", "wind speed, mean over the hour", &WeatherYear::wind_m_s},
        {"albedo", "1", "ground reflectance", &WeatherYear::albedo},
    };
    return columns;
}

void write_result(std::string const& path, RunResult const& result, RunInputs const& inputs) {
    write_hdf5(path, [&](H5::H5File& file) { fill_file(file, result, inputs); });
}

std::vector<double> read_series(std::string const& path, std::string const& name) {
    H5::Exception::dontPrint();
    try {
        auto const file = open_checked(path, {largest_run});
        return get_column(file.openGroup("/series"), name);
    } catch (H5::Exception const& error) {
        throw ResultFileError(
            fmt::format("{}: series '{}' cannot be read ({})", path, name, error.getDetailMsg()));
    }
}

}  // namespace holdwater::sim
