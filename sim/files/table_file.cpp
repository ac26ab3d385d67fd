#include "sim/files/table_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "sim/files/csv_text.hpp"
#include "sim/files/hdf5_limits.hpp"
#include "sim/files/hdf5_values.hpp"
#include "sim/files/whole_file.hpp"

namespace holdwater::sim {
namespace {

void put_attribute(H5::H5Object& where, TableAttribute const& attribute) {
    auto const& [name, value] = attribute;
    if (auto const* text = std::get_if<std::string>(&value)) return put_text(where, name, *text);
    put_number(where, name, std::get<double>(value));
}

H5::DataSet put_values(H5::Group& group, std::string const& name, std::vector<double> const& values) {
    hsize_t const size = values.size();
    auto data =
        group.createDataSet(name, H5::PredType::NATIVE_DOUBLE, H5::DataSpace(1, &size), dataset_properties());
    if (size > 0) data.write(values.data(), H5::PredType::NATIVE_DOUBLE);
    return data;
}

// Texts as rows of one width, padded with zeros.
H5::DataSet put_values(H5::Group& group, std::string const& name, std::vector<std::string> const& values) {
    std::size_t width = 1;
    for (auto const& text : values) width = std::max(width, text.size());
    std::string rows(width * values.size(), '\0');
    for (std::size_t i = 0; i < values.size(); ++i)
        std::copy(values[i].begin(), values[i].end(), rows.begin() + static_cast<std::ptrdiff_t>(i * width));
    hsize_t const size = values.size();
    H5::StrType type(H5::PredType::C_S1, width);
    type.setCset(H5T_CSET_UTF8);
    auto data = group.createDataSet(name, type, H5::DataSpace(1, &size), dataset_properties());
    if (size > 0) data.write(rows.data(), type);
    return data;
}

void fill_file(H5::H5File& file, std::vector<TableAttribute> const& attributes,
               std::vector<std::pair<std::string, std::string>> const& long_texts,
               std::vector<Table> const& tables) {
    auto inputs = file.createGroup("/inputs");
    for (auto const& attribute : attributes) put_attribute(inputs, attribute);
    for (auto const& [name, text] : long_texts) put_long_text(inputs, name, text);
    for (Table const& table : tables) {
        auto group = file.createGroup("/" + table.name);
        for (TableColumn const& column : table.columns) {
            auto data =
                std::visit([&](auto const& v) { return put_values(group, column.name, v); }, column.values);
            put_text(data, "units", column.unit);
            put_text(data, "long_name", column.long_name);
        }
    }
}

}  // namespace

void write_tables(std::string const& path, std::vector<TableAttribute> const& attributes,
                  std::vector<std::pair<std::string, std::string>> const& long_texts,
                  std::vector<Table> const& tables) {
    write_hdf5(path, [&](H5::H5File& file) { fill_file(file, attributes, long_texts, tables); });
}

void write_table(std::string const& path, std::vector<TableAttribute> const& attributes,
                 std::string const& scenario_text, std::vector<Table> const& tables) {
    if (std::filesystem::path(path).extension() != ".csv")
        return write_tables(path, attributes, {{"scenario", scenario_text}}, tables);
    write_whole_file(path, csv_header(tables.at(0)) + csv_rows(tables.at(0)));
}

std::vector<double> read_column(std::string const& path, std::string const& table,
                                std::string const& column) {
    H5::Exception::dontPrint();
    try {
        auto const file = open_checked(path, {largest_run});
        return get_column(file.openGroup("/" + table), column);
    } catch (H5::Exception const& error) {
        throw ResultFileError(
            fmt::format("{}: /{}/{} cannot be read ({})", path, table, column, error.getDetailMsg()));
    }
}

}  // namespace holdwater::sim
