#include "tools/commands/option_checks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string_view>
#include <utility>

#include "scenarios/text/toml_text.hpp"
#include "weather/weather_year.hpp"

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

// Names that are printed and written into files.
constexpr std::array names_to_show{"--title", "--place", "--firm", "--customer"};

std::string name_in_one_line(std::string const& text) {
    if (auto const control = scenarios::control_character(text); !control.empty())
        return fmt::format("the control character {} stands in it; take it out", control);
    return text.find_first_of("\r\n\t") == std::string::npos ? not_empty(text) : "must be one line of text";
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

namespace {

// For options that take a text, or a number of something.
using ValueWord = std::pair<std::string_view, std::string_view>;
constexpr std::array value_words{ValueWord{"--weather", "FILE"},
                                 ValueWord{"--out", "FILE"},
                                 ValueWord{"--from-result", "FILE"},
                                 ValueWord{"--merge", "FILE"},
                                 ValueWord{"--option", "NAME"},
                                 ValueWord{"--place", "NAME"},
                                 ValueWord{"--figure", "NAME"},
                                 ValueWord{"--more-never-hurts", "NAME"},
                                 ValueWord{"--days", "DAYS"},
                                 ValueWord{"--age", "YEARS"},
                                 ValueWord{"--every", "DAYS"},
                                 ValueWord{"--years", "YEARS"},
                                 ValueWord{"--hours", "HOURS"},
                                 ValueWord{"--utc-offset-h", "HOURS"},
                                 ValueWord{"--start", "MM-DD"},
                                 ValueWord{"--from", "MM-DD"},
                                 ValueWord{"--date", "YYYY-MM-DD"},
                                 ValueWord{"--leak", "FLOW"},
                                 ValueWord{"--vary", "KEY=VALUES"},
                                 ValueWord{"--input", "KEY=LOW,HIGH"},
                                 ValueWord{"--shard", "K/N"},
                                 ValueWord{"--stations", "FILE"},
                                 ValueWord{"--battery", "CAPACITIES"},
                                 ValueWord{"--demand", "VOLUMES"},
                                 ValueWord{"--array", "POWERS"},
                                 ValueWord{"--sample", "ROWS"},
                                 ValueWord{"--sobol", "SAMPLES"},
                                 ValueWord{"--tilt", "DEGREES"},
                                 ValueWord{"--azimuth", "DEGREES"},
                                 ValueWord{"--latitude", "DEGREES"},
                                 ValueWord{"--longitude", "DEGREES"},
                                 ValueWord{"--elevation-m", "METERS"},
                                 ValueWord{"--temperature-c", "DEGREES-C"}};

// "0-0.8" of "FLOAT:FLOAT in [0 - 0.8]"; "" where there is no such range.
std::string range_in(std::string const& type) {
    auto const open = type.find('['), dash = type.find(" - "), close = type.find(']');
    if (open == std::string::npos || dash == std::string::npos || close == std::string::npos) return "";
    return type.substr(open + 1, dash - open - 1) + "-" + type.substr(dash + 3, close - dash - 3);
}

std::string value_word(CLI::Option const& option, std::string const& command) {
    std::string const type = option.get_type_name(), range = range_in(type);
    if (option.check_lname("require") && type.starts_with("INT")) return "DAYS";
    if (option.check_lname("require") && type.starts_with("TEXT")) return "KEY=LIMIT";
    if (option.check_lname("clearness") && command == "weather") return "0.2-0.75";
    for (auto const& [name, word] : value_words)
        if (option.check_name(std::string(name))) return std::string(word);
    if (type.starts_with("FLOAT") || range == "0-23") return range.empty() ? "NUMBER" : range;
    return type.starts_with("TEXT") ? "NAME" : "NUMBER";
}

}  // namespace

void name_option_values(CLI::App& app) {
    for (CLI::App* const command : app.get_subcommands({})) {
        name_option_values(*command);
        for (CLI::Option* const option : command->get_options()) {
            if (option->get_expected_max() == 0 || !option->get_option_text().empty()) continue;
            if (option->get_positional()) {
                option->option_text(option->get_required() ? "(required)" : "(or none)");
                continue;
            }
            option->option_text(value_word(*option, command->get_name()));
            auto const otherwise = option->get_default_str();
            if (!otherwise.empty())
                option->description(fmt::format("{} (default {})", option->get_description(), otherwise));
        }
    }
}

namespace {

// Before the checks of the option itself: "2.5" is no whole number, whatever the range.
void check_first(CLI::Option& option, std::string (*problem)(std::string const&)) {
    option.transform(CLI::Validator([problem](std::string& text) { return problem(text); }, ""));
}

}  // namespace

void check_option_texts(CLI::App& app) {
    for (CLI::App* const command : app.get_subcommands({})) {
        check_option_texts(*command);  // groups of options are commands without a name
        for (CLI::Option* const option : command->get_options()) {
            if (option->get_expected_max() == 0) continue;  // a flag
            std::string const type = option->get_type_name();
            if (type.starts_with("INT"))
                check_first(*option, whole);
            else if (type.starts_with("UINT"))
                check_first(*option, not_negative);
            else if (type.starts_with("FLOAT"))
                check_first(*option, decimal);
            else
                check_first(*option, std::any_of(names_to_show.begin(), names_to_show.end(),
                                                 [&](auto const* name) { return option->check_name(name); })
                                         ? name_in_one_line
                                         : not_empty);
        }
    }
}

int day_of(std::string const& text, std::string const& option) {
    int month = 0, day = 0, end = 0;
    bool const read = std::sscanf(text.c_str(), "%2d-%2d%n", &month, &day, &end) == 2 &&
                      static_cast<std::size_t>(end) == text.size() && month >= 1 && month <= 12 && day >= 1;
    if (read) {
        int const first = weather::month_start_hour[month - 1] / 24,
                  next = weather::month_start_hour[month] / 24;
        if (first + day <= next) return first + day - 1;
    }
    throw CLI::ValidationError(
        option, "'" + text + "' is not a day of a 365-day year; accepted: MM-DD such as 11-15");
}

}  // namespace holdwater::tools
