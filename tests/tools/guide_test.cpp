#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::run_holdwater, test::run_shell, test::ScratchFolder;

namespace {

// Words of two columns at the start of a line below "Subcommands:" of --help.
std::vector<std::string> commands(ScratchFolder const& folder) {
    std::istringstream help(run_holdwater(folder, "--help").out);
    std::vector<std::string> names;
    bool below = false;
    for (std::string line; std::getline(help, line);) {
        if (line.starts_with("Subcommands:")) {
            below = true;
        } else if (below && line.starts_with("  ") && line[2] != ' ') {
            std::istringstream words(line);
            std::string name;
            words >> name;
            names.push_back(name);
        }
    }
    return names;
}

// Long options as --help has them.
std::set<std::string> long_options(std::string const& help) {
    std::set<std::string> found;
    std::istringstream in(help);
    for (std::string line; std::getline(in, line);) {
        // Options of a group are indented further.
        if (!line.starts_with("  -") && !line.starts_with("    -")) continue;
        line = line.substr(0, line.find(" Excludes:"));
        for (std::size_t at = line.find("--"); at != std::string::npos && at < 30;
             at = line.find("--", at + 2))
            found.insert(line.substr(at, line.find_first_of(" ,=:", at) - at));
    }
    return found;
}

// What bash offers for a line that has been typed so far.
std::set<std::string> offered(ScratchFolder const& folder, std::string const& line) {
    std::istringstream in(line);
    std::string words, last;
    int count = 0;
    for (std::string word; in >> word; ++count) words += "'" + word + "' ";
    if (line.back() == ' ') words += "''", ++count;
    auto const run = run_shell(
        folder, "bash -c 'source ./done; COMP_WORDS=(" +
                    [&] {
                        std::string quoted = words;
                        for (std::size_t at = 0; (at = quoted.find('\'', at)) != std::string::npos; at += 4)
                            quoted.replace(at, 1, "'\\''");
                        return quoted;
                    }() +
                    "); COMP_CWORD=" + std::to_string(count - 1) +
                    "; _holdwater; printf \"%s\\n\" \"${COMPREPLY[@]}\"'");
    CHECK(run.err.empty());
    std::set<std::string> names;
    std::istringstream out(run.out);
    for (std::string name; std::getline(out, name);)
        if (!name.empty()) names.insert(name);
    return names;
}

}  // namespace

TEST_SUITE_BEGIN("tools/guide");

TEST_CASE("completion offers every command and every option that --help has, and nothing else") {
    ScratchFolder folder;
    auto const names = commands(folder);
    CHECK(names.size() >= 9);
    REQUIRE(run_holdwater(folder, "guide bash > done").exit_code == 0);
    auto expected = std::set<std::string>(names.begin(), names.end());
    expected.insert({"--help", "--version"});
    CHECK(offered(folder, "holdwater ") == expected);
    for (auto const& name : names) {
        CAPTURE(name);
        CHECK(offered(folder, "holdwater " + name + " --") ==
              long_options(run_holdwater(folder, name + " --help").out));
    }
}

TEST_CASE("completion offers choices, options of the scenario and file names") {
    ScratchFolder folder;
    REQUIRE(run_holdwater(folder, "guide bash > done").exit_code == 0);
    std::ofstream(folder / "a.toml")
        << "title = \"t\"\nname = \"no\"\n[[option]]\nname = \"more battery\"\n[[option]]\n"
           "name = \"less\"\n";
    using Names = std::set<std::string>;
    CHECK(offered(folder, "holdwater simulate a.toml --units ") == Names{"metric", "us"});
    CHECK(offered(folder, "holdwater simulate a.toml --units u") == Names{"us"});
    CHECK(offered(folder, "holdwater simulate a.toml --option ") == Names{"less", "more\\ battery"});
    CHECK(offered(folder, "holdwater simulate a.to") == Names{"a.toml"});
    CHECK(offered(folder, "holdwater simulate a.toml --weather a.") == Names{"a.toml"});
    CHECK(offered(folder, "holdwater simulate a.toml --days ").empty());
    CHECK(offered(folder, "holdwater guide ") == Names{"bash", "keys", "man"});
    CHECK(offered(folder, "holdwater sim") == Names{"simulate"});
}

TEST_CASE("the manual page names every command and option, and man finds nothing to complain of") {
    ScratchFolder folder;
    auto const page = run_holdwater(folder, "guide man");
    REQUIRE(page.exit_code == 0);
    for (auto const& name : commands(folder)) {
        CAPTURE(name);
        CHECK(page.out.find("\n.SS holdwater " + name) != std::string::npos);
        for (std::string option : long_options(run_holdwater(folder, name + " --help").out)) {
            for (std::size_t at = 0; (at = option.find('-', at)) != std::string::npos; at += 2)
                option.replace(at, 1, "\\-");
            CAPTURE(option);
            CHECK(page.out.find(option) != std::string::npos);
        }
    }
    if (run_shell(folder, "command -v groff").exit_code != 0) {
        MESSAGE("SKIPPED: no groff to set the manual page");
        return;
    }
    auto const set = run_shell(folder, "'" HOLDWATER_COMMAND "' guide man | groff -man -Tutf8 -ww -rLL=80n");
    CHECK(set.exit_code == 0);
    CHECK(set.err.empty());
}

TEST_CASE("every command's --help has an example, and --version its build facts") {
    ScratchFolder folder;
    for (auto const& name : commands(folder)) {
        CAPTURE(name);
        auto const help = run_holdwater(folder, name + " --help").out;
        CHECK(help.find("Example") != std::string::npos);
        CHECK(help.find("holdwater " + name) != std::string::npos);
        for (auto at = help.find("scenarios/"); at != std::string::npos;
             at = help.find("scenarios/", at + 1)) {
            auto const end = help.find_first_of(" '\"\n", at);
            auto const path = help.substr(at, end - at);
            if (!path.ends_with(".toml")) continue;
            CAPTURE(path);
            CHECK(std::filesystem::exists(HOLDWATER_SOURCE "/" + path));
        }
    }
    auto const version = run_holdwater(folder, "--version").out;
    CHECK(version.starts_with("holdwater "));
    for (std::string const fact : {"compiler", "build", "HDF5", "Eigen", "toml++", "UDUNITS-2"}) {
        CAPTURE(fact);
        CHECK(version.find(fact) != std::string::npos);
    }
    // A library CMake knows no version of would leave a gap.
    CHECK(version.find(" ,") == std::string::npos);
    CHECK(version.find("  \n") == std::string::npos);
}

TEST_SUITE_END();
