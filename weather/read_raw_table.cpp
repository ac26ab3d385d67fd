#include "weather/read_raw_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "weather/csv.hpp"
#include "weather/read_epw.hpp"
#include "weather/read_file_text.hpp"
#include "weather/read_gridded.hpp"
#include "weather/read_plain_csv.hpp"
#include "weather/read_station_archive.hpp"
#include "weather/read_tmy3.hpp"
#include "weather/weather_error.hpp"

namespace holdwater::weather {

namespace {

constexpr std::size_t most_lines = 1000000;  // a century of hours has 876,000

std::string_view without_byte_order_mark(std::string_view text) {
    return text.substr(0, 3) == "\xEF\xBB\xBF" ? text.substr(3) : text;
}

/// Enough to recognize every kind of file.
std::vector<std::string_view> first_lines(std::string_view text) {
    return split_lines(without_byte_order_mark(text).substr(0, 20000));
}

void refuse_what_is_no_text(std::string_view text, std::string const& name) {
    auto const starts = [&](std::initializer_list<unsigned char> bytes) {
        std::size_t i = 0;
        for (unsigned char b : bytes)
            if (i >= text.size() || static_cast<unsigned char>(text[i++]) != b) return false;
        return true;
    };
    if (text.empty()) throw WeatherError(name, 0, "the file is empty");
    if (starts({0x1f, 0x8b})) throw WeatherError(name, 0, "this is a gzip archive; unpack it first");
    if (starts({'P', 'K', 3, 4})) throw WeatherError(name, 0, "this is a zip archive; unpack it first");
    if (starts({0xff, 0xfe}) || starts({0xfe, 0xff}))
        throw WeatherError(name, 1, "the text is UTF-16; save it as UTF-8 or Latin-1");
    if (text.substr(0, 4000).find('\0') != std::string_view::npos)
        throw WeatherError(
            name, 1,
            "the file holds zero bytes; a text of commas and numbers is expected (UTF-8 or Latin-1)");
}

[[noreturn]] void refuse_unknown_kind(std::vector<std::string_view> const& lines, std::string const& name) {
    for (char other : {';', '\t'})
        for (std::size_t i = 0; i < lines.size() && i < 3; ++i)
            if (std::count(lines[i].begin(), lines[i].end(), other) >= 3)
                throw WeatherError(name, i + 1,
                                   fmt::format("the fields seem to be separated by {}; weather files have "
                                               "commas, or need a column map",
                                               other == ';' ? "semicolons" : "tabs"));
    throw WeatherError(name, 1,
                       "not a weather file of a known kind; known are TMY3 CSV, EPW, gridded CSV, the "
                       "national station archive's CSV, our plain CSV, and any CSV with a column map");
}

}  // namespace

bool looks_like_weather(std::string_view text) {
    auto const lines = first_lines(text);
    return looks_like_epw(lines) || looks_like_tmy3(lines) || looks_like_gridded(lines) ||
           looks_like_station_archive(lines) || looks_like_plain_csv(lines);
}

bool looks_like_station_archive(std::string_view text) {
    return looks_like_station_archive(first_lines(text));
}

RawTable read_raw_table(std::string_view text, std::string const& name, ReadOptions const& options,
                        Needs needs) {
    refuse_what_is_no_text(text, name);
    if (auto const problem = line_problem(text, most_lines))
        throw WeatherError(name, problem->line, problem->words);
    auto const lines = split_lines(without_byte_order_mark(text));
    if (options.columns) return read_mapped_csv(lines, name, *options.columns, needs);
    if (looks_like_epw(lines)) return read_epw(lines, name);
    if (looks_like_tmy3(lines)) return read_tmy3(lines, name);
    if (looks_like_gridded(lines)) return read_gridded(lines, name, options.stamp.has_value(), needs);
    if (looks_like_station_archive(lines))
        return read_station_archive(lines, name, options.light, options.second.get());
    if (looks_like_plain_csv(lines)) return read_plain_csv(lines, name, needs);
    refuse_unknown_kind(lines, name);
}

std::string text_of_weather_file(std::string const& path) {
    try {
        return read_file_text(path, {largest_weather_file});
    } catch (FileTextError const& error) {
        throw WeatherError(path, 0, error.what());
    }
}

}  // namespace holdwater::weather
