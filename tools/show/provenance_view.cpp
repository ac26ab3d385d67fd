#include "tools/show/provenance_view.hpp"

#include "scenarios/settings/unit_text.hpp"

namespace holdwater::tools {

std::string provenance_text(std::vector<std::string> const& lines, Units units) {
    if (lines.empty()) return "";
    std::string out = "\nRests on:\n";
    for (auto const& line : lines) out += "  - " + scenarios::in_units(units, line) + "\n";
    return out;
}

void add_provenance(nlohmann::ordered_json& json, std::vector<std::string> const& lines) {
    if (!lines.empty()) json["rests_on"] = lines;
}

std::string provenance_file_text(std::vector<std::string> const& lines) {
    std::string out;
    for (auto const& line : lines) out += line + "\n";
    return out;
}

}  // namespace holdwater::tools
