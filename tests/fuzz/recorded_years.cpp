#include <cmath>
#include <fstream>
#include <optional>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

#include "tests/fuzz/targets.hpp"
#include "tests/fuzz/whole_years.hpp"
#include "tests/support/command.hpp"
#include "weather/read_recorded_years.hpp"
#include "weather/read_second_record.hpp"
#include "weather/weather_error.hpp"

namespace {

using namespace holdwater::weather;

unsigned first_byte(std::string_view& text) {
    if (text.empty()) return 0;
    auto const byte = static_cast<unsigned char>(text[0]);
    text.remove_prefix(1);
    return byte;
}

// First byte of each text: whole years of its last 24 lines, how the rows begin, the first year, how many.
std::string file_of(std::string_view text) {
    using enum holdwater::fuzz::DateFields;
    unsigned const choice = first_byte(text);
    if ((choice & 1) == 0) return std::string(text);
    constexpr std::array formats{month_day, year_month_day, us_date, iso_date};
    return holdwater::fuzz::whole_years(text, formats[(choice >> 1) & 3],
                                        1996 + static_cast<int>((choice >> 3) & 7),
                                        (choice & 64) != 0 ? 2 : 1);
}

void check(RecordedYears const& record) {
    auto const must = [](bool holds, char const* what) {
        if (!holds) throw std::logic_error(what);
    };
    must(!record.lights.empty(), "no light");
    for (auto const& light : record.lights) {
        must(!light.chains.empty(), "a light without years");
        std::set<int> seen;
        for (auto const& chain : light.chains) {
            must(!chain.years.empty(), "an empty chain");
            for (std::size_t i = 0; i < chain.years.size(); ++i) {
                must(chain.years[i].year == chain.first_year() + static_cast<int>(i), "a chain with a gap");
                must(seen.insert(chain.years[i].year).second, "a year twice");
                validate(chain.years[i].weather);
            }
        }
    }
}

}  // namespace

// One to three files of a record, separated by the byte 30, perhaps with a column map; the last one may be
// the file of temperature and wind. They may be refused with WeatherError and nothing else; the years that
// are returned must be valid, and consecutive within a chain. First byte: which of this, and how the files
// are read.
void holdwater::fuzz::recorded_years(std::string_view bytes) {
    static test::ScratchFolder const folder;
    unsigned const choice = first_byte(bytes);
    std::vector<std::string> texts;
    while (texts.size() < 3) {
        auto const end = texts.size() == 2 ? std::string_view::npos : bytes.find('\x1e');
        texts.push_back(file_of(bytes.substr(0, end)));
        if (end == std::string_view::npos) break;
        bytes.remove_prefix(end + 1);
    }
    try {
        RecordOptions options;
        options.reading.allow_long_gaps = (choice & 1) != 0;
        if ((choice & 2) != 0) options.reading.stamp = Stamp::middle;
        if ((choice & 4) != 0) {
            ColumnMap map;
            map.site = {40, -105, 1600, -7};
            map.time = "time";
            map.ghi = {"ghi", "W/m2"};
            map.temperature = {"temperature", "degC"};
            options.reading.columns = map;
        }
        if ((choice & 8) != 0) options.models = {LightModel::suny};
        if ((choice & 16) != 0 && texts.size() > 1) {
            options.reading.second =
                std::make_shared<SecondRecord const>(read_second_record_text(texts.back(), "second.csv"));
            texts.pop_back();
        }
        std::vector<WeatherPath> files;
        for (auto const& text : texts) {
            auto const path = folder / (std::to_string(files.size()) + ".csv");
            std::ofstream(path, std::ios::binary | std::ios::trunc) << text;
            files.push_back({path.string(), (choice & 32) == 0});
        }
        (void)is_record(files, options);
        check(read_recorded_years(files, options));
    } catch (WeatherError const&) {
    }
}
