#include "scenarios/text/section.hpp"

#include <date/date.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <sstream>
#include <stdexcept>
#include <utility>

#include "models/numeric/parameter_error.hpp"
#include "scenarios/settings/field_words.hpp"
#include "scenarios/settings/unit_text.hpp"
#include "scenarios/text/edit_distance.hpp"
#include "scenarios/text/key_list.hpp"
#include "scenarios/text/toml_text.hpp"

namespace holdwater::scenarios {
namespace {

std::string as_typed(toml::node const& node) {
    if (auto const text = node.value_exact<std::string>()) return *text;
    if (auto const number = node.value_exact<double>()) return fmt::format("{}", *number);
    std::ostringstream out;
    node.visit([&](auto const& n) { out << n; });
    return out.str();
}

// A limit to four digits, rounded so that it is still within.
std::string four_digits(double limit, bool low) {
    if (limit != 0 && std::isfinite(limit)) {
        double const scale = std::pow(10.0, 3 - std::floor(std::log10(std::abs(limit))));
        constexpr double slack = 1e-9;  // conversions round
        limit = (low ? std::ceil(limit * scale - slack) : std::floor(limit * scale + slack)) / scale;
    }
    return std::abs(limit) < 1e6 ? fmt::format("{:.6g}", limit) : fmt::format("{:.0f}", limit);
}

// A value with which the reader can continue.
double stand_in(Range range) {
    return range.low <= range.high ? std::clamp(1.0, range.low, range.high) : range.low;
}

// At most two letters differ (one in a short name), or the same letters are in another order.
bool is_slip(std::string_view typed, std::string_view meant) {
    auto const sorted = [](std::string_view text) {
        std::string letters(text);
        std::sort(letters.begin(), letters.end());
        return letters;
    };
    return edit_distance(typed, meant) <= (meant.size() < 6 ? 1 : 2) || sorted(typed) == sorted(meant);
}

// Entry of an array of tables by name or number.
toml::node const* entry(toml::array const& list, std::string_view which) {
    for (std::size_t i = 0; i < list.size(); ++i) {
        auto const* const table = list[i].as_table();
        if (table == nullptr) continue;
        if ((*table)["name"].value<std::string_view>() == which || std::to_string(i + 1) == which)
            return table;
    }
    return nullptr;
}

}  // namespace

Section::Section(std::string file, std::string path, toml::table const& table, ErrorList* errors)
    : file_(std::move(file)), path_(std::move(path)), table_(&table), errors_(errors) {}

std::string Section::dotted(std::string_view key) const {
    if (key.empty()) return path_;
    return path_.empty() ? std::string(key) : path_ + "." + std::string(key);
}

void Section::fail(std::string_view key, std::string const& what) const {
    toml::node const* const node = key.empty() ? nullptr : table_->get(key);
    auto const& place = (node != nullptr ? *node : *table_).source();
    // A node from another file (a parts list) knows its file; one from the command line has no line.
    throw ScenarioError(place.path ? *place.path : file_, place.path ? place.begin.line : 0, dotted(key),
                        what);
}

toml::node const* Section::find(std::string_view key) {
    if (std::find(known_.begin(), known_.end(), key) == known_.end()) known_.emplace_back(key);
    return table_->get(key);
}

toml::node const& Section::need(std::string_view key, bool as_table) {
    toml::node const* const node = find(key);
    if (node != nullptr) return *node;
    std::string const missing = as_table ? fmt::format("the table [{}] is missing", dotted(key))
                                : path_.empty()
                                    ? fmt::format("the key '{}' is missing", key)
                                    : fmt::format("the key '{}' is missing in the table [{}]", key, path_);
    for (auto const& [name, other] : *table_) {
        bool const read = std::find(known_.begin(), known_.end(), name.str()) != known_.end();
        bool const table = other.is_table() || other.is_array_of_tables();
        if (read || table != as_table || !is_slip(name.str(), key)) continue;
        known_.emplace_back(name.str());  // reported here, so not again by finish()
        fail(name.str(), table ? fmt::format("no such table, and {}: is [{}] meant?", missing, dotted(key))
                               : fmt::format("no such key, and {}: is '{}' meant?", missing, key));
    }
    auto const hint = as_table ? std::string() : key_hint(dotted(key));
    fail("", hint.empty() ? missing : fmt::format("{} ({})", missing, hint));
}

bool Section::has(std::string_view key) { return find(key) != nullptr; }

double Section::in_range(std::string_view key, toml::node const& node, double value, std::string_view unit,
                         Range range) const {
    if (value >= range.low && value <= range.high) return value;
    auto const typed = node.value_exact<std::string>();
    if (typed) {
        // A limit itself, which the conversion to SI units has rounded: "20000 L" becomes 20.000000000000004
        // m3. Temperatures are converted by way of the kelvin.
        double const nearest = std::clamp(value, range.low, range.high),
                     size = std::abs(nearest) + (unit == "degC" ? 273.15 : 0);
        if (std::abs(value - nearest) <= 1e-14 * size) return nearest;
    }
    std::string const typed_unit = typed ? split_quantity(*typed).unit : "";
    if (!typed || typed_unit == unit || typed_unit.empty()) {
        std::string const suffix = unit.empty() || unit == "1" ? "" : " " + std::string(unit);
        fail(key, fmt::format("{:.6g}{} is out of range; accepted: {:.6g} to {:.6g}{}", value, suffix,
                              range.low, range.high, suffix));
    }
    // The limits in the unit that was typed.
    std::string_view const si = unit == "days" ? "day" : unit.empty() ? "1" : unit;
    double const zero = scenarios::read_quantity("0 " + typed_unit, si);
    double const one = scenarios::read_quantity("1 " + typed_unit, si) - zero;
    fail(key, fmt::format("\"{}\" is out of range; accepted: {} to {} {}", *typed,
                          four_digits((range.low - zero) / one, true),
                          four_digits((range.high - zero) / one, false), typed_unit));
}

double Section::read_number(std::string_view key, toml::node const& node) const {
    if (auto const value = node.value<double>(); value && node.is_number()) {
        if (!std::isfinite(*value)) fail(key, "must be a finite number");
        return *value;
    }
    if (node.is_string()) return read_quantity(key, node, "1");
    fail(key, "must be a number, without quotes, such as 0.8 (or a percentage such as \"80 %\")");
}

double Section::read_quantity(std::string_view key, toml::node const& node, std::string_view unit) const {
    auto const given = node.value<std::string>();
    if (!given || !node.is_string()) {
        // A number without a unit: the quantity reader says what was expected.
        auto const bare = node.value<double>();
        try {
            (void)scenarios::read_quantity(bare ? fmt::format("{:g}", *bare) : "", unit);
        } catch (QuantityError const& error) {
            fail(key, bare ? error.what() : "must be a quantity with its unit, in quotes");
        }
    }
    try {
        return scenarios::read_quantity(*given, unit);
    } catch (QuantityError const& error) {
        fail(key, error.what());
    }
}

double Section::quantity(std::string_view key, std::string_view unit, Range range) {
    return read_on(stand_in(range), [&] {
        auto const& node = need(key);
        return in_range(key, node, read_quantity(key, node, unit), unit, range);
    });
}

double Section::quantity(std::string_view key, std::string_view unit, Range range, double otherwise) {
    if (!has(key)) return otherwise;
    return read_on(otherwise, [&] {
        auto const& node = need(key);
        return in_range(key, node, read_quantity(key, node, unit), unit, range);
    });
}

double Section::number(std::string_view key, Range range) {
    return read_on(stand_in(range), [&] {
        auto const& node = need(key);
        return in_range(key, node, read_number(key, node), "", range);
    });
}

double Section::number(std::string_view key, Range range, double otherwise) {
    if (!has(key)) return otherwise;
    return read_on(otherwise, [&] {
        auto const& node = need(key);
        return in_range(key, node, read_number(key, node), "", range);
    });
}

double Section::days(std::string_view key, Range range) {
    return read_on(stand_in(range), [&] {
        toml::node const& node = need(key);
        if (node.is_string()) return in_range(key, node, read_quantity(key, node, "day"), "days", range);
        return in_range(key, node, read_number(key, node), "", range);
    });
}

int Section::count(std::string_view key, int low, int high) {
    Range const range{static_cast<double>(low), static_cast<double>(high)};
    return read_on(static_cast<int>(stand_in(range)), [&] {
        auto const& node = need(key);
        double const value =
            node.is_string() ? std::numeric_limits<double>::quiet_NaN() : read_number(key, node);
        if (value != std::floor(value))  // also for a text, whose value is NaN
            fail(key, fmt::format("must be a whole number from {} to {}, without quotes, not {}", low, high,
                                  as_typed(node)));
        return static_cast<int>(in_range(key, node, value, "", range));
    });
}

std::vector<double> Section::list(std::string_view key, std::size_t count, std::string_view unit,
                                  Range range) {
    // A wrong list of any length becomes empty; lists that must have the same length then accept any length.
    return read_on(std::vector(count, stand_in(range)), [&] {
        toml::array const* const array = need(key).as_array();
        if (array == nullptr || array->empty() || (count != 0 && array->size() != count))
            fail(key, count == 0 ? "must be a list such as [1, 2]"
                                 : fmt::format("must be a list of {} values, not {}", count,
                                               array == nullptr ? std::string("a single value")
                                                                : std::to_string(array->size())));
        std::vector<double> values;
        for (auto const& node : *array)
            values.push_back(in_range(
                key, node,
                unit.empty() || unit == "1" ? read_number(key, node) : read_quantity(key, node, unit), unit,
                range));
        return values;
    });
}

std::vector<std::string> Section::keys() const {
    std::vector<std::string> names;
    for (auto const& [name, node] : *table_) names.emplace_back(name.str());
    return names;
}

std::optional<std::string> Section::typed(std::string_view dotted) const {
    toml::node const* node = table_;
    while (node != nullptr && !dotted.empty()) {
        auto const dot = dotted.find('.');
        auto const part = dotted.substr(0, dot);
        dotted = dot == std::string_view::npos ? std::string_view{} : dotted.substr(dot + 1);
        if (auto const* table = node->as_table())
            node = table->get(part);
        else if (auto const* list = node->as_array())
            node = entry(*list, part);
        else
            return std::nullopt;
    }
    if (node == nullptr || node->is_table() || node->is_array_of_tables()) return std::nullopt;
    return as_typed(*node);
}

std::pair<std::string, std::string> Section::typed_pair(std::string_view key) {
    return read_on(std::pair<std::string, std::string>{}, [&] {
        toml::array const* const array = need(key).as_array();
        if (array == nullptr || array->size() != 2 || (*array)[0].is_table() || (*array)[0].is_array())
            fail(key, "must be a list of two values such as [\"20 W\", \"60 W\"]");
        return std::pair{as_typed((*array)[0]), as_typed((*array)[1])};
    });
}

double Section::unit(std::string_view key, std::string_view unit) {
    std::string const given = text(key);
    try {
        return scenarios::read_quantity("1 " + given, unit);
    } catch (QuantityError const& error) {
        fail(key, fmt::format("\"{}\" is not a unit to be taken here ({})", given, error.what()));
    }
}

bool Section::flag(std::string_view key, bool otherwise) {
    if (!has(key)) return otherwise;
    return read_on(otherwise, [&] {
        auto const value = need(key).value<bool>();
        if (!value || !need(key).is_boolean()) fail(key, "must be true or false, without quotes");
        return *value;
    });
}

double Section::clock_time(std::string_view key) {
    return read_on(0.0, [&] {
        std::string const given = read_text(key);
        unsigned hour = 0, minute = 0;
        int end = 0;
        bool const read = std::sscanf(given.c_str(), "%2u:%2u%n", &hour, &minute, &end) == 2 &&
                          static_cast<std::size_t>(end) == given.size() && hour < 24 && minute < 60;
        if (!read) fail(key, "must be a time of day such as \"21:30\"");
        return hour + minute / 60.0;
    });
}

double Section::stamp(std::string_view key) {
    return read_on(0.0, [&] {
        std::string const given = read_text(key);
        unsigned month = 0, day = 0, hour = 0, minute = 0;
        int end = 0;
        bool const read =
            std::sscanf(given.c_str(), "%2u-%2u %2u:%2u%n", &month, &day, &hour, &minute, &end) == 4 &&
            static_cast<std::size_t>(end) == given.size() && hour < 24 && minute < 60;
        // Any year without 29 February will do.
        date::year_month_day const day_of_year = date::year(2023) / date::month(month) / date::day(day);
        if (!read || !day_of_year.ok())
            fail(key,
                 "must be month, day and local standard time, such as \"01-14 06:00\" (29 February is not in "
                 "the year)");
        using namespace date::literals;
        auto const days = date::sys_days{day_of_year} - date::sys_days{date::January / 1 / 2023};
        return days.count() * 24.0 + hour + minute / 60.0;
    });
}

std::string Section::read_text(std::string_view key) {
    auto const value = need(key).value<std::string>();
    if (!value || !need(key).is_string()) fail(key, "must be a text in quotes");
    if (!in_one_line(*value)) fail(key, must_be_one_line);
    return *value;
}

std::string Section::text(std::string_view key) {
    return read_on(std::string(), [&] { return read_text(key); });
}

std::string Section::text(std::string_view key, std::string_view otherwise) {
    if (!has(key)) return std::string(otherwise);
    return read_on(std::string(otherwise), [&] { return read_text(key); });
}

std::vector<std::string> Section::texts(std::string_view key) {
    return read_on(std::vector<std::string>{}, [&] {
        toml::array const* const array = need(key).as_array();
        if (array == nullptr) return std::vector{read_text(key)};
        std::vector<std::string> values;
        for (auto const& node : *array) {
            auto const value = node.value<std::string>();
            if (!value || !node.is_string() || value->empty())
                fail(key, "must be a list of texts in quotes such as [\"a\", \"b\"]");
            if (!in_one_line(*value)) fail(key, must_be_one_line);
            values.push_back(*value);
        }
        if (values.empty()) fail(key, "must be a list of texts in quotes such as [\"a\", \"b\"]");
        return values;
    });
}

Section Section::table(std::string_view key) {
    static toml::table const nothing;
    Section instead(file_, dotted(key), nothing, errors_);
    instead.stands_in_ = true;
    return read_on(std::move(instead), [&] {
        toml::table const* const table = need(key, true).as_table();
        if (table == nullptr) fail(key, fmt::format("must be a table, written [{}]", dotted(key)));
        return Section(file_, dotted(key), *table, errors_);
    });
}

std::optional<Section> Section::optional_table(std::string_view key) {
    if (!has(key)) return std::nullopt;
    return table(key);
}

std::vector<Section> Section::tables(std::string_view key) {
    if (!has(key)) return {};
    return read_on(std::vector<Section>(), [&] {
        std::vector<Section> sections;
        toml::array const* const array = need(key).as_array();
        if (array == nullptr || !array->is_homogeneous<toml::table>())
            fail(key, fmt::format("must be one or more tables, each written [[{}]]", dotted(key)));
        for (auto const& node : *array) sections.push_back({file_, dotted(key), *node.as_table(), errors_});
        return sections;
    });
}

std::string Section::in_own_units(std::string const& text) const {
    return in_units(system_of(as_typed(*table_)), text);
}

void Section::checked(std::function<void()> const& build) {
    try {
        build();
    } catch (models::ParameterError const& error) {
        // What the model says is in SI units; the message is in those of this table.
        std::string const rule = in_own_units(error.rule());
        // The field of a model has the name of the key followed by its unit: cut_out_kpa is the key cut_out.
        std::string_view key = key_of_field(error.field());
        if (table_->get(key) == nullptr) key = {};
        for (auto const& [name, node] : *table_)
            if (error.field().starts_with(name.str()) && name.str().size() > key.size()) key = name.str();
        auto const given = key.empty() ? std::nullopt : (*table_)[key].value<std::string>();
        if (given)
            fail(key, fmt::format("\"{}\": {}", *given, rule));
        else
            fail(key, fmt::format("{} ({})", in_own_units(field_words(error)), rule));
    }
}

bool Section::attempt(bool sound, std::function<void()> const& read) {
    if (errors_ == nullptr) {
        read();
        return true;
    }
    std::size_t const before = errors_->size();
    bool const sound_before = std::exchange(sound_, sound_ && sound);
    bool done = false;
    try {
        read();
        done = true;
    } catch (ScenarioError const& error) {
        if (sound_ && errors_->size() == before) errors_->add(error);
    } catch (std::logic_error const&) {  // from a model that got a substitute value
        if (sound_ && errors_->size() == before) throw;
    }
    if (!done) one_branch_read_ = true;
    bool const fine = done && sound_ && errors_->size() == before;
    sound_ = sound_before;
    return fine;
}

void Section::finish() const {
    if (one_branch_read_ || stands_in_) return;
    for (auto const& [key, node] : *table_) {
        if (std::find(known_.begin(), known_.end(), key.str()) != known_.end()) continue;
        if (errors_ == nullptr) refuse_unknown(key.str(), node);
        try {
            refuse_unknown(key.str(), node);
        } catch (ScenarioError const& error) {
            errors_->add(error);
        }
    }
}

void Section::refuse_unknown(std::string_view key, toml::node const& node) const {
    auto const nearest = std::min_element(known_.begin(), known_.end(), [key](auto const& a, auto const& b) {
        return edit_distance(a, key) < edit_distance(b, key);
    });
    bool const near = nearest != known_.end() &&
                      edit_distance(*nearest, key) <= std::max<std::size_t>(2, nearest->size() / 2);
    bool const table = node.is_table() || node.is_array_of_tables();
    std::string hint;
    if (near) {
        hint = table ? fmt::format("; the nearest known table is [{}]", dotted(*nearest))
                     : fmt::format("; the nearest known key is '{}'", *nearest);
        if (auto const about = key_hint(dotted(*nearest)); !table && !about.empty())
            hint += fmt::format(" ({})", about);
    } else if (!known_.empty()) {
        auto keys = known_;
        std::sort(keys.begin(), keys.end());
        hint = fmt::format("; accepted here: {}", fmt::join(keys, ", "));
    }
    fail(key, (table ? "no such table" : "no such key") + hint);
}

}  // namespace holdwater::scenarios
