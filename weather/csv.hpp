#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace holdwater::weather {

/// Lines of a text without their ends (LF, CRLF or CR alone); blank lines at the end are dropped.
std::vector<std::string_view> split_lines(std::string_view text);

/// What is wrong with a text as the lines of a table, and the number of the line (0: the whole text): it has
/// more than `most_lines` lines, or a line is longer than a line of numbers can be. Nothing: the text can be
/// split into lines and fields in about as much memory as the text itself.
struct LineProblem {
    std::size_t line = 0;
    std::string words;
};
std::optional<LineProblem> line_problem(std::string_view text, std::size_t most_lines);

/// Fields of one line, trimmed. A field in double quotes may contain the separator; its quotes are removed.
void split_fields(std::string_view line, char separator, std::vector<std::string_view>& fields);

std::string_view trim(std::string_view text);
std::string lower(std::string_view text);

/// Bytes of the control character with which a text begins: 1 for U+0000 to U+001F and U+007F, 2 for U+0080
/// to U+009F in UTF-8; 0 if it begins with another character or is empty.
std::size_t control_length(std::string_view text);

/// The text as UTF-8; bytes that are not UTF-8 are read as Latin-1. Control characters, which a terminal
/// would obey, become question marks.
std::string to_utf8(std::string_view text);

/// File and line for error messages.
struct Place {
    std::string const& file;
    std::size_t line = 0;
};

/// A number; an empty field, "NaN", "NA", "-" and "null" give NaN (missing). Anything else that is not one
/// finite number throws WeatherError naming file, line, column and the text.
double number(std::string_view field, std::string_view column, Place const& place);

/// A whole number within limits; a missing one is an error.
int whole_number(std::string_view field, std::string_view column, int low, int high, Place const& place);

/// Position of a column by its name, in upper or lower case; -1 if there is none. "ghi" finds "GHI (W/m^2)"
/// and "ghi [W/m2]".
int find_column(std::vector<std::string_view> const& names, std::string_view name);

}  // namespace holdwater::weather
