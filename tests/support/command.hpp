#pragma once

#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "tests/support/places.hpp"

namespace holdwater::test {

struct CommandResult {
    int exit_code;
    std::string out, err;
};

inline std::string file_text(std::filesystem::path const& path) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

/// A folder of its own for one test, removed with its content at the end.
class ScratchFolder {
  public:
    ScratchFolder() {
        std::string name = (std::filesystem::temp_directory_path() / "holdwater-test-XXXXXX").string();
        path_ = ::mkdtemp(name.data());
    }
    ~ScratchFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    ScratchFolder(ScratchFolder const&) = delete;
    ScratchFolder& operator=(ScratchFolder const&) = delete;
    std::filesystem::path operator/(std::string const& name) const { return path_ / name; }
    std::string text() const { return path_.string(); }

  private:
    std::filesystem::path path_;
};

/// Runs a shell command line in `folder`.
inline CommandResult run_shell(ScratchFolder const& folder, std::string const& line) {
    auto const out = folder / ".stdout", err = folder / ".stderr";
    std::string const full =
        "cd '" + folder.text() + "' && ( " + line + " ) > '" + out.string() + "' 2> '" + err.string() + "'";
    int const status = std::system(full.c_str());
    CommandResult result{WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status), file_text(out),
                         file_text(err)};
    std::filesystem::remove(out);
    std::filesystem::remove(err);
    return result;
}

/// Runs `holdwater ARGUMENTS` in `folder`.
inline CommandResult run_holdwater(ScratchFolder const& folder, std::string const& arguments) {
    return run_shell(folder, "'" HOLDWATER_COMMAND "' " + arguments);
}

/// The text with every line break and indentation replaced by one space: for sentences that are wrapped.
inline std::string one_line(std::string const& text) {
    std::istringstream words(text);
    std::string out;
    for (std::string word; words >> word;) out += (out.empty() ? "" : " ") + word;
    return out;
}

}  // namespace holdwater::test
