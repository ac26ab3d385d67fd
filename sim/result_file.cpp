#include "sim/result_file.hpp"

#include <H5Cpp.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cstdint>
#include <filesystem>

namespace holdwater::sim {
namespace {

void put_text(H5::H5Object& where, std::string const& name, std::string_view text) {
    std::string const value(text);
    H5::StrType type(H5::PredType::C_S1, std::max<std::size_t>(value.size(), 1));
    type.setCset(H5T_CSET_UTF8);
    where.createAttribute(name, type, H5::DataSpace(H5S_SCALAR))
        .write(type, value.empty() ? std::string(1, '\0') : value);
}

void put_number(H5::H5Object& where, std::string const& name, double value) {
    where.createAttribute(name, H5::PredType::NATIVE_DOUBLE, H5::DataSpace(H5S_SCALAR))
        .write(H5::PredType::NATIVE_DOUBLE, &value);
}

// A text too long for an attribute (64 KiB) as a scalar dataset.
void put_long_text(H5::Group& group, std::string const& name, std::string const& text) {
    H5::StrType type(H5::PredType::C_S1, std::max<std::size_t>(text.size(), 1));
    type.setCset(H5T_CSET_UTF8);
    group.createDataSet(name, type, H5::DataSpace(H5S_SCALAR))
        .write(text.empty() ? std::string(1, '\0') : text, type);
}

void put_lines(H5::Group& group, std::string const& name, std::vector<std::string> const& lines) {
    std::string text;
    for (std::string const& line : lines) text += line + "\n";
    put_long_text(group, name, text);
}

H5::DataSet put_column(H5::Group& group, std::string_view name, std::vector<double> const& values) {
    hsize_t const size = values.size();
    H5::DataSpace const space(1, &size);
    H5::DSetCreatPropList properties;
    if (size > 0) {
        properties.setChunk(1, &size);
        properties.setShuffle();
        properties.setDeflate(4);
    }
    auto data = group.createDataSet(std::string(name), H5::PredType::NATIVE_DOUBLE, space, properties);
    data.write(values.data(), H5::PredType::NATIVE_DOUBLE);
    return data;
}

template <class Field, class Record>
std::vector<double> column(Field const& field, std::vector<Record> const& records) {
    std::vector<double> values;
    values.reserve(records.size());
    for (Record const& r : records) values.push_back(r.*field.value);
    return values;
}

void put_inputs(H5::H5File& file, RunInputs const& in, Clock const& clock) {
    auto group = file.createGroup("/inputs");
    put_long_text(group, "scenario", in.scenario_text);
    put_text(group, "scenario_path", in.scenario_path);
    put_text(group, "scenario_hash_fnv1a64", text_hash(in.scenario_text));
    put_text(group, "weather_path", in.weather_path);
    put_text(group, "weather_format", in.weather_format);
    put_text(group, "weather_station", in.weather_station);
    put_number(group, "latitude_deg", in.latitude_deg);
    put_number(group, "longitude_deg", in.longitude_deg);
    put_number(group, "elevation_m", in.elevation_m);
    put_number(group, "utc_offset_h", in.utc_offset_h);
    put_lines(group, "weather_repairs", in.weather_repairs);
    put_lines(group, "warnings", in.warnings);
    put_lines(group, "wiring_notes", in.wiring_notes);
    put_lines(group, "provenance", in.provenance);
    put_text(group, "version", in.version);
    put_number(group, "first_hour", clock.first_hour);
    put_number(group, "hours", clock.hours);
}

void put_events(H5::H5File& file, std::vector<Event> const& events) {
    struct Row {
        double time_h;
        std::int32_t kind;
        double value;
    };
    H5::EnumType kind(H5::PredType::NATIVE_INT32);
    for (auto k : {EventKind::to_backup, EventKind::to_inverter, EventKind::generator_start,
                   EventKind::generator_stop, EventKind::generator_failed, EventKind::inverter_off,
                   EventKind::inverter_on, EventKind::inverter_tripped, EventKind::start_refused,
                   EventKind::water_short, EventKind::water_back, EventKind::well_dry}) {
        auto code = static_cast<std::int32_t>(k);
        kind.insert(std::string(name_of(k)), &code);
    }
    H5::CompType type(sizeof(Row));
    type.insertMember("time_h", HOFFSET(Row, time_h), H5::PredType::NATIVE_DOUBLE);
    type.insertMember("kind", HOFFSET(Row, kind), kind);
    type.insertMember("value", HOFFSET(Row, value), H5::PredType::NATIVE_DOUBLE);
    std::vector<Row> rows;
    for (Event const& e : events) rows.push_back({e.time_h, static_cast<std::int32_t>(e.kind), e.value});
    hsize_t const size = rows.size();
    auto data = file.createDataSet("/events", type, H5::DataSpace(1, &size));
    if (size > 0) data.write(rows.data(), type);
    put_text(data, "time_meaning", "hours since 00:00 on 1 January, local standard time");
    put_text(
        data, "value_meaning",
        "state of charge (0..1) for supply events, tank pressure (kPa) for water events, depth of the water "
        "(m) for well_dry");
}

void write_file(std::string const& path, RunResult const& result, RunInputs const& inputs) {
    H5::H5File file(path, H5F_ACC_TRUNC);
    put_inputs(file, inputs, result.clock);
    auto series = file.createGroup("/series");
    for (SeriesField const& field : series_fields()) {
        auto data = put_column(series, field.name, column(field, result.hours));
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
    auto findings = file.createGroup("/findings");
    for (FindingField const& field : finding_fields())
        put_number(findings, std::string(field.name), result.findings.*field.value);
    put_lines(findings, "remarks", inputs.remarks);
    put_events(file, result.events);
}

}  // namespace

std::string text_hash(std::string const& text) {
    std::uint64_t hash = 14695981039346656037ULL;
    for (char const c : text) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
    return fmt::format("{:016x}", hash);
}

void write_result(std::string const& path, RunResult const& result, RunInputs const& inputs) {
    namespace fs = std::filesystem;
    H5::Exception::dontPrint();
    std::string const temporary = fmt::format("{}.{}.tmp", path, ::getpid());
    std::error_code ignored;
    try {
        write_file(temporary, result, inputs);
        fs::rename(temporary, path);
    } catch (H5::Exception const& error) {
        fs::remove(temporary, ignored);
        throw ResultFileError(fmt::format("{}: cannot be written ({})", path, error.getDetailMsg()));
    } catch (fs::filesystem_error const& error) {
        fs::remove(temporary, ignored);
        throw ResultFileError(fmt::format("{}: cannot be written ({})", path, error.code().message()));
    }
}

std::vector<double> read_series(std::string const& path, std::string const& name) {
    H5::Exception::dontPrint();
    try {
        H5::H5File const file(path, H5F_ACC_RDONLY);
        auto const data = file.openDataSet("/series/" + name);
        std::vector<double> values(static_cast<std::size_t>(data.getSpace().getSimpleExtentNpoints()));
        data.read(values.data(), H5::PredType::NATIVE_DOUBLE);
        return values;
    } catch (H5::Exception const& error) {
        throw ResultFileError(
            fmt::format("{}: series '{}' cannot be read ({})", path, name, error.getDetailMsg()));
    }
}

}  // namespace holdwater::sim
