#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <string>

#include "tests/support/command.hpp"

using namespace holdwater;
namespace fs = std::filesystem;

namespace {

std::string const made_page =
    "<!doctype html>\n<meta name=\"generator\" content=\"holdwater desk\">\n<meta name=\"referrer\" "
    "content=\"no-referrer\">\n<title>x</title>\n";

// The program in a folder of its own, as build/release or as installed; what is beside it is the test's.
void put_program(test::ScratchFolder const& folder, std::string const& place) {
    fs::create_directories(folder / place);
    fs::copy_file(HOLDWATER_COMMAND, folder / (place + "/holdwater"));
}

void put_page(fs::path const& path) {
    fs::create_directories(path.parent_path());
    std::ofstream(path) << made_page;
}

}  // namespace

TEST_SUITE_BEGIN("tools/desk");

TEST_CASE("without the page, desk says where it looked and how to build it") {
    test::ScratchFolder folder;
    put_program(folder, "build/release");
    auto const run = test::run_shell(folder, "build/release/holdwater desk");
    CHECK(run.exit_code == 2);
    CHECK(run.out.empty());
    CHECK(run.err.find("the page has not been built") == 0);
    CHECK(run.err.find("/build/web/holdwater.html") != std::string::npos);
    CHECK(run.err.find("tools/prerequisites --web") != std::string::npos);
    CHECK(run.err.find("cmake --workflow --preset web") != std::string::npos);
    CHECK_FALSE(fs::exists(folder / "holdwater.html"));
}

TEST_CASE("desk writes the page of the web build, or the installed one") {
    for (auto const& [program, page] : {std::pair{"build/release", "build/web/holdwater.html"},
                                        {"usr/bin", "usr/share/holdwater/holdwater.html"}}) {
        test::ScratchFolder folder;
        CAPTURE(program);
        put_program(folder, program);
        put_page(folder / page);
        std::string const command = std::string(program) + "/holdwater desk";
        auto run = test::run_shell(folder, command);
        CHECK(run.exit_code == 0);
        CHECK(run.out.find("holdwater.html: the whole engine in one page") == 0);
        CHECK(test::file_text(folder / "holdwater.html") == made_page);
        CHECK(test::run_shell(folder, command).exit_code == 0);  // an earlier page is replaced

        fs::create_symlink(folder / (std::string(program) + "/holdwater"), folder / "link");
        CHECK(test::run_shell(folder, "./link desk --out other.html").exit_code == 0);
        CHECK(test::file_text(folder / "other.html") == made_page);

        std::ofstream(folder / "mine.html") << "<!doctype html><title>mine</title>";
        run = test::run_shell(folder, command + " --out mine.html");
        CHECK(run.exit_code == 2);
        CHECK(run.err.find("is there already and is not the page of desk") != std::string::npos);
        CHECK(test::file_text(folder / "mine.html") == "<!doctype html><title>mine</title>");

        run = test::run_shell(folder, command + " --out " + page);
        CHECK(run.exit_code == 2);
        CHECK(run.err.find("is a file that this command reads; it is left alone") != std::string::npos);

        run = test::run_shell(folder, command + " --out nowhere/page.html");
        CHECK(run.exit_code == 2);
        CHECK(run.err.find("there is no folder nowhere") != std::string::npos);
    }
}

TEST_CASE("desk --site writes the page as a folder for a web server") {
    test::ScratchFolder folder;
    put_program(folder, "build/release");
    put_page(folder / "build/web/holdwater.html");
    std::string const command = "build/release/holdwater desk --site site";
    for (int again = 0; again < 2; ++again) {  // an earlier one is replaced
        auto const run = test::run_shell(folder, command);
        CHECK(run.exit_code == 0);
        CHECK(run.out.find("site: the page for a web server") == 0);
    }
    auto const page = test::file_text(folder / "site/index.html");
    CHECK(page.find("<meta name=\"holdwater-site\"") != std::string::npos);
    CHECK(page.size() > made_page.size());
    auto const worker = test::file_text(folder / "site/service-worker.js");
    for (auto const* const name : {"index.html", "manifest.webmanifest", "icon.svg"}) {
        CHECK(worker.find(name) != std::string::npos);
        CHECK(fs::exists(folder / ("site/" + std::string(name))));
    }
    CHECK(test::file_text(folder / "site/icon.svg").find("<text") != std::string::npos);
    CHECK(test::file_text(folder / "site/manifest.webmanifest").find("\"icon.svg\"") != std::string::npos);

    std::ofstream(folder / "site/mine.txt") << "mine";
    auto run = test::run_shell(folder, command);
    CHECK(run.exit_code == 2);
    CHECK(run.err.find("holds mine.txt, which is not of a site of desk") != std::string::npos);
    run = test::run_shell(folder, command + " --out x.html");
    CHECK(run.exit_code != 0);
    std::ofstream(folder / "taken") << "x";
    run = test::run_shell(folder, "build/release/holdwater desk --site taken");
    CHECK(run.exit_code == 2);
    CHECK(run.err.find("is not a folder") != std::string::npos);
}

TEST_SUITE_END();
