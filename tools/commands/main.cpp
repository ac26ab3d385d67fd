#include <fmt/format.h>
#include <fmt/ranges.h>
#include <malloc.h>
#include <sys/mman.h>
#include <sys/resource.h>

#include <algorithm>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <iostream>
#include <memory>
#include <new>
#include <sstream>
#include <stdexcept>
#include <string_view>
#include <system_error>

#include "models/numeric/parameter_error.hpp"
#include "scenarios/settings/field_words.hpp"
#include "scenarios/text/edit_distance.hpp"
#include "scenarios/text/scenario_error.hpp"
#include "sim/files/result_file.hpp"
#include "sim/files/whole_file.hpp"
#include "tools/build_facts.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/last_words.hpp"
#include "tools/commands/option_checks.hpp"
#include "weather/weather_error.hpp"

using namespace holdwater;

namespace {

// The exit code, after everything has been printed.
int printed(int exit_code) {
    if (std::cout.flush() && std::fflush(stdout) == 0) return exit_code;
    fmt::print(stderr, "holdwater: the output could not be written\n");
    return tools::bad_input;
}

// An error may quote what was given: of each line, as much as a person can read.
void print_error(std::string_view message) {
    constexpr std::size_t longest = 2000;
    for (bool more = true; more;) {
        auto const end = message.find('\n');
        auto line = message.substr(0, end);
        more = end != std::string_view::npos;
        if (more) message.remove_prefix(end + 1);
        std::size_t shown = std::min(line.size(), longest);
        while (shown < line.size() && (static_cast<unsigned char>(line[shown]) & 0xc0) == 0x80) --shown;
        if (shown == line.size())
            fmt::print(stderr, "{}\n", line);
        else
            fmt::print(stderr, "{} ... ({} more characters)\n", line.substr(0, shown), line.size() - shown);
    }
}

// The first use of each 4 KiB of memory costs a page fault: a fifth of a short command. So the heap begins
// with room in pages of 2 MiB, and what is freed stays with the program. A system without such pages gives
// small ones as before.
void take_large_pages() {
    constexpr std::size_t mib = std::size_t{1} << 20, room = 31 * mib, page = 2 * mib;
    ::mallopt(M_MMAP_THRESHOLD, 32 * mib);  // smaller blocks come from the heap
    ::mallopt(M_TRIM_THRESHOLD, 1024 * mib);
    void* const block = std::malloc(room);
    if (block == nullptr) return;
    void* first = block;
    std::size_t left = room;
    if (std::align(page, page, first, left) != nullptr) ::madvise(first, left / page * page, MADV_HUGEPAGE);
    std::free(block);
}

// A heap for each thread takes 64 MB of addresses. If addresses are limited, the C library then takes a page
// for every small block. So all threads use one heap.
void prepare_heap() {
    rlimit addresses{};
    if (::getrlimit(RLIMIT_AS, &addresses) == 0 && addresses.rlim_cur < (rlim_t{1} << 30))
        ::mallopt(M_ARENA_MAX, 1);
    else
        take_large_pages();
}

// "simulat" is no command: which one could be meant.
std::string not_a_command(CLI::App const& app, std::string const& given) {
    std::vector<std::string> names;
    for (auto const* c : app.get_subcommands({})) names.push_back(c->get_name());
    if (std::find(names.begin(), names.end(), given) != names.end()) return "";
    auto const near = scenarios::near_names(given, names, 2);
    return fmt::format("holdwater: \"{}\" is not a command{} The commands are: {}.\n", given,
                       near.empty() ? "." : fmt::format("; did you mean {}?", fmt::join(near, " or ")),
                       fmt::join(names, ", "));
}

// --weather takes every file behind it, so a scenario there is missing in its own place.
bool weather_took_scenario(CLI::App const& app) {
    auto const given = app.get_subcommands();
    if (given.empty()) return false;
    auto const* const scenario = given.front()->get_option_no_throw("SCENARIO");
    auto const* const weather = given.front()->get_option_no_throw("--weather");
    return scenario != nullptr && scenario->count() == 0 && weather != nullptr && weather->count() > 0;
}

int command(int argc, char** argv) {
    int exit_code = tools::ok;
    CLI::App app{
        "Simulates an existing AC well pump on PV, battery and backup, hour by hour: is there water, and how "
        "long without sun?\n"
        "Start with:  holdwater simulate scenarios/juniper-bend-household.toml"};
    app.name("holdwater");
    app.set_version_flag("--version", tools::build_facts,
                         "Print version, compiler, build and libraries and exit");
    app.require_subcommand(1);
    tools::add_init_command(app, exit_code);
    tools::add_check_command(app, exit_code);
    tools::add_simulate_command(app, exit_code);
    tools::add_autonomy_command(app, exit_code);
    tools::add_compare_command(app, exit_code);
    tools::add_size_command(app, exit_code);
    tools::add_sensitivity_command(app, exit_code);
    tools::add_sweep_command(app, exit_code);
    tools::add_years_command(app, exit_code);
    tools::add_report_command(app, exit_code);
    tools::add_desk_command(app, exit_code);
    tools::add_region_command(app, exit_code);
    tools::add_replay_command(app, exit_code);
    tools::add_parts_command(app, exit_code);
    tools::add_weather_command(app, exit_code);
    tools::add_guide_command(app, exit_code);
    tools::check_option_texts(app);
    tools::name_option_values(app);
    if (argc > 1 && argv[1][0] != '-') {
        auto const wrong = not_a_command(app, argv[1]);
        fmt::print(stderr, "{}", wrong);
        if (!wrong.empty()) return tools::bad_input;
    }
    try {
        app.parse(argc, argv);
        return printed(exit_code);
    } catch (CLI::ParseError const& error) {
        std::ostringstream message;
        int const code = app.exit(error, std::cout, message);
        fmt::print(stderr, "{}", message.str());
        if (dynamic_cast<CLI::RequiredError const*>(&error) != nullptr && weather_took_scenario(app))
            fmt::print(stderr, "Put SCENARIO before --weather, which takes all files that follow it.\n");
        return printed(code == 0 ? tools::ok : tools::bad_input);
    } catch (scenarios::ScenarioError const& error) {
        print_error(error.what());
    } catch (weather::WeatherError const& error) {
        print_error(error.what());
    } catch (std::invalid_argument const& error) {  // including models::ParameterError
        print_error(scenarios::problem_words(error));
    } catch (sim::ResultFileError const& error) {
        print_error(error.what());
    } catch (std::system_error const&
                 error) {  // all files are opened elsewhere, so this error is about standard output
        fmt::print(stderr, "holdwater: the output could not be written ({})\n", error.code().message());
    } catch (std::bad_alloc const&) {
        fmt::print(stderr, "holdwater: not enough memory\n");
        return tools::internal_error;
    } catch (std::exception const& error) {
        fmt::print(stderr, "holdwater: internal error: {}\n", error.what());
        return tools::internal_error;
    }
    return tools::bad_input;
}

}  // namespace

int main(int argc, char** argv) {
    std::signal(SIGXFSZ, SIG_IGN);  // a limit on file sizes is an error with a message like any other
    tools::promise_last_words();
    tools::settle_streams();
    prepare_heap();
    return tools::ends_ordinarily(command(argc, argv));
}
