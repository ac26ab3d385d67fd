#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace holdwater::sim {

/// The CSV that Holdwater writes: RFC 4180 (lines end in CR LF; a field in quotes where it holds a comma, a
/// quote or a line break, quotes in it doubled), a header line with `name [unit]`, numbers with as many
/// digits as give the same number when read back (at most 17). A number that is infinite (never) or NaN (not
/// worked out) is an empty field.
std::string csv_field(std::string_view text);
/// The field of a number.
std::string csv_number(double value);
/// The header field of a column; without a unit ("" or "1") the name alone.
std::string csv_heading(std::string_view name, std::string_view unit);
/// A line of fields that are ready for it.
std::string csv_line(std::vector<std::string> const& fields);

}  // namespace holdwater::sim
