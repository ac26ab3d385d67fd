#include <doctest/doctest.h>

#include <filesystem>
#include <map>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::file_text;
namespace fs = std::filesystem;

namespace {

// A string literal that begins at or after `at`, adjacent literals joined.
std::string literal(std::string const& code, std::size_t at) {
    std::string text;
    for (at = code.find('"', at); at < code.size() && code[at] == '"';) {
        for (++at; code[at] != '"'; ++at) {
            if (code[at] == '\\') ++at;
            text += code[at];
        }
        at = code.find_first_not_of(" \n", at + 1);
    }
    return text;
}

// "suite case" of every test case in the tree.
std::set<std::string> all_cases() {
    std::set<std::string> cases;
    for (auto const& entry : fs::recursive_directory_iterator(HOLDWATER_SOURCE "/tests")) {
        if (entry.path().extension() != ".cpp") continue;
        std::string const code = file_text(entry.path());
        // A file may hold several suites; a case belongs to the one begun last before it.
        std::string suite;
        for (std::size_t at = 0; at < code.size(); ++at) {
            if (at > 0 && code[at - 1] != '\n') continue;
            if (code.compare(at, 17, "TEST_SUITE_BEGIN(") == 0) suite = literal(code, at);
            if (code.compare(at, 10, "TEST_CASE(") == 0) cases.insert(suite + " " + literal(code, at));
        }
    }
    return cases;
}

std::vector<std::string> lines_of(std::string const& path) {
    std::vector<std::string> lines;
    std::istringstream in(file_text(std::string(HOLDWATER_SOURCE "/tests/") + path));
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    return lines;
}

std::vector<std::string> split(std::string const& text, std::string const& by) {
    std::vector<std::string> parts;
    std::size_t at = 0;
    for (std::size_t end; (end = text.find(by, at)) != std::string::npos; at = end + by.size())
        parts.push_back(text.substr(at, end - at));
    parts.push_back(text.substr(at));
    return parts;
}

// "`suite` case" -> "suite case".
std::string named(std::string const& cell) {
    auto const close = cell.find('`', 1);
    if (cell.empty() || cell[0] != '`' || close == std::string::npos) return "";
    return cell.substr(1, close - 1) + cell.substr(close + 1);
}

}  // namespace

TEST_SUITE_BEGIN("tools/tests_pages");

TEST_CASE("every story of a design that failed has its test cases") {
    auto const cases = all_cases();
    REQUIRE(cases.size() > 400);
    int stories = 0;
    bool table = false;
    for (auto const& line : lines_of("README.md")) {
        if (line.starts_with("| story ")) table = true;
        if (!table || !line.starts_with("| ") || line.starts_with("| story")) continue;
        ++stories;
        auto const cells = split(line.substr(2, line.size() - 4), " | ");
        REQUIRE(cells.size() == 2);
        for (auto const& entry : split(cells[1], "; ")) {
            CAPTURE(entry);
            CHECK(cases.count(named(entry)) == 1);
        }
    }
    CHECK(stories == 18);
}

TEST_CASE("the page of checks against the outside names at least 60 cases, all there, each with its source") {
    auto const cases = all_cases();
    std::set<std::string> listed;
    for (auto const& line : lines_of("published/checks.tsv")) {
        CAPTURE(line);
        auto const cells = split(line, "\t");
        REQUIRE(cells.size() == 4);
        CHECK(cases.count(cells[0] + " " + cells[1]) == 1);
        CHECK(cells[2].size() > 4);
        CHECK(cells[3].size() > 4);
        CHECK(listed.insert(cells[0] + " " + cells[1]).second);
    }
    CHECK(listed.size() >= 60);
    std::set<std::string> shown;
    for (auto const& line : lines_of("published/README.md"))
        if (line.starts_with("| `")) shown.insert(named(split(line.substr(2), " | ")[0]));
    CHECK(shown == listed);  // else: tests/published/record
}

TEST_SUITE_END();
