#include "sim/sweep/output_file.hpp"

#include <H5Cpp.h>
#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <system_error>

#include "sim/files/seal.hpp"

namespace holdwater::sim {
namespace {

constexpr std::string_view hdf5_signature = "\x89HDF\r\n\x1a\n";

std::string beginning_of(std::string const& path, std::size_t bytes = 4096) {
    std::ifstream in(path, std::ios::binary);
    std::string text(bytes, '\0');
    in.read(text.data(), static_cast<std::streamsize>(text.size()));
    text.resize(static_cast<std::size_t>(in.gcount()));
    return text;
}

// The HDF5 library gets only files with a valid checksum, because it is not safe with damaged ones.
bool has_group(std::string const& path, std::string_view group) {
    if (!file_seal_holds(path)) return false;
    H5::Exception::dontPrint();
    try {
        return H5::H5File(path, H5F_ACC_RDONLY).nameExists(std::string(group));
    } catch (H5::Exception const&) {
        return false;
    }
}

bool is_of_kind(std::string const& path, std::string const& begins, OutputKind const& kind) {
    if (begins.starts_with(hdf5_signature)) return !kind.group.empty() && has_group(path, kind.group);
    return !kind.holds.empty() && begins.starts_with(kind.begins) &&
           begins.find(kind.holds) != std::string::npos;
}

}  // namespace

bool is_damaged_sweep(std::string const& path) {
    std::error_code failure;
    if (!std::filesystem::is_regular_file(path, failure) || !ends_with_seal(path) || file_seal_holds(path))
        return false;
    // Names stand in the file as they are; those of /inputs and /sweep before the first row.
    auto const begins = beginning_of(path, std::size_t{4} << 20);
    return begins.starts_with(hdf5_signature) && begins.find("inputs_hash") != std::string::npos &&
           begins.find("end_row") != std::string::npos;
}

void check_output_is_not_read(std::string const& path, std::vector<std::string> const& read) {
    std::error_code failure;
    for (auto const& input : read)
        if (!path.empty() && !input.empty() && std::filesystem::equivalent(path, input, failure))
            throw ResultFileError(fmt::format(
                "{}: is a file that this command reads; it is left alone, give another name", path));
}

void check_ending(std::string const& path, OutputKind const& kind) {
    bool const hdf5_only = !kind.group.empty() && kind.holds.empty();
    if (!hdf5_only) return;
    std::filesystem::path const given(path);
    std::string ending = given.extension().string();
    std::transform(ending.begin(), ending.end(), ending.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    for (std::string_view const other : {".csv", ".txt", ".json", ".html", ".toml", ".xlsx"})
        if (ending == other)
            throw ResultFileError(fmt::format(
                "{}: {} is an HDF5 file and cannot be {}; give a name that ends in .h5, such as {}", path,
                kind.words, ending, std::filesystem::path(path).replace_extension(".h5").string()));
}

void check_output(std::string const& path, OutputKind const& kind, std::vector<std::string> const& read) {
    check_ending(path, kind);
    if (path.empty()) return;
    check_ordinary(path);
    check_output_is_not_read(path, read);
    auto const begins = beginning_of(path);
    if (begins.empty() || is_of_kind(path, begins, kind)) return;
    throw ResultFileError(
        fmt::format("{}: is there already and is not {}, or cannot be looked into (damaged, or not "
                    "enough memory); it is left alone, give another "
                    "name or remove it first",
                    path, kind.words));
}

}  // namespace holdwater::sim
