#pragma once

#include <CLI/CLI.hpp>
#include <cstddef>
#include <string>

namespace holdwater::tools {

/// "12", "-3": decimal digits and a sign, no leading zero (some would read "010" as eight, others as ten).
bool is_whole_number(std::string const& text);
/// "12", "-3.5", ".5", "1e-3": a finite decimal number; not "nan", "inf", "0x1F", "1 200", "1,200".
bool is_decimal_number(std::string const& text);

/// Adds to every option of every command the checks that all of them share. An empty text is refused
/// (otherwise it would count as not given), and so is a text that is not a number, or could be read as
/// another number, where a number is expected. Names that are shown (--title, --place, --firm, --customer)
/// are one line without control characters.
void check_option_texts(CLI::App& app);

/// Sets what --help and the manual page show for each option: FILE, DAYS, 0-1, and the default in the
/// description.
void name_option_values(CLI::App& app);

/// "MM-DD" as a day of the year, 0 .. 364; throws CLI::ValidationError naming `option`.
int day_of(std::string const& text, std::string const& option);

}  // namespace holdwater::tools
