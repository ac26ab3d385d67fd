#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <regex>
#include <set>
#include <sstream>
#include <string>

namespace {

std::string text_of(std::filesystem::path const& path) {
    std::ifstream in(path);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

}  // namespace

TEST_SUITE_BEGIN("scenarios/keys");

// The readers ask for every key by a literal name; each must stand in the list of scenarios/README.md.
TEST_CASE("scenarios/README.md names every key that is read") {
    std::string const page = text_of(HOLDWATER_SOURCE "/scenarios/README.md");
    std::string const list = page.substr(page.find("\n# Keys"));
    std::regex const asked(
        R"re(\b(?:quantity|number|text|choice|flag|list|clock_time|stamp|read_pair|read_window|read_size|has)\((?:s, )?"([a-z0-9_]+)")re");
    std::set<std::string> keys;
    for (auto const& entry : std::filesystem::directory_iterator(HOLDWATER_SOURCE "/scenarios")) {
        if (entry.path().extension() != ".cpp") continue;
        std::string const source = text_of(entry.path());
        for (std::sregex_iterator m(source.begin(), source.end(), asked), end; m != end; ++m)
            keys.insert((*m)[1].str());
    }
    CHECK(keys.size() > 150);
    for (std::string const& key : keys) {
        CAPTURE(key);
        bool const named = std::regex_search(list, std::regex("[`.{ ]" + key + "\\b"));
        CHECK(named);
    }
}

TEST_SUITE_END();
