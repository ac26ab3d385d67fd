#include "sim/sweep/sweep_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <limits>
#include <memory>
#include <new>
#include <string_view>

#include "sim/files/hdf5_limits.hpp"
#include "sim/files/hdf5_values.hpp"
#include "sim/files/result_file.hpp"
#include "sim/files/seal.hpp"
#include "sim/files/whole_file.hpp"
#include "sim/sweep/sweep_plan.hpp"
#include "weather/csv.hpp"

namespace holdwater::sim {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t chunk_rows = 4096;
constexpr std::array<std::pair<SweepMethod, char const*>, 5> method_names{
    {{SweepMethod::grid, "grid"},
     {SweepMethod::one_at_a_time, "one at a time"},
     {SweepMethod::latin_hypercube, "Latin hypercube"},
     {SweepMethod::sobol, "Sobol"},
     {SweepMethod::numbered, "numbered"}}};

enum class Kind { number, choice, flag, text };

struct Column {
    std::string name, unit, long_name;
    Kind kind{};
    std::size_t text_width = 0;  // texts of a choice, padded with zeros
};

// A slash in a name would make a group in the file.
std::string dataset_name(std::string name) {
    std::replace(name.begin(), name.end(), '/', '_');
    return name;
}

std::vector<Column> columns_of(std::vector<SweepAxis> const& axes, SweepHead const& head) {
    std::vector<Column> columns;
    for (auto const& axis : axes) {
        std::size_t width = 1;
        for (auto const& value : axis.values) width = std::max(width, value.size());
        columns.push_back({dataset_name(axis.key), axis.unit,
                           "value of this key; nothing: as in the scenario",
                           axis.is_number ? Kind::number : Kind::choice, width});
    }
    columns.push_back({"ran", "1", "1: run; 0: refused, see problem", Kind::flag});
    for (auto const& f : head.figures) columns.push_back({f.name, f.unit, f.long_name, Kind::number});
    for (auto const& t : head.texts) columns.push_back({t.name, t.unit, t.long_name, Kind::text});
    columns.push_back({"problem", "", "why a row was not run", Kind::text});
    return columns;
}

H5::StrType free_text() {
    H5::StrType type(H5::PredType::C_S1, H5T_VARIABLE);
    type.setCset(H5T_CSET_UTF8);
    return type;
}

H5::DataType type_of(Column const& column) {
    switch (column.kind) {
        case Kind::choice:
            return text_type(column.text_width);
        case Kind::flag:
            return H5::PredType::NATIVE_UINT8;
        case Kind::text:
            return free_text();
        case Kind::number:
            break;
    }
    return H5::PredType::NATIVE_DOUBLE;
}

void put_count(H5::H5Object& where, std::string const& name, std::uint64_t value) {
    where.createAttribute(name, H5::PredType::NATIVE_UINT64, H5::DataSpace(H5S_SCALAR))
        .write(H5::PredType::NATIVE_UINT64, &value);
}

std::uint64_t count_of(H5::H5Object const& where, std::string const& name) {
    std::uint64_t value = 0;
    where.openAttribute(name).read(H5::PredType::NATIVE_UINT64, &value);
    return value;
}

void put_head(H5::H5File& file, SweepHead const& head) {
    auto inputs = file.createGroup("/inputs");
    for (auto const& [method, name] : method_names)
        if (method == head.spec.method) put_text(inputs, "method", name);
    put_count(inputs, "count", head.spec.count);
    put_count(inputs, "seed", head.spec.seed);
    put_count(inputs, "shard", head.shard);
    put_count(inputs, "shards", head.shards);
    put_text(inputs, "plan", plan_text(head.spec));
    put_text(inputs, "scenario_path", head.scenario_path);
    put_text(inputs, "scenario_hash_fnv1a64", text_hash(head.scenario_text));
    put_text(inputs, "inputs_hash_fnv1a64", head.inputs_hash);
    put_text(inputs, "option", head.option);
    put_text(inputs, "weather_path", head.weather_path);
    put_text(inputs, "version", head.version);
    put_long_text(inputs, "scenario", head.scenario_text);
    put_lines(inputs, "provenance", head.provenance);
    put_lines(inputs, "vary", head.spec.vary);
    std::vector<std::string> names;
    for (auto const& f : head.figures) names.push_back(f.name);
    put_lines(inputs, "figures", names);
    if (!head.settings.empty()) put_lines(inputs, "settings", head.settings);
    names.clear();
    for (auto const& t : head.texts) names.push_back(t.name);
    if (!names.empty()) put_lines(inputs, "texts", names);
}

// The group that holds the rows: the command that made them.
std::string group_of(H5::H5File const& file) {
    for (auto const* const command : {"region", "years", "size"})
        if (file.nameExists(command)) return command;
    return "sweep";
}

SweepHead read_head(H5::H5File const& file) {
    auto const inputs = file.openGroup("/inputs");
    SweepHead head;
    auto const method = get_text(inputs, "method");
    for (auto const& [known, name] : method_names)
        if (method == name) head.spec.method = known;
    head.spec.count = count_of(inputs, "count");
    head.spec.seed = count_of(inputs, "seed");
    head.shard = count_of(inputs, "shard");
    head.shards = count_of(inputs, "shards");
    head.spec.vary = get_lines(inputs, "vary");
    head.scenario_path = get_text(inputs, "scenario_path");
    head.scenario_text = get_long_text(inputs, "scenario");
    head.inputs_hash = get_text(inputs, "inputs_hash_fnv1a64");
    if (inputs.nameExists("provenance")) head.provenance = get_lines(inputs, "provenance");
    head.option = get_text(inputs, "option");
    head.weather_path = get_text(inputs, "weather_path");
    head.version = get_text(inputs, "version");
    if (inputs.nameExists("settings")) head.settings = get_lines(inputs, "settings");
    head.group = group_of(file);
    auto const rows = file.openGroup(head.group);
    auto const take = [&](std::vector<std::string> const& names, std::vector<SweepFigure>& columns) {
        for (auto const& name : names) {
            auto const data = rows.openDataSet(name);
            columns.push_back({name, get_text(data, "units"), get_text(data, "long_name")});
        }
    };
    take(get_lines(inputs, "figures"), head.figures);
    if (inputs.nameExists("texts")) take(get_lines(inputs, "texts"), head.texts);
    return head;
}

H5::DataSet make_column(H5::Group& group, Column const& column) {
    auto properties = dataset_properties();
    hsize_t const chunk = chunk_rows;
    properties.setChunk(1, &chunk);
    if (column.kind != Kind::text) {
        properties.setShuffle();
        properties.setDeflate(1);
    }
    hsize_t const none = 0, any = H5S_UNLIMITED;
    auto data = group.createDataSet(column.name, type_of(column), H5::DataSpace(1, &none, &any), properties);
    put_text(data, "units", column.unit);
    put_text(data, "long_name", column.long_name);
    return data;
}

void append_values(H5::DataSet& data, void const* values, hsize_t count, H5::DataType const& type) {
    if (count == 0) return;
    hsize_t at = 0;
    data.getSpace().getSimpleExtentDims(&at);
    hsize_t const size = at + count;
    data.extend(&size);
    auto where = data.getSpace();
    where.selectHyperslab(H5S_SELECT_SET, &count, &at);
    data.write(values, type, H5::DataSpace(1, &count), where);
}

void append_texts(H5::DataSet& data, std::vector<std::string> const& texts) {
    std::vector<char const*> pointers;
    pointers.reserve(texts.size());
    for (auto const& t : texts) pointers.push_back(t.c_str());
    append_values(data, pointers.data(), pointers.size(), free_text());
}

void read_values(H5::DataSet const& data, hsize_t from, hsize_t count, void* values,
                 H5::DataType const& type) {
    if (count == 0) return;
    auto where = data.getSpace();
    where.selectHyperslab(H5S_SELECT_SET, &count, &from);
    data.read(values, type, H5::DataSpace(1, &count), where);
}

// Memory for HDF5 in which it puts the texts of some rows; in a harmful file every row may name the same long
// text.
struct TextRoom {
    std::vector<std::unique_ptr<char[]>> texts;
    std::size_t left = std::size_t{64} << 20;
};

// Called by the C library, so no exception may leave it.
void* text_room(std::size_t bytes, void* in) noexcept {
    auto& room = *static_cast<TextRoom*>(in);
    if (bytes > longest_short_text || bytes > room.left) return nullptr;
    try {
        room.texts.push_back(std::make_unique<char[]>(bytes + 1));
    } catch (std::bad_alloc const&) {
        return nullptr;
    }
    room.left -= bytes;
    return room.texts.back().get();
}
void text_room_stays(void*, void*) noexcept {}

std::vector<std::string> read_texts(H5::DataSet const& data, hsize_t from, hsize_t count) {
    if (count == 0) return {};
    std::vector<char*> pointers(count, nullptr);
    TextRoom room;
    H5::DSetMemXferPropList into_room;
    into_room.setVlenMemManager(text_room, &room, text_room_stays, nullptr);
    auto where = data.getSpace();
    where.selectHyperslab(H5S_SELECT_SET, &count, &from);
    data.read(pointers.data(), free_text(), H5::DataSpace(1, &count), where, into_room);
    std::vector<std::string> texts;
    texts.reserve(pointers.size());
    for (auto const* p : pointers) texts.emplace_back(p == nullptr ? "" : weather::to_utf8(p));
    return texts;
}

// Runs `work`; errors of HDF5 or the file system become a ResultFileError about the file.
template <class Work>
auto about(std::string const& path, char const* what, Work const& work) {
    H5::Exception::dontPrint();
    try {
        return work();
    } catch (H5::Exception const& error) {
        throw ResultFileError(fmt::format("{}: cannot be {} ({}: damaged, or not enough memory)", path, what,
                                          error.getDetailMsg()));
    } catch (fs::filesystem_error const& error) {
        throw ResultFileError(fmt::format("{}: cannot be {} ({})", path, what, error.code().message()));
    }
}

// A file is kept in memory until it is complete, because a disk error while HDF5 writes would end the
// program. A part of a sweep is small. A million rows take as much memory as their file, less than half a GiB
// with the figures of a year.
struct NewFile {
    std::string path;
    H5::H5File file;
    H5::Group sweep;
    std::vector<Column> columns;
    std::vector<H5::DataSet> data;

    NewFile(std::string to, SweepHead const& head, std::size_t first_row, std::size_t end_row)
        : path(std::move(to)),
          file(path, H5F_ACC_TRUNC, H5::FileCreatPropList::DEFAULT, in_memory()),
          columns(columns_of(read_axes(head.spec.vary), head)) {
        put_head(file, head);
        sweep = file.createGroup(head.group);
        put_count(sweep, "first_row", first_row);
        put_count(sweep, "end_row", end_row);
        for (auto const& column : columns) data.push_back(make_column(sweep, column));
    }
    void close() {
        for (auto& d : data) d.close();
        sweep.close();
        file.flush(H5F_SCOPE_GLOBAL);
        auto const size = H5Fget_file_image(file.getId(), nullptr, 0);
        void* handle = nullptr;
        if (size <= 0 || H5Fget_vfd_handle(file.getId(), H5P_DEFAULT, &handle) < 0)
            throw H5::FileIException("close", "the file could not be built");
        // The handle of the core driver is the address of the pointer to its memory.
        std::string_view const bytes{*static_cast<char const**>(handle), static_cast<std::size_t>(size)};
        write_whole_file(path, bytes, seal_of(bytes));
        file.close();
    }

  private:
    static H5::FileAccPropList in_memory() {
        H5::FileAccPropList properties;
        properties.setCore(std::size_t{1} << 20, false);
        return properties;
    }
};

}  // namespace

std::string difference(SweepHead const& one, std::string const& one_name, SweepHead const& other,
                       std::string const& other_name) {
    auto const said = [&](char const* what, std::string const& a, std::string const& b) {
        return fmt::format("{}: {} in {}, {} in {}", what, a, one_name, b, other_name);
    };
    if (one.spec != other.spec) {
        auto const a = plan_text(one.spec), b = plan_text(other.spec);
        if (a != b) return said("the plan differs", a, b);
        for (std::size_t i = 0; i < std::max(one.spec.vary.size(), other.spec.vary.size()); ++i) {
            auto const key = [&](SweepSpec const& s) {
                return i < s.vary.size() ? "\"" + s.vary[i] + "\"" : std::string("none");
            };
            if (key(one.spec) != key(other.spec))
                return said("the varied keys differ", key(one.spec), key(other.spec));
        }
    }
    if (one.group != other.group)
        return fmt::format("{} is of `{}`, {} of `{}`", one_name, one.group, other_name, other.group);
    for (std::size_t i = 0; i < std::max(one.settings.size(), other.settings.size()); ++i) {
        auto const line = [&](SweepHead const& h) {
            return i < h.settings.size() ? h.settings[i] : std::string("none");
        };
        if (line(one) != line(other)) return said("the settings differ", line(one), line(other));
    }
    if (one.option != other.option)
        return said("the option differs", "\"" + one.option + "\"", "\"" + other.option + "\"");
    if (one.scenario_text != other.scenario_text)
        return said("the scenario differs", "hash " + text_hash(one.scenario_text),
                    "hash " + text_hash(other.scenario_text));
    if (one.inputs_hash != other.inputs_hash)
        return said("the weather or a parts list differs", "hash " + one.inputs_hash,
                    "hash " + other.inputs_hash);
    if (one.version != other.version)
        return said("the program's version differs", one.version, other.version);
    if (!std::equal(one.figures.begin(), one.figures.end(), other.figures.begin(), other.figures.end(),
                    [](auto const& a, auto const& b) { return a.name == b.name; }))
        return fmt::format("{} and {} hold different figures", one_name, other_name);
    return "";
}

struct SweepWriter::Open {
    NewFile file;
    std::vector<SweepAxis> axes;
    std::size_t width;
    // The rows of a chunk, column by column.
    std::vector<std::vector<double>> numbers;
    std::vector<std::string> choices;  // padded to the column's width
    std::vector<std::uint8_t> ran;
    std::vector<std::vector<std::string>> texts;  // the problem last
    std::size_t waiting = 0;

    Open(std::string path, SweepHead const& head, std::size_t first_row, std::size_t end_row)
        : file(std::move(path), head, first_row, end_row),
          axes(read_axes(head.spec.vary)),
          width(head.figures.size()),
          numbers(file.columns.size()),
          choices(file.columns.size()),
          texts(head.texts.size() + 1) {}

    void add(SweepBlock const& block, std::size_t i) {
        std::size_t c = 0;
        for (std::size_t a = 0; a < axes.size(); ++a, ++c) {
            auto const& value = block.settings[i][a];
            if (axes[a].is_number) {
                numbers[c].push_back(value.empty() ? not_run : number_in(value));
            } else {
                choices[c] += value;
                choices[c].resize((waiting + 1) * file.columns[c].text_width);
            }
        }
        ran.push_back(block.problems[i].empty() ? 1 : 0);
        ++c;
        for (std::size_t f = 0; f < width; ++f, ++c) numbers[c].push_back(block.figures_of(i)[f]);
        for (std::size_t t = 0; t + 1 < texts.size(); ++t) texts[t].push_back(block.texts[t][i]);
        texts.back().push_back(block.problems[i]);
        if (++waiting == chunk_rows) flush();
    }

    void flush() {
        std::size_t t = 0;
        for (std::size_t c = 0; c < file.columns.size(); ++c) {
            auto const& column = file.columns[c];
            switch (column.kind) {
                case Kind::number:
                    append_values(file.data[c], numbers[c].data(), waiting, type_of(column));
                    break;
                case Kind::choice:
                    append_values(file.data[c], choices[c].data(), waiting, type_of(column));
                    break;
                case Kind::flag:
                    append_values(file.data[c], ran.data(), waiting, type_of(column));
                    break;
                case Kind::text:
                    append_texts(file.data[c], texts[t]);
                    texts[t++].clear();
                    break;
            }
            numbers[c].clear();
            choices[c].clear();
        }
        ran.clear();
        waiting = 0;
    }
};

SweepWriter::SweepWriter(std::string path, SweepHead const& head, std::size_t first_row, std::size_t end_row)
    : open_(about(path, "written", [&] { return std::make_unique<Open>(path, head, first_row, end_row); })) {}

SweepWriter::~SweepWriter() = default;

void SweepWriter::append(SweepBlock const& block) {
    about(open_->file.path, "written", [&] {
        for (std::size_t i = 0; i < block.size(); ++i) open_->add(block, i);
    });
}

void SweepWriter::close() {
    about(open_->file.path, "written", [&] {
        open_->flush();
        open_->file.close();
    });
}

namespace {

// Many parts are open at once; cached chunks of all of them would take as much memory as the whole file.
H5::FileAccPropList uncached() {
    H5::FileAccPropList properties;
    properties.setCache(0, 521, 0, 0.75);
    return properties;
}

}  // namespace

struct SweepReader::Open {
    std::string path;
    H5::H5File file;
    SweepHead head;
    std::size_t first_row, end_row, rows = 0;
    std::vector<SweepAxis> axes;
    std::vector<Column> columns;
    std::vector<H5::DataSet> data;

    explicit Open(std::string from)
        : path(std::move(from)), file(path, H5F_ACC_RDONLY, H5::FileCreatPropList::DEFAULT, uncached()) {
        // Rows are read some thousands at a time, because all rows together may be too many for memory.
        check_hdf5(file, {std::numeric_limits<std::size_t>::max()});
        if (!file.nameExists("inputs") || !file.openGroup("inputs").attrExists("shards"))
            throw ResultFileError(fmt::format(
                "{}: is a table or a result, not a file of rows that --shard, --resume or --manifest writes",
                path));
        head = read_head(file);
        axes = read_axes(head.spec.vary);
        auto const sweep = file.openGroup(head.group);
        first_row = count_of(sweep, "first_row");
        end_row = count_of(sweep, "end_row");
        columns = columns_of(axes, head);
        for (auto const& column : columns) {
            data.push_back(sweep.openDataSet(column.name));
            hsize_t size = 0;
            data.back().getSpace().getSimpleExtentDims(&size);
            if (data.size() == 1) rows = size;
            if (size != rows) throw ResultFileError(fmt::format("{}: its columns differ in length", path));
        }
        if (head.shards < 1 || head.shards > most_shards || head.shard < 1 || head.shard > head.shards ||
            end_row > most_sweep_rows || first_row > end_row || rows > end_row - first_row)
            throw ResultFileError(fmt::format("{}: its rows are not those of a sweep", path));
    }
};

SweepReader::SweepReader(std::string path) {
    if (!file_seal_holds(path))
        throw DamagedSweepError(fmt::format(
            "{}: cannot be read as a file of rows (another file, or damaged or changed since it was "
            "written)",
            path));
    open_ = about(path, "read as a file of rows", [&] { return std::make_unique<Open>(path); });
}
SweepReader::~SweepReader() = default;
SweepReader::SweepReader(SweepReader&&) noexcept = default;
SweepReader& SweepReader::operator=(SweepReader&&) noexcept = default;

std::string const& SweepReader::path() const { return open_->path; }
SweepHead const& SweepReader::head() const { return open_->head; }
std::size_t SweepReader::first_row() const { return open_->first_row; }
std::size_t SweepReader::end_row() const { return open_->end_row; }
std::size_t SweepReader::rows() const { return open_->rows; }

SweepBlock SweepReader::read(std::size_t from, std::size_t count) const {
    return about(open_->path, "read", [&] {
        SweepBlock block;
        block.first = open_->first_row + from;
        block.width = open_->head.figures.size();
        block.settings.assign(count, SweepRow(open_->axes.size()));
        block.figures.resize(count * block.width);
        std::size_t c = 0;
        std::vector<double> numbers(count);
        for (std::size_t a = 0; a < open_->axes.size(); ++a, ++c) {
            auto const& axis = open_->axes[a];
            if (!axis.is_number) {
                auto const width = open_->columns[c].text_width;
                std::string texts(count * width, '\0');
                read_values(open_->data[c], from, count, texts.data(), type_of(open_->columns[c]));
                for (std::size_t i = 0; i < count; ++i) {
                    auto const one = texts.substr(i * width, width);
                    block.settings[i][a] = one.substr(0, one.find('\0'));
                }
                continue;
            }
            read_values(open_->data[c], from, count, numbers.data(), H5::PredType::NATIVE_DOUBLE);
            for (std::size_t i = 0; i < count; ++i)
                if (!std::isnan(numbers[i])) block.settings[i][a] = typed(numbers[i], axis.unit);
        }
        ++c;  // column `ran`: 1 for a row without a problem
        for (std::size_t f = 0; f < block.width; ++f, ++c) {
            read_values(open_->data[c], from, count, numbers.data(), H5::PredType::NATIVE_DOUBLE);
            for (std::size_t i = 0; i < count; ++i) block.figures_of(i)[f] = numbers[i];
        }
        for (std::size_t t = 0; t < open_->head.texts.size(); ++t, ++c)
            block.texts.push_back(read_texts(open_->data[c], from, count));
        block.problems = read_texts(open_->data[c], from, count);
        return block;
    });
}

void join_sweep_files(std::vector<SweepReader> const& parts, std::string const& path, SweepHead const& head,
                      RowRange rows) {
    about(path, "written", [&] {
        NewFile out(path, head, rows.first, rows.end);
        std::vector<char> values;
        // Whole chunks at a time, so that the bytes do not depend on where the parts begin.
        for (std::size_t c = 0; c < out.columns.size(); ++c) {
            bool const free = out.columns[c].kind == Kind::text;
            auto const type = type_of(out.columns[c]);
            std::size_t const size = type.getSize();
            std::vector<std::string> texts;
            values.clear();
            std::size_t waiting = 0;
            auto const flush = [&] {
                if (free)
                    append_texts(out.data[c], texts);
                else
                    append_values(out.data[c], values.data(), waiting, type);
                texts.clear();
                values.clear();
                waiting = 0;
            };
            for (auto const& part : parts) {
                std::size_t from = 0;
                while (from < part.rows()) {
                    std::size_t const count = std::min(chunk_rows - waiting, part.rows() - from);
                    if (free) {
                        auto more = read_texts(part.open_->data[c], from, count);
                        texts.insert(texts.end(), more.begin(), more.end());
                    } else {
                        values.resize((waiting + count) * size);
                        read_values(part.open_->data[c], from, count, values.data() + waiting * size, type);
                    }
                    from += count;
                    waiting += count;
                    if (waiting == chunk_rows) flush();
                }
            }
            flush();
            out.data[c].close();
        }
        out.close();
    });
}

}  // namespace holdwater::sim
