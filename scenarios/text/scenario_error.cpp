#include "scenarios/text/scenario_error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>
#include <utility>

namespace holdwater::scenarios {
namespace {

std::string with_key(std::string const& key, std::string const& what) {
    return fmt::format("{}{}", key.empty() ? "" : fmt::format("key '{}': ", key), what);
}

std::string with_place(std::string const& file, std::size_t line, std::string const& rest) {
    return fmt::format("{}{}: {}", file, line == 0 ? "" : fmt::format(":{}", line), rest);
}

std::string one_a_line(std::vector<ScenarioError> const& errors) {
    std::string out;
    for (auto const& e : errors) out += (out.empty() ? "" : "\n") + std::string(e.what());
    return out;
}

}  // namespace

ScenarioError::ScenarioError(std::string const& file, std::size_t line, std::string const& key,
                             std::string const& what)
    : std::runtime_error(with_place(file, line, with_key(key, what))),
      file_(file),
      rest_(with_key(key, what)),
      line_(line) {}

std::vector<ScenarioError> const& ScenarioError::in_order(std::vector<ScenarioError>& errors) {
    std::stable_sort(errors.begin(), errors.end(), [](auto const& a, auto const& b) {
        return std::tie(a.file_, a.line_) < std::tie(b.file_, b.line_);
    });
    return errors;
}

ScenarioError::ScenarioError(std::vector<ScenarioError> errors)
    : std::runtime_error(one_a_line(in_order(errors))),
      file_(errors.front().file_),
      rest_(errors.front().rest_),
      line_(errors.front().line_),
      all_(std::move(errors)) {}

std::string ScenarioError::first() const { return with_place(file_, line_, rest_); }

ScenarioError ScenarioError::within(std::string const& words) const {
    if (all_.empty()) return {file_, line_, "", words + rest_};
    std::vector<ScenarioError> changed;
    for (auto const& e : all_) changed.push_back(e.within(words));
    return ScenarioError(std::move(changed));
}

ScenarioError ScenarioError::at(std::string const& file, std::size_t line) const {
    if (all_.empty()) return file_ == file ? *this : ScenarioError(file, line, "", rest_);
    std::vector<ScenarioError> changed;
    for (auto const& e : all_) changed.push_back(e.at(file, line));
    return ScenarioError(std::move(changed));
}

}  // namespace holdwater::scenarios
