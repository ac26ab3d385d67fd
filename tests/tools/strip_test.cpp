#include <doctest/doctest.h>

#include <sstream>
#include <string>

#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

using namespace holdwater;
using test::run_shell, test::ScratchFolder;

namespace {

constexpr char const* settings = "LC_ALL=C.UTF-8 TERM=xterm ";

// On a terminal, which script (1) is.
std::string on_terminal(std::string const& settings_of, std::string const& arguments) {
    ScratchFolder folder;
    auto const run = run_shell(folder, settings_of + "script -qec \"'" + std::string(HOLDWATER_COMMAND) +
                                           "' " + arguments + "\" /dev/null < /dev/null");
    CHECK(run.exit_code == 0);
    return run.out;
}

std::string demo(std::string const& name) { return HOLDWATER_SOURCE "/scenarios/" + name + ".toml"; }

// The line that begins with this label, without it.
std::string line_of(std::string const& text, std::string const& label) {
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);)
        if (line.starts_with("  " + label + std::string(10 - label.size(), ' ')))
            return line.substr(12, line.find_last_not_of("\r") - 11);
    return "";
}

std::size_t characters(std::string const& utf8) {
    std::size_t n = 0;
    for (char const c : utf8) n += (static_cast<unsigned char>(c) & 0xC0U) != 0x80U ? 1U : 0U;
    return n;
}

}  // namespace

TEST_SUITE_BEGIN("tools/strip");

TEST_CASE("a terminal shows the year of the battery, hours short of water and hours on the backup") {
    std::string const dry = on_terminal(settings + std::string("NO_COLOR=1 "),
                                        "simulate --years 0 " + demo("saltbush-livestock"));
    CAPTURE(dry);
    // 365 days in columns of six, the 31st in the sixth column; the run is dry in 62 hours.
    auto const pictured = dry.substr(dry.find("  loads "));
    CHECK(characters(line_of(pictured, "battery")) == 61);
    CHECK(line_of(pictured, "battery").find("▇") != std::string::npos);
    CHECK(line_of(pictured, "shortage").find("░") != std::string::npos);
    CHECK(line_of(pictured, "backup").empty());  // it has none
    CHECK(line_of(pictured, "") == "J    F   M     A    M    J    J    A    S    O    N    D");
    CHECK(dry.find('\x1b') == std::string::npos);
    std::string const wet = on_terminal(
        settings, "simulate --years 0 " + demo("juniper-bend-household") + " --from 12-01 --days 31");
    auto const color = wet.substr(wet.find("  loads "));
    CHECK(color.find("\x1b[36m") != std::string::npos);
    CHECK(color.find("\n  shortage ") == std::string::npos);  // no hour short of water, no line
    CHECK(color.find("\n  backup ") != std::string::npos);
    CHECK(color.find("1 Dec                    31 Dec") != std::string::npos);
}

TEST_CASE("no picture in a pipe, with --plain, on a dumb terminal or without UTF-8") {
    std::string const run = "simulate --years 0 " + demo("saltbush-livestock") + " --days 20";
    ScratchFolder folder;
    auto const piped =
        run_shell(folder, settings + std::string("'") + HOLDWATER_COMMAND + "' " + run + " | cat").out;
    CHECK(piped.find("  loads ") != std::string::npos);
    CHECK(piped.find("█") == std::string::npos);
    CHECK(on_terminal(settings, run).find("█") != std::string::npos);
    CHECK(on_terminal(settings, run + " --plain").find("█") == std::string::npos);
    CHECK(on_terminal("LC_ALL=C.UTF-8 TERM=dumb ", run).find("█") == std::string::npos);
    CHECK(on_terminal("LC_ALL=C TERM=xterm ", run).find("█") == std::string::npos);
}

TEST_CASE("autonomy --period shows how long the water lasts from each day of the year") {
    std::string const out =
        on_terminal(settings + std::string("NO_COLOR=1 "),
                    "autonomy --period " + demo("saltbush-livestock") + " --days 2 --clearness 0.2");
    CAPTURE(out);
    CHECK(characters(line_of(out, "water for")) == 61);
    CHECK(out.find("full height is 2 days") != std::string::npos);
}

TEST_SUITE_END();
