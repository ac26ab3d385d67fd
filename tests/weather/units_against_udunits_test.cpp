// The units, every one of them and random expressions, against UDUNITS-2, from whose database the table is
// made.
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <udunits2.h>

#include <array>
#include <cmath>
#include <limits>
#include <memory>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "tests/support/near.hpp"
#include "weather/units/unit_expression.hpp"
#include "weather/units/unit_table.hpp"

using namespace holdwater;
using weather::Unit, weather::UnitWords, test::Near;

namespace {

struct FreeUnit {
    void operator()(ut_unit* unit) const { ut_free(unit); }
};
using UdunitsUnit = std::unique_ptr<ut_unit, FreeUnit>;

class Udunits {
  public:
    Udunits() {
        ut_set_error_message_handler(ut_ignore);
        system_.reset(ut_read_xml(nullptr));
        REQUIRE(system_ != nullptr);
    }
    /// The names of the trade, as UDUNITS would have them.
    void learn(char const* symbol, char const* definition) const {
        auto const unit = parse(definition);
        REQUIRE(unit != nullptr);
        ut_unmap_symbol_to_unit(system_.get(), symbol, UT_ASCII);
        ut_unmap_name_to_unit(system_.get(), symbol, UT_ASCII);
        REQUIRE(ut_map_symbol_to_unit(symbol, UT_ASCII, unit.get()) == UT_SUCCESS);
    }
    UdunitsUnit parse(std::string const& text) const {
        return UdunitsUnit(ut_parse(system_.get(), text.c_str(), UT_UTF8));
    }

  private:
    struct FreeSystem {
        void operator()(ut_system* system) const { ut_free_system(system); }
    };
    std::unique_ptr<ut_system, FreeSystem> system_;
};

struct Found {
    double scale = 1, offset = 0;
    bool logarithm = false;
};

ut_status galilean(ut_unit const*, double scale, ut_unit const* of, double offset, void* to);
ut_status basic(ut_unit const*, void*) { return UT_SUCCESS; }
ut_status product(ut_unit const*, int, ut_unit const* const*, int const*, void*) { return UT_SUCCESS; }
ut_status time(ut_unit const*, ut_unit const*, double, void*) { return UT_SUCCESS; }
ut_status logarithm(ut_unit const*, double, ut_unit const*, void* to) {
    static_cast<Found*>(to)->logarithm = true;
    return UT_SUCCESS;
}
constexpr ut_visitor visitor{basic, product, galilean, time, logarithm};
ut_status galilean(ut_unit const*, double scale, ut_unit const* of, double offset, void* to) {
    *static_cast<Found*>(to) = {scale, offset};
    return ut_accept_visitor(of, &visitor, to);
}

std::optional<Found> taken_apart(ut_unit const* unit) {
    Found found;
    if (unit == nullptr) return std::nullopt;
    REQUIRE(ut_accept_visitor(unit, &visitor, &found) == UT_SUCCESS);
    return found;
}

bool same_bits(Unit const& ours, Found const& theirs) {
    return ours.scale == theirs.scale && ours.offset == theirs.offset;
}

/// The last bit of the scale differs at most, as where the C library's pow is not rounded correctly.
bool nearly(Unit const& ours, Found const& theirs, double last_bits) {
    constexpr double bit = std::numeric_limits<double>::epsilon();
    return ours.scale == Near{theirs.scale, 0, last_bits * bit} && ours.offset == theirs.offset;
}

/// What our unit is in base units, as a text for UDUNITS.
std::string base_text(Unit const& unit) {
    constexpr std::array names{"m", "kg", "s", "A", "K", "mol", "cd"};
    std::string text = "1";
    for (std::size_t i = 0; i < names.size(); ++i)
        if (unit.powers[i] != 0) text += fmt::format(" {}^{}", names[i], unit.powers[i]);
    return text;
}

std::optional<Unit> ours(std::string const& text, UnitWords words) {
    return weather::unit_of(weather::read_unit_expression(text), words);
}

/// Compares one text. Nothing: both refuse it.
std::optional<bool> compare(Udunits const& udunits, std::string const& text, UnitWords words,
                            double last_bits) {
    auto const theirs = udunits.parse(text);
    auto const found = taken_apart(theirs.get());
    auto const unit = ours(text, words);
    CAPTURE(text);
    if (found && found->logarithm) {
        CHECK_FALSE(unit.has_value());
        return std::nullopt;
    }
    CHECK(unit.has_value() == found.has_value());
    if (!unit || !found || !std::isfinite(found->scale) || found->scale == 0) return std::nullopt;
    CHECK(nearly(*unit, *found, last_bits));
    auto const base = udunits.parse(base_text(*unit));
    CHECK(ut_are_convertible(theirs.get(), base.get()) != 0);
    UdunitsUnit const ratio(ut_divide(theirs.get(), base.get()));
    CHECK(ut_is_dimensionless(ratio.get()) != 0);
    return same_bits(*unit, *found);
}

bool can_be_typed(std::string_view name) { return weather::read_unit_expression(name).problem.empty(); }

std::vector<std::string> typed_names() {
    std::vector<std::string> all;
    for (auto const table : {weather::unit_names(), weather::unit_symbols()})
        for (auto const& unit : table)
            if (can_be_typed(unit.name)) all.emplace_back(unit.name);
    return all;
}

}  // namespace

TEST_SUITE_BEGIN("weather/units_against_udunits");

TEST_CASE("every unit, alone and with every prefix, has UDUNITS's factor to the bit") {
    Udunits const udunits;
    auto const names = typed_names();
    CHECK(names.size() > 700);
    int units = 0;
    for (auto const& name : names) {
        std::vector<std::string> texts{name};
        for (auto const table : {weather::prefix_names(), weather::prefix_symbols()})
            for (auto const& prefix : table) texts.push_back(std::string(prefix.name) + name);
        for (auto const& text : texts)
            if (auto const same = compare(udunits, text, UnitWords::database, 0)) {
                CAPTURE(text);
                CHECK(*same);
                ++units;
            }
    }
    CHECK(units > 30000);
}

// Powers are rounded once here; the C library's pow, which UDUNITS uses, is off by a last bit now and then.
TEST_CASE("every unit to every power, alone and below a quotient") {
    Udunits const udunits;
    int units = 0, same = 0;
    for (auto const& name : typed_names()) {
        if (name.size() == 1 && std::string_view("%'\"").find(name[0]) != std::string_view::npos) continue;
        for (int power = -9; power <= 9; ++power) {
            if (power == 0 || power == 1) continue;
            for (auto const* before : {"", "1/"})
                if (auto const bits = compare(udunits, fmt::format("{}{}^{}", before, name, power),
                                              UnitWords::database, 2)) {
                    ++units;
                    same += *bits ? 1 : 0;
                }
        }
    }
    CHECK(units > 20000);
    CHECK(same > 0.997 * units);
    MESSAGE(same << " of " << units << " the same to the bit");
}

TEST_CASE("the units of a site visit have UDUNITS's factor to the bit") {
    Udunits const udunits;
    for (auto const& [symbol, definition] :
         std::vector<std::pair<char const*, char const*>>{{"gal", "231 in3"},
                                                          {"gpm", "231 in3/min"},
                                                          {"gpd", "231 in3/day"},
                                                          {"hp", "550 ft.lbf/s"},
                                                          {"Wh", "W.h"},
                                                          {"Ah", "A.h"},
                                                          {"VA", "V.A"},
                                                          {"mph", "0.44704 m/s"},
                                                          {"deg", "degree"},
                                                          {"ac", "4046.8564224 m2"}})
        udunits.learn(symbol, definition);
    for (auto const* text :
         {"gal",      "gal/day",   "gal/min", "gpm",    "gpd",   "kgal",      "hp",      "W",
          "kW",       "MW",        "Wh",      "kWh",    "MWh",   "kWh/month", "Wh/day",  "kWh/day",
          "Ah",       "VA",        "kVA",     "mph",    "deg",   "ac",        "ft",      "in",
          "foot",     "feet",      "inch",    "inches", "yd",    "mile",      "m",       "cm",
          "mm",       "km",        "mm2",     "in2",    "ft2",   "m2",        "m3",      "L",
          "l",        "mL",        "liter",   "liters", "L/min", "L/s",       "L/h",     "L/day",
          "m3/h",     "m3/day",    "m3/s",    "gpm/ft", "m2/s",  "psi",       "bar",     "mbar",
          "kPa",      "hPa",       "Pa",      "MPa",    "V",     "mV",        "A",       "mA",
          "ohm",      "mohm",      "mΩ",      "Ω",      "ohm/m", "ohm/km",    "ohm/kft", "degC",
          "degF",     "K",         "°C",      "°F",     "%",     "%/K",       "%/degC",  "1/K",
          "1/degC",   "1/m",       "s",       "ms",     "min",   "h",         "hour",    "hours",
          "d",        "day",       "days",    "month",  "year",  "years",     "Hz",      "rpm",
          "lb",       "kg",        "J",       "kJ",     "MJ",    "W/m2",      "W/m^2",   "kJ/m2",
          "W/(m2.K)", "W m-2 K-1", "m/s",     "km/h",   "knot",  "mile/hour", "eV",      "A/K",
          "mA/K",     "V/K",       "mV/K",    "ft/s",   "acre",  "acres",     "quart",   "pint"}) {
        CAPTURE(text);
        auto const same = compare(udunits, text, UnitWords::trade, 0);
        if (std::string_view(text) != "yd" && std::string_view(text) != "rpm") CHECK(same.has_value());
        if (same) CHECK(*same);
    }
}

TEST_CASE("random expressions are taken, refused and worked out as by UDUNITS") {
    Udunits const udunits;
    auto const names = typed_names();
    constexpr std::array pieces{" ",  " ", ".",  "*",   "/",   "/",     "·", " per ", "(",    ")", "²",
                                "³",  "2", "-1", "^-2", "3",   "**2",   "k", "m",     "W",    "m", "s",
                                "1/", "%", "µ",  "°",   "per", "after", "h", "kWh",   "degC", "M"};
    std::mt19937 random(20261129);
    int taken = 0, same = 0;
    for (int i = 0; i < 200000; ++i) {
        std::string text;
        for (auto left = 1 + random() % 8; left > 0; --left) {
            bool const name = random() % 3 == 0;
            text += name ? names[random() % names.size()] : std::string(pieces[random() % pieces.size()]);
        }
        if (text.find_first_not_of(' ') != 0 || text.back() == ' ') continue;
        // Not compared: what UDUNITS takes for a second number, for an origin ("after 3", "ref"), and what is
        // too small for a double, which it refuses and here becomes 0.
        auto const expression = weather::read_unit_expression(text);
        if (!expression.problem.empty() || text.find("after3") != std::string::npos ||
            text.find(" ref") != std::string::npos)
            continue;
        if (auto const unit = weather::unit_of(expression, UnitWords::database); unit && unit->scale == 0)
            continue;
        if (auto const bits = compare(udunits, text, UnitWords::database, 8)) {
            ++taken;
            same += *bits ? 1 : 0;
        }
    }
    CHECK(taken > 5000);
    CHECK(same > 0.995 * taken);
    MESSAGE(same << " of " << taken << " the same to the bit");
}

TEST_CASE("a power is rounded once") {
    // By exact fractions, rounded to a double; 0.1 x 0.1 x 0.1 x 0.1 in doubles is 0.00010000000000000003.
    CHECK(weather::whole_power(0.1, 4) == 0.00010000000000000002);
    CHECK(weather::whole_power(0.0254, 5) == 1.0572278210239998e-08);
    CHECK(weather::whole_power(3.785411784e-3, -2) == 69786.87324711631);
    CHECK(weather::whole_power(60, -1) == 1 / 60.);
    CHECK(weather::whole_power(3, 9) == 19683);
    CHECK(weather::whole_power(1e200, 2) == std::numeric_limits<double>::infinity());
    CHECK(weather::whole_power(1e-200, 2) == 0);
    CHECK(weather::whole_power(0.3048, 0) == 1);
}

TEST_SUITE_END();
