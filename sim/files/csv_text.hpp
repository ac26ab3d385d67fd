#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "sim/files/table_file.hpp"

namespace holdwater::sim {

/// The CSV that Holdwater writes, by RFC 4180: lines end in CR LF; a field that contains a comma, a quote or
/// a line break is in quotes, and quotes in it are doubled. The header line has `name [unit]`. A number has
/// as many digits as are needed to read back the same number (at most 17). A number that is infinite (never)
/// or NaN (not computed) is an empty field.
std::string csv_field(std::string_view text);
/// The field of a number.
std::string csv_number(double value);
/// The header field of a column; without a unit ("" or "1") the name alone.
std::string csv_heading(std::string_view name, std::string_view unit);
/// A line made of fields that are already in this form.
std::string csv_line(std::vector<std::string> const& fields);

/// The header line of a table, and its rows.
std::string csv_header(Table const& table);
std::string csv_rows(Table const& table);

}  // namespace holdwater::sim
