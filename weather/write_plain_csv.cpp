#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <string>

#include "weather/weather_maker.hpp"

namespace holdwater::weather {

namespace {

/// One line of text for a field or comment.
std::string one_line(std::string text) {
    for (char& c : text)
        if (c == '\n' || c == '\r' || c == '"') c = ' ';
    return text;
}

/// So that -0.00 is written as 0.00.
double without_minus_zero(double value) { return value > -0.005 && value <= 0 ? 0 : value; }

}  // namespace

std::string plain_csv_of(WeatherYear const& year) {
    fmt::memory_buffer text;
    auto to = std::back_inserter(text);
    for (std::size_t at = 0; at < year.note.size();) {
        auto const end = std::min(year.note.find('\n', at), year.note.size());
        fmt::format_to(to, "# {}\n", one_line(year.note.substr(at, end - at)));
        at = end + 1;
    }
    bool const has_albedo = !year.albedo.empty();
    fmt::format_to(
        to,
        "station,\"{}\"\n{}latitude_deg,{}\nlongitude_deg,{}\nelevation_m,{}\nutc_offset_h,{}"
        "\nstamp,start\ninterval_min,60\n",
        one_line(year.station), year.state.empty() ? "" : fmt::format("state,\"{}\"\n", one_line(year.state)),
        year.site.latitude_deg, year.site.longitude_deg, year.site.elevation_m, year.site.utc_offset_h);
    fmt::format_to(to,
                   "year,month,day,hour,ghi [W/m2],dni [W/m2],dhi [W/m2],temperature [degC],wind [m/s]{}\n",
                   has_albedo ? ",albedo [1]" : "");
    for (std::size_t i = 0; i < hours_per_year; ++i) {
        auto const at = calendar_hour(static_cast<int>(i));
        fmt::format_to(to, "{},{},{},{},{:.2f},{:.2f},{:.2f},{:.2f},{:.2f}", year.file_year[i], at.month,
                       at.day, at.hour, year.ghi_w_m2[i], year.dni_w_m2[i], year.dhi_w_m2[i],
                       without_minus_zero(year.temperature_c[i]), year.wind_m_s[i]);
        if (has_albedo) fmt::format_to(to, ",{:.3f}", year.albedo[i]);
        text.push_back('\n');
    }
    return fmt::to_string(text);
}

}  // namespace holdwater::weather
