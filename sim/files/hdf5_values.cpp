#include "sim/files/hdf5_values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>
#include <utility>

#include "sim/files/hdf5_limits.hpp"
#include "sim/files/seal.hpp"
#include "sim/files/whole_file.hpp"

namespace holdwater::sim {
namespace {

constexpr std::size_t growth_bytes = 1 << 20, longest_long_text = std::size_t{16} << 20;

std::string stored(std::string_view text) { return text.empty() ? std::string(1, '\0') : std::string(text); }

// A single value. Reading more than one would write beyond the variable.
template <class Stored>
Stored const& single(Stored const& stored) {
    if (stored.getSpace().getSimpleExtentNpoints() != 1)
        throw H5::DataSpaceIException("single", "one value is expected");
    return stored;
}

// Bytes of a text of fixed length. A text of variable length would have an address in its place.
template <class Stored>
std::size_t text_bytes(Stored const& stored, std::size_t most) {
    auto const type = single(stored).getStrType();
    if (type.isVariableStr() || type.getSize() > most)
        throw H5::DataTypeIException("text_bytes",
                                     fmt::format("a text of at most {} bytes is expected", most));
    return type.getSize();
}

// Whether enough values repeat the one before for a column to be worth compressing. Deflate takes 0.1 ms for
// a year of zeros and makes it 200 times smaller; it takes 1 ms for a year of measured values and saves half.
bool repeats(std::vector<double> const& values) {
    constexpr double enough = 0.7;  // solar series, which are 0 at night, repeat in a half
    std::size_t same = 0;
    for (std::size_t i = 1; i < values.size(); ++i) same += values[i] == values[i - 1] ? 1 : 0;
    return static_cast<double>(same) >= enough * static_cast<double>(values.size());
}

// The text up to the first zero byte.
std::string as_read(std::string const& bytes) { return bytes.substr(0, bytes.find('\0')); }

}  // namespace

H5::StrType text_type(std::size_t size) {
    H5::StrType type(H5::PredType::C_S1, std::max<std::size_t>(size, 1));
    type.setCset(H5T_CSET_UTF8);
    return type;
}

H5::DSetCreatPropList dataset_properties(hsize_t chunk) {
    H5::DSetCreatPropList properties;
    H5Pset_obj_track_times(properties.getId(), false);
    if (chunk > 0) {
        properties.setChunk(1, &chunk);
        properties.setShuffle();
        properties.setDeflate(1);
    }
    return properties;
}

void put_text(H5::H5Object& where, std::string const& name, std::string_view text) {
    auto const type = text_type(text.size());
    where.createAttribute(name, type, H5::DataSpace(H5S_SCALAR)).write(type, stored(text));
}

void put_number(H5::H5Object& where, std::string const& name, double value) {
    where.createAttribute(name, H5::PredType::NATIVE_DOUBLE, H5::DataSpace(H5S_SCALAR))
        .write(H5::PredType::NATIVE_DOUBLE, &value);
}

void put_long_text(H5::Group& group, std::string const& name, std::string_view text) {
    auto const type = text_type(text.size());
    group.createDataSet(name, type, H5::DataSpace(H5S_SCALAR), dataset_properties())
        .write(stored(text), type);
}

void put_lines(H5::Group& group, std::string const& name, std::vector<std::string> const& lines) {
    std::string text;
    for (std::string const& line : lines) text += line + "\n";
    put_long_text(group, name, text);
}

H5::DataSet put_column(H5::Group& group, std::string_view name, std::vector<double> const& values) {
    hsize_t const size = values.size();
    auto data = group.createDataSet(std::string(name), H5::PredType::NATIVE_DOUBLE, H5::DataSpace(1, &size),
                                    dataset_properties(repeats(values) ? size : 0));
    data.write(values.data(), H5::PredType::NATIVE_DOUBLE);
    return data;
}

std::string get_text(H5::H5Object const& where, std::string const& name) {
    auto const attribute = where.openAttribute(name);
    std::string bytes(text_bytes(attribute, longest_short_text), '\0');
    attribute.read(attribute.getStrType(), bytes.data());
    return as_read(bytes);
}

double get_number(H5::H5Object const& where, std::string const& name) {
    double value = 0;
    single(where.openAttribute(name)).read(H5::PredType::NATIVE_DOUBLE, &value);
    return value;
}

std::string get_long_text(H5::Group const& group, std::string const& name) {
    auto const data = group.openDataSet(name);
    std::string bytes(text_bytes(data, longest_long_text), '\0');
    data.read(bytes.data(), data.getStrType());
    return as_read(bytes);
}

std::vector<std::string> get_lines(H5::Group const& group, std::string const& name) {
    std::vector<std::string> lines;
    std::string const text = get_long_text(group, name);
    for (std::size_t at = 0, end; (end = text.find('\n', at)) != std::string::npos; at = end + 1)
        lines.push_back(text.substr(at, end - at));
    return lines;
}

std::vector<double> get_column(H5::Group const& group, std::string const& name) {
    auto const data = group.openDataSet(name);
    std::vector<double> values(static_cast<std::size_t>(data.getSpace().getSimpleExtentNpoints()));
    data.read(values.data(), H5::PredType::NATIVE_DOUBLE);
    return values;
}

std::string hdf5_bytes(std::function<void(H5::H5File&)> const& fill) {
    H5::FileAccPropList in_memory;
    in_memory.setCore(growth_bytes, false);
    H5::H5File file("in memory", H5F_ACC_TRUNC, H5::FileCreatPropList::DEFAULT, in_memory);
    fill(file);
    file.flush(H5F_SCOPE_GLOBAL);
    auto const size = H5Fget_file_image(file.getId(), nullptr, 0);
    if (size <= 0) throw H5::FileIException("hdf5_bytes", "the file could not be built");
    std::string bytes(static_cast<std::size_t>(size), '\0');
    if (H5Fget_file_image(file.getId(), bytes.data(), bytes.size()) != size)
        throw H5::FileIException("hdf5_bytes", "the file could not be built");
    return bytes;
}

void write_hdf5(std::string const& path, std::function<void(H5::H5File&)> const& fill) {
    check_overwrites_hdf5(path);
    H5::Exception::dontPrint();
    std::string bytes;
    try {
        bytes = hdf5_bytes(fill);
    } catch (H5::Exception const& error) {
        // The file is only in memory, so the reason must be memory and not a disk.
        throw std::runtime_error(
            fmt::format("{}: cannot be built in memory ({})", path, error.getDetailMsg()));
    }
    write_whole_file(path, bytes, seal_of(bytes));
}

}  // namespace holdwater::sim
