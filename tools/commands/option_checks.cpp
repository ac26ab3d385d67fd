#include "tools/commands/option_checks.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <string_view>

namespace holdwater::tools {
namespace {

std::size_t digits_from(std::string_view text, std::size_t at) {
    std::size_t count = 0;
    while (at + count < text.size() && text[at + count] >= '0' && text[at + count] <= '9') ++count;
    return count;
}

std::size_t sign_length(std::string_view text, std::size_t at) {
    return at < text.size() && (text[at] == '+' || text[at] == '-') ? 1 : 0;
}

std::string not_empty(std::string const& text) {
    return text.find_first_not_of(" \t\r\n") == std::string::npos ? "must not be empty" : "";
}

std::string whole(std::string const& text) {
    return is_whole_number(text) ? "" : fmt::format("'{}' is not a whole number such as 12", text);
}

std::string not_negative(std::string const& text) {
    return text.starts_with('-') ? fmt::format("'{}' is not a whole number such as 12", text) : whole(text);
}

std::string decimal(std::string const& text) {
    return is_decimal_number(text) ? "" : fmt::format("'{}' is not a number such as 12 or 0.5", text);
}

}  // namespace

bool is_whole_number(std::string const& text) {
    auto const sign = sign_length(text, 0), count = digits_from(text, sign);
    return count > 0 && sign + count == text.size() && (count == 1 || text[sign] != '0');
}

bool is_decimal_number(std::string const& text) {
    auto at = sign_length(text, 0);
    auto const before = digits_from(text, at);
    at += before;
    std::size_t behind = 0;
    if (at < text.size() && text[at] == '.') {
        behind = digits_from(text, at + 1);
        at += 1 + behind;
    }
    if (before + behind == 0) return false;
    if (at < text.size() && (text[at] == 'e' || text[at] == 'E')) {
        at += 1 + sign_length(text, at + 1);
        auto const exponent = digits_from(text, at);
        if (exponent == 0) return false;
        at += exponent;
    }
    return at == text.size() && std::isfinite(std::strtod(text.c_str(), nullptr));
}

void check_option_texts(CLI::App& app) {
    for (CLI::App* const command : app.get_subcommands({})) {
        check_option_texts(*command);  // groups of options are commands without a name
        for (CLI::Option* const option : command->get_options()) {
            if (option->get_expected_max() == 0) continue;  // a flag
            std::string const type = option->get_type_name();
            if (type.starts_with("INT"))
                option->check(whole);
            else if (type.starts_with("UINT"))
                option->check(not_negative);
            else if (type.starts_with("FLOAT"))
                option->check(decimal);
            else
                option->check(not_empty);
        }
    }
}

}  // namespace holdwater::tools
