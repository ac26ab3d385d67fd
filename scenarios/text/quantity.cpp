#include "scenarios/text/quantity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>

#include "models/numeric/read_double.hpp"
#include "weather/units/unit_expression.hpp"

namespace holdwater::scenarios {
namespace {

// What a designer can write for a dimension, for the message.
std::string_view accepted_for(std::string_view unit) {
    constexpr std::array<std::pair<std::string_view, std::string_view>, 17> table{{
        {"1", "a number without quotes, or a percentage such as \"80 %\""},
        {"m3", "a volume such as \"86 gal\", \"300 L\" or \"2 m3\""},
        {"m3/s", "a flow such as \"10 gpm\", \"10 gal/min\", \"38 L/min\" or \"2 m3/h\""},
        {"m3/day", "a daily volume such as \"240 gal/day\", \"240 gpd\", \"900 L/day\" or \"1 m3/day\""},
        {"m", "a length such as \"120 ft\", \"1.36 in\" or \"30 m\""},
        {"kPa", "a pressure such as \"40 psi\", \"3 bar\" or \"280 kPa\""},
        {"W", "a power such as \"1500 W\", \"6 kW\" or \"1.5 hp\""},
        {"kW", "a power such as \"1500 W\", \"6 kW\" or \"1.5 hp\""},
        {"kWh", "an energy such as \"14.3 kWh\" or \"800 Wh\""},
        {"kWh/month", "energy over time such as \"7 kWh/month\" or \"250 Wh/day\""},
        {"V", "a voltage such as \"230 V\""},
        {"A", "a current such as \"60 A\""},
        {"deg", "an angle such as \"35 deg\""},
        {"degC", "a temperature such as \"12 degC\" or \"55 degF\""},
        {"s", "a time such as \"20 ms\", \"90 s\", \"30 min\" or \"6 h\""},
        {"day", "a number of days such as 5 or \"5 days\""},
        {"h", "a time such as \"20 ms\", \"90 s\", \"30 min\" or \"6 h\""},
    }};
    for (auto const& [name, words] : table)
        if (name == unit) return words;
    return "";
}

std::string expected(std::string_view unit) {
    std::string_view const words = accepted_for(unit);
    return words.empty() ? fmt::format("a quantity in a unit like \"{}\"", unit) : std::string(words);
}

bool names_an_angle(std::string_view unit) {
    return unit == "deg" || unit == "degree" || unit == "degrees" || unit == "°" || unit == "rad" ||
           unit == "radian";
}

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view blank = " \t\r\n";
    auto const first = text.find_first_not_of(blank);
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(blank) - first + 1);
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// The digits from `at` on.
std::string_view digits(std::string_view text, std::size_t at) {
    auto end = at;
    while (end < text.size() && is_digit(text[end])) ++end;
    return text.substr(std::min(at, text.size()), end - std::min(at, text.size()));
}

double decimal(std::string_view text) {
    double value = 0;
    models::read_double(text.data(), text.data() + text.size(), value);
    return value;
}

// A number at the beginning of a text, without its sign, and how many characters it has.
struct Leading {
    double number = 0;
    std::size_t length = 0;
};

// "3/4"; nothing if no short fraction begins here.
std::optional<Leading> fraction_at(std::string_view text, std::size_t at, bool proper) {
    auto const above = digits(text, at);
    auto const slash = at + above.size();
    if (above.empty() || above.size() > 3 || slash >= text.size() || text[slash] != '/') return std::nullopt;
    auto const below = digits(text, slash + 1);
    if (below.empty() || below.size() > 3 || decimal(below) == 0) return std::nullopt;
    if (proper && decimal(above) >= decimal(below)) return std::nullopt;
    return Leading{decimal(above) / decimal(below), above.size() + 1 + below.size()};
}

// "1 1/2", "1-1/2", "3/4".
std::optional<Leading> mixed_fraction(std::string_view text) {
    if (auto const alone = fraction_at(text, 0, false)) return alone;
    auto const whole = digits(text, 0);
    auto at = whole.size();
    if (whole.empty() || at >= text.size()) return std::nullopt;
    if (text[at] == '-')
        ++at;
    else
        while (at < text.size() && text[at] == ' ') ++at;
    if (at == whole.size()) return std::nullopt;
    auto const part = fraction_at(text, at, true);
    if (!part) return std::nullopt;
    return Leading{decimal(whole) + part->number, at + part->length};
}

// "1,200.5": groups of three digits after one to three digits that do not begin with 0.
std::optional<Leading> with_thousands(std::string_view text) {
    auto const first = digits(text, 0);
    if (first.empty() || first.size() > 3 || first[0] == '0') return std::nullopt;
    std::string plain(first);
    auto at = first.size();
    while (at < text.size() && text[at] == ',') {
        auto const group = digits(text, at + 1);
        if (group.size() != 3) return std::nullopt;
        plain += group;
        at += 4;
    }
    if (at < text.size() && text[at] == '.') {
        auto const behind = digits(text, at + 1);
        plain += "." + std::string(behind);
        at += 1 + behind.size();
    }
    return Leading{decimal(plain), at};
}

// For "1 200 gal": the text without the space, if the beginning of the unit would then belong to the number.
std::string written_together(std::string_view number, std::string_view behind) {
    std::string all(number);
    while (behind.size() >= 3 && digits(behind, 0).size() == 3) {
        all += behind.substr(0, 3);
        behind = trimmed(behind.substr(3));
    }
    return all.size() > number.size() && number.find_first_not_of("0123456789") == std::string_view::npos
               ? fmt::format("; {} is written without a space", all)
               : std::string();
}

// A unit without dimension ("%", "radian", "ppm") would otherwise be accepted as a factor of any unit.
bool shares_fit(std::string const& name, weather::UnitExpression const& expression, std::string_view unit) {
    int shares = 0;
    for (auto const& step : expression.steps) {
        if (step.kind != weather::UnitExpression::Step::Kind::name || step.name == "1") continue;
        auto const one = weather::unit_named(step.name, weather::UnitWords::trade);
        if (!one || !weather::is_bare(*one)) continue;
        if (step.name != "%") return false;
        ++shares;
    }
    if (unit == "1") return name == "%";
    if (shares == 0) return true;
    auto const behind = name.find('%') + 1;
    bool const plain =
        behind == name.size() || std::string_view(" ./").find(name[behind]) != std::string::npos;
    return shares == 1 && plain && (unit.starts_with("1/") || unit.find('%') != std::string_view::npos);
}

weather::Conversion conversion(std::string_view text, std::string const& name, std::string_view unit) {
    auto const expression = weather::read_unit_expression(name);
    auto const from = weather::unit_of(expression, weather::UnitWords::trade);
    if (!from)
        throw QuantityError(fmt::format("\"{}\" is not a known unit; expected {}", name, expected(unit)));
    auto const to = unit == "1"
                        ? weather::Unit{}
                        : weather::unit_of(weather::read_unit_expression(unit), weather::UnitWords::trade);
    bool const fits = to && weather::same_kind(*from, *to) && names_an_angle(name) == names_an_angle(unit) &&
                      (names_an_angle(unit) || shares_fit(name, expression, unit));
    if (!fits)
        throw QuantityError(
            fmt::format("\"{}\" is not the right kind of quantity; expected {}", text, expected(unit)));
    return weather::conversion(*from, *to);
}

}  // namespace

NumberAndUnit split_quantity(std::string_view text) {
    std::string_view body = trimmed(text);
    bool const negative = body.starts_with('-');
    if (negative || body.starts_with('+')) body.remove_prefix(1);
    bool const begins = !digits(body, 0).empty() || (body.starts_with('.') && !digits(body, 1).empty());
    if (!begins) throw QuantityError(fmt::format("\"{}\" does not start with a number", text));

    auto const comma_refused = [&] {
        throw QuantityError(fmt::format(
            "\"{}\": a comma stands between thousands only (\"1,200\"); decimals have a point (\"1.5\")",
            text));
    };
    Leading lead;
    auto const whole = digits(body, 0).size();
    if (auto const fraction = mixed_fraction(body)) {
        lead = *fraction;
    } else if (whole < body.size() && body[whole] == ',') {
        auto const number = with_thousands(body);
        if (!number) comma_refused();
        lead = *number;
    } else {
        auto const [end, failure] = models::read_double(body.data(), body.data() + body.size(), lead.number);
        lead.length = static_cast<std::size_t>(end - body.data());
        if (failure != std::errc{})
            throw QuantityError(fmt::format("\"{}\" is too large or too small a number", text));
    }
    std::string_view const rest = body.substr(lead.length);
    if (rest.starts_with(',')) comma_refused();
    NumberAndUnit found{negative ? -lead.number : lead.number, std::string(trimmed(rest))};
    if (found.unit.empty()) return found;
    if (auto const problem = weather::read_unit_expression(found.unit).problem; !problem.empty())
        throw QuantityError(fmt::format("\"{}\" is not one number and one unit: {}{}", text, problem,
                                        written_together(body.substr(0, lead.length), found.unit)));
    return found;
}

double read_quantity(std::string_view text, std::string_view unit) {
    NumberAndUnit found;
    try {
        found = split_quantity(text);
    } catch (QuantityError const& error) {
        throw QuantityError(fmt::format("{}; expected {}", error.what(), expected(unit)));
    }
    if (found.unit.empty())
        throw QuantityError(fmt::format("\"{}\" has no unit; expected {}", text, expected(unit)));
    double const value = conversion(text, found.unit, unit)(found.number);
    if (!std::isfinite(value))
        throw QuantityError(fmt::format("\"{}\" is too large a number; expected {}", text, expected(unit)));
    return value;
}

}  // namespace holdwater::scenarios
