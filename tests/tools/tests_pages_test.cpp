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
    CHECK(stories >= 34);
}

TEST_CASE(
    "the page of checks against the outside: every case is there, in one of five classes, and counted in its "
    "first line") {
    auto const cases = all_cases();
    std::set<std::string> listed, sources, parts;
    std::map<std::string, int> of_class;
    for (auto const& line : lines_of("published/checks.tsv")) {
        CAPTURE(line);
        auto const cells = split(line, "\t");
        REQUIRE(cells.size() == 6);
        std::string const name = cells[1] + " " + cells[2];
        CHECK(cases.count(name) == 1);
        CHECK(listed.insert(name).second);
        CHECK(cells[5].size() > 4);
        ++of_class[cells[0]];
        CHECK((cells[4] != "-") == (cells[0] == "read" || cells[0] == "library" || cells[0] == "tools"));
        if (cells[0] == "read") sources.insert(cells[4]), parts.insert(cells[3]);
    }
    CHECK(of_class.size() == 5);
    CHECK(of_class["read"] >= 60);
    CHECK(sources.size() >= 20);
    CHECK(parts.size() >= 12);
    int by_kind = 0;
    for (auto const& source : sources) by_kind += source.find("known by kind only") != std::string::npos;
    auto const count = [](std::size_t n) { return std::to_string(n); };
    std::set<std::string> shown;
    auto const page = lines_of("published/README.md");
    REQUIRE(page.size() > 10);
    CHECK(
        page[2] ==
        "**" + std::to_string(of_class["read"]) +
            " checks hold values that were read in a source outside this project: " + count(sources.size()) +
            " sources (" + std::to_string(by_kind) + " of them known by kind only), " + count(parts.size()) +
            " parts of the program.** Only these count as outside checks. Apart from them: " +
            std::to_string(of_class["library"]) + " compare with what a general library works out, " +
            std::to_string(of_class["memory"]) + " hold values from memory, " +
            std::to_string(of_class["own"]) + " are own arithmetic.");
    for (auto const& line : page)
        if (line.starts_with("| `")) shown.insert(named(split(line.substr(2), " | ")[0]));
    CHECK(shown == listed);  // else: tests/published/record
}

TEST_SUITE_END();
