#pragma once

#include <CLI/CLI.hpp>
#include <string>

namespace holdwater::tools {

/// "12", "-3": decimal digits and a sign, no leading zero ("010" is eight to some readers and ten to others).
bool is_whole_number(std::string const& text);
/// "12", "-3.5", ".5", "1e-3": a finite decimal number; not "nan", "inf", "0x1F", "1 200", "1,200".
bool is_decimal_number(std::string const& text);

/// Gives every option of every command what all of them refuse: an empty text (which would stand for "not
/// given" and be passed over), and where a number is wanted anything that is none or could be another one.
void check_option_texts(CLI::App& app);

/// What stands behind an option in --help and in the manual page: FILE, DAYS, 0-1, and its default in the
/// description.
void name_option_values(CLI::App& app);

}  // namespace holdwater::tools
