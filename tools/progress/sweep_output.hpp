#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "sim/files/whole_file.hpp"

namespace holdwater::tools {

/// Text for a file (sim::WholeFile) or, without a path, for the screen. Throws sim::ResultFileError.
class TextOut {
  public:
    explicit TextOut(std::string const& path);
    void write(std::string const& text);
    void close();

  private:
    std::optional<sim::WholeFile> file_;
};

/// "1200 of 5000 runs, 310 a second, 12 s left" on one line of the terminal, updated at most five times a
/// second; nothing if standard error is not a terminal.
class Progress {
  public:
    Progress(std::size_t done, std::size_t all, std::string what = "runs");
    void now(std::size_t done);
    void end();

  private:
    std::string what_;
    bool watched_;
    std::size_t first_, all_;
    double began_s_, last_s_ = -1;
};

/// "45 s", "12 min", "3.4 h".
std::string duration_text(double seconds);

}  // namespace holdwater::tools
