// The rooms of the source tree, read from the includes: no file includes one of a later room, no room grows
// too large, and no chain of includes inside a room gets too long.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <string>
#include <vector>

#include "tests/support/places.hpp"

namespace {

namespace fs = std::filesystem;

// From the lowest room up. A file may include files of its own room or of one before it.
std::vector<std::string> const rooms = {
    "models/numeric", "models/battery",  "models/electric",    "models/water",     "models/generator",
    "models/array",   "models/cost",     "weather/units",      "weather",          "scenarios/settings",
    "scenarios/text", "scenarios/parts", "scenarios/sections", "scenarios/design", "sim/base",
    "sim/inputs",     "sim/water",       "sim/supply",         "sim/year",         "sim/batch",
    "sim/files",      "sim/check",       "sim/autonomy",       "sim/verdict",      "sim/designs",
    "sim/sweep",      "sim/region",      "sim/replay",         "tools/show",       "tools/progress",
    "tools/answers",  "tools/start",     "tools/json",         "tools/report",     "tools/region",
    "tools/desk",     "tools/commands"};
// The engine does without the rooms that read scenario texts.
std::vector<std::string> const engine = {"sim/base",   "sim/inputs", "sim/water",
                                         "sim/supply", "sim/year",   "sim/batch"};
std::vector<std::string> const texts = {"scenarios/text", "scenarios/parts", "scenarios/sections",
                                        "scenarios/design"};

bool in(std::vector<std::string> const& list, std::string const& room) {
    return std::find(list.begin(), list.end(), room) != list.end();
}

std::string room_of(std::string const& file) { return fs::path(file).parent_path().generic_string(); }

/// The files of the project by path from the top folder, with the files of the project that each includes.
std::map<std::string, std::vector<std::string>> include_graph() {
    std::map<std::string, std::vector<std::string>> graph;
    fs::path const top = HOLDWATER_SOURCE;
    std::regex const include("^#include \"([^\"]+)\"");
    for (char const* folder : {"models", "weather", "scenarios", "sim", "tools"})
        for (auto const& entry : fs::recursive_directory_iterator(top / folder)) {
            auto const kind = entry.path().extension();
            if (kind != ".hpp" && kind != ".cpp") continue;
            auto& includes = graph[fs::relative(entry.path(), top).generic_string()];
            std::ifstream file(entry.path());
            std::smatch match;
            for (std::string line; std::getline(file, line);)
                if (std::regex_search(line, match, include)) includes.push_back(match[1]);
        }
    return graph;
}

using Graph = std::map<std::string, std::vector<std::string>>;

/// Files in the longest chain of includes that begins with `file` and stays in its room.
int levels(Graph const& graph, std::string const& file, std::map<std::string, int>& known) {
    if (auto const at = known.find(file); at != known.end()) return at->second;
    int most = 0;
    for (auto const& include : graph.at(file))
        if (graph.count(include) > 0 && room_of(include) == room_of(file))
            most = std::max(most, levels(graph, include, known));
    return known[file] = most + 1;
}

}  // namespace

TEST_SUITE_BEGIN("tools/rooms");

TEST_CASE("every file stands in a room and includes nothing of a later one") {
    auto const graph = include_graph();
    REQUIRE(graph.size() > 300);
    for (auto const& [file, includes] : graph) {
        CAPTURE(file);
        auto const own = std::find(rooms.begin(), rooms.end(), room_of(file));
        REQUIRE(own != rooms.end());
        for (auto const& include : includes) {
            if (graph.count(include) == 0) continue;  // written by the build
            CAPTURE(include);
            CHECK(std::find(rooms.begin(), rooms.end(), room_of(include)) <= own);
            if (in(engine, *own)) CHECK_FALSE(in(texts, room_of(include)));
        }
    }
}

TEST_CASE("no room is larger than 30 files, weather apart, and none has more than 6 levels of includes") {
    auto const graph = include_graph();
    std::map<std::string, int> files, known;
    for (auto const& [file, includes] : graph) {
        ++files[room_of(file)];
        CAPTURE(file);
        CHECK(levels(graph, file, known) <= 6);
    }
    for (auto const& [room, count] : files) {
        CAPTURE(room);
        if (room != "weather") CHECK(count <= 30);
    }
}

TEST_SUITE_END();
