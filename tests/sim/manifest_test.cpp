#include "sim/sweep/manifest.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <exception>
#include <filesystem>
#include <fstream>
#include <string>

#include "sim/files/text_hash.hpp"
#include "tests/support/command.hpp"
#include "tests/support/message_of.hpp"

using namespace holdwater;
using namespace holdwater::sim;
using test::file_text;

namespace {

SweepHead head_of_shard(std::size_t shard) {
    SweepHead head;
    head.inputs_hash = "4711";
    head.version = "1.0";
    head.shard = shard;
    head.shards = 3;
    return head;
}

void write(std::filesystem::path const& path, std::string const& text) { std::ofstream(path) << text; }

}  // namespace

TEST_SUITE_BEGIN("sim/manifest");

TEST_CASE("a manifest has one line for each finished file, with its rows, counted from 1, and its hash") {
    test::ScratchFolder const folder;
    auto const manifest = (folder / "done.csv").string(), one = (folder / "one.h5").string(),
               two = (folder / "two, with a comma.h5").string();
    write(one, "first");
    write(two, "second");
    note_done(manifest, one, head_of_shard(1), {0, 10});
    note_done(manifest, two, head_of_shard(2), {10, 20});
    auto const both = file_text(manifest);
    CHECK(both.starts_with("file,command,shard,first_row,end_row,inputs_hash,file_hash,version,host\r\n"));
    CHECK(both.find("\r\none.h5,sweep,1/3,1,10,4711," + file_hash(one) + ",1.0,") != std::string::npos);
    CHECK(both.find("\r\n\"two, with a comma.h5\",sweep,2/3,11,20,4711," + file_hash(two) + ",1.0,") !=
          std::string::npos);
    // The same again is no new line; the file with other bytes is.
    note_done(manifest, one, head_of_shard(1), {0, 10});
    CHECK(file_text(manifest) == both);
    check_done(manifest, one);
    check_done(manifest, two);
    write(one, "run again");
    CHECK(test::message_of([&] {
              check_done(manifest, one);
          }).find("one.h5: has other bytes than when it was finished, by the manifest") != std::string::npos);
    note_done(manifest, one, head_of_shard(1), {0, 10});
    check_done(manifest, one);  // the last line counts
    CHECK(std::count(both.begin(), both.end(), '\n') == 3);
}

TEST_CASE("a file that is in no manifest, and a manifest that is none, are refused") {
    test::ScratchFolder const folder;
    auto const manifest = (folder / "done.csv").string(), one = (folder / "one.h5").string(),
               other = (folder / "notes.csv").string();
    write(one, "first");
    write(other, "my own notes\n");
    CHECK(test::message_of([&] { check_done(manifest, one); }).find("one.h5: is not in the manifest ") !=
          std::string::npos);
    for (auto const& what : {test::message_of([&] {
                                 note_done(other, one, head_of_shard(1), {0, 10});
                             }),
                             test::message_of([&] { check_done(other, one); })})
        CHECK(what ==
              other + ": is there already and is not a manifest; it is left alone, give another name");
    CHECK(file_text(other) == "my own notes\n");
    auto const nowhere = (folder / "no-such-folder/done.csv").string();
    CHECK(test::message_of([&] {
              note_done(nowhere, one, head_of_shard(1), {0, 10});
          }) == nowhere + ": cannot be written (No such file or directory)");
    // All of this is known before the run whose file it is to list.
    CHECK(test::message_of([&] { check_manifest(nowhere); }) ==
          nowhere + ": cannot be written (No such file or directory)");
    CHECK(test::message_of([&] { check_manifest(other); }).find("is not a manifest") != std::string::npos);
    CHECK(test::message_of([&] { check_manifest(folder.text()); }) == folder.text() + ": is a folder");
    check_manifest(manifest);
    CHECK(!std::filesystem::exists(manifest));
}

TEST_SUITE_END();
