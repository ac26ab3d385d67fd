#include "sim/files/whole_file.hpp"

#include <doctest/doctest.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <filesystem>
#include <iterator>
#include <string>
#include <system_error>
#include <vector>

#include "sim/files/table_file.hpp"
#include "sim/sweep/manifest.hpp"
#include "sim/sweep/sweep_store.hpp"
#include "tests/support/command.hpp"
#include "tests/support/message_of.hpp"

// What is written to the disk, and in which order. This program replaces fsync and rename of the C library:
// its own functions note the call and then make the system call.

namespace {

std::vector<std::string> calls;
int fsync_error = 0;  // with which fsync fails; 0: it does not

std::string base_name(std::string const& path) { return std::filesystem::path(path).filename().string(); }

}  // namespace

extern "C" int fsync(int descriptor) {
    std::array<char, 4096> path{};
    auto const link = "/proc/self/fd/" + std::to_string(descriptor);
    auto const length = ::readlink(link.c_str(), path.data(), path.size());
    struct stat status {};
    ::fstat(descriptor, &status);
    calls.push_back("fsync " + base_name({path.data(), static_cast<std::size_t>(length > 0 ? length : 0)}) +
                    (S_ISDIR(status.st_mode) ? "/" : " " + std::to_string(status.st_size)));
    errno = fsync_error;
    return fsync_error != 0 ? -1 : static_cast<int>(::syscall(SYS_fsync, descriptor));
}

extern "C" int rename(char const* from, char const* to) noexcept {
    calls.push_back("rename " + base_name(from) + " " + base_name(to));
    return static_cast<int>(::syscall(SYS_renameat2, AT_FDCWD, from, AT_FDCWD, to, 0));
}

using namespace holdwater;
using test::file_text, test::ScratchFolder;

TEST_SUITE_BEGIN("sim/whole_file");

TEST_CASE("a file has its name only when all its bytes are on the disk; then its folder follows") {
    ScratchFolder folder;
    auto const here = base_name(folder.text());
    calls.clear();
    sim::write_whole_file((folder / "a.csv").string(), "twelve bytes", ", and more");
    CHECK(file_text(folder / "a.csv") == "twelve bytes, and more");
    auto const temporary = "a.csv." + std::to_string(::getpid()) + ".0.tmp";
    CHECK(calls == std::vector<std::string>{"fsync " + temporary + " 22", "rename " + temporary + " a.csv",
                                            "fsync " + here + "/"});
    // Result tables are written in the same way.
    calls.clear();
    sim::write_tables((folder / "t.h5").string(), {}, {}, {{"x", {{"y", "1", "of y", std::vector{1.0}}}}});
    REQUIRE(calls.size() == 3);
    CHECK(calls[0].starts_with("fsync t.h5."));
    CHECK(calls[0].ends_with(" " + std::to_string(file_text(folder / "t.h5").size())));
    CHECK(calls[1].starts_with("rename t.h5."));
    CHECK(calls[2] == "fsync " + here + "/");
}

// A disk that fails says so only when the file is brought to it.
TEST_CASE("if a file cannot be brought to the disk, the earlier one stays and nothing is renamed") {
    ScratchFolder folder;
    auto const path = (folder / "a.csv").string();
    sim::write_whole_file(path, "earlier");
    calls.clear();
    for (int const error : {EIO, ENOSPC}) {
        fsync_error = error;
        auto const said = test::message_of([&] { sim::write_whole_file(path, "later"); });
        fsync_error = 0;
        CHECK(said == path + ": cannot be written (" + std::generic_category().message(error) + ")");
        CHECK(file_text(path) == "earlier");
        CHECK(std::distance(std::filesystem::directory_iterator(folder.text()), {}) == 1);  // no temporary
    }
    CHECK(calls.size() == 2);
    for (auto const& call : calls) CHECK(call.starts_with("fsync a.csv."));
    // A file system that has no fsync is no error.
    fsync_error = EINVAL;
    sim::write_whole_file(path, "later");
    fsync_error = 0;
    CHECK(file_text(path) == "later");
}

TEST_CASE("a line of a manifest is on the disk before the next run begins, and a new one's folder too") {
    ScratchFolder folder;
    auto const manifest = (folder / "done.csv").string(), one = (folder / "one.h5").string(),
               two = (folder / "two.h5").string();
    sim::write_whole_file(one, "1");
    sim::write_whole_file(two, "2");
    sim::SweepHead const head;
    auto const on_disk = [&] { return "fsync done.csv " + std::to_string(file_text(manifest).size()); };
    calls.clear();
    sim::note_done(manifest, one, head, {0, 10});
    CHECK(calls == std::vector<std::string>{on_disk(), "fsync " + base_name(folder.text()) + "/"});
    auto const before = file_text(manifest);
    calls.clear();
    fsync_error = EIO;
    CHECK_THROWS_AS(sim::note_done(manifest, two, head, {10, 20}), sim::ResultFileError);
    fsync_error = 0;
    CHECK(file_text(manifest) == before);
    calls.clear();
    sim::note_done(manifest, two, head, {10, 20});
    CHECK(calls == std::vector<std::string>{on_disk()});
    sim::check_done(manifest, two);
}

TEST_CASE("a file that is written in pieces and not closed leaves nothing") {
    ScratchFolder folder;
    {
        sim::WholeFile file((folder / "a.csv").string());
        file.write("one");
        CHECK(!std::filesystem::exists(folder / "a.csv"));
    }
    CHECK(std::filesystem::is_empty(folder / "."));
    sim::WholeFile file((folder / "a.csv").string());
    file.write("one");
    file.write(", two");
    file.close();
    CHECK(file_text(folder / "a.csv") == "one, two");
}

TEST_CASE("a file that cannot get its name is removed") {
    ScratchFolder folder;
    std::filesystem::create_directory(folder / "taken");
    std::filesystem::create_directory(folder / "taken/full");
    auto const from = (folder / "from").string();
    sim::write_whole_file(from, "x");
    CHECK_THROWS_AS(sim::rename_whole_file(from, (folder / "taken").string()), sim::ResultFileError);
    CHECK(!std::filesystem::exists(from));
}

TEST_CASE("a finished sweep is on the disk before its pieces are removed") {
    ScratchFolder folder;
    sim::SweepHead head;
    head.spec = {sim::SweepMethod::grid, {"battery.capacity=3 kWh,4 kWh"}, 0, 0};
    head.inputs_hash = "0";
    head.version = "test";
    head.figures = {{"square", "1", "of the capacity"}};
    auto const out = (folder / "s.h5").string();
    sim::SweepStore store(out, head, {0, 2}, false);
    sim::SweepBlock block;
    block.width = 1;
    block.settings = {{"3 kWh"}, {"4 kWh"}};
    block.figures = {9, 16};
    block.problems = {"", ""};
    calls.clear();
    store.take(block);
    auto const assembled = store.assemble();
    CHECK(std::filesystem::exists(out + ".part.0000000"));
    store.commit();
    CHECK(!std::filesystem::exists(out + ".part.0000000"));
    // The part and the whole file are each written like every file; then the whole file gets its name.
    REQUIRE(calls.size() == 8);
    for (std::size_t const first : {0U, 3U}) {
        CHECK(calls[first].starts_with("fsync s.h5."));
        CHECK(calls[first + 1].starts_with("rename s.h5."));
        CHECK(calls[first + 2] == "fsync " + base_name(folder.text()) + "/");
    }
    CHECK(calls[6] == "rename " + base_name(assembled) + " s.h5");
    CHECK(calls[7] == "fsync " + base_name(folder.text()) + "/");
}

TEST_CASE("a file that is reached by links is written where they lead, and the links stay") {
    ScratchFolder folder;
    auto const real = folder / "real.csv", link = folder / "link.csv", second = folder / "second.csv";
    std::filesystem::create_symlink("real.csv", link);
    std::filesystem::create_symlink(link, second);
    CHECK(sim::write_target(second) == real);
    sim::write_whole_file(second, "a,b\n");
    CHECK(file_text(real) == "a,b\n");
    CHECK(std::filesystem::is_symlink(second));
    CHECK(std::filesystem::is_symlink(link));
}

TEST_SUITE_END();
