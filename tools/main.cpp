#include <fmt/format.h>

#include <cstdio>
#include <exception>
#include <stdexcept>

#include "scenarios/scenario_error.hpp"
#include "sim/result_file.hpp"
#include "tools/commands.hpp"
#include "weather/weather_error.hpp"

using namespace holdwater;

int main(int argc, char** argv) {
    int exit_code = tools::ok;
    CLI::App app{
        "Does this design hold water? Simulates an existing AC well pump on sun, battery and backup, hour by "
        "hour.\n"
        "Start with:  holdwater simulate scenarios/juniper-bend-household.toml"};
    app.name("holdwater");
    app.set_version_flag("--version", "holdwater " HOLDWATER_VERSION);
    app.require_subcommand(1);
    tools::add_weather_command(app, exit_code);
    tools::add_preflight_command(app, exit_code);
    tools::add_simulate_command(app, exit_code);
    tools::add_spell_command(app, exit_code);
    tools::add_compare_command(app, exit_code);
    tools::add_sweep_command(app, exit_code);
    tools::add_quote_command(app, exit_code);
    try {
        app.parse(argc, argv);
        if (std::fflush(stdout) != 0) {
            fmt::print(stderr, "holdwater: the output could not be written\n");
            return tools::bad_input;
        }
        return exit_code;
    } catch (CLI::ParseError const& error) {
        int const code = app.exit(error);
        return code == 0 ? tools::ok : tools::bad_input;
    } catch (scenarios::ScenarioError const& error) {
        fmt::print(stderr, "{}\n", error.what());
    } catch (weather::WeatherError const& error) {
        fmt::print(stderr, "{}\n", error.what());
    } catch (std::invalid_argument const& error) {  // models::ParameterError among them
        fmt::print(stderr, "{}\n", error.what());
    } catch (sim::ResultFileError const& error) {
        fmt::print(stderr, "{}\n", error.what());
    } catch (std::exception const& error) {
        fmt::print(stderr, "holdwater: internal error: {}\n", error.what());
        return tools::internal_error;
    }
    return tools::bad_input;
}
