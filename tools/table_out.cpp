#include "tools/table_out.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cmath>
#include <filesystem>

#include "sim/whole_file.hpp"

namespace holdwater::tools {

std::string csv_field(std::string const& text) {
    if (text.find_first_of(",\"\n") == std::string::npos) return text;
    std::string out = "\"";
    for (char const c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
    return out + "\"";
}

namespace {

std::string cell(sim::TableColumn const& column, std::size_t row) {
    if (auto const* texts = std::get_if<std::vector<std::string>>(&column.values))
        return csv_field((*texts)[row]);
    double const value = std::get<std::vector<double>>(column.values)[row];
    return std::isfinite(value) ? fmt::format("{:.10g}", value) : "";
}

std::string csv(sim::Table const& table) {
    std::string out;
    for (auto const& column : table.columns)
        out += (out.empty() ? "" : ",") + csv_field(column.unit.empty() || column.unit == "1"
                                                        ? column.name
                                                        : fmt::format("{} [{}]", column.name, column.unit));
    out += "\n";
    std::size_t const rows =
        std::visit([](auto const& values) { return values.size(); }, table.columns[0].values);
    for (std::size_t i = 0; i < rows; ++i) {
        std::string line;
        for (std::size_t c = 0; c < table.columns.size(); ++c)
            line += (c == 0 ? "" : ",") + cell(table.columns[c], i);
        out += line + "\n";
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
