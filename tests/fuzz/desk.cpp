#include "tools/desk/desk.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <sstream>
#include <stdexcept>
#include <string>

#include "tests/fuzz/targets.hpp"
#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

namespace {

using namespace holdwater;
using Json = nlohmann::ordered_json;

void must(bool holds, std::string const& what) {
    if (!holds) throw std::logic_error(what);
}

// A folder with what a page has open, in which requests name their files.
struct Folder {
    test::ScratchFolder scratch;
    std::string path(std::string const& name) const {
        constexpr std::array<std::string_view, 4> known{"site.toml", "made.toml", "weather.csv",
                                                        "parts.toml"};
        auto const file = std::filesystem::path(name).filename().string();
        return (scratch / (std::find(known.begin(), known.end(), file) != known.end() ? file : "absent.csv"))
            .string();
    }
    void paths_of(Json& names) const {
        if (names.is_string()) names = path(names.get<std::string>());
        if (names.is_array())
            for (auto& name : names)
                if (name.is_string()) name = path(name.get<std::string>());
    }
};

// The request with its files in the folder, and without what would take seconds: of most studies, which read
// nothing else, the year runs, three days of it; verdict and hours are of one made year.
std::string bounded(std::string const& line, Folder const& folder) {
    auto request = Json::parse(line, nullptr, false);
    if (!request.is_object()) return line;
    constexpr std::array<std::string_view, 7> long_calls{"autonomy", "cloudiness",  "site_periods", "compare",
                                                         "size",     "sensitivity", "report"};
    constexpr std::array<std::string_view, 4> of_years{"years", "verdict", "verdicts", "hours"};
    if (auto const call = request.find("call"); call != request.end() && call->is_string()) {
        auto const& name = call->get_ref<std::string const&>();
        if (std::find(of_years.begin(), of_years.end(), name) != of_years.end() &&
            (!request.contains("years") || request["years"].is_number()))
            request["years"] = 1;
        if (name == "cost" || std::find(long_calls.begin(), long_calls.end(), name) != long_calls.end())
            *call = "year";
        if (*call == "year" && (!request.contains("days") || request["days"].is_number())) {
            request["days"] = 3;
            request["age"] = 1;
        }
    }
    for (char const* key : {"path", "weather_path", "paths", "temperature"})
        if (request.contains(key)) folder.paths_of(request[key]);
    if (request.contains("answers") && request["answers"].is_object() &&
        request["answers"].contains("weather"))
        folder.paths_of(request["answers"]["weather"]);
    return request.dump(-1, ' ', true, Json::error_handler_t::replace);
}

Json answer_of(tools::Desk& desk, std::string const& request) {
    auto const answer = Json::parse(desk.call(request), nullptr, false);
    must(answer.is_object(), "the answer is no JSON object");
    bool const refused = answer.contains("error");
    must(refused ? answer.size() == 1 && answer["error"].is_string() &&
                       !answer["error"].get_ref<std::string const&>().empty()
                 : answer.size() == 2 && answer.contains("answer") && answer["warnings"].is_array(),
         "neither an answer with its remarks nor an error: " + answer.dump());
    must(!refused || answer["error"] != "internal error", "a fault that says nothing");
    return answer;
}

}  // namespace

// The calls that the page makes: a line a request, after one that opens a demo. Whatever they say, each gets
// one answer, a change that is refused leaves the scenario as it was, and the scenario at the end opens
// again.
void holdwater::fuzz::desk(std::string_view bytes) {
    static Folder const folder;
    static std::string const scenario = [] {
        auto text = test::file_text(HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml");
        std::string const file = "weather/saltbush-wells.csv";
        return text.replace(text.find(file), file.size(), "weather.csv");
    }();
    static std::string const weather =
        test::file_text(HOLDWATER_SOURCE "/scenarios/weather/saltbush-wells.csv");
    static std::string const parts = test::file_text(HOLDWATER_SOURCE "/scenarios/parts/batteries.toml");
    constexpr int most_calls = 12;

    tools::Desk desk;
    auto const put = [&](char const* name, std::string_view text) {
        must(desk.put_file(folder.path(name), text).empty(), "a file that cannot be put");
    };
    put("site.toml", scenario);
    put("weather.csv", weather);
    put("parts.toml", parts);
    auto const load = Json{{"call", "load_scenario"}, {"path", folder.path("site.toml")}}.dump();
    must(!answer_of(desk, load).contains("error"), "the demo does not open");
    auto text = scenario;
    std::istringstream lines{std::string(bytes)};
    int calls = 0;
    for (std::string line; std::getline(lines, line) && calls < most_calls; ++calls) {
        bool const refused = answer_of(desk, bounded(line, folder)).contains("error");
        auto const now = answer_of(desk, R"({"call": "save"})")["answer"].get<std::string>();
        must(!refused || now == text, "a refused request changes the scenario");
        text = now;
    }
    put("site.toml", text);
    auto const again = answer_of(desk, load);
    must(!again.contains("error"), "the scenario does not open again: " + again.dump());
}
