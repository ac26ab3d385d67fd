#include "sim/files/seal.hpp"

#include <doctest/doctest.h>

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

TEST_SUITE_END();
