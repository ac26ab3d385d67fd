#pragma once

#include <string_view>
#include <vector>

/// Functions that take any bytes: from libFuzzer (libfuzzer.cpp, tests/fuzz/run) and, with the files in
/// seeds/NAME/, from an ordinary test (seeds_test.cpp). A target returns, or throws if the library did
/// something that it must not do.
namespace holdwater::fuzz {

void weather(std::string_view bytes);
void recorded_years(std::string_view bytes);
void site_log(std::string_view bytes);
void scenario(std::string_view bytes);
void quantity(std::string_view bytes);
void parts(std::string_view bytes);
void stored_run(std::string_view bytes);
void design(std::string_view bytes);
void stations(std::string_view bytes);
void desk(std::string_view bytes);

struct Target {
    std::string_view name;
    void (*run)(std::string_view bytes);
};
inline std::vector<Target> const& targets() {
    static std::vector<Target> const all{{"weather", weather},       {"recorded_years", recorded_years},
                                         {"site_log", site_log},     {"scenario", scenario},
                                         {"quantity", quantity},     {"parts", parts},
                                         {"stored_run", stored_run}, {"design", design},
                                         {"stations", stations},     {"desk", desk}};
    return all;
}

}  // namespace holdwater::fuzz
