#pragma once

#include <fmt/format.h>
#include <unistd.h>

#include <chrono>
#include <cstddef>
#include <cstdio>
#include <functional>
#include <string>
#include <utility>

#include "sim/base/progress.hpp"

namespace holdwater::tools {

/// "45 s", "12 min", "3.4 h".
inline std::string duration_text(double seconds) {
    if (seconds < 99.5) return fmt::format("{:.0f} s", seconds);
    if (seconds < 99.5 * 60) return fmt::format("{:.0f} min", seconds / 60);
    return fmt::format("{:.1f} h", seconds / 3600);
}

/// "120 of 300 years, about 12 s left" on one line of the terminal. It appears when the study has taken half
/// a second, changes at most five times a second, and is cleared at the end. Nothing if standard error is not
/// a terminal. One thread at a time may use it.
class ProgressLine {
  public:
    /// `what`: words for a study that only tells its share.
    explicit ProgressLine(std::string what) : what_(std::move(what)) {}
    /// A run that goes on where an earlier one ended.
    ProgressLine(std::size_t done, std::size_t all)
        : first_(all > 0 ? static_cast<double>(done) / static_cast<double>(all) : 0) {}
    ~ProgressLine() { clear(); }
    ProgressLine(ProgressLine const&) = delete;
    ProgressLine& operator=(ProgressLine const&) = delete;

    /// Takes the line away, for other words on standard error.
    void clear() {
        if (shown_) say("\r\033[K");
        shown_ = false;
    }
    /// So much of the study is done, 0 .. 1.
    void now(double share, std::string const& done = "") {
        double const t = seconds();
        if (!watched_ || t < 0.5 || (shown_ && t - last_s_ < 0.2)) return;
        std::string left;
        if (share > first_ && share < 1)
            left = ", about " + duration_text(t * (1 - share) / (share - first_)) + " left";
        say("\r\033[K" + (done.empty() ? fmt::format("{}: {:.0f} %", what_, 100 * share) : done) + left);
        shown_ = true;
        last_s_ = t;
    }
    /// So many of all, such as 120 of 300 years.
    void count(std::size_t done, std::size_t all, std::string const& unit) {
        if (all > 0)
            now(static_cast<double>(done) / static_cast<double>(all),
                fmt::format("{} of {} {}", done, all, unit));
    }

    /// For a study that tells its share; the line must outlive it.
    [[nodiscard]] sim::TellShare share() {
        return [this](double share) { now(share); };
    }
    [[nodiscard]] std::function<void(int, int)> years() {
        return [this](int done, int all) {
            count(static_cast<std::size_t>(done), static_cast<std::size_t>(all), "years");
        };
    }

  private:
    [[nodiscard]] double seconds() const {
        return std::chrono::duration<double>(std::chrono::steady_clock::now() - began_).count();
    }
    static void say(std::string const& text) {
        fmt::print(stderr, "{}", text);
        std::fflush(stderr);
    }

    std::string what_;
    double first_ = 0, last_s_ = 0;
    bool watched_ = ::isatty(STDERR_FILENO) != 0, shown_ = false;
    std::chrono::steady_clock::time_point began_ = std::chrono::steady_clock::now();
};

}  // namespace holdwater::tools
