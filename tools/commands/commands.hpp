#pragma once

#include <CLI/CLI.hpp>

namespace holdwater::tools {

/// Exit codes of the command.
enum Exit { ok = 0, requirement_failed = 1, bad_input = 2, internal_error = 3 };

/// Each function adds a subcommand, whose callback does the work and stores the exit code in `exit_code`.
// In the order of the work, which is that of --help.
void add_init_command(CLI::App& app, int& exit_code);
void add_check_command(CLI::App& app, int& exit_code);
void add_simulate_command(CLI::App& app, int& exit_code);
void add_autonomy_command(CLI::App& app, int& exit_code);
void add_compare_command(CLI::App& app, int& exit_code);
void add_size_command(CLI::App& app, int& exit_code);
void add_sensitivity_command(CLI::App& app, int& exit_code);
void add_sweep_command(CLI::App& app, int& exit_code);
void add_years_command(CLI::App& app, int& exit_code);
void add_report_command(CLI::App& app, int& exit_code);
void add_desk_command(CLI::App& app, int& exit_code);
void add_region_command(CLI::App& app, int& exit_code);
void add_replay_command(CLI::App& app, int& exit_code);
void add_parts_command(CLI::App& app, int& exit_code);
void add_weather_command(CLI::App& app, int& exit_code);
/// The last one, because it describes the others.
void add_guide_command(CLI::App& app, int& exit_code);

}  // namespace holdwater::tools
