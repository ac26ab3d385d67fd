#include "sim/files/hdf5_limits.hpp"

#include <doctest/doctest.h>
#include <sys/resource.h>
#include <sys/stat.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <functional>

#include "scenarios/design/design.hpp"
#include "sim/files/hdf5_values.hpp"
#include "sim/files/result_file.hpp"
#include "sim/files/seal.hpp"
#include "sim/files/stored_run.hpp"
#include "sim/inputs/make_inputs.hpp"
#include "sim/inputs/make_system.hpp"
#include "sim/sweep/sweep_store.hpp"
#include "sim/year/simulate.hpp"
#include "tests/fuzz/made_year.hpp"
#include "tests/support/command.hpp"
#include "tests/support/places.hpp"

// Files with a valid checksum that are made to harm the reader.

using namespace holdwater;
using test::file_text, test::ScratchFolder;

namespace {

std::string good_run(ScratchFolder const& folder) {
    std::string const scenario = HOLDWATER_SOURCE "/scenarios/saltbush-livestock.toml";
    auto const file = scenarios::read_design_file(scenario);
    auto const design = scenarios::base_design(file).scenario;
    sim::RunInputs in;
    in.scenario_text = file.text;
    in.scenario_path = scenario;
    in.weather = fuzz::made_year();
    auto const path = (folder / "good.h5").string();
    sim::write_result(
        path, sim::simulate(sim::make_system(design), sim::make_inputs(design, in.weather), {0, 24}), in);
    return path;
}

using Change = std::function<void(H5::H5File&)>;

// The file changed, with a new checksum.
std::string crafted(std::string const& good, std::string const& to, Change const& change) {
    std::filesystem::copy_file(good, to, std::filesystem::copy_options::overwrite_existing);
    {
        H5::H5File file(to, H5F_ACC_RDWR);
        change(file);
    }
    auto const bytes = sim::sealed(file_text(to));
    std::ofstream(to, std::ios::binary | std::ios::trunc) << bytes;
    return to;
}

Change column(std::string const& name, hsize_t size, std::function<void(H5::DSetCreatPropList&)> const& how) {
    return [=](H5::H5File& file) {
        if (file.nameExists(name)) file.unlink(name);
        H5::DSetCreatPropList properties;
        how(properties);
        file.createDataSet(name, H5::PredType::NATIVE_DOUBLE, H5::DataSpace(1, &size), properties);
    };
}

void plain(H5::DSetCreatPropList&) {}
std::function<void(H5::DSetCreatPropList&)> chunked(hsize_t chunk) {
    return [=](H5::DSetCreatPropList& p) {
        p.setChunk(1, &chunk);
        p.setDeflate(1);
    };
}

struct Row {
    std::string says;
    Change change;
};

#ifndef __SANITIZE_ADDRESS__
long memory_kib() {
    rusage usage{};
    ::getrusage(RUSAGE_SELF, &usage);
    return usage.ru_maxrss;
}
#endif

// Refused with a message within a second and with little memory.
void refused(std::string const& says, std::function<void()> const& read) {
    CAPTURE(says);
    auto const began = std::chrono::steady_clock::now();
#ifndef __SANITIZE_ADDRESS__
    long const before = memory_kib();
#endif
    std::string message = "was read";
    try {
        read();
    } catch (sim::ResultFileError const& error) {
        message = error.what();
    }
    CAPTURE(message);
    CHECK(message.find(says) != std::string::npos);
    CHECK(std::chrono::steady_clock::now() - began < std::chrono::seconds(5));
#ifndef __SANITIZE_ADDRESS__
    CHECK(memory_kib() - before < 200 * 1024);
#endif
}

}  // namespace

TEST_SUITE_BEGIN("sim/hdf5_limits");

TEST_CASE("sealed results of any size, with links and values elsewhere are refused before they are read") {
    ScratchFolder folder;
    auto const good = good_run(folder);
    CHECK_NOTHROW(sim::read_stored_run(good));
    auto const fifo = (folder / "fifo").string();
    REQUIRE(::mkfifo(fifo.c_str(), 0600) == 0);
    hsize_t const huge = hsize_t{1} << 40;
    auto const put_number = [](std::string const& name, double value) {
        return [=](H5::H5File& file) {
            auto inputs = file.openGroup("/inputs");
            inputs.removeAttr(name);
            sim::put_number(inputs, name, value);
        };
    };
    std::vector<Row> const rows{
        {"take more than 96 MiB", column("/series/battery_soc", huge, chunked(4096))},
        {"take more than 96 MiB", column("/series/new", huge, plain)},
        {"take more than 96 MiB", column("/inputs/weather/ghi", 20000000, chunked(4096))},
        {"take more than 96 MiB",
         [](H5::H5File& file) {
             for (int i = 0; i < 20; ++i) column("/years" + std::to_string(i), 1000000, chunked(4096))(file);
         }},
        {"is packed in pieces of more than 32 MiB", column("/series/new", 5000000, chunked(5000000))},
        {"has its values in other files",
         column("/series/new", 1000,
                [&](H5::DSetCreatPropList& p) { p.setExternal("/dev/zero", 0, H5F_UNLIMITED); })},
        {"is packed in a way that is not used here", column("/series/new", 1000,
                                                            [](H5::DSetCreatPropList& p) {
                                                                hsize_t const chunk = 100;
                                                                p.setChunk(1, &chunk);
                                                                p.setFletcher32();
                                                            })},
        {"is a link to another place",
         [&](H5::H5File& file) {
             file.unlink("/daily");
             H5Lcreate_external(fifo.c_str(), "/daily", file.getId(), "/daily", H5P_DEFAULT, H5P_DEFAULT);
         }},
        {"is a link to another place",
         [](H5::H5File& file) {
             H5Lcreate_soft("/series", file.getId(), "/again", H5P_DEFAULT, H5P_DEFAULT);
         }},
        {"lies in groups within groups",
         [](H5::H5File& file) {
             std::string path = "/series";
             for (int i = 0; i < 200; ++i) file.createGroup(path += "/g");
         }},
        // A group within itself.
        {"lies in groups within groups",
         [](H5::H5File& file) {
             H5Lcreate_hard(file.getId(), "/series", file.getId(), "/series/a", H5P_DEFAULT, H5P_DEFAULT);
             H5Ldelete(file.getId(), "/series", H5P_DEFAULT);
             H5Lcreate_hard(file.getId(), "/daily", file.getId(), "/daily/a", H5P_DEFAULT, H5P_DEFAULT);
             file.createGroup("/daily/b");
             file.createGroup("/daily/b/c");
             file.createGroup("/daily/b/c/d");
         }},
        {"is one of more than 2000 objects",
         [](H5::H5File& file) {
             for (int i = 0; i < 2001; ++i) file.createGroup("/g" + std::to_string(i));
         }},
        {"is no table",
         [](H5::H5File& file) {
             H5::CompType type(std::size_t{8});
             type.insertMember("a", 0, H5::PredType::NATIVE_DOUBLE);
             type.commit(file, "/type");
         }},
        {"1 to 87600 is expected", put_number("hours", 1e7)},
        {"1 to 50 is expected", put_number("years", 1000)},
        {"longer than any scenario",
         [](H5::H5File& file) {
             file.unlink("/inputs/scenario");
             auto inputs = file.openGroup("/inputs");
             sim::put_long_text(inputs, "scenario", std::string(5000000, '\n'));
         }},
        {"a text of at most 1048576 bytes is expected",
         [](H5::H5File& file) {
             auto inputs = file.openGroup("/inputs");
             inputs.removeAttr("option");
             inputs
                 .createAttribute("option", H5::StrType(H5::PredType::C_S1, H5T_VARIABLE),
                                  H5::DataSpace(H5S_SCALAR))
                 .write(H5::StrType(H5::PredType::C_S1, H5T_VARIABLE), std::string("any"));
         }},
    };
    for (auto const& row : rows) {
        auto const path = crafted(good, (folder / "crafted.h5").string(), row.change);
        refused(row.says, [&] { (void)sim::read_stored_run(path); });
    }
}

TEST_CASE("control characters in a stored station's name do not reach who prints it") {
    ScratchFolder folder;
    auto const path = crafted(good_run(folder), (folder / "crafted.h5").string(), [](H5::H5File& file) {
        auto inputs = file.openGroup("/inputs");
        inputs.removeAttr("weather_station");
        sim::put_text(inputs, "weather_station", "A\x1b[2J\xc2\x9b B");
    });
    CHECK(sim::read_stored_run(path).inputs.weather.station == "A?[2J? B");
}

TEST_CASE("sealed sweeps with rows that cannot be are refused") {
    ScratchFolder folder;
    sim::SweepHead head;
    head.spec = {sim::SweepMethod::grid, {"battery.capacity=3 kWh,4 kWh"}, 0, 0};
    head.version = "test";
    head.figures = {{"square", "1", "of the capacity"}};
    sim::SweepBlock block;
    block.width = 1;
    block.settings = {{"3 kWh"}, {"4 kWh"}};
    block.figures = {9, sim::not_run};
    block.problems = {"", std::string(100000, 'x')};
    auto const good = (folder / "s.h5").string();
    sim::SweepWriter writer(good, head, 0, 2);
    writer.append(block);
    writer.close();
    CHECK(sim::fitting_shards({good})[0].read(0, 2).problems[1].size() == 100000);
    auto const set_count = [](std::string const& group, std::string const& name, std::uint64_t value) {
        return [=](H5::H5File& file) {
            file.openGroup(group).openAttribute(name).write(H5::PredType::NATIVE_UINT64, &value);
        };
    };
    std::vector<Row> const rows{
        {"its rows are not those of a sweep", set_count("/sweep", "first_row", 5)},
        {"its rows are not those of a sweep", set_count("/sweep", "end_row", std::uint64_t{1} << 60)},
        {"its rows are not those of a sweep", set_count("/inputs", "shards", std::uint64_t{1} << 60)},
        {"its rows are not those of a sweep", set_count("/inputs", "shards", 0)},
        {"columns differ in length",
         [](H5::H5File& file) {
             hsize_t const size = hsize_t{1} << 40;
             file.openDataSet("/sweep/square").extend(&size);
         }},
        {"its rows are not those of a sweep",
         [](H5::H5File& file) {
             hsize_t const size = hsize_t{1} << 40;
             for (auto const* name : {"battery.capacity", "ran", "square", "problem"})
                 file.openDataSet(std::string("/sweep/") + name).extend(&size);
         }},
        {"is a link to another place",
         [](H5::H5File& file) {
             file.unlink("/sweep/ran");
             H5Lcreate_external("/dev/zero", "/x", file.getId(), "/sweep/ran", H5P_DEFAULT, H5P_DEFAULT);
         }},
    };
    for (auto const& row : rows) {
        auto const path = crafted(good, (folder / "crafted.h5").string(), row.change);
        refused(row.says, [&] { (void)sim::fitting_shards({path}); });
    }
    // Every row names the same long text: more than a reader has room for.
    H5::StrType const text(H5::PredType::C_S1, H5T_VARIABLE);
    auto const path = crafted(good, (folder / "crafted.h5").string(), [&](H5::H5File& file) {
        auto data = file.openDataSet("/sweep/problem");
        std::string const long_one(std::size_t{3} << 20, 'x');
        std::vector<char const*> const both{long_one.c_str(), long_one.c_str()};
        data.write(both.data(), text);
    });
    refused("cannot be read", [&] { (void)sim::fitting_shards({path})[0].read(0, 2); });
}

TEST_CASE("a column whose values repeat is compressed, another one is not; both read back to the bit") {
    ScratchFolder folder;
    auto const path = (folder / "columns.h5").string();
    std::vector<double> steps, other;
    for (int h = 0; h < 8760; ++h) {
        steps.push_back(h / 24);  // 23 of 24 values are those of the hour before
        other.push_back(1 / (1.0 + h));
    }
    sim::write_hdf5(path, [&](H5::H5File& file) {
        auto group = file.createGroup("/series");
        sim::put_column(group, "steps", steps);
        sim::put_column(group, "other", other);
    });
    CHECK(sim::read_series(path, "steps") == steps);
    CHECK(sim::read_series(path, "other") == other);
    H5::H5File const file(path, H5F_ACC_RDONLY);
    CHECK(file.openDataSet("/series/steps").getStorageSize() < 8 * 8760 / 20);
    CHECK(file.openDataSet("/series/other").getStorageSize() == 8 * 8760);
}

TEST_SUITE_END();
