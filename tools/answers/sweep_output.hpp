#pragma once

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

}  // namespace holdwater::tools
