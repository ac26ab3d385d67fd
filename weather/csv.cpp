#include "weather/csv.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "models/numeric/read_double.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::weather {

namespace {

bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\r'; }
char lower_letter(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

/// Text for a message: short, and without control bytes.
std::string shown(std::string_view text) {
    std::string out;
    for (char c : text.substr(0, 40)) out += static_cast<unsigned char>(c) < 0x20 ? '?' : c;
    if (text.size() > 40) out += "...";
    return to_utf8(out);
}

}  // namespace

std::vector<std::string_view> split_lines(std::string_view text) {
    std::vector<std::string_view> lines;
    lines.reserve(9000);
    bool const old_ends = text.find('\n') == std::string_view::npos;
    char const end = old_ends ? '\r' : '\n';
    while (!text.empty()) {
        auto const at = text.find(end);
        auto line = text.substr(0, at);
        if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
        lines.push_back(line);
        text.remove_prefix(at == std::string_view::npos ? text.size() : at + 1);
    }
    while (!lines.empty() && trim(lines.back()).empty()) lines.pop_back();
    return lines;
}

std::optional<LineProblem> line_problem(std::string_view text, std::size_t most_lines) {
    constexpr std::size_t longest_line = std::size_t{64} << 10;
    char const end = text.find('\n') == std::string_view::npos ? '\r' : '\n';
    for (std::size_t at = 0, line = 1; at < text.size(); ++line) {
        if (line > most_lines)
            return LineProblem{0,
                               fmt::format("has more than {} lines, the most that is accepted", most_lines)};
        auto const next = std::min(text.find(end, at), text.size());
        if (next - at > longest_line)
            return LineProblem{line, fmt::format("the line is longer than {} characters", longest_line)};
        at = next + 1;
    }
    return std::nullopt;
}

void split_fields(std::string_view line, char separator, std::vector<std::string_view>& fields) {
    fields.clear();
    char const* at = line.data();
    char const* const end = at + line.size();
    for (;;) {
        while (at < end && *at == ' ' && separator != ' ') ++at;
        char const* start = at;
        if (at < end && *at == '"') {
            ++start;
            do ++at;
            while (at < end && *at != '"');
            fields.push_back(trim({start, static_cast<std::size_t>(at - start)}));
            while (at < end && *at != separator) ++at;
        } else {
            while (at < end && *at != separator) ++at;
            char const* last = at;
            while (last > start && is_blank(last[-1])) --last;
            while (start < last && is_blank(*start)) ++start;
            fields.emplace_back(start, static_cast<std::size_t>(last - start));
        }
        if (at >= end) return;
        ++at;
    }
}

std::string_view trim(std::string_view text) {
    while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
    while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
    return text;
}

std::string lower(std::string_view text) {
    std::string out(text);
    for (char& c : out) c = lower_letter(c);
    return out;
}

std::size_t control_length(std::string_view text) {
    if (text.empty()) return 0;
    auto const c = static_cast<unsigned char>(text[0]);
    if (c < 0x20 || c == 0x7f) return 1;
    auto const next = text.size() > 1 ? static_cast<unsigned char>(text[1]) : 0U;
    return c == 0xc2 && next >= 0x80 && next < 0xa0 ? 2 : 0;
}

std::string to_utf8(std::string_view text) {
    auto const byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    bool valid = true;
    for (std::size_t i = 0; valid && i < text.size();) {
        unsigned char const first = byte(i);
        std::size_t const length = first < 0x80                    ? 1
                                   : first >= 0xC2 && first < 0xE0 ? 2
                                   : first >= 0xE0 && first < 0xF0 ? 3
                                   : first >= 0xF0 && first < 0xF5 ? 4
                                                                   : 0;
        valid = length > 0 && i + length <= text.size();
        for (std::size_t k = 1; valid && k < length; ++k) valid = (byte(i + k) & 0xC0) == 0x80;
        i += length;
    }
    std::string out;
    if (valid) out = text;
    for (std::size_t i = 0; !valid && i < text.size(); ++i) {
        unsigned char const c = byte(i);
        if (c < 0x80) {
            out += static_cast<char>(c);
        } else {
            out += static_cast<char>(0xC0 | (c >> 6));
            out += static_cast<char>(0x80 | (c & 0x3F));
        }
    }
    for (std::size_t i = 0; i < out.size(); ++i)
        if (auto const length = control_length(std::string_view(out).substr(i)); length > 0)
            out.replace(i, length, "?");
    return out;
}

double number(std::string_view field, std::string_view column, Place const& place) {
    constexpr double missing = std::numeric_limits<double>::quiet_NaN();
    if (field.empty()) return missing;
    auto digits = field;
    if (digits.front() == '+') digits.remove_prefix(1);
    double value = 0;
    auto const [end, error] = models::read_double(digits.data(), digits.data() + digits.size(), value);
    if (error == std::errc{} && end == digits.data() + digits.size() && std::isfinite(value)) return value;
    auto const word = lower(field);
    if (word == "nan" || word == "na" || word == "n/a" || word == "null" || word == "-") return missing;
    throw WeatherError(place.file, place.line,
                       fmt::format("column {} holds \"{}\"; a number or an empty field is expected",
                                   shown(column), shown(field)));
}

int whole_number(std::string_view field, std::string_view column, int low, int high, Place const& place) {
    double const value = number(field, column, place);
    if (!(value >= low && value <= high) || value != std::floor(value))
        throw WeatherError(place.file, place.line,
                           fmt::format("column {} holds \"{}\"; a whole number from {} to {} is expected",
                                       shown(column), shown(field), low, high));
    return static_cast<int>(value);
}

int find_column(std::vector<std::string_view> const& names, std::string_view name) {
    auto const wanted = lower(name);
    for (std::size_t i = 0; i < names.size(); ++i) {
        auto have = lower(names[i]);
        if (have == wanted) return static_cast<int>(i);
        // "ghi" finds "GHI (W/m^2)" and "ghi [W/m2]".
        if (auto const bracket = have.find_first_of("([");
            bracket != std::string::npos && trim(std::string_view(have).substr(0, bracket)) == wanted)
            return static_cast<int>(i);
    }
    return -1;
}

}  // namespace holdwater::weather
