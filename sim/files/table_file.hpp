#pragma once

#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace holdwater::sim {

/// One column of a table: numbers or texts.
struct TableColumn {
    std::string name, unit, long_name;
    std::variant<std::vector<double>, std::vector<std::string>> values;
};

/// A table of a result file: an HDF5 group with one dataset for each column, with `units` and `long_name`.
struct Table {
    std::string name;
    std::vector<TableColumn> columns;
};

using TableAttribute = std::pair<std::string, std::variant<double, std::string>>;

/// Writes an HDF5 file of tables: attributes and long texts (such as the scenario as read) in /inputs, and
/// each table in a group with its name. Numbers may be infinite (never) or NaN (not computed). The file is
/// written under a temporary name beside `path` and then renamed. Throws ResultFileError.
void write_tables(std::string const& path, std::vector<TableAttribute> const& attributes,
                  std::vector<std::pair<std::string, std::string>> const& long_texts,
                  std::vector<Table> const& tables);

/// Writes the tables to a file: CSV if its name ends in .csv (only the first table, as in csv_text.hpp), else
/// HDF5 (all of them, with the attributes and the text of the scenario). Throws ResultFileError.
void write_table(std::string const& path, std::vector<TableAttribute> const& attributes,
                 std::string const& scenario_text, std::vector<Table> const& tables);

/// A number column of such a file. Throws ResultFileError.
std::vector<double> read_column(std::string const& path, std::string const& table, std::string const& column);

}  // namespace holdwater::sim
