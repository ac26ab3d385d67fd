#include "sim/region/station_list.hpp"

#include <doctest/doctest.h>

#include <exception>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "tests/support/command.hpp"
#include "tests/support/message_of.hpp"

using namespace holdwater;

TEST_SUITE_BEGIN("sim/station_list");

TEST_CASE("a list of stations names files, folders and patterns from its own folder, each file once") {
    test::ScratchFolder const folder;
    std::filesystem::create_directory(folder / "west");
    for (std::string const name : {"a.csv", "west/b.csv", "west/c.csv"})
        std::ofstream(folder / name) << "time,ghi\n";
    std::ofstream(folder / "list.txt") << "# the west\n\n  west \r\na.csv\nwest/b.csv\n";
    std::vector<std::string> const all{(folder / "west/b.csv").string(), (folder / "west/c.csv").string(),
                                       (folder / "a.csv").string()};
    CHECK(sim::station_files({(folder / "list.txt").string()}) == all);
    // A file that is named beside the list is the same station; a pattern is looked up.
    CHECK(sim::station_files({(folder / "list.txt").string(), (folder / "a.csv").string()}) == all);
    CHECK(sim::station_files({(folder / "west/c*.csv").string()}) ==
          std::vector<std::string>{(folder / "west/c.csv").string()});
}

TEST_CASE("a list that names nothing, is not there or is too large is refused by its name") {
    test::ScratchFolder const folder;
    auto const said = [&](std::string const& name) {
        return test::message_of([&] { sim::station_files({(folder / name).string()}); });
    };
    std::ofstream(folder / "empty.txt") << "# nothing yet\n";
    CHECK(said("empty.txt")
              .find("empty.txt: names no weather file; one file, folder or pattern a line is "
                    "expected") != std::string::npos);
    CHECK(said("none.txt").find("; a list of weather files is expected") != std::string::npos);
    std::ofstream(folder / "large.txt") << std::string((1 << 20) + 1, '#');
    CHECK(said("large.txt").find("; a list of weather files is expected") != std::string::npos);
}

TEST_SUITE_END();
