#include "sim/files/seal.hpp"

#include <doctest/doctest.h>

#include <fstream>

#include "tests/support/command.hpp"

using namespace holdwater;

TEST_SUITE_BEGIN("sim/seal");

TEST_CASE("the seal is the file's CRC-32") {
    // The check value of CRC-32 as in IEEE 802.3 and zip, "123456789" gives cbf43926: from memory.
    CHECK(sim::sealed("123456789") == "123456789\nholdwater crc cbf43926\n");
}

TEST_CASE("a seal holds for the bytes it was made for and no others") {
    std::string const whole = sim::sealed("what was written");
    CHECK(sim::seal_holds(whole));
    for (std::size_t i = 0; i < whole.size(); ++i) {
        CAPTURE(i);
        std::string damaged = whole;
        damaged[i] = static_cast<char>(damaged[i] ^ 4);
        CHECK_FALSE(sim::seal_holds(damaged));
        CHECK_FALSE(sim::seal_holds(whole.substr(0, i)));
    }
    CHECK_FALSE(sim::seal_holds(whole + "\n"));
}

TEST_CASE("a file's seal is the one of its bytes, however many pieces it is read in") {
    test::ScratchFolder folder;
    auto const path = (folder / "f").string();
    for (std::size_t const size : {std::size_t{1}, std::size_t{65536}, std::size_t{200001}}) {
        auto const whole = sim::sealed(std::string(size, 'x'));
        std::ofstream(path, std::ios::binary | std::ios::trunc) << whole;
        CHECK(sim::file_seal_holds(path));
        for (std::size_t const at : {std::size_t{0}, size / 2, size, whole.size() - 1}) {
            auto damaged = whole;
            damaged[at] = static_cast<char>(damaged[at] ^ 1);
            std::ofstream(path, std::ios::binary | std::ios::trunc) << damaged;
            CHECK_FALSE(sim::file_seal_holds(path));
        }
    }
    CHECK_FALSE(sim::file_seal_holds((folder / "none").string()));
    CHECK_FALSE(sim::file_seal_holds(folder.text()));
    CHECK_FALSE(sim::file_seal_holds("/dev/zero"));
}

TEST_CASE("a checksum line is known whether it is right or wrong") {
    test::ScratchFolder folder;
    auto const path = (folder / "f").string();
    auto const ends = [&](std::string const& bytes) {
        std::ofstream(path, std::ios::binary | std::ios::trunc) << bytes;
        return sim::ends_with_seal(path);
    };
    auto const whole = sim::sealed("what was written");
    CHECK(ends(whole));
    CHECK(ends("something else" + whole));
    CHECK(ends(whole.substr(0, whole.size() - 2) + "0\n"));
    CHECK_FALSE(ends(whole + "\n"));
    CHECK_FALSE(ends(whole.substr(0, whole.size() - 1)));
    CHECK_FALSE(ends(whole.substr(0, whole.size() - 2) + "g\n"));
    CHECK_FALSE(ends("short"));
    CHECK_FALSE(ends(""));
    CHECK_FALSE(sim::ends_with_seal((folder / "none").string()));
}

TEST_SUITE_END();
