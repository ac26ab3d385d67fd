#include <doctest/doctest.h>

#include <filesystem>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::run_holdwater, test::ScratchFolder;

namespace {

struct Example {
    std::string arguments, output;
    bool begins_block;  // in a folder of its own; the others go on in the folder of the one before
};

// Every ```console block: lines "$ holdwater ARGUMENTS", each followed by what it prints.
std::vector<Example> examples_in(std::string const& markdown) {
    std::vector<Example> examples;
    std::istringstream in(markdown);
    bool inside = false, begins = false;
    for (std::string line; std::getline(in, line);) {
        if (line == "```console") {
            inside = begins = true;
        } else if (line == "```") {
            inside = false;
        } else if (inside && line.starts_with("$ holdwater ")) {
            examples.push_back({line.substr(12), "", begins});
            begins = false;
        } else if (inside && !examples.empty()) {
            examples.back().output += line + "\n";
        }
    }
    return examples;
}

}  // namespace

TEST_SUITE_BEGIN("tools/readme");

TEST_CASE("the examples of both READMEs print what it says they print") {
    auto examples = examples_in(test::file_text(HOLDWATER_SOURCE "/README.md"));
    CHECK(!examples.empty());
    auto const more = examples_in(test::file_text(HOLDWATER_SOURCE "/scenarios/README.md"));
    CHECK(more.size() >= 3);
    examples.insert(examples.end(), more.begin(), more.end());
    std::optional<ScratchFolder> folder;
    for (auto const& [arguments, output, begins_block] : examples) {
        CAPTURE(arguments);
        if (begins_block) {
            folder.emplace();
            std::filesystem::create_directory_symlink(HOLDWATER_SOURCE "/scenarios", *folder / "scenarios");
        }
        auto const run = run_holdwater(*folder, arguments);
        CHECK(run.exit_code == 0);
        CHECK(run.out == output);
    }
}

TEST_CASE("the tables of keys are those that the command prints") {
    std::istringstream page(test::file_text(HOLDWATER_SOURCE "/scenarios/README.md"));
    std::string const begin = "<!-- holdwater ", end = " -->";
    ScratchFolder folder;
    int tables = 0;
    for (std::string line; std::getline(page, line);) {
        if (!line.starts_with(begin)) continue;
        auto const arguments = line.substr(begin.size(), line.size() - begin.size() - end.size());
        CAPTURE(arguments);
        std::string table;
        while (std::getline(page, line) && line != "<!-- end -->") table += line + "\n";
        CHECK(run_holdwater(folder, arguments).out == table);
        ++tables;
    }
    CHECK(tables == 10);
}

TEST_CASE("five commands lead from a few answers to a page for the customer") {
    std::string const readme = test::file_text(HOLDWATER_SOURCE "/README.md");
    auto const begin = readme.find("```sh\nholdwater init");
    REQUIRE(begin != std::string::npos);
    std::istringstream block(readme.substr(begin + 6, readme.find("```", begin + 6) - begin - 6));
    ScratchFolder folder;
    int commands = 0;
    for (std::string line; std::getline(block, line); ++commands) {
        CAPTURE(line);
        std::size_t const name = std::string("holdwater ").size();
        auto const run = run_holdwater(folder, line.substr(name, line.find(" #") - name));
        CAPTURE(run.err);
        CHECK(run.exit_code == 0);
        CHECK(!run.out.empty());
    }
    CHECK(commands == 5);
    CHECK(test::file_text(folder / "upper-farm.html").find("Upper farm") != std::string::npos);
}

TEST_SUITE_END();
