#include "scenarios/text/toml_text.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "scenarios/design/design.hpp"
#include "scenarios/parts/parts.hpp"
#include "scenarios/text/scenario_error.hpp"

using namespace holdwater::scenarios;

namespace {

std::string refusal(std::string const& text) {
    try {
        (void)parse_toml(text, "f.toml");
    } catch (ScenarioError const& error) {
        return error.what();
    }
    return "was read";
}

std::string repeated(std::string const& piece, std::size_t times) {
    std::string out;
    for (std::size_t i = 0; i < times; ++i) out += piece;
    return out;
}

// A key of so many parts: a.a.a.
std::string deep(std::size_t parts, std::string const& part = "a") {
    return repeated(part + ".", parts - 1) + part;
}

std::string const too_deep = ": not a TOML file: tables lie within one another more than 32 deep";

}  // namespace

TEST_SUITE_BEGIN("scenarios/toml_text");

TEST_CASE("keys and brackets of 32 levels are read") {
    for (std::string const& text :
         {deep(32) + " = 1", "[" + deep(32) + "]\n", "x = {" + deep(32) + " = 1}",
          "x = " + repeated("[", 32) + repeated("]", 32), "x = [\n" + repeated("0.5, 1.5,\n", 5000) + "]",
          "x = \"" + deep(5000) + "\" # " + deep(5000),
          "x = '''\n" + deep(5000) + "'''\ny = '" + deep(500) + "'",
          "x = \"\"\"a\\\"" + deep(500) + "\"\"\"\"\"\n", "x = '" + repeated("[", 500) + "'"}) {
        CAPTURE(text.substr(0, 60));
        CHECK(refusal(text) == "was read");
    }
}

TEST_CASE("what lies deeper is refused with its line, and never reaches the parser's stack") {
    for (std::size_t const levels : {33U, 31093U, 200000U})
        for (std::string const& text :
             {deep(levels) + " = 1", "[" + deep(levels) + "]", "[[" + deep(levels) + "]]",
              "x = {y = 1, " + deep(levels) + " = 1}", deep(levels, "\"a\"") + " = 1",
              deep(levels, " 'a' ") + " = 1", "x = " + repeated("[", levels),
              "x = " + repeated("{y=", levels),
              // Right behind texts that end in quotes of their own.
              "x = {y = \"\"\"a\"\"\"\"\", " + deep(levels) + " = 1}",
              "x = {y = '''a'''', " + deep(levels) + " = 1}", "x = {y = \"\\\\\", " + deep(levels) + " = 1}",
              "x = {y = '\\', " + deep(levels) + " = 1}", "x = {y = \"\", " + deep(levels) + " = 1}"}) {
            CAPTURE(text.substr(0, 60));
            CAPTURE(levels);
            CHECK(refusal("# a line\n" + text + "\n") == "f.toml:2" + too_deep);
        }
}

TEST_CASE("the same in parts lists and changes of an option") {
    std::string const key = deep(31093);
    CHECK_THROWS_WITH_AS(read_parts_text(key + " = 1\n", "p.toml"), ("p.toml:1" + too_deep).c_str(),
                         ScenarioError);
    auto const file = read_design_text("title = \"T\"\n", "s.toml");
    DesignOption option;
    option.overrides.push_back({key, "1", 0});
    CHECK_THROWS_WITH_AS(option_design(file, option),
                         doctest::Contains("has 31093 parts; at most 32 are accepted"), ScenarioError);
    option.overrides = {{"title", repeated("[", 31093), 0}};
    CHECK_THROWS_AS(option_design(file, option), ScenarioError);
    CHECK(as_toml_value(repeated("[", 31093)).substr(1, 2) == "[[");  // no value: a text in quotes
}

TEST_CASE("a text that is no TOML and has a line of a megabyte is refused in words") {
    CHECK(refusal("x = " + std::string(1000000, 'a')).starts_with("f.toml:1: not a TOML file"));
    CHECK(refusal("x = [" + std::string(1000000, '1')).starts_with("f.toml:1: not a TOML file"));
}

TEST_CASE("control characters in texts and keys are refused, line breaks and tabs of texts are not") {
    CHECK(refusal("a = 1\ntitle = \"\\u001b[2J\"\n") ==
          "f.toml:2: not a TOML file: the control character U+001B stands in a text or key; take it out");
    for (std::string const text : {"\"a\\u0007\" = 1", "[x]\n\"\\u009b\" = 1", "x = [{y = \"\\u007f\"}]",
                                   "x = \"\\r\"", "x = \"\\u0000\"", "\"a\\nb\" = 1", "[[x]]\n[x.\"\\b\"]"}) {
        CAPTURE(text);
        CHECK(refusal(text).find("the control character U+00") != std::string::npos);
    }
    CHECK(refusal("x = \"\"\"\ntwo\n\tlines\"\"\"\r\ny = \"caf\u00e9 \u2026\"") == "was read");
    CHECK(refusal("x = \"\"\"\r\ntwo\r\nlines\"\"\"\r\n") == "was read");
}

TEST_SUITE_END();
