#pragma once

#include <fmt/format.h>

#include <map>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <string>
#include <vector>

#include "scenarios/design/scenario_weather.hpp"
#include "tools/desk/desk.hpp"

namespace holdwater::tools {

struct Desk::Answer {
    nlohmann::ordered_json answer;
    std::vector<std::string> warnings{};
};

struct Desk::Request {
    nlohmann::ordered_json json;

    template <typename T>
    [[nodiscard]] T get(char const* key, T otherwise) const {
        auto const at = json.find(key);
        if (at == json.end() || at->is_null()) return otherwise;
        try {
            return at->get<T>();
        } catch (nlohmann::json::exception const&) {
            throw std::invalid_argument(fmt::format("the request's '{}' has another type", key));
        }
    }
    [[nodiscard]] std::string text(char const* key) const { return get(key, std::string()); }
    [[nodiscard]] int count(char const* key, int otherwise, int low, int high) const {
        int const value = get(key, otherwise);
        if (value < low || value > high)
            throw std::invalid_argument(fmt::format("{} = {}: it is {} to {}", key, value, low, high));
        return value;
    }
    [[nodiscard]] std::string option() const { return text("option"); }
};

}  // namespace holdwater::tools
