#include "tools/show/table_out.hpp"

#include <CLI/CLI.hpp>
#include <filesystem>

#include "sim/files/whole_file.hpp"

namespace holdwater::tools {

void check_table_path(std::string const& path, sim::OutputKind const& kind,
                      std::vector<std::string> const& read) {
    if (path.empty()) return;
    std::filesystem::path const given(path);
    if (given.extension() != ".csv" && given.extension() != ".h5")
        throw CLI::ValidationError("--out", "'" + path + "' must end in .csv or .h5");
    if (given.has_parent_path() && !std::filesystem::is_directory(given.parent_path()))
        throw sim::ResultFileError(path + ": cannot be written (there is no such folder)");
    sim::check_output(path, kind, read);
}

}  // namespace holdwater::tools
