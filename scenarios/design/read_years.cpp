#include "scenarios/design/read_years.hpp"

#include <array>

namespace holdwater::scenarios {

void read_required(Section& root, YearsRequired& required) {
    auto section = root.optional_table("required");
    if (!section) return;
    Section& s = *section;
    required.years_without_shortage =
        s.number("years_without_shortage", {0.01, 1}, required.years_without_shortage);
    required.hours_short_allowed = s.quantity("hours_short_allowed", "h", {0, 8760}, 0);
    required.longest_shortage_limit_h = s.quantity("longest_shortage_limit", "h", {0, 8760}, no_limit);
    required.judge_new = s.choice("judge",
                                  std::array{std::pair{std::string_view("end-of-life"), false},
                                             std::pair{std::string_view("new"), true}},
                                  false);
    s.finish();
}

void read_made_years(Section& weather, YearsSettings& years) {
    years.made = weather.count("made_years", 0, 10000, years.made);
    years.seed = static_cast<std::uint64_t>(weather.count("seed", 0, 2147483647, 1));
}

}  // namespace holdwater::scenarios
