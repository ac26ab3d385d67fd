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

/// A table of a result file: an HDF5 group with one dataset a column, each with `units` and `long_name`.
struct Table {
    std::string name;
    std::vector<TableColumn> columns;
};

using TableAttribute = std::pair<std::string, std::variant<double, std::string>>;

/// Writes an HDF5 file of tables: the attributes and long texts (such as the scenario as read) in /inputs,
/// each table in a group of its name. Numbers may be infinite (never) or NaN (not reckoned). Written under a
/// temporary name beside `path`, then renamed. Throws ResultFileError.
void write_tables(std::string const& path, std::vector<TableAttribute> const& attributes,
                  std::vector<std::pair<std::string, std::string>> const& long_texts,
                  std::vector<Table> const& tables);

/// A number column of such a file. Throws ResultFileError.
std::vector<double> read_column(std::string const& path, std::string const& table, std::string const& column);

}  // namespace holdwater::sim
