#include "sim/sweep/sweep_axis.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <stdexcept>

#include "models/numeric/parameter_error.hpp"
#include "scenarios/settings/field_words.hpp"
#include "scenarios/text/quantity.hpp"
#include "scenarios/text/toml_text.hpp"

namespace holdwater::sim {
namespace {

std::string trimmed(std::string_view text) {
    auto const from = text.find_first_not_of(" \t");
    if (from == std::string_view::npos) return "";
    return std::string(text.substr(from, text.find_last_not_of(" \t") - from + 1));
}

struct Number {
    double value = 0;
    std::string unit;
};

// "10 kWh" as 10 and "kWh"; a text that is not a quantity with a space before its unit stays a text
// ("2020.csv").
std::optional<Number> number_of(std::string const& text) {
    try {
        auto const [value, unit] = scenarios::split_quantity(text);
        auto const before_unit = text.find_last_not_of(" \t") - unit.size();
        if (!unit.empty() && text[before_unit] != ' ') return std::nullopt;
        // "10..20/5" is five values up to 20, not values up to four.
        if (unit.empty() && text.find('/') != std::string::npos) return std::nullopt;
        return Number{value, unit};
    } catch (scenarios::QuantityError const&) {
        return std::nullopt;
    }
}

[[noreturn]] void refuse(std::string const& text, std::string const& why) {
    throw std::invalid_argument(
        fmt::format("--vary \"{}\": {}; accepted: \"battery.capacity=5 kWh,10 kWh\", \"array.tilt=20 deg..60 "
                    "deg/5\", \"array.tilt=20 deg..60 deg\", \"well.static_level=normal(30 m, 4 m)\" and "
                    "uniform, triangular or lognormal in the same way",
                    text, why));
}

std::vector<std::string> pieces(std::string const& value, std::string const& text) {
    std::vector<std::string> out;
    std::size_t from = 0;
    while (from <= value.size()) {
        auto const comma = std::min(value.find(',', from), value.size());
        out.push_back(trimmed(std::string_view(value).substr(from, comma - from)));
        if (out.back().empty()) refuse(text, "a value is empty");
        from = comma + 1;
    }
    return out;
}

int count_of(std::string const& count_text, std::string const& text) {
    int count = 0;
    auto const end = count_text.data() + count_text.size();
    if (std::from_chars(count_text.data(), end, count).ptr != end || count < 2 || count > 10000)
        refuse(text, fmt::format("\"{}\" is not a number of values from 2 to 10000", count_text));
    return count;
}

void read_range(SweepAxis& axis, std::string const& value, std::size_t dots, std::string const& text) {
    // A unit may contain a slash ("1 m3/day..2 m3/day/3"): the number of values follows after one more slash.
    std::string const behind = trimmed(value.substr(dots + 2));
    auto const low = number_of(trimmed(value.substr(0, dots)));
    auto high = number_of(behind);
    auto const slash = behind.rfind('/');
    bool const counted = slash != std::string::npos && !(low && high && high->unit == low->unit);
    if (counted) high = number_of(trimmed(behind.substr(0, slash)));
    if (!low || !high) refuse(text, "the ends of a range must be numbers with their units");
    if (low->unit != high->unit) refuse(text, "both ends of a range need the same unit");
    if (low->value == high->value) refuse(text, "the ends of a range must differ");
    axis.is_number = true;
    axis.unit = low->unit;
    axis.spread = ValueSpread{SpreadKind::uniform, 0, 0, std::min(low->value, high->value),
                              std::max(low->value, high->value)};
    if (!counted) return;
    int const count = count_of(trimmed(behind.substr(slash + 1)), text);
    for (int i = 0; i < count; ++i)
        axis.values.push_back(typed(low->value + (high->value - low->value) * i / (count - 1), axis.unit));
}

// "normal(30 m, 4 m)" with or without "/5"; false: the value is not a distribution.
bool read_spread(SweepAxis& axis, std::string const& value, std::string const& text) {
    auto const open = value.find('('), close = value.rfind(')');
    if (open == std::string::npos) return false;
    auto const kind = spread_named(trimmed(value.substr(0, open)));
    if (!kind) return false;
    if (close == std::string::npos || close < open) refuse(text, "the closing bracket is missing");
    std::vector<double> numbers;
    for (auto const& one : pieces(value.substr(open + 1, close - open - 1), text)) {
        auto const n = number_of(one);
        if (!n) refuse(text, fmt::format("\"{}\" is not a number with its unit", one));
        bool const factor = *kind == SpreadKind::lognormal && numbers.size() == 1;
        if (numbers.empty()) axis.unit = n->unit;
        if (factor && !n->unit.empty()) refuse(text, "the factor of a lognormal spread is a bare number");
        if (!factor && n->unit != axis.unit) refuse(text, "all numbers of a spread need the same unit");
        numbers.push_back(n->value);
    }
    ValueSpread s;
    s.kind = *kind;
    auto const n = numbers.size();
    if (*kind == SpreadKind::uniform) {
        if (n != 2) refuse(text, "uniform needs two numbers: lowest, highest");
        s.low = numbers[0];
        s.high = numbers[1];
    } else if (*kind == SpreadKind::triangular) {
        if (n != 3) refuse(text, "triangular needs three numbers: lowest, most likely, highest");
        s.low = numbers[0];
        s.center = numbers[1];
        s.high = numbers[2];
    } else {
        if (n != 2 && n != 4)
            refuse(text, *kind == SpreadKind::normal
                             ? "normal needs mean, standard deviation and, where it is cut, lowest, highest"
                             : "lognormal needs median, factor and, where it is cut, lowest, highest");
        s.center = numbers[0];
        s.width = numbers[1];
        if (n == 4) {
            s.low = numbers[2];
            s.high = numbers[3];
        }
    }
    try {
        validate(s);
    } catch (models::ParameterError const& error) {
        refuse(text, scenarios::problem_words(error));
    }
    axis.spread = s;
    axis.is_number = true;
    auto const behind = trimmed(value.substr(close + 1));
    if (behind.empty()) return true;
    if (behind[0] != '/') refuse(text, fmt::format("\"{}\" behind the bracket is not understood", behind));
    int const count = count_of(trimmed(behind.substr(1)), text);
    for (int i = 0; i < count; ++i) axis.values.push_back(typed(quantile(s, (i + 0.5) / count), axis.unit));
    return true;
}

void read_list(SweepAxis& axis, std::string const& value, std::string const& text) {
    axis.values = pieces(value, text);
    for (std::size_t i = 0; i < axis.values.size(); ++i) {
        auto const n = number_of(axis.values[i]);
        if (!n || (i > 0 && n->unit != axis.unit)) {
            axis.unit.clear();
            return;
        }
        axis.unit = n->unit;
    }
    axis.is_number = true;
}

}  // namespace

std::string typed(double value, std::string const& unit) {
    return unit.empty() ? fmt::format("{:.10g}", value) : fmt::format("{:.10g} {}", value, unit);
}

double number_in(std::string const& text) {
    auto const n = number_of(text);
    if (!n) throw std::invalid_argument(fmt::format("\"{}\" is not a number", text));
    return n->value;
}

SweepAxis read_axis(std::string const& text) {
    // Values are printed as they were typed.
    if (auto const control = scenarios::control_character(text); !control.empty())
        refuse(text, fmt::format("the control character {} stands in it; take it out", control));
    auto const equals = text.find('=');
    SweepAxis axis;
    axis.key = trimmed(text.substr(0, std::min(equals, text.size())));
    if (equals == std::string::npos || axis.key.empty())
        refuse(text, "a key, an equals sign and values are needed");
    std::string const value = trimmed(text.substr(equals + 1));
    if (read_spread(axis, value, text)) return axis;
    // A path may begin with two dots; in a range a number precedes them.
    auto const dots = value.find("..");
    if (dots != std::string::npos && dots > 0 && value.compare(dots, 3, "../") != 0)
        read_range(axis, value, dots, text);
    else
        read_list(axis, value, text);
    return axis;
}

std::string value_at(SweepAxis const& axis, double share) {
    if (axis.spread) return typed(quantile(*axis.spread, share), axis.unit);
    auto const n = axis.values.size();
    return axis.values[std::min(static_cast<std::size_t>(share * static_cast<double>(n)), n - 1)];
}

std::vector<std::string> values_alone(SweepAxis const& axis) {
    if (!axis.values.empty()) return axis.values;
    auto const& s = *axis.spread;
    if (s.kind == SpreadKind::uniform) return {typed(s.low, axis.unit), typed(s.high, axis.unit)};
    return {value_at(axis, 0.1), value_at(axis, 0.9)};
}

}  // namespace holdwater::sim
