#include <fmt/format.h>

#include <filesystem>
#include <memory>
#include <string>
#include <string_view>
#include <system_error>

#include "sim/files/text_hash.hpp"
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

// The marks that a page on a web server has and a page of one file has not.
constexpr std::string_view site_mark = "<meta name=\"holdwater-site\" content=\"yes\">\n";

constexpr std::string_view icon =
    R"(<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 512 512" role="img" aria-label="Holdwater">
<rect width="512" height="512" fill="#1f5fa8"/>
<text x="256" y="350" font-family="Georgia, 'DejaVu Serif', serif" font-size="260" text-anchor="middle" fill="#ffffff">Hw</text>
</svg>
)";

constexpr std::string_view manifest = R"({
  "name": "Holdwater",
  "short_name": "Holdwater",
  "description": "Will a backup supply keep the well pump running?",
  "start_url": "./",
  "scope": "./",
  "display": "standalone",
  "background_color": "#ffffff",
  "theme_color": "#1f5fa8",
  "icons": [{"src": "icon.svg", "sizes": "any", "type": "image/svg+xml", "purpose": "any"}]
}
)";

// Answers from what was kept at the installation, so that the page opens without a network; a new version of
// the page has another name and replaces it. Nothing else is ever fetched.
constexpr std::string_view service_worker = R"(const kept = 'holdwater-{}';
const files = ['./', 'index.html', 'manifest.webmanifest', 'icon.svg'];
self.addEventListener('install', event => event.waitUntil(
    caches.open(kept).then(cache => cache.addAll(files)).then(() => self.skipWaiting())));
self.addEventListener('activate', event => event.waitUntil(
    caches.keys().then(names => Promise.all(names.filter(n => n.startsWith('holdwater-') && n !== kept).map(n => caches.delete(n))))
        .then(() => self.clients.claim())));
self.addEventListener('fetch', event => event.respondWith(
    caches.match(event.request, {{ignoreSearch: true}}).then(found => found ?? fetch(event.request))));
)";

std::string page_bytes(std::string const& page) {
    try {
        return weather::read_file_text(page, {largest_page});
    } catch (weather::FileTextError const& error) {
        throw sim::ResultFileError(fmt::format("{}: {}", page, error.what()));
    }
}

// The page as a folder for a web server.
void run_site(std::string const& folder) {
    namespace fs = std::filesystem;
    std::error_code failure;
    if (fs::exists(folder, failure) && !fs::is_directory(folder, failure))
        throw sim::ResultFileError(fmt::format("{}: is there already and is not a folder", folder));
    for (auto const& entry :
         fs::is_directory(folder, failure) ? fs::directory_iterator(folder) : fs::directory_iterator())
        if (auto const name = entry.path().filename(); name != "index.html" &&
                                                       name != "manifest.webmanifest" &&
                                                       name != "service-worker.js" && name != "icon.svg")
            throw sim::ResultFileError(fmt::format(
                "{}: holds {}, which is not of a site of desk; give a new folder", folder, name.string()));
    auto const page = page_beside_program();
    auto bytes = page_bytes(page);
    auto const head = bytes.find("<meta name=\"referrer\"");
    if (head == std::string::npos)
        throw sim::ResultFileError(fmt::format("{}: is not the page of desk", page));
    bytes.insert(head, site_mark);
    if (!fs::is_directory(folder, failure) && !fs::create_directories(folder, failure))
        throw sim::ResultFileError(fmt::format("{}: cannot be made: {}", folder, failure.message()));
    fs::path const place = folder;
    auto const version = sim::text_hash(bytes);
    sim::write_whole_file((place / "index.html").string(), bytes);
    sim::write_whole_file((place / "manifest.webmanifest").string(), std::string(manifest));
    sim::write_whole_file((place / "icon.svg").string(), std::string(icon));
    sim::write_whole_file((place / "service-worker.js").string(), fmt::format(service_worker, version));
    fmt::print(
        "{}: the page for a web server. Put the folder on any static host with https; a phone can install "
        "the page from there, "
        "and it then works offline.\n",
        folder);
}

void run(std::string const& out) {
    auto const folder = std::filesystem::path(out).parent_path();
    if (!folder.empty() && !std::filesystem::is_directory(folder))
        throw sim::ResultFileError(
            fmt::format("{}: cannot be written: there is no folder {}", out, folder.string()));
    auto const page = page_beside_program();
    sim::check_output(out, sim::outputs::desk, {page});
    auto const bytes = page_bytes(page);
    sim::write_whole_file(out, bytes);
    fmt::print(
        "{}: the whole engine in one page. Open it in a browser (double-click); it needs no network.\n", out);
}

}  // namespace

void add_desk_command(CLI::App& app, int&) {
    auto const out = std::make_shared<std::string>("holdwater.html"), site = std::make_shared<std::string>();
    CLI::App* const c = app.add_subcommand(
        "desk", "The whole engine in one page, to open in a browser without a network or an installation");
    c->add_option("--out", *out, "The page, HTML (default: holdwater.html in this folder)");
    auto* const folder =
        c->add_option("--site", *site,
                      "A folder for a web server instead: the page, a manifest, a service worker, an icon");
    folder->option_text("DIR")->excludes("--out");
    c->footer(
        "Examples:\n"
        "  holdwater desk --out holdwater.html\n"
        "  holdwater desk --site site");
    c->callback([out, site] { site->empty() ? run(*out) : run_site(*site); });
}

}  // namespace holdwater::tools
