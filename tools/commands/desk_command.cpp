#include <fmt/format.h>

#include <filesystem>
#include <memory>
#include <string>
#include <system_error>

#include "sim/files/whole_file.hpp"
#include "sim/sweep/output_file.hpp"
#include "tools/commands/commands.hpp"
#include "weather/read_file_text.hpp"

namespace holdwater::tools {
namespace {

constexpr std::size_t largest_page = std::size_t{64} << 20;

// The page beside the program: where the web build puts it for a program in build/NAME, and where both are
// installed. Throws ResultFileError if it is in neither place.
std::string page_beside_program() {
    std::error_code failure;
    auto const program = std::filesystem::read_symlink("/proc/self/exe", failure).parent_path();
    for (auto const* const place : {"../web/holdwater.html", "../share/holdwater/holdwater.html"}) {
        auto const page = (program / place).lexically_normal();
        if (std::filesystem::is_regular_file(page, failure)) return page.string();
    }
    throw sim::ResultFileError(
        fmt::format("the page has not been built: there is no {}\nBuild it in the source folder:  "
                    "tools/prerequisites --web && cmake --workflow --preset web",
                    (program / "../web/holdwater.html").lexically_normal().string()));
}

void run(std::string const& out) {
    auto const folder = std::filesystem::path(out).parent_path();
    if (!folder.empty() && !std::filesystem::is_directory(folder))
        throw sim::ResultFileError(
            fmt::format("{}: cannot be written: there is no folder {}", out, folder.string()));
    auto const page = page_beside_program();
    sim::check_output(out, sim::outputs::desk, {page});
    std::string bytes;
    try {
        bytes = weather::read_file_text(page, {largest_page});
    } catch (weather::FileTextError const& error) {
        throw sim::ResultFileError(fmt::format("{}: {}", page, error.what()));
    }
    sim::write_whole_file(out, bytes);
    fmt::print(
        "{}: the whole engine in one page. Open it in a browser (double-click); it needs no network.\n", out);
}

}  // namespace

void add_desk_command(CLI::App& app, int&) {
    auto const out = std::make_shared<std::string>("holdwater.html");
    CLI::App* const c = app.add_subcommand(
        "desk", "The whole engine in one page, to open in a browser without a network or an installation");
    c->add_option("--out", *out, "The page, HTML (default: holdwater.html in this folder)");
    c->footer("Example:  holdwater desk --out holdwater.html");
    c->callback([out] { run(*out); });
}

}  // namespace holdwater::tools
