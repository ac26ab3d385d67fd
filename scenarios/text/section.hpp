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

/// Closed range of accepted values, in the unit in which the key is read.
struct Range {
    double low = 0, high = 0;
};

/// Value of a limit that is not given.
inline constexpr double no_limit = std::numeric_limits<double>::infinity();

/// One table of a scenario file, read key by key. It remembers every key that was read; `finish()` refuses
/// keys that were not read and names the nearest key that exists. All errors are ScenarioErrors with file,
/// line and the dotted key.
///
/// Without a list of errors the first error is thrown. With a list, an error for a missing or wrong key is
/// added to it; the reader gets the default or a value within the range and continues. If the reader then
/// throws an error for a rule between keys, that error is dropped (`attempt`), because the substitute value
/// may have caused it. Tables below this one share the list.
class Section {
  public:
    Section(std::string file, std::string path, toml::table const& table, ErrorList* errors = nullptr);

    [[nodiscard]] bool has(std::string_view key);

    /// A quantity text such as "40 psi" in `unit` (any unit, see quantity.hpp), required or with a default.
    double quantity(std::string_view key, std::string_view unit, Range range);
    double quantity(std::string_view key, std::string_view unit, Range range, double otherwise);

    /// A number without a unit: a count, a factor or a fraction (0.8; "80 %" is also accepted).
    double number(std::string_view key, Range range);
    double number(std::string_view key, Range range, double otherwise);

    /// A number of days: without a unit, or a time such as "5 days" or "1 week".
    double days(std::string_view key, Range range);
    /// A whole number without a unit: how many there are of something, or which one.
    int count(std::string_view key, int low, int high);
    int count(std::string_view key, int low, int high, int otherwise) {
        return has(key) ? count(key, low, high) : otherwise;
    }

    /// A list of `count` numbers (0: any number, at least one), or of quantities if `unit` is not empty.
    std::vector<double> list(std::string_view key, std::size_t count, std::string_view unit, Range range);

    /// A unit alone, such as "gal": its size in `unit`.
    double unit(std::string_view key, std::string_view unit);

    /// true or false.
    bool flag(std::string_view key, bool otherwise);

    /// "21:30" as hours of the day, 0 to below 24.
    double clock_time(std::string_view key);
    double clock_time(std::string_view key, double otherwise) {
        return has(key) ? clock_time(key) : otherwise;
    }

    /// "01-14 06:00" (month, day and local standard time) as hours since 00:00 on 1 January.
    double stamp(std::string_view key);

    std::string text(std::string_view key);
    std::string text(std::string_view key, std::string_view otherwise);

    /// A list of texts, at least one; a single text is taken as a list of it.
    std::vector<std::string> texts(std::string_view key);

    /// One of the named values.
    template <class Enum, std::size_t N>
    Enum choice(std::string_view key, std::array<std::pair<std::string_view, Enum>, N> const& names) {
        return read_on(names[0].second, [&] {
            bool const asked_before = one_branch_read_;
            one_branch_read_ = true;  // until the choice is known: other choices would read other keys
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

    /// The names of the keys and tables in this table.
    [[nodiscard]] std::vector<std::string> keys() const;
    /// The value of a dotted key below this table, as typed ("45 W", "0.9"). An entry of an array of tables
    /// is named by its name or its number from 1. Nothing if there is no value.
    [[nodiscard]] std::optional<std::string> typed(std::string_view dotted) const;
    /// A list of two values as typed.
    std::pair<std::string, std::string> typed_pair(std::string_view key);

    /// A table below this one, required or optional. The caller reads it and calls its finish().
    Section table(std::string_view key);
    std::optional<Section> optional_table(std::string_view key);
    /// An array of tables ([[key]]); empty if there is none.
    std::vector<Section> tables(std::string_view key);

    /// A text with quantities in SI units, in the units that this table is written in (unit_text.hpp).
    [[nodiscard]] std::string in_own_units(std::string const& text) const;

    /// Runs `build` and turns a models::ParameterError into a ScenarioError at the key with whose name the
    /// field begins, or at this section if there is none.
    void checked(std::function<void()> const& build);

    /// Reads a part of the scenario; false if something in it is wrong. With a list of errors, an error that
    /// it throws is added to the list, unless this part already has an error there, or it depends on a part
    /// that has (`sound` false).
    bool attempt(bool sound, std::function<void()> const& read);

    /// Refuses keys that were not read. Call it once, after all keys have been read.
    void finish() const;

    [[noreturn]] void fail(std::string_view key, std::string const& what) const;

  private:
    /// The result of `read`, or `instead` if it throws and there is a list of errors.
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
    double in_range(std::string_view key, toml::node const& node, double value, std::string_view unit,
                    Range range) const;
    double read_number(std::string_view key, toml::node const& node) const;
    double read_quantity(std::string_view key, toml::node const& node, std::string_view unit) const;
    [[nodiscard]] std::string dotted(std::string_view key) const;

    std::string file_, path_;
    toml::table const* table_;
    ErrorList* errors_;
    bool stands_in_ = false;        // replaces a missing table, for which there is an error already
    bool sound_ = true;             // what is read now depends on nothing that is wrong
    bool one_branch_read_ = false;  // not all keys were read, so an unknown key may be right
    std::vector<std::string> known_;
};

}  // namespace holdwater::scenarios
