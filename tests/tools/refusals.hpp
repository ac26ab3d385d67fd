#pragma once

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <iterator>
#include <random>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/command.hpp"

namespace holdwater::test {

inline std::vector<std::string> lines_of(std::string const& text) {
    std::vector<std::string> lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    return lines;
}

inline bool sets(std::string const& line, std::string const& key) {
    if (!line.starts_with(key)) return false;
    std::size_t const at = line.find_first_not_of(' ', key.size());
    return at != std::string::npos && line[at] == '=';
}

// The scenario with one key of one table set to `value`, added where the table has none, or taken out when
// `value` is "-". Of a repeated table the first is meant.
inline std::string with(std::string const& scenario, std::string const& table, std::string const& key,
                        std::string const& value) {
    auto lines = lines_of(scenario);
    auto begin = lines.begin();
    if (!table.empty())
        begin = std::find_if(lines.begin(), lines.end(),
                             [&](std::string const& line) {
                                 return line.starts_with("[" + table + "]") ||
                                        line.starts_with("[[" + table + "]]");
                             }) +
                1;
    auto const end = std::find_if(begin, lines.end(), [](auto const& line) { return line.starts_with("["); });
    auto const at = std::find_if(begin, end, [&](std::string const& line) { return sets(line, key); });
    if (value == "-") {
        REQUIRE(at != end);
        lines.erase(at);
    } else if (at != end) {
        *at = key + " = " + value;
    } else {
        lines.insert(begin, key + " = " + value);
    }
    std::string text;
    for (auto const& line : lines) text += line + "\n";
    return text;
}

inline std::string const household =
    test::file_text(HOLDWATER_SOURCE "/scenarios/juniper-bend-household.toml");

// A folder with the demos' weather, where the command leaves nothing behind when it refuses.
struct Desk {
    test::ScratchFolder folder;
    Desk() {
        std::filesystem::create_directory_symlink(HOLDWATER_SOURCE "/scenarios/weather", folder / "weather");
    }

    std::vector<std::string> files() const {
        std::vector<std::string> names;
        for (auto const& entry : std::filesystem::directory_iterator(folder.text()))
            names.push_back(entry.path().filename().string());
        std::sort(names.begin(), names.end());
        return names;
    }
};

// Under the sanitizers a command takes eight times as long: a seeded fifth of the rows, else all.
template <typename Row>
std::vector<Row> sampled(std::vector<Row> rows) {
#ifdef __SANITIZE_ADDRESS__
    std::vector<Row> some;
    std::sample(rows.begin(), rows.end(), std::back_inserter(some), rows.size() / 5, std::mt19937(20261130));
    return some;
#else
    return rows;
#endif
}

inline void refused(Desk const& desk, std::string const& arguments,
                    std::vector<std::string> const& fragments) {
    auto const before = desk.files();
    auto const run = test::run_holdwater(desk.folder, arguments);
    CAPTURE(arguments);
    CAPTURE(run.err);
    CHECK(run.exit_code == 2);
    CHECK(run.out.empty());
    for (std::string const& fragment : fragments) {
        CAPTURE(fragment);
        CHECK(run.err.find(fragment) != std::string::npos);
    }
    CHECK(std::count(run.err.begin(), run.err.end(), '\n') <= 3);
    CHECK(desk.files() == before);
}

}  // namespace holdwater::test
