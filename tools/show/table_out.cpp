#include "tools/show/table_out.hpp"

#include <CLI/CLI.hpp>
#include <filesystem>

#include "sim/files/csv_text.hpp"
#include "sim/files/whole_file.hpp"

namespace holdwater::tools {

namespace {

std::string csv(sim::Table const& table) {
    std::vector<std::string> fields;
    for (auto const& column : table.columns) fields.push_back(sim::csv_heading(column.name, column.unit));
    std::string out = sim::csv_line(fields);
    std::size_t const rows =
        std::visit([](auto const& values) { return values.size(); }, table.columns[0].values);
    for (std::size_t i = 0; i < rows; ++i) {
        fields.clear();
        for (auto const& column : table.columns)
            if (auto const* texts = std::get_if<std::vector<std::string>>(&column.values))
                fields.push_back(sim::csv_field((*texts)[i]));
            else
                fields.push_back(sim::csv_number(std::get<std::vector<double>>(column.values)[i]));
        out += sim::csv_line(fields);
    }
    return out;
}

}  // namespace

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

void write_table(std::string const& path, std::vector<sim::TableAttribute> const& attributes,
                 std::string const& scenario_text, std::vector<sim::Table> const& tables) {
    if (std::filesystem::path(path).extension() == ".h5") {
        sim::write_tables(path, attributes, {{"scenario", scenario_text}}, tables);
        return;
    }
    sim::write_whole_file(path, csv(tables.at(0)));
}

}  // namespace holdwater::tools
