// Writes unit_table.cpp: every unit name, symbol and prefix of the UDUNITS-2 database, with its factor,
// offset and base units as UDUNITS computes them, and the trade's units. The build runs it; Holdwater itself
// does not use UDUNITS.
//
//   make_unit_table FILE
//
// Possible names come from the XML files of the database. UDUNITS then says whether each is a unit, and
// which.
#include <fmt/format.h>
#include <udunits2.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cstdio>
#include <exception>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>

namespace {

constexpr std::array<char const*, 8> base{"meter",  "kilogram", "second",  "ampere",
                                          "kelvin", "mole",     "candela", "radian"};

// The trade's units. UDUNITS reads "gal" as an acceleration (cm/s2) and rounds gallon and hp to seven digits.
// Gallon: 231 cubic inches; foot, inch, pound-force and mile by their exact definitions (NIST Special
// Publication 811, 2008, appendix B, from memory). Acre: 43,560 square feet, the foot being 0.3048 m.
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

struct FreeUnit {
    void operator()(ut_unit* unit) const { ut_free(unit); }
};
using UnitOf = std::unique_ptr<ut_unit, FreeUnit>;

// A unit in base units, taken apart by UDUNITS.
struct Parts {
    ut_system* system = nullptr;
    double scale = 1, offset = 0;
    std::array<int, base.size()> powers{};
    bool straight = true;  // false: a logarithm or a date, which are no multiple of anything

    void add(ut_unit const* unit, int power) {
        for (std::size_t i = 0; i < base.size(); ++i) {
            UnitOf const one(ut_get_unit_by_name(system, base[i]));
            if (one && ut_compare(unit, one.get()) == 0) {
                powers[i] += power;
                return;
            }
        }
        throw std::runtime_error("the UDUNITS-2 database has a base unit that Holdwater does not have");
    }
};

Parts& parts(void* pointer) { return *static_cast<Parts*>(pointer); }

ut_status visit_basic(ut_unit const* unit, void* to) {
    parts(to).add(unit, 1);
    return UT_SUCCESS;
}
ut_status visit_product(ut_unit const*, int count, ut_unit const* const* units, int const* powers, void* to) {
    for (int i = 0; i < count; ++i) parts(to).add(units[i], powers[i]);
    return UT_SUCCESS;
}
ut_status visit_galilean(ut_unit const*, double scale, ut_unit const* of, double offset, void* to);
ut_status visit_time(ut_unit const*, ut_unit const*, double, void* to) {
    parts(to).straight = false;
    return UT_SUCCESS;
}
ut_status visit_logarithm(ut_unit const*, double, ut_unit const*, void* to) {
    parts(to).straight = false;
    return UT_SUCCESS;
}
constexpr ut_visitor visitor{visit_basic, visit_product, visit_galilean, visit_time, visit_logarithm};
ut_status visit_galilean(ut_unit const*, double scale, ut_unit const* of, double offset, void* to) {
    parts(to).scale = scale;
    parts(to).offset = offset;
    return ut_accept_visitor(of, &visitor, to);
}

std::optional<Parts> parts_of(ut_system* system, ut_unit const* unit) {
    Parts found{.system = system};
    if (unit == nullptr || ut_accept_visitor(unit, &visitor, &found) != UT_SUCCESS || !found.straight)
        return std::nullopt;
    return found;
}

std::string lower(std::string text) {
    for (char& c : text)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return text;
}

// "&#xB0;" as UTF-8; the characters of units have at most three bytes.
std::string without_entities(std::string const& text) {
    std::string plain;
    for (std::size_t at = 0; at < text.size();) {
        if (text.compare(at, 3, "&#x") != 0) {
            plain += text[at++];
            continue;
        }
        auto const end = text.find(';', at);
        auto const code = static_cast<unsigned>(std::stoul(text.substr(at + 3, end - at - 3), nullptr, 16));
        auto const put = [&](unsigned byte) { plain += static_cast<char>(byte); };
        if (code < 0x80U) {
            put(code);
        } else if (code < 0x800U) {
            put(0xC0U | (code >> 6U)), put(0x80U | (code & 0x3FU));
        } else {
            put(0xE0U | (code >> 12U)), put(0x80U | ((code >> 6U) & 0x3FU)), put(0x80U | (code & 0x3FU));
        }
        at = end + 1;
    }
    return plain;
}

// What stands between <tag ...> and </tag>, wherever it does.
void collect(std::string const& text, std::string const& tag, std::set<std::string>& into) {
    for (std::size_t at = 0; (at = text.find("<" + tag, at)) != std::string::npos;) {
        auto const from = text.find('>', at), to = text.find('<', from);
        if (from == std::string::npos || to == std::string::npos) return;
        auto const found = without_entities(text.substr(from + 1, to - from - 1));
        auto const first = found.find_first_not_of(" \t\r\n");
        if (first != std::string::npos)
            into.insert(found.substr(first, found.find_last_not_of(" \t\r\n") - first + 1));
        at = to;
    }
}

// Every text of the database that may be a name or symbol of a unit or a prefix.
std::set<std::string> candidates(std::filesystem::path const& database) {
    std::set<std::string> all;
    for (auto const& entry : std::filesystem::directory_iterator(database.parent_path())) {
        if (entry.path().extension() != ".xml") continue;
        std::ifstream file(entry.path());
        std::string const text{std::istreambuf_iterator<char>(file), {}};
        for (char const* tag : {"singular", "plural", "symbol", "name"}) collect(text, tag, all);
    }
    for (auto const& name : std::set<std::string>(all)) {
        all.insert(name + "s");
        all.insert(name + "es");
        if (name.ends_with('y')) all.insert(name.substr(0, name.size() - 1) + "ies");
    }
    return all;
}

std::string quoted(std::string const& text) {
    std::string out = "\"";
    for (char const c : text) {
        auto const byte = static_cast<unsigned char>(c);
        if (c == '"' || c == '\\')
            out += '\\', out += c;
        else if (byte > 0x7E)
            out += fmt::format("\\{:03o}", byte);
        else
            out += c;
    }
    return out + "\"";
}

std::string table(char const* function, std::map<std::string, Parts> const& units) {
    std::string out = fmt::format("constexpr NamedUnit {}_table[] = {{\n", function);
    for (auto const& [name, p] : units)
        out += fmt::format("    {{{}, {{{:a}, {:a}, {{{}}}}}}},\n", quoted(name), p.scale, p.offset,
                           fmt::join(p.powers, ", "));
    return out + fmt::format("}};\nstd::span<NamedUnit const> {0}() {{ return {0}_table; }}\n\n", function);
}

std::string table(char const* function, std::map<std::string, double> const& prefixes) {
    std::string out = fmt::format("constexpr UnitPrefix {}_table[] = {{\n", function);
    for (auto const& [name, factor] : prefixes)
        out += fmt::format("    {{{}, {:a}}},\n", quoted(name), factor);
    return out + fmt::format("}};\nstd::span<UnitPrefix const> {0}() {{ return {0}_table; }}\n\n", function);
}

// A prefix alone is no unit, but with "meter" or "m" behind it is one.
std::optional<double> prefix(ut_system* system, std::string const& text, char const* meter) {
    UnitOf const unit(ut_parse(system, (text + meter).c_str(), UT_UTF8));
    auto const found = parts_of(system, unit.get());
    if (!found || found->powers != std::array<int, base.size()>{1}) return std::nullopt;
    return found->scale;
}

std::string all_tables(ut_system* system, std::filesystem::path const& database) {
    std::map<std::string, Parts> names, symbols, trades;
    std::map<std::string, double> prefixes_by_name, prefixes_by_symbol;
    std::set<std::string> prefix_names, prefix_symbols;
    std::ifstream file(database.parent_path() / "udunits2-prefixes.xml");
    std::string const text{std::istreambuf_iterator<char>(file), {}};
    collect(text, "name", prefix_names);
    collect(text, "symbol", prefix_symbols);
    for (auto const& name : prefix_names)
        if (auto const factor = prefix(system, name, "meter")) prefixes_by_name[lower(name)] = *factor;
    for (auto const& symbol : prefix_symbols)
        if (auto const factor = prefix(system, symbol, "m")) prefixes_by_symbol[symbol] = *factor;
    for (auto const& candidate : candidates(database)) {
        UnitOf const by_name(ut_get_unit_by_name(system, candidate.c_str())),
            by_symbol(ut_get_unit_by_symbol(system, candidate.c_str()));
        if (auto const p = parts_of(system, by_name.get())) names[lower(candidate)] = *p;
        if (auto const p = parts_of(system, by_symbol.get())) symbols[candidate] = *p;
    }
    for (auto const& [name, definition] : trade) {
        UnitOf const unit(ut_parse(system, definition, UT_UTF8));
        auto const p = parts_of(system, unit.get());
        if (!p) throw std::runtime_error(fmt::format("the UDUNITS-2 database does not know {}", definition));
        trades[name] = *p;
    }
    if (names.size() < 300 || symbols.size() < 100 || prefixes_by_name.size() != 20)
        throw std::runtime_error("the UDUNITS-2 database has fewer units than Holdwater needs");
    return "// Written by make_unit_table from the UDUNITS-2 database.\n"
           "#include \"weather/units/unit_table.hpp\"\n\nnamespace holdwater::weather {\n\n" +
           table("unit_names", names) + table("unit_symbols", symbols) + table("trade_units", trades) +
           table("prefix_names", prefixes_by_name) + table("prefix_symbols", prefixes_by_symbol) +
           "}  // namespace holdwater::weather\n";
}

}  // namespace

int main(int argc, char** argv) try {
    if (argc != 2) throw std::runtime_error("usage: make_unit_table FILE");
    ut_set_error_message_handler(ut_ignore);
    std::unique_ptr<ut_system, void (*)(ut_system*)> const system(ut_read_xml(nullptr), ut_free_system);
    if (!system)
        throw std::runtime_error("the UDUNITS-2 database cannot be read (Debian package libudunits2-data)");
    ut_status status = UT_SUCCESS;
    auto const text = all_tables(system.get(), ut_get_path_xml(nullptr, &status));
    std::ofstream out(argv[1]);
    out << text;
    if (!out.flush()) throw std::runtime_error(fmt::format("{} cannot be written", argv[1]));
    return 0;
} catch (std::exception const& error) {
    std::fprintf(stderr, "make_unit_table: %s\n", error.what());
    return 1;
}
