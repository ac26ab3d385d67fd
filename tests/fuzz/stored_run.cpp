#include "sim/files/stored_run.hpp"

#include <H5Cpp.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <stdexcept>

#include "scenarios/design/design.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "sim/files/hdf5_values.hpp"
#include "sim/files/seal.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/year/simulate.hpp"
#include "tests/fuzz/made_year.hpp"
#include "tests/fuzz/targets.hpp"
#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

namespace {

using namespace holdwater;

struct Place {
    test::ScratchFolder folder;
    std::string path = (folder / "run.h5").string();
    std::string whole;  // a good file
    Place() {
        std::string const scenario = HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml";
        auto const file = scenarios::read_design_file(scenario);
        auto const design = scenarios::base_design(file).scenario;
        sim::RunInputs in;
        in.scenario_text = file.text;
        in.scenario_path = scenario;
        in.weather = fuzz::made_year();
        auto const run =
            sim::simulate(sim::make_system(design), sim::make_inputs(design, in.weather), {0, 24});
        sim::write_result(path, run, in);
        whole = test::file_text(path);
    }
};

// The next byte of the text, 0 if there is none.
unsigned next(std::string_view& bytes) {
    if (bytes.empty()) return 0;
    auto const byte = static_cast<unsigned char>(bytes[0]);
    bytes.remove_prefix(1);
    return byte;
}

// Removes or replaces something in the file or in a group of /inputs: valid HDF5 that is not a result.
void spoil(H5::H5File& file, std::string_view& bytes) {
    std::vector<std::string> const attributes{
        "weather_path", "weather_format", "weather_station", "latitude_deg", "longitude_deg",
        "elevation_m",  "utc_offset_h",   "option",          "version",      "first_hour",
        "hours",        "years",          "scenario_path"};
    std::vector<std::string> const datasets{"/inputs/scenario",
                                            "/inputs/warnings",
                                            "/inputs/weather_repairs",
                                            "/inputs/wiring_notes",
                                            "/inputs/weather/ghi",
                                            "/inputs/weather/dni",
                                            "/inputs/weather/dhi",
                                            "/inputs/weather/wind",
                                            "/inputs/weather/file_year",
                                            "/inputs/weather/temperature",
                                            "/events",
                                            "/series/battery_soc",
                                            "/daily/battery_soc_min",
                                            "/inputs/weather/albedo",
                                            "/series",
                                            "/summary",
                                            "/findings",
                                            "/inputs/weather"};
    unsigned const what = next(bytes) % 6;
    double const number =
        next(bytes) % 4 == 0 ? static_cast<double>(next(bytes)) - 100 : 1e300 * (next(bytes) - 128.0);
    if (what < 3) {
        auto inputs = file.openGroup("/inputs");
        auto const name = attributes[next(bytes) % attributes.size()];
        if (inputs.attrExists(name)) inputs.removeAttr(name);
        if (what == 1) sim::put_number(inputs, name, number);
        if (what == 2) sim::put_text(inputs, name, bytes.substr(0, 40));
        return;
    }
    auto const name = datasets[next(bytes) % datasets.size()];
    if (file.nameExists(name)) file.unlink(name);
    auto group = file.openGroup("/");
    if (what == 4) sim::put_column(group, name, std::vector<double>(1 + 37 * next(bytes), number));
    if (what == 5) sim::put_long_text(group, name, bytes);
}

}  // namespace

// Reads a file that is not a result, damaged or with wrong content, as a result. First byte: 0 the bytes as
// they are, 1 a good file with the bytes written over a part of it, otherwise a well-formed file with a valid
// checksum but wrong content. It must be refused with a message, or it is a run that can be tried.
void holdwater::fuzz::stored_run(std::string_view bytes) {
    static Place const place;
    H5::Exception::dontPrint();
    unsigned const kind = next(bytes) % 8;
    std::string content = place.whole;
    if (kind == 0) content = bytes;
    if (kind == 1) {
        std::size_t const at = (next(bytes) * 65536 + next(bytes) * 256 + next(bytes)) % content.size();
        bytes = bytes.substr(0, content.size() - at);
        content.replace(at, bytes.size(), bytes);
    }
    std::ofstream(place.path, std::ios::binary | std::ios::trunc) << content;
    if (kind > 1) {
        try {
            H5::H5File file(place.path, H5F_ACC_RDWR);
            for (unsigned i = 0; i < kind; ++i) spoil(file, bytes);
        } catch (H5::Exception const&) {  // what was to be changed is already gone
        }
        content = sim::sealed(test::file_text(place.path));
        std::ofstream(place.path, std::ios::binary | std::ios::trunc) << content;
    }
    try {
        auto const run = sim::read_stored_run(place.path);
        if (kind < 2 && content != place.whole)
            throw std::logic_error("a damaged file is taken for a result");
        if (run.clock.hours <= 48 && run.inputs.years < 3) sim::repeat(run);
    } catch (sim::ResultFileError const&) {
    } catch (scenarios::ScenarioError const&) {
    }
}
