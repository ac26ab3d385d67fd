#include "tools/progress/sweep_output.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <cstdio>
#include <system_error>
#include <utility>

namespace holdwater::tools {
namespace {

double seconds_now() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

}  // namespace

TextOut::TextOut(std::string const& path) {
    if (!path.empty()) file_.emplace(path);
}

void TextOut::write(std::string const& text) {
    if (file_) return file_->write(text);
    if (std::fwrite(text.data(), 1, text.size(), stdout) != text.size())
        throw sim::ResultFileError(
            fmt::format("the screen: cannot be written ({})", std::generic_category().message(errno)));
}

void TextOut::close() {
    if (file_) file_->close();
}

Progress::Progress(std::size_t done, std::size_t all, std::string what)
    : what_(std::move(what)),
      watched_(::isatty(STDERR_FILENO) != 0),
      first_(done),
      all_(all),
      began_s_(seconds_now()) {}

void Progress::now(std::size_t done) {
    double const t = seconds_now();
    if (!watched_ || (t - last_s_ < 0.2 && done < all_)) return;
    last_s_ = t;
    double const rate = static_cast<double>(done - first_) / std::max(t - began_s_, 1e-6);
    fmt::print(stderr, "\r\033[K{} of {} {}, {:.3g} a second, {} left", done, all_, what_, rate,
               duration_text(rate > 0 ? static_cast<double>(all_ - done) / rate : 0));
    std::fflush(stderr);
}

void Progress::end() {
    if (watched_) fmt::print(stderr, "\n");
}

std::string duration_text(double seconds) {
    if (seconds < 99.5) return fmt::format("{:.0f} s", seconds);
    if (seconds < 99.5 * 60) return fmt::format("{:.0f} min", seconds / 60);
    return fmt::format("{:.1f} h", seconds / 3600);
}

}  // namespace holdwater::tools
