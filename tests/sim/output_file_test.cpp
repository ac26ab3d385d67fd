// What a command may write over: a file of its own kind, and nothing else. Every command with its file is in
// tests/tools/outputs_test.cpp; damaged tables of sweep are in sweep_store_test.cpp.
#include "sim/sweep/output_file.hpp"

#include <doctest/doctest.h>
#include <sys/stat.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <utility>
#include <vector>

#include "sim/files/table_file.hpp"
#include "tests/support/command.hpp"
#include "tests/support/message_of.hpp"

using namespace holdwater;
using namespace holdwater::sim;
using test::file_text, test::message_of, test::ScratchFolder;

namespace {

std::vector<OutputKind> const kinds{outputs::run,         outputs::cloudy_period, outputs::autonomy,
                                    outputs::sensitivity, outputs::compare,       outputs::years,
                                    outputs::years_rows,  outputs::size,          outputs::size_rows,
                                    outputs::sweep,       outputs::reliability,   outputs::replay,
                                    outputs::region,      outputs::region_map,    outputs::region_page,
                                    outputs::page,        outputs::desk,          outputs::made_weather};

std::string put(ScratchFolder const& folder, std::string const& name, std::string const& bytes) {
    std::ofstream(folder / name, std::ios::binary) << bytes;
    return (folder / name).string();
}

// An HDF5 file with a group, or with a dataset in a group: "years/year".
std::string put_hdf5(ScratchFolder const& folder, std::string const& name, std::string const& group) {
    auto const path = (folder / name).string();
    auto const slash = group.find('/');
    std::string const column = slash == std::string::npos ? "x" : group.substr(slash + 1);
    write_tables(path, {}, {}, {{group.substr(0, slash), {{column, "1", "of x", std::vector{1.0}}}}});
    return path;
}

std::string refusal(std::string const& path, OutputKind const& kind,
                    std::vector<std::string> const& read = {}) {
    return message_of<ResultFileError>([&] { check_output(path, kind, read); });
}
std::string const accepted = "was accepted";

std::string left_alone(std::string const& path, OutputKind const& kind) {
    return path + ": is there already and is not " + std::string(kind.words) +
           ", or cannot be looked into (damaged, or not enough memory); it is left alone, give another name "
           "or remove it first";
}

}  // namespace

TEST_SUITE_BEGIN("sim/output_file");

TEST_CASE("a new name, an empty file and no name at all are free to write") {
    ScratchFolder const folder;
    auto const empty = put(folder, "empty", "");
    for (auto const& kind : kinds) {
        CAPTURE(kind.words);
        CHECK(refusal("", kind) == accepted);
        CHECK(refusal((folder / "new").string(), kind) == accepted);
        CHECK(refusal(empty, kind) == accepted);
    }
}

TEST_CASE("a text file is written over by its own kind only") {
    ScratchFolder const folder;
    for (auto const& one : kinds) {
        if (one.holds.empty()) continue;
        std::string const bytes = std::string(one.begins) + "name,a" + std::string(one.holds) + "\r\n1,2\r\n";
        auto const path = put(folder, "out", bytes);
        for (auto const& other : kinds) {
            CAPTURE(one.words);
            CAPTURE(other.words);
            CHECK(refusal(path, other) == (one.words == other.words ? accepted : left_alone(path, other)));
        }
        CHECK(file_text(path) == bytes);
    }
}

TEST_CASE("an HDF5 file is written over by its own kind only") {
    ScratchFolder const folder;
    for (auto const& one : kinds) {
        if (one.group.empty()) continue;
        auto const path = put_hdf5(folder, "out.h5", std::string(one.group));
        auto const bytes = file_text(path);
        for (auto const& other : kinds) {
            CAPTURE(one.words);
            CAPTURE(other.words);
            CHECK(refusal(path, other) == (one.words == other.words ? accepted : left_alone(path, other)));
        }
        CHECK(file_text(path) == bytes);
    }
}

TEST_CASE("a damaged result, a scenario, and a table whose mark comes late are left alone") {
    ScratchFolder const folder;
    auto bytes = file_text(put_hdf5(folder, "a.h5", "series"));
    bytes[bytes.size() / 2] = static_cast<char>(bytes[bytes.size() / 2] ^ 1);
    auto const damaged = put(folder, "a.h5", bytes);
    CHECK(refusal(damaged, outputs::run) == left_alone(damaged, outputs::run));
    CHECK(file_text(damaged) == bytes);
    // Cut short: without its checksum line.
    auto const cut = put(folder, "a.h5", bytes.substr(0, bytes.size() / 2));
    CHECK(refusal(cut, outputs::run) == left_alone(cut, outputs::run));
    auto const scenario = put(folder, "well", "title = \"Well\"\n");
    for (auto const& kind : kinds) CHECK(refusal(scenario, kind) == left_alone(scenario, kind));
    // The mark of a table of years is looked for in the first 4,096 bytes.
    std::string const mark = ",shortest_run_s";
    for (auto const& [before, is_known] :
         std::vector<std::pair<std::size_t, bool>>{{4096 - mark.size(), true}, {4097 - mark.size(), false}}) {
        auto const table = put(folder, "table.csv", "year," + std::string(before - 5, 'x') + mark + "\r\n");
        CHECK(refusal(table, outputs::years) == (is_known ? accepted : left_alone(table, outputs::years)));
    }
}

TEST_CASE("a file that the command reads is never its output, under whatever name") {
    ScratchFolder const folder;
    auto const table = put(folder, "a.csv", "year,a,shortest_run_s\r\n");
    REQUIRE(refusal(table, outputs::years) == accepted);
    std::filesystem::create_symlink(table, folder / "link.csv");
    std::filesystem::create_hard_link(table, folder / "hard.csv");
    for (std::string const name : {"a.csv", "./a.csv", "link.csv", "hard.csv"}) {
        auto const path = folder.text() + "/" + name;
        std::string const says =
            path + ": is a file that this command reads; it is left alone, give another name";
        CHECK(refusal(path, outputs::years, {"", "missing.toml", table}) == says);
        CHECK(message_of<ResultFileError>([&] { check_output_is_not_read(path, {table}); }) == says);
    }
    auto const copy = put(folder, "copy.csv", file_text(table));
    CHECK(refusal(copy, outputs::years, {table}) == accepted);
    CHECK(refusal("", outputs::years, {table, ""}) == accepted);
}

TEST_CASE("a folder and a pipe are no outputs, and are refused without waiting") {
    ScratchFolder const folder;
    auto const pipe = (folder / "pipe").string();
    REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
    for (auto const& path : {folder.text(), pipe}) {
        auto const says = refusal(path, outputs::years);
        CAPTURE(says);
        CHECK(says.starts_with(path + ": "));
        CHECK(says != accepted);
        CHECK(says.find("is there already") == std::string::npos);
    }
}

TEST_CASE("a result that is HDF5 alone does not take the ending of a table or a page") {
    CHECK(message_of<ResultFileError>([] { check_ending("farm/out.csv", outputs::run); }) ==
          "farm/out.csv: a result of simulate is an HDF5 file and cannot be .csv; give a name that ends in "
          ".h5, such as farm/out.h5");
    for (auto const& kind : kinds) {
        bool const hdf5_only = !kind.group.empty() && kind.holds.empty();
        for (std::string const ending : {".csv", ".CSV", ".txt", ".json", ".html", ".toml", ".xlsx"}) {
            CAPTURE(kind.words);
            CAPTURE(ending);
            auto const says = message_of<ResultFileError>([&] { check_ending("out" + ending, kind); });
            CHECK((says == accepted) == !hdf5_only);
            CHECK((refusal("out" + ending, kind) == accepted) == !hdf5_only);
        }
        for (std::string const name : {"out.h5", "out.hdf5", "out", "out.csv.h5", "", "out.2026"})
            CHECK(message_of<ResultFileError>([&] { check_ending(name, kind); }) == accepted);
    }
}

TEST_SUITE_END();
