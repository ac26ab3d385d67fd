#pragma once

#include <toml++/toml.h>

#include <array>
#include <cstddef>
#include <functional>
#include <initializer_list>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "scenarios/text/quantity.hpp"
#include "scenarios/text/scenario_error.hpp"

namespace holdwater::scenarios {

/// Closed range of what a key takes, in the unit it is read in.
struct Range {
    double low = 0, high = 0;
};

/// What a key stands at that limits nothing unless it is given.
inline constexpr double no_limit = std::numeric_limits<double>::infinity();

/// One table of a scenario file, read key by key. Every key that is read is remembered; `finish()` refuses
/// what nobody asked for and names the nearest key that exists. All errors are ScenarioErrors with file,
/// line and the dotted key.
///
/// Without a list of errors the first one is thrown. With a list a key that is missing or wrong is put there,
/// the reader gets its default or a value within its range and reads on; what it throws by itself then, for a
/// rule between keys, is dropped (`attempt`), since it may come from the value that stands in. Tables below
/// share the list.
class Section {
  public:
    Section(std::string file, std::string path, toml::table const& table, QuantityReader const& quantities,
            ErrorList* errors = nullptr);

    [[nodiscard]] bool has(std::string_view key);

    /// A quantity text such as "40 psi" in `unit` (any UDUNITS-2 unit); required, or with a default.
    double quantity(std::string_view key, std::string_view unit, Range range);
    double quantity(std::string_view key, std::string_view unit, Range range, double otherwise);

    /// A bare number: a count, a factor or a fraction (0.8; "80 %" is also taken).
    double number(std::string_view key, Range range);
    double number(std::string_view key, Range range, double otherwise);

    /// A count of days: a bare number or a time such as "5 days" or "1 week".
    double days(std::string_view key, Range range);
    /// A bare whole number: how many there are of something, or which one.
    int count(std::string_view key, int low, int high);
    int count(std::string_view key, int low, int high, int otherwise) {
        return has(key) ? count(key, low, high) : otherwise;
    }

    /// As many numbers, or quantities when `unit` is not empty, as `count` says (0: any, at least one).
    std::vector<double> list(std::string_view key, std::size_t count, std::string_view unit, Range range);

    /// A unit alone such as "gal": how many of `unit` one of it is.
    double unit(std::string_view key, std::string_view unit);

    /// true or false.
    bool flag(std::string_view key, bool otherwise);

    /// "21:30" as hours of the day, 0 to below 24.
    double clock_time(std::string_view key);
    double clock_time(std::string_view key, double otherwise) {
        return has(key) ? clock_time(key) : otherwise;
    }

    /// "01-14 06:00", month, day and local standard time, as hours since 00:00 on 1 January.
    double stamp(std::string_view key);

    std::string text(std::string_view key);
    std::string text(std::string_view key, std::string_view otherwise);

    /// One of the named values.
    template <class Enum, std::size_t N>
    Enum choice(std::string_view key, std::array<std::pair<std::string_view, Enum>, N> const& names) {
        return read_on(names[0].second, [&] {
            bool const asked_before = one_branch_read_;
            one_branch_read_ = true;  // until the choice is known: others would read other keys
            std::string const given = read_text(key);
            for (auto const& [name, value] : names)
                if (name == given) {
                    one_branch_read_ = asked_before;
                    return value;
                }
            std::string accepted;
            for (auto const& [name, value] : names)
                accepted += (accepted.empty() ? "" : ", ") + std::string(name);
            fail(key, "\"" + given + "\" is not a choice; accepted: " + accepted);
        });
    }
    template <class Enum, std::size_t N>
    Enum choice(std::string_view key, std::array<std::pair<std::string_view, Enum>, N> const& names,
                Enum otherwise) {
        return has(key) ? choice(key, names) : otherwise;
    }

    /// The names of this table's keys and tables.
    [[nodiscard]] std::vector<std::string> keys() const;
    /// What stands at a dotted key somewhere below this table, as typed ("45 W", "0.9"); an entry of an array
    /// of tables goes by its name or its number from 1. Nothing when there is no value.
    [[nodiscard]] std::optional<std::string> typed(std::string_view dotted) const;
    /// A list of two values as typed.
    std::pair<std::string, std::string> typed_pair(std::string_view key);

    /// A table below this one; required or optional. The caller reads it and calls its finish().
    Section table(std::string_view key);
    std::optional<Section> optional_table(std::string_view key);
    /// An array of tables ([[key]]); empty when absent.
    std::vector<Section> tables(std::string_view key);

    /// Runs `build` and turns a models::ParameterError into a ScenarioError at the key whose name the field
    /// starts with, or at this section where there is none.
    void checked(std::function<void()> const& build);

    /// Reads a part of the scenario; false when something in it is wrong. With a list of errors, what it
    /// throws is put there, unless it has an error there already or rests (`sound` false) on a part that has.
    bool attempt(bool sound, std::function<void()> const& read);

    /// Refuses keys nobody read. Call once, when all keys have been asked for.
    void finish() const;

    [[noreturn]] void fail(std::string_view key, std::string const& what) const;

  private:
    /// What `read` gives; when it throws and there is a list of errors, `instead`.
    template <class Value, class Read>
    Value read_on(Value instead, Read const& read) {
        if (errors_ == nullptr) return read();
        try {
            return read();
        } catch (ScenarioError const& error) {
            if (!stands_in_) errors_->add(error);
            return instead;
        }
    }
    void refuse_unknown(std::string_view key, toml::node const& node) const;
    std::string read_text(std::string_view key);
    toml::node const* find(std::string_view key);
    toml::node const& need(std::string_view key, bool as_table = false);
    double in_range(std::string_view key, double value, std::string_view unit, Range range) const;
    double read_number(std::string_view key, toml::node const& node) const;
    double read_quantity(std::string_view key, toml::node const& node, std::string_view unit) const;
    [[nodiscard]] std::string dotted(std::string_view key) const;

    std::string file_, path_;
    toml::table const* table_;
    QuantityReader const* quantities_;
    ErrorList* errors_;
    bool stands_in_ = false;        // for a table that is missing, which has been said
    bool sound_ = true;             // what is read now rests on nothing that is wrong
    bool one_branch_read_ = false;  // not all keys were asked for: an unknown one may be right
    std::vector<std::string> known_;
};

}  // namespace holdwater::scenarios
