#include "tools/answers/sweep_output.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <cmath>
#include <filesystem>
#include <system_error>

#include "sim/files/result_file.hpp"

namespace holdwater::tools {
namespace {

// An error with the reason given by the system.
[[noreturn]] void refuse(std::string const& path) {
    throw sim::ResultFileError(
        fmt::format("{}: cannot be written ({})", path, std::generic_category().message(errno)));
}

double seconds_now() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

}  // namespace

TextOut::TextOut(std::string path)
    : path_(std::move(path)),
      target_(sim::write_target(path_)),
      temporary_(path_.empty() ? "" : fmt::format("{}.{}.tmp", target_, ::getpid())),
      file_(path_.empty() ? stdout : std::fopen(temporary_.c_str(), "wb")) {
    if (file_ == nullptr) refuse(path_);
}

TextOut::~TextOut() {
    if (file_ == nullptr || path_.empty()) return;
    std::fclose(file_);
    std::error_code ignored;
    std::filesystem::remove(temporary_, ignored);
}

void TextOut::write(std::string const& text) {
    if (std::fwrite(text.data(), 1, text.size(), file_) != text.size())
        refuse(path_.empty() ? "the screen" : path_);
}

void TextOut::close() {
    if (path_.empty()) return;
    int why = std::fflush(file_) == 0 ? sim::bring_to_disk(::fileno(file_)) : errno;
    if (std::fclose(file_) != 0 && why == 0) why = errno;
    file_ = nullptr;
    if (why == 0) return sim::rename_whole_file(temporary_, target_);
    std::error_code ignored;
    std::filesystem::remove(temporary_, ignored);
    errno = why;
    refuse(path_);
}

Progress::Progress(std::size_t done, std::size_t all)
    : watched_(::isatty(STDERR_FILENO) != 0), first_(done), all_(all), began_s_(seconds_now()) {}

void Progress::now(std::size_t done) {
    double const t = seconds_now();
    if (!watched_ || (t - last_s_ < 0.2 && done < all_)) return;
    last_s_ = t;
    double const rate = static_cast<double>(done - first_) / std::max(t - began_s_, 1e-6);
    fmt::print(stderr, "\r\033[K{} of {} runs, {:.0f} a second, {} left", done, all_, rate,
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
