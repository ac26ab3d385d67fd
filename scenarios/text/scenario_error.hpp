#pragma once

#include <cstddef>
#include <stdexcept>
#include <string>
#include <vector>

namespace holdwater::scenarios {

/// A scenario or parts list that cannot be used. The text reads
/// "file:line: key 'tank.volume': what was wrong; what is accepted", with one line for each error.
class ScenarioError : public std::runtime_error {
  public:
    /// `line` counts from 1; 0 means the whole file. `key` may be empty.
    ScenarioError(std::string const& file, std::size_t line, std::string const& key, std::string const& what);
    /// One or more errors in one, in the order of their files and lines.
    explicit ScenarioError(std::vector<ScenarioError> errors);

    [[nodiscard]] std::string const& file() const { return file_; }
    /// What was wrong, with the key, but without file and line.
    [[nodiscard]] std::string const& rest() const { return rest_; }
    /// Only the first error, for a cell of a table.
    [[nodiscard]] std::string first() const;
    /// The same errors with words between the line and what was wrong.
    [[nodiscard]] ScenarioError within(std::string const& words) const;
    /// The same errors, but those of another file are reported at this file and line.
    [[nodiscard]] ScenarioError at(std::string const& file, std::size_t line) const;

  private:
    static std::vector<ScenarioError> const& in_order(std::vector<ScenarioError>& errors);

    std::string file_, rest_;
    std::size_t line_;
    std::vector<ScenarioError> all_;  // empty: only this one
};

/// Errors of a scenario whose reading continues after the first error.
class ErrorList {
  public:
    void add(ScenarioError const& error) { errors_.push_back(error); }
    [[nodiscard]] std::size_t size() const { return errors_.size(); }
    /// Throws all of them as one ScenarioError, if there are any.
    void throw_if_any() const {
        if (!errors_.empty()) throw ScenarioError(errors_);
    }

  private:
    std::vector<ScenarioError> errors_;
};

}  // namespace holdwater::scenarios
