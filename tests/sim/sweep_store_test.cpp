#include "sim/sweep/sweep_store.hpp"

#include <doctest/doctest.h>
#include <sys/resource.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <iostream>
#include <optional>
#include <random>

#include "sim/files/result_file.hpp"
#include "sim/files/table_file.hpp"
#include "sim/sweep/output_file.hpp"
#include "sim/sweep/sweep_plan.hpp"
#include "tests/support/command.hpp"
#include "tests/support/message_of.hpp"
#include "tests/support/near.hpp"

using namespace holdwater;
using sim::RowRange, sim::SweepBlock, sim::SweepHead, sim::SweepStore;
using test::file_text, test::Near, test::ScratchFolder;

namespace {

// A sweep of a cheap function instead of a year: plan, files and interruptions are those of the command.
SweepHead cheap_head(std::size_t rows, std::uint64_t seed = 5) {
    SweepHead head;
    head.spec = {sim::SweepMethod::latin_hypercube,
                 {"battery.capacity=3 kWh..9 kWh", "array.sky_model=perez,isotropic"},
                 rows,
                 seed};
    head.scenario_text = "title = \"cheap\"\n";
    head.inputs_hash = "0";
    head.version = "test";
    head.figures = {{"square", "1", "of the capacity"}, {"row_number", "1", "from 0"}};
    return head;
}

void cheap_work(SweepBlock& block) {
    for (std::size_t i = 0; i < block.size(); ++i) {
        double const capacity = sim::number_in(block.settings[i][0]);
        if (capacity > 8.99) {
            block.problems[i] = "too large";
            continue;
        }
        block.figures_of(i)[0] = capacity * capacity;
        block.figures_of(i)[1] = static_cast<double>(block.first + i);
    }
}

struct Running {
    SweepHead head;
    std::string out;
    RowRange rows;
    sim::PieceLimits limits;
};

// Runs until `pause` more rows are done (none: to the end), then stops properly, or as if killed.
void run(Running const& r, bool resume, std::optional<std::size_t> pause = {}, bool kill = false) {
    sim::SweepPlan const plan(r.head.spec);
    SweepStore store(r.out, r.head, r.rows, resume, r.limits);
    std::atomic<bool> stop = false;
    std::size_t done = 0;
    auto const next = sim::run_blocks(
        plan, {store.next_row(), r.rows.end}, r.head.figures.size(), cheap_work,
        [&](SweepBlock const& block) {
            store.take(block);
            done += block.size();
            if (pause && done >= *pause) stop = true;
        },
        &stop);
    if (next == r.rows.end) {
        (void)store.assemble();
        store.commit();
    } else if (!kill) {
        CHECK(store.stop() == r.out + ".part");
    }
}

Running whole(ScratchFolder const& folder, std::string const& name, std::size_t rows) {
    return {cheap_head(rows), (folder / name).string(), {0, rows}, {}};
}

std::vector<std::string> names_in(ScratchFolder const& folder) {
    std::vector<std::string> names;
    for (auto const& entry : std::filesystem::directory_iterator(folder.text()))
        names.push_back(entry.path().filename().string());
    std::sort(names.begin(), names.end());
    return names;
}

}  // namespace

TEST_SUITE_BEGIN("sim/sweep_store");

TEST_CASE("sweep files: what is written is read again") {
    ScratchFolder folder;
    auto const r = whole(folder, "a.h5", 10000);
    run(r, false);
    sim::SweepReader const reader(r.out);
    CHECK(reader.rows() == 10000);
    CHECK(reader.first_row() == 0);
    CHECK(reader.head().spec == r.head.spec);
    CHECK(reader.head().scenario_text == r.head.scenario_text);
    CHECK(reader.head().figures[0].long_name == "of the capacity");
    CHECK(sim::difference(r.head, "a", reader.head(), "b") == "");
    sim::SweepPlan const plan(r.head.spec);
    auto const block = reader.read(4000, 200);
    CHECK(block.first == 4000);
    std::size_t refused = 0;
    for (std::size_t i = 0; i < 200; ++i) {
        CHECK(block.settings[i] == plan.row(4000 + i));
        double const capacity = sim::number_in(block.settings[i][0]);
        if (block.problems[i].empty()) {
            CHECK(block.figures_of(i)[0] == capacity * capacity);
            CHECK(block.figures_of(i)[1] == static_cast<double>(4000 + i));
        } else {
            CHECK(block.problems[i] == "too large");
            CHECK(std::isnan(block.figures_of(i)[0]));
            ++refused;
        }
    }
    CHECK(refused == block.refused());
    // The stratum of the upper end is refused: 0.01 of 6 kWh.
    auto const all = reader.read(0, 10000);
    CHECK(static_cast<double>(all.refused()) == Near{10000 * 0.01 / 6, 1.0, 0});
    CHECK(names_in(folder) == std::vector<std::string>{"a.h5"});
}

TEST_CASE(
    "sweep of a million rows, interrupted five times at random points, is the uninterrupted one to the "
    "byte") {
    // The sanitizers make every row ten times slower; the handling of files is the same.
#ifdef __SANITIZE_ADDRESS__
    constexpr std::size_t rows = 100000;
#else
    constexpr std::size_t rows = 1000000;
#endif
    ScratchFolder folder;
    auto one = whole(folder, "one.h5", rows);
    run(one, false);
    auto other = one;
    other.out = (folder / "other.h5").string();
    std::mt19937_64 random(20260101);
    for (int i = 0; i < 5; ++i) {
        std::size_t const left =
            rows - (i == 0 ? 0 : SweepStore(other.out, other.head, other.rows, true).next_row());
        // Killed twice: the open part is lost, the finished ones are not.
        run(other, i > 0, 1 + random() % (left / 2), i % 2 == 1);
        CHECK(!std::filesystem::exists(other.out));
    }
    run(other, true);
    // Streaming: the memory of the process stays far below the size of all rows.
    rusage usage{};
    ::getrusage(RUSAGE_SELF, &usage);
#ifndef __SANITIZE_ADDRESS__
    CHECK(usage.ru_maxrss < 1024 * 1024);  // KiB: 1 GiB
#endif
    std::cout << "sweep of " << rows << " cheap rows: most memory of this test program "
              << usage.ru_maxrss / 1024 << " MiB\n";
    CHECK(file_text(one.out) == file_text(other.out));
    CHECK(names_in(folder) == std::vector<std::string>{"one.h5", "other.h5"});
}

TEST_CASE("sweep shards merged are the whole to the byte, in any order of their files") {
    constexpr std::size_t rows = 20011;
    ScratchFolder folder;
    auto const one = whole(folder, "one.h5", rows);
    run(one, false);
    std::vector<std::string> paths;
    for (std::size_t const k : {3U, 1U, 4U, 2U}) {
        Running shard{cheap_head(rows),
                      (folder / ("s" + std::to_string(k) + ".h5")).string(),
                      sim::shard_rows(rows, k, 4),
                      {}};
        shard.head.shard = k;
        shard.head.shards = 4;
        if (k == 2) run(shard, false, 700);  // interrupted on the way
        run(shard, k == 2);
        paths.push_back(shard.out);
    }
    std::string const merged = (folder / "merged.h5").string();
    sim::merge_shards(sim::fitting_shards(paths), merged);
    CHECK(file_text(merged) == file_text(one.out));
    // A whole file is its own merge.
    sim::merge_shards(sim::fitting_shards({one.out}), merged);
    CHECK(file_text(merged) == file_text(one.out));

    auto const merge = [](std::vector<std::string> const& which) {
        return test::message_of<sim::ResultFileError>([&] { (void)sim::fitting_shards(which); });
    };
    CHECK(merge({paths[0], paths[1], paths[2]}).find("shard 2/4 is missing: rows 5003 to 10005 of 20011") !=
          std::string::npos);
    CHECK(merge({paths[0], paths[1], paths[3]}).find("shard 4/4 is missing") != std::string::npos);
    CHECK(merge({paths[2]}).find("shard 1/4, 2/4, 3/4 is missing") != std::string::npos);
    CHECK(
        merge({paths[0], paths[1], paths[2], paths[3], paths[1]}).find("overlap: both hold rows 1 to 5002") !=
        std::string::npos);
    CHECK(merge({one.out, paths[1]}).find("overlap") != std::string::npos);

    Running other{cheap_head(rows, 6), (folder / "other.h5").string(), sim::shard_rows(rows, 2, 4), {}};
    run(other, false);
    auto const said = merge({paths[0], paths[1], paths[2], other.out});
    CHECK(said.find("of another run: the plan differs") != std::string::npos);
    CHECK(said.find("seed 6") != std::string::npos);

    Running half{cheap_head(rows), (folder / "half.h5").string(), sim::shard_rows(rows, 2, 4), {}};
    run(half, false, 700);
    CHECK(merge({paths[0], paths[1], paths[2], half.out + ".part"})
              .find("of its 5003 rows are there; run that shard again with --resume") != std::string::npos);
    CHECK(merge({(folder / "none.h5").string()}).find("cannot be read as a file of rows") !=
          std::string::npos);
}

TEST_CASE("a sweep is not resumed with other inputs, and not begun over finished rows") {
    ScratchFolder folder;
    auto const r = whole(folder, "a.h5", 5000);
    run(r, false, 1000);
    CHECK(names_in(folder) == std::vector<std::string>{"a.h5.part"});
    auto const resume = [&](SweepHead const& head) {
        return test::message_of<sim::ResultFileError>([&] { SweepStore store(r.out, head, r.rows, true); });
    };
    auto head = r.head;
    head.scenario_text += "# another\n";
    CHECK(resume(head).find("a.h5.part: --resume cannot go on from it: the scenario differs") !=
          std::string::npos);
    head = r.head;
    head.spec.seed = 6;
    CHECK(resume(head).find("the plan differs: Latin hypercube, 5000 rows, seed 6 in this run") !=
          std::string::npos);
    head = r.head;
    head.spec.vary[0] = "battery.capacity=3 kWh..8 kWh";
    CHECK(resume(head).find("the varied keys differ: \"battery.capacity=3 kWh..8 kWh\"") !=
          std::string::npos);
    head = r.head;
    head.spec.vary.push_back("a=1..2");
    CHECK(resume(head).find("the varied keys differ: \"a=1..2\" in this run, none in") != std::string::npos);
    head = r.head;
    head.option = "B";
    CHECK(resume(head).find("the option differs") != std::string::npos);
    head = r.head;
    head.inputs_hash = "1";
    CHECK(resume(head).find("the weather or a parts list differs") != std::string::npos);
    head = r.head;
    head.version = "next";
    CHECK(resume(head).find("the program's version differs") != std::string::npos);
    head = r.head;
    head.shard = 2;
    head.shards = 3;
    CHECK(resume(head).find("it is of --shard 1/1, this is --shard 2/3") != std::string::npos);

    CHECK(test::message_of<sim::ResultFileError>([&] {
              SweepStore store(r.out, r.head, r.rows, false);
          }).find("--resume goes on from them, or remove it") != std::string::npos);
    // None of that has damaged the rows.
    run(r, true);
    CHECK(sim::SweepReader(r.out).rows() == 5000);
    // Finished: nothing is left to run, and the file stays.
    SweepStore const again(r.out, r.head, r.rows, true);
    CHECK(again.next_row() == 5000);
}

TEST_CASE("an earlier result stays until the new one is whole, and survives a sweep that fails") {
    ScratchFolder folder;
    auto r = whole(folder, "a.h5", 600);
    run(r, false);
    auto const before = file_text(r.out);
    r.head = cheap_head(600, 6);
    run(r, false, 300);
    CHECK(file_text(r.out) == before);
    {
        SweepStore store(r.out, r.head, r.rows, true);
        (void)store.assemble();
        CHECK(file_text(r.out) == before);
        store.discard();
    }
    CHECK(file_text(r.out) == before);
    CHECK(names_in(folder) == std::vector<std::string>{"a.h5"});
}

TEST_CASE("pieces of a killed sweep that are not needed are cleared away") {
    ScratchFolder folder;
    auto r = whole(folder, "a.h5", 5000);
    r.limits.rows = 512;
    run(r, false, 2000, true);
    auto const names = names_in(folder);
    REQUIRE(names.size() >= 4);
    for (auto const& name : names) CHECK(name.starts_with("a.h5.part.0"));
    // A gap after two pieces: the rows after it are run again, those before it are kept.
    std::filesystem::remove(folder / names[2]);
    CHECK(SweepStore(r.out, r.head, r.rows, true).next_row() == std::stoul(names[2].substr(10)));
    run(r, true);
    CHECK(names_in(folder) == std::vector<std::string>{"a.h5"});
    auto const plain = whole(folder, "b.h5", 5000);
    run(plain, false);
    CHECK(file_text(r.out) == file_text(plain.out));
}

// One byte of a file changed for as long as it lives.
class ChangedByte {
  public:
    ChangedByte(std::string path, std::size_t at, unsigned char by)
        : path_(std::move(path)), at_(at), by_(by) {
        turn();
    }
    ~ChangedByte() { turn(); }
    ChangedByte(ChangedByte const&) = delete;
    ChangedByte& operator=(ChangedByte const&) = delete;

  private:
    void turn() const {
        std::fstream file(path_, std::ios::binary | std::ios::in | std::ios::out);
        file.seekg(static_cast<std::streamoff>(at_));
        int const byte = file.get();
        file.seekp(static_cast<std::streamoff>(at_));
        file.put(static_cast<char>(static_cast<unsigned char>(byte) ^ by_));
    }
    std::string path_;
    std::size_t at_;
    unsigned char by_;
};

TEST_CASE("a changed byte anywhere in a sweep's file is found before a figure is read") {
    ScratchFolder folder;
    auto const r = whole(folder, "a.h5", 40);
    run(r, false);
    auto const good = file_text(r.out);
    REQUIRE(good.size() > 10000);
    std::mt19937 random(3);
    // HOLDWATER_ALL_BYTES=1: every byte; else every 40th, begun at a place that moves with the file's size.
    bool const all = std::getenv("HOLDWATER_ALL_BYTES") != nullptr;
    std::size_t tried = 0;
    for (std::size_t at = all ? 0 : good.size() % 40; at < good.size(); at += all ? 1 : 40, ++tried) {
        ChangedByte const changed(r.out, at, static_cast<unsigned char>(1 + random() % 255));
        CAPTURE(at);
        REQUIRE_THROWS_AS((void)sim::SweepReader(r.out), sim::DamagedSweepError);
        REQUIRE(
            test::message_of<sim::ResultFileError>([&] { (void)sim::fitting_shards({r.out}); })
                .find("a.h5: cannot be read as a file of rows (another file, or damaged or changed since it "
                      "was written); remove it and run that shard again") != std::string::npos);
    }
    CHECK(tried >= good.size() / 40);
    // Cut short at any place, and with something behind.
    for (std::size_t const size : {std::size_t{0}, std::size_t{7}, good.size() / 2, good.size() - 1}) {
        std::ofstream(r.out, std::ios::binary | std::ios::trunc) << good.substr(0, size);
        CHECK_THROWS_AS((void)sim::SweepReader(r.out), sim::DamagedSweepError);
    }
    std::ofstream(r.out, std::ios::binary | std::ios::trunc) << good << "x";
    CHECK_THROWS_AS((void)sim::SweepReader(r.out), sim::DamagedSweepError);
    std::ofstream(r.out, std::ios::binary | std::ios::trunc) << good;
    CHECK(sim::SweepReader(r.out).rows() == 40);
}

TEST_CASE("a damaged piece of an interrupted sweep is run again, to the same bytes") {
    ScratchFolder folder;
    auto r = whole(folder, "a.h5", 5000);
    r.limits.rows = 512;
    run(r, false, 2000, true);
    auto const names = names_in(folder);
    REQUIRE(names.size() >= 3);
    auto const damage = [](std::string const& path) {
        auto bytes = file_text(path);
        bytes[bytes.size() / 3] = static_cast<char>(bytes[bytes.size() / 3] ^ 0x10);
        std::ofstream(path, std::ios::binary | std::ios::trunc) << bytes;
    };
    damage((folder / names[1]).string());
    {
        SweepStore const store(r.out, r.head, r.rows, true, r.limits);
        CHECK(store.next_row() == std::stoul(names[1].substr(10)));
        REQUIRE(store.notes().size() == 1);
        CHECK(store.notes()[0] == r.out + ": finished rows beside it are damaged (" +
                                      (folder / names[1]).string() +
                                      "); they are run again, with those behind them");
    }
    run(r, true, 1500);  // leaves a.h5.part
    damage(r.out + ".part");
    CHECK(SweepStore(r.out, r.head, r.rows, true, r.limits).next_row() == 0);
    run(r, true);
    CHECK(names_in(folder) == std::vector<std::string>{"a.h5"});
    auto const plain = whole(folder, "b.h5", 5000);
    run(plain, false);
    CHECK(file_text(r.out) == file_text(plain.out));
}

TEST_CASE("--resume runs a damaged finished file again, to the same bytes, and leaves other files alone") {
    ScratchFolder folder;
    auto const r = whole(folder, "a.h5", 400);
    run(r, false);
    auto const good = file_text(r.out);
    std::mt19937 random(11);
    std::size_t again = 0;
    for (int i = 0; i < 40; ++i) {
        auto const at = random() % good.size();
        ChangedByte changed(r.out, at, static_cast<unsigned char>(1 + random() % 255));
        // A byte of the marks by which the file is known as a sweep's: then it is left alone.
        if (!sim::is_damaged_sweep(r.out)) {
            CHECK_THROWS_AS(SweepStore(r.out, r.head, r.rows, true), sim::DamagedSweepError);
            continue;
        }
        ++again;
        SweepStore const store(r.out, r.head, r.rows, true);
        CHECK(store.next_row() == 0);
        CHECK(store.notes() == std::vector{r.out + ": is damaged; all of its rows are run again"});
    }
    CHECK(again >= 35);
    auto damaged = good;
    damaged[good.size() / 2] = static_cast<char>(damaged[good.size() / 2] ^ 1);
    std::ofstream(r.out, std::ios::binary | std::ios::trunc) << damaged;
    run(r, true);
    CHECK(file_text(r.out) == good);
    CHECK(names_in(folder) == std::vector<std::string>{"a.h5"});
    CHECK(!sim::is_damaged_sweep(r.out));
    // Another kind of result, damaged: with the checksum line, but not a sweep's.
    auto const other = (folder / "other.h5").string();
    sim::write_tables(other, {}, {}, {{"designs", {{"x", "1", "of x", std::vector{1.0}}}}});
    ChangedByte const changed(other, file_text(other).size() / 2, 1);
    CHECK(!sim::is_damaged_sweep(other));
    CHECK_THROWS_AS(SweepStore(other, r.head, r.rows, true), sim::DamagedSweepError);
}

TEST_CASE("the time of a sweep's machinery grows in step with its rows") {
    // Processor time, ratios within one run: ten times the rows may take 20 times as long before something is
    // wrong. tests/bench/sweep_bench.cpp goes up to a million.
    ScratchFolder folder;
    std::array<double, 3> seconds{};
    std::size_t rows = 1000;
    for (auto& s : seconds) {
        auto const r = whole(folder, "t.h5", rows);
        auto const from = std::clock();
        run(r, false);
        s = static_cast<double>(std::clock() - from) / CLOCKS_PER_SEC;
        rows *= 10;
    }
    CHECK(seconds[2] < 20 * seconds[1]);
    CHECK(seconds[1] < 20 * seconds[0]);
}

TEST_SUITE_END();
