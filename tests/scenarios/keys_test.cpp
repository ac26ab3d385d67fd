#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>
#include <string>
#include <string_view>

#include "tests/support/places.hpp"

namespace {

std::string text_of(std::filesystem::path const& path) {
    std::ifstream in(path);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

bool in_a_name(char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_'; }

// The first argument of every call that reads a key, where it is a literal: number("tilt", ...) or
// read_pair(s, "accepted_volts", ...).
std::set<std::string> keys_asked_for(std::string const& source) {
    constexpr std::array<std::string_view, 14> readers{
        "quantity", "number",     "text",        "choice", "days",      "flag",      "list",
        "has",      "clock_time", "read_window", "stamp",  "read_pair", "read_size", "texts"};
    std::set<std::string> keys;
    for (std::size_t quote = source.find('"'); quote != std::string::npos;
         quote = source.find('"', quote + 1)) {
        std::size_t open = quote;
        if (open >= 3 && source.compare(open - 3, 3, "s, ") == 0) open -= 3;
        if (open == 0 || source[open - 1] != '(') continue;
        std::size_t begin = open - 1;
        while (begin > 0 && in_a_name(source[begin - 1])) --begin;
        std::string_view const call(source.data() + begin, open - 1 - begin);
        if (std::find(readers.begin(), readers.end(), call) == readers.end()) continue;
        std::size_t const end = source.find('"', quote + 1);
        std::string const key = source.substr(quote + 1, end - quote - 1);
        if (!key.empty() && std::all_of(key.begin(), key.end(), in_a_name)) keys.insert(key);
    }
    return keys;
}

// As a word of its own, after a mark that begins a key in the list.
bool named(std::string const& list, std::string const& key) {
    for (std::size_t at = list.find(key); at != std::string::npos; at = list.find(key, at + 1)) {
        char const before = list[at - 1], after = list[at + key.size()];
        if ((before == '`' || before == '.' || before == '{' || before == ' ') && !in_a_name(after))
            return true;
    }
    return false;
}

}  // namespace

TEST_SUITE_BEGIN("scenarios/keys");

// The readers ask for every key by a literal name; each name must be in the list of scenarios/README.md.
TEST_CASE("scenarios/README.md names every key that is read") {
    std::string const page = text_of(HOLDWATER_SOURCE "/scenarios/README.md");
    std::string const list = page.substr(page.find("\n# Keys"));
    std::set<std::string> keys;
    for (auto const& entry : std::filesystem::recursive_directory_iterator(HOLDWATER_SOURCE "/scenarios"))
        if (entry.path().extension() == ".cpp") keys.merge(keys_asked_for(text_of(entry.path())));
    CHECK(keys.size() > 150);
    for (std::string const& key : keys) {
        CAPTURE(key);
        CHECK(named(list, key));
    }
}

TEST_SUITE_END();
