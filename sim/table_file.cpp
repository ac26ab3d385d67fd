#include "sim/table_file.hpp"

#include <H5Cpp.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>

#include "sim/result_file.hpp"

namespace holdwater::sim {
namespace {

H5::StrType text_type(std::size_t size) {
    H5::StrType type(H5::PredType::C_S1, std::max<std::size_t>(size, 1));
    type.setCset(H5T_CSET_UTF8);
    return type;
}

void put_text(H5::H5Object& where, std::string const& name, std::string const& text) {
    auto const type = text_type(text.size());
    where.createAttribute(name, type, H5::DataSpace(H5S_SCALAR))
        .write(type, text.empty() ? std::string(1, '\0') : text);
}

void put_attribute(H5::H5Object& where, TableAttribute const& attribute) {
    auto const& [name, value] = attribute;
    if (auto const* text = std::get_if<std::string>(&value)) return put_text(where, name, *text);
    where.createAttribute(name, H5::PredType::NATIVE_DOUBLE, H5::DataSpace(H5S_SCALAR))
        .write(H5::PredType::NATIVE_DOUBLE, &std::get<double>(value));
}

H5::DataSet put_values(H5::Group& group, std::string const& name, std::vector<double> const& values) {
    hsize_t const size = values.size();
    auto data = group.createDataSet(name, H5::PredType::NATIVE_DOUBLE, H5::DataSpace(1, &size));
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
    auto const type = text_type(width);
    auto data = group.createDataSet(name, type, H5::DataSpace(1, &size));
    if (size > 0) data.write(rows.data(), type);
    return data;
}

void write_file(std::string const& path, std::vector<TableAttribute> const& attributes,
                std::vector<std::pair<std::string, std::string>> const& long_texts,
                std::vector<Table> const& tables) {
    H5::H5File file(path, H5F_ACC_TRUNC);
    auto inputs = file.createGroup("/inputs");
    for (auto const& attribute : attributes) put_attribute(inputs, attribute);
    for (auto const& [name, text] : long_texts) {
        auto const type = text_type(text.size());
        inputs.createDataSet(name, type, H5::DataSpace(H5S_SCALAR))
            .write(text.empty() ? std::string(1, '\0') : text, type);
    }
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
    namespace fs = std::filesystem;
    H5::Exception::dontPrint();
    std::string const temporary = fmt::format("{}.{}.tmp", path, ::getpid());
    std::error_code ignored;
    try {
        write_file(temporary, attributes, long_texts, tables);
        fs::rename(temporary, path);
    } catch (H5::Exception const& error) {
        fs::remove(temporary, ignored);
        throw ResultFileError(fmt::format("{}: cannot be written ({})", path, error.getDetailMsg()));
    } catch (fs::filesystem_error const& error) {
        fs::remove(temporary, ignored);
        throw ResultFileError(fmt::format("{}: cannot be written ({})", path, error.code().message()));
    }
}

std::vector<double> read_column(std::string const& path, std::string const& table,
                                std::string const& column) {
    H5::Exception::dontPrint();
    try {
        H5::H5File const file(path, H5F_ACC_RDONLY);
        auto const data = file.openDataSet("/" + table + "/" + column);
        std::vector<double> values(static_cast<std::size_t>(data.getSpace().getSimpleExtentNpoints()));
        data.read(values.data(), H5::PredType::NATIVE_DOUBLE);
        return values;
    } catch (H5::Exception const& error) {
        throw ResultFileError(
            fmt::format("{}: /{}/{} cannot be read ({})", path, table, column, error.getDetailMsg()));
    }
}

}  // namespace holdwater::sim
