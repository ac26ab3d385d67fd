#include "scenarios/quantity.hpp"

#include <fmt/format.h>
#include <udunits2.h>

#include <array>
#include <charconv>
#include <cmath>
#include <new>
#include <utility>

namespace holdwater::scenarios {
namespace {

struct FreeUnit {
    void operator()(ut_unit* unit) const { ut_free(unit); }
};
using Unit = std::unique_ptr<ut_unit, FreeUnit>;

Unit parse(ut_system* system, std::string const& text) {
    Unit unit(ut_parse(system, text.c_str(), UT_UTF8));
    if (!unit && ut_get_status() == UT_OS) throw std::bad_alloc();
    return unit;
}

// What a designer may write for a dimension, for the message.
std::string_view accepted_for(std::string_view unit) {
    constexpr std::array<std::pair<std::string_view, std::string_view>, 16> table{{
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

}  // namespace

void QuantityReader::Free::operator()(ut_system* system) const { ut_free_system(system); }
void QuantityReader::Free::operator()(cv_converter* converter) const { cv_free(converter); }

QuantityReader::QuantityReader() {
    // UDUNITS crashes where an allocation fails. Its database takes half a megabyte: is there more than that?
    ::operator delete(::operator new (std::size_t{1} << 20));
    ut_set_error_message_handler(ut_ignore);
    system_.reset(ut_read_xml(nullptr));
    if (!system_)
        throw QuantityError(
            "the UDUNITS-2 database cannot be read (Debian package libudunits2-data; memory may also be too "
            "small)");
    constexpr std::array<std::pair<char const*, char const*>, 10> trade{{
        {"gal", "231 in3"},
        {"gpm", "231 in3/min"},
        {"gpd", "231 in3/day"},
        {"hp", "550 ft.lbf/s"},
        {"Wh", "W.h"},
        {"Ah", "A.h"},
        {"VA", "V.A"},
        {"mph", "0.44704 m/s"},
        {"deg", "degree"},
        {"ac", "4046.8564224 m2"},
    }};
    for (auto const& [symbol, definition] : trade) {
        Unit const unit = parse(system_.get(), definition);
        ut_unmap_symbol_to_unit(system_.get(), symbol, UT_ASCII);
        ut_unmap_name_to_unit(system_.get(), symbol, UT_ASCII);
        if (!unit || ut_map_symbol_to_unit(symbol, UT_ASCII, unit.get()) != UT_SUCCESS)
            throw QuantityError(fmt::format("the UDUNITS-2 database does not take the unit {}", symbol));
    }
}

double QuantityReader::read(std::string_view text, std::string_view unit) const {
    std::string_view const body = trimmed(text);
    double number = 0;
    auto const [end, failure] = std::from_chars(body.data(), body.data() + body.size(), number);
    if (failure != std::errc{} || !std::isfinite(number))
        throw QuantityError(
            fmt::format("\"{}\" does not start with a number; expected {}", text, expected(unit)));
    std::string const name(trimmed(body.substr(static_cast<std::size_t>(end - body.data()))));
    if (name.empty())
        throw QuantityError(fmt::format("\"{}\" has no unit; expected {}", text, expected(unit)));

    double const value = cv_convert_double(&converter(text, name, unit), number);
    if (!std::isfinite(value))
        throw QuantityError(fmt::format("\"{}\" is too large a number; expected {}", text, expected(unit)));
    return value;
}

cv_converter const& QuantityReader::converter(std::string_view text, std::string const& name,
                                              std::string_view unit) const {
    auto& known = known_[{name, std::string(unit)}];
    if (known) return *known;
    constexpr std::size_t most_known = 1024;  // a design has some dozens
    if (known_.size() > most_known) {
        known_.clear();
        return converter(text, name, unit);
    }
    // A zero byte would end the name for UDUNITS.
    Unit const from = name.find('\0') == std::string::npos ? parse(system_.get(), name) : nullptr;
    if (!from)
        throw QuantityError(fmt::format("\"{}\" is not a known unit; expected {}", name, expected(unit)));
    Unit const to = parse(system_.get(), std::string(unit));
    // UDUNITS also converts into the reciprocal (K into 1/K), which is another kind of quantity.
    Unit const ratio(ut_divide(from.get(), to.get()));
    bool const fits = ratio && ut_is_dimensionless(ratio.get()) != 0 &&
                      ut_are_convertible(from.get(), to.get()) != 0 &&
                      names_an_angle(name) == names_an_angle(unit);
    if (!fits)
        throw QuantityError(
            fmt::format("\"{}\" is not the right kind of quantity; expected {}", text, expected(unit)));
    known.reset(ut_get_converter(from.get(), to.get()));
    return *known;
}

}  // namespace holdwater::scenarios
