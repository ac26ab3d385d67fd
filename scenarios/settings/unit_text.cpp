#include "scenarios/settings/unit_text.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include "models/numeric/read_double.hpp"
#include "models/numeric/trade_units.hpp"

namespace holdwater::scenarios {
namespace {

using models::m3_per_gal, models::m3_s_per_gpm, models::m_per_ft, models::kpa_per_psi, models::w_per_hp;

constexpr double m_per_mile = 1609.344, c_per_f = 1 / 1.8, f_offset = 32;

enum class Kind { pressure, flow, daily, volume, length, distance, temperature, shaft, fuel };

// A unit as it may appear in a text, and its size in the SI unit of its kind (kPa, m3/s, m3/day, m3, m, m,
// degC, W, L/h).
struct Known {
    std::string_view name;
    Kind kind = Kind::pressure;
    double factor = 1, offset = 0;
    std::optional<UnitSystem> shown_in;  ///< nothing: converted in either system
};

constexpr auto us = UnitSystem::us, metric = UnitSystem::metric;
constexpr std::array units{Known{"kPa", Kind::pressure, 1, 0, {}},
                           Known{"bar", Kind::pressure, 100, 0, metric},
                           Known{"psi", Kind::pressure, kpa_per_psi, 0, us},
                           Known{"m3/s", Kind::flow, 1, 0, {}},
                           Known{"m3/h", Kind::flow, 1.0 / 3600, 0, {}},
                           Known{"L/s", Kind::flow, 1e-3, 0, {}},
                           Known{"L/min", Kind::flow, 1e-3 / 60, 0, metric},
                           Known{"gal/min", Kind::flow, m3_s_per_gpm, 0, {}},
                           Known{"gpm", Kind::flow, m3_s_per_gpm, 0, us},
                           Known{"m3/day", Kind::daily, 1, 0, {}},
                           Known{"L/day", Kind::daily, 1e-3, 0, metric},
                           Known{"gal/day", Kind::daily, m3_per_gal, 0, us},
                           Known{"gpd", Kind::daily, m3_per_gal, 0, us},
                           Known{"m3", Kind::volume, 1, 0, {}},
                           Known{"L", Kind::volume, 1e-3, 0, metric},
                           Known{"gal", Kind::volume, m3_per_gal, 0, us},
                           Known{"km", Kind::distance, 1e3, 0, metric},
                           Known{"mi", Kind::distance, m_per_mile, 0, us},
                           Known{"m", Kind::length, 1, 0, metric},
                           Known{"ft", Kind::length, m_per_ft, 0, us},
                           Known{"degC", Kind::temperature, 1, 0, {}},
                           Known{"°C", Kind::temperature, 1, 0, metric},
                           Known{"degF", Kind::temperature, c_per_f, f_offset, {}},
                           Known{"°F", Kind::temperature, c_per_f, f_offset, us},
                           Known{"hp", Kind::shaft, w_per_hp, 0, us},
                           Known{"L/h", Kind::fuel, 1, 0, metric},
                           Known{"gal/h", Kind::fuel, 1e3 * m3_per_gal, 0, us}};

Known const& shown_unit(Kind kind, UnitSystem system) {
    static constexpr Known watt{"kW", Kind::shaft, 1e3, 0, metric};
    if (kind == Kind::shaft && system == metric) return watt;
    for (auto const& unit : units)
        if (unit.kind == kind && unit.shown_in == system) return unit;
    return units.front();  // every kind has one in either system
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_word(char c) {
    return is_digit(c) || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_' ||
           static_cast<unsigned char>(c) >= 0x80;
}

// True before a number that is the rest of another one: "1.5", "1/2", "1-1/2".
bool is_joint(char c) { return c == '.' || c == '/' || c == '-'; }

// A number such as "1,200.5", "-3" or "6.3e-05", and how many characters it has; 0: none.
std::size_t number_at(std::string_view text, std::size_t at, double& value) {
    std::size_t end = at;
    std::string plain;
    if (end < text.size() && text[end] == '-') plain += text[end++];
    std::size_t const first = end;
    while (end < text.size()) {
        bool const comma = text[end] == ',' && end > first && end + 3 < text.size() &&
                           is_digit(text[end + 1]) && is_digit(text[end + 2]) && is_digit(text[end + 3]);
        bool const point = text[end] == '.' && end > first && end + 1 < text.size() &&
                           is_digit(text[end + 1]) && plain.find('.') == std::string::npos;
        if (!is_digit(text[end]) && !comma && !point) break;
        if (!comma) plain += text[end];
        ++end;
    }
    if (end == first) return 0;
    auto after = end;
    if (after + 1 < text.size() && text[after] == 'e' && (text[after + 1] == '-' || text[after + 1] == '+')) {
        after += 2;
        auto const digits = after;
        while (after < text.size() && is_digit(text[after])) ++after;
        if (after > digits) {
            plain.append(text.substr(end, after - end));
            end = after;
        }
    }
    auto const read = models::read_double(plain.data(), plain.data() + plain.size(), value);
    return read.ec == std::errc{} ? end - at : 0;
}

Known const* unit_at(std::string_view text, std::size_t at) {
    Known const* longest = nullptr;
    for (auto const& unit : units) {
        if (text.substr(at, unit.name.size()) != unit.name) continue;
        auto const end = at + unit.name.size();
        bool const ends = end >= text.size() || (!is_word(text[end]) && text[end] != '/' && text[end] != '^');
        if (ends && (longest == nullptr || unit.name.size() > longest->name.size())) longest = &unit;
    }
    return longest;
}

std::string figure(double value) {
    if (std::abs(value) < 999.5) return fmt::format("{:.3g}", value == 0 ? 0.0 : value);
    std::string text = fmt::format("{:.0f}", value);
    std::size_t const begin = text.front() == '-' ? 1 : 0;
    for (std::size_t place = text.size(); place > begin + 3;) text.insert(place -= 3, 1, ',');
    return text;
}

double converted(double value, Known const& from, Known const& to) {
    return (value - from.offset) * from.factor / to.factor + to.offset;
}

// One or two numbers and their unit from `at` on.
struct Found {
    std::vector<double> numbers;
    std::string_view between;
    Known const* unit = nullptr;
    std::size_t length = 0;
};

std::optional<Found> quantity_at(std::string_view text, std::size_t at) {
    Found found;
    double value = 0;
    std::size_t end = at;
    auto const first = number_at(text, at, value);
    if (first == 0) return std::nullopt;
    found.numbers.push_back(value);
    end += first;
    for (std::string_view const between : {"..", " to ", "-"}) {
        if (text.substr(end, between.size()) != between) continue;
        auto const second = number_at(text, end + between.size(), value);
        if (second == 0) continue;
        found.numbers.push_back(value);
        found.between = between == ".." ? std::string_view(" to ") : between;
        end += between.size() + second;
        break;
    }
    if (end >= text.size() || text[end] != ' ') return std::nullopt;
    found.unit = unit_at(text, end + 1);
    if (found.unit == nullptr) return std::nullopt;
    found.length = end + 1 + found.unit->name.size() - at;
    return found;
}

std::string shown(Found const& found, UnitSystem system) {
    Known const& to = shown_unit(found.unit->kind, system);
    std::string text = figure(converted(found.numbers.front(), *found.unit, to));
    if (found.numbers.size() > 1)
        text += std::string(found.between) + figure(converted(found.numbers.back(), *found.unit, to));
    return text + " " + std::string(to.name);
}

// `text` with every quantity replaced by the result of `show`.
template <class Show>
std::string with_quantities(std::string_view text, Show const& show) {
    std::string out;
    bool quoted = false;
    for (std::size_t at = 0; at < text.size();) {
        if (text[at] == '"') quoted = !quoted;
        bool const begins = !quoted && (at == 0 || (!is_word(text[at - 1]) && !is_joint(text[at - 1])));
        auto const found = begins ? quantity_at(text, at) : std::nullopt;
        if (found) {
            out += show(*found, text.substr(at, found->length));
            at += found->length;
        } else {
            out += text[at++];
        }
    }
    return out;
}

std::string in_system(Found const& found, std::string_view typed, UnitSystem system) {
    return found.unit->shown_in == system ? std::string(typed) : shown(found, system);
}

}  // namespace

std::string in_units(UnitSystem system, std::string_view text) {
    return with_quantities(text, [system](Found const& found, std::string_view typed) {
        return in_system(found, typed, system);
    });
}

std::string in_both_units(std::string_view text) {
    return with_quantities(text, [](Found const& found, std::string_view typed) {
        return in_system(found, typed, metric) + " (" + in_system(found, typed, us) + ")";
    });
}

UnitSystem system_of(std::string_view text) {
    for (std::size_t at = 0; at < text.size(); ++at) {
        if (at > 0 && (is_word(text[at - 1]) || text[at - 1] == '.')) continue;
        double value = 0;
        auto const digits = number_at(text, at, value);
        if (digits == 0 || at + digits >= text.size()) continue;
        auto const behind = text.substr(at + digits + (text[at + digits] == ' ' ? 1 : 0));
        auto const* const unit = unit_at(behind, 0);
        if (unit != nullptr && unit->shown_in == us) return us;
        bool const inches = behind.starts_with("in") && (behind.size() == 2 || !is_word(behind[2]));
        if (inches || behind.starts_with("gal/min")) return us;
    }
    return metric;
}

}  // namespace holdwater::scenarios
