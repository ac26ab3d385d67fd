#include "weather/read_file_text.hpp"

#include <doctest/doctest.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <thread>

#include "tests/support/command.hpp"

using namespace holdwater;
using weather::FileTextError, weather::read_file_text;

namespace {

std::string refusal(std::string const& path, weather::FileTextLimits limits) {
    try {
        (void)read_file_text(path, limits);
    } catch (FileTextError const& error) {
        return error.what();
    }
    return "was read";
}

double seconds_of(std::chrono::steady_clock::time_point began) {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();
}

}  // namespace

TEST_SUITE_BEGIN("weather/read_file_text");

TEST_CASE("a file is read to its last byte, up to the limit") {
    test::ScratchFolder folder;
    std::string const text = std::string(100000, 'a') + '\0' + "end";
    std::ofstream(folder / "a", std::ios::binary) << text;
    CHECK(read_file_text((folder / "a").string(), {text.size()}) == text);
    CHECK(refusal((folder / "a").string(), {text.size() - 1}) ==
          "is larger than 97 KiB, the most that is accepted");
    CHECK(refusal((folder / "none").string(), {10}) == "cannot be opened: No such file or directory");
    CHECK(refusal(folder.text(), {10}) == "is a folder");
    CHECK(read_file_text("/dev/null", {10}).empty());
    // Files of the system have no size, but they end.
    CHECK(!read_file_text("/proc/self/status", {100000}).empty());
}

TEST_CASE("a file of a terabyte is refused before it is read") {
    test::ScratchFolder folder;
    auto const path = (folder / "large").string();
    std::ofstream(path) << "x";
    std::filesystem::resize_file(path, std::uintmax_t{1} << 40);
    auto const began = std::chrono::steady_clock::now();
    CHECK(refusal(path, {std::size_t{1} << 20}) == "is larger than 1 MiB, the most that is accepted");
    CHECK(seconds_of(began) < 1);
}

TEST_CASE("devices and pipes: what ends is read, what does not is refused") {
    test::ScratchFolder folder;
    auto const began = std::chrono::steady_clock::now();
    CHECK(refusal("/dev/zero", {std::size_t{1} << 20}) ==
          "is a pipe or device that gives more than 1 MiB, the most that is accepted; give an ordinary file");
    auto const fifo = (folder / "fifo").string();
    REQUIRE(::mkfifo(fifo.c_str(), 0600) == 0);
    CHECK(refusal(fifo, {1000, 100, 1000}) ==
          "is a pipe or device that gave nothing for 0.1 s; give an ordinary file");
    CHECK(seconds_of(began) < 5);

    // Another process writes it, late and piece by piece, and closes it.
    std::thread writer([&] {
        std::this_thread::sleep_for(std::chrono::milliseconds(100));
        int const out = ::open(fifo.c_str(), O_WRONLY);
        for (char const* piece : {"one ", "two ", "three"}) {
            std::this_thread::sleep_for(std::chrono::milliseconds(50));
            REQUIRE(::write(out, piece, std::string(piece).size()) > 0);
        }
        ::close(out);
    });
    CHECK(read_file_text(fifo, {1000}) == "one two three");
    writer.join();

    // Held open without a byte, and byte after byte without an end.
    int const held = ::open(fifo.c_str(), O_RDWR);
    CHECK(refusal(fifo, {1000, 100, 1000}).find("gave nothing for 0.1 s") != std::string::npos);
    std::thread dripping([&] {
        for (int i = 0; i < 30; ++i) {
            std::this_thread::sleep_for(std::chrono::milliseconds(30));
            REQUIRE(::write(held, "x", 1) == 1);
        }
    });
    CHECK(refusal(fifo, {1000, 100, 400}).find("did not end within 0.4 s") != std::string::npos);
    dripping.join();
    ::close(held);
}

TEST_SUITE_END();
