#include <doctest/doctest.h>

#include <filesystem>
#include <string>

#include "tests/fuzz/targets.hpp"
#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;

TEST_SUITE_BEGIN("fuzz/seeds");

// Inputs that once caused a fault, and those from which the fuzzer starts.
TEST_CASE("the kept inputs of every fuzz target are no trouble") {
    for (auto const& target : fuzz::targets()) {
        int files = 0;
        for (auto const& entry : std::filesystem::directory_iterator(HOLDWATER_SOURCE "/tests/fuzz/seeds/" +
                                                                     std::string(target.name))) {
            std::string const path = entry.path().string();
            CAPTURE(path);
            CHECK_NOTHROW(target.run(test::file_text(entry.path())));
            ++files;
        }
        CAPTURE(target.name);
        CHECK(files > 0);
    }
}

TEST_SUITE_END();
