#include "sim/sweep/manifest.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <filesystem>
#include <sstream>
#include <system_error>

#include "sim/files/csv_text.hpp"
#include "sim/files/text_hash.hpp"
#include "sim/files/whole_file.hpp"

namespace holdwater::sim {
namespace {

constexpr char const* manifest_head =
    "file,command,shard,first_row,end_row,inputs_hash,file_hash,version,host\r\n";

[[noreturn]] void manifest_error(std::string const& path, std::string const& what) {
    throw ResultFileError(fmt::format("{}: {}", path, what));
}

// More than twice the lines of most_shards files.
constexpr std::size_t largest_manifest = std::size_t{32} << 20;

[[noreturn]] void system_error(std::string const& path, char const* what, int error) {
    manifest_error(path, fmt::format("{} ({})", what, std::generic_category().message(error)));
}

// The manifest, opened once: what is checked is what is read. To be written, it is made if it is missing, and
// locked until the end of the object.
class OpenManifest {
  public:
    enum class Use { read, write };
    OpenManifest(std::string const& path, Use use) : path_(path) {
        // Without O_NONBLOCK, opening a FIFO would wait for another program.
        int const flags = O_NONBLOCK | O_NOCTTY | O_CLOEXEC;
        descriptor_ = use == Use::read ? ::open(path.c_str(), O_RDONLY | flags)
                                       : ::open(path.c_str(), O_RDWR | O_CREAT | O_APPEND | flags, 0666);
        if (descriptor_ < 0 && use == Use::read && errno == ENOENT) return;  // it lists no file
        if (descriptor_ < 0)
            system_error(path_, use == Use::read ? "cannot be read" : "cannot be written", errno);
        try {
            check();
            if (use == Use::write && ::flock(descriptor_, LOCK_EX) != 0)
                system_error(path_, "cannot be written", errno);
        } catch (...) {
            close();
            throw;
        }
    }
    ~OpenManifest() { close(); }
    OpenManifest(OpenManifest const&) = delete;
    OpenManifest& operator=(OpenManifest const&) = delete;

    [[nodiscard]] std::string text() const {
        std::string text;
        std::array<char, 1 << 16> piece{};
        while (descriptor_ >= 0) {
            auto const count = ::read(descriptor_, piece.data(), piece.size());
            if (count == 0) break;
            if (count < 0 && errno != EINTR) system_error(path_, "cannot be read", errno);
            if (count > 0) text.append(piece.data(), static_cast<std::size_t>(count));
            check_size(text.size());
        }
        if (!text.empty() && !text.starts_with(manifest_head))
            manifest_error(path_,
                           "is there already and is not a manifest; it is left alone, give another name");
        return text;
    }

    // After the text that is there. The text is on the disk when this returns; if it cannot be, the manifest
    // is as before.
    void append(std::size_t there, std::string const& text) const {
        int error = write_all(descriptor_, text);
        if (error == 0) error = bring_to_disk(descriptor_);
        if (error != 0) {
            [[maybe_unused]] int const cut = ::ftruncate(descriptor_, static_cast<off_t>(there));
            system_error(path_, "cannot be written", error);
        }
        if (there == 0) bring_folder_to_disk(write_target(path_));
    }

  private:
    void check() const {
        struct stat status {};
        if (::fstat(descriptor_, &status) != 0) system_error(path_, "cannot be read", errno);
        if (!S_ISREG(status.st_mode))
            manifest_error(path_, S_ISDIR(status.st_mode) ? "is a folder" : "is not an ordinary file");
        check_size(static_cast<std::size_t>(status.st_size));
    }
    void check_size(std::size_t bytes) const {
        if (bytes > largest_manifest)
            manifest_error(path_, fmt::format("is larger than {} MiB, the most that is accepted",
                                              largest_manifest >> 20));
    }
    void close() const {
        if (descriptor_ >= 0) ::close(descriptor_);
    }

    std::string path_;
    int descriptor_ = -1;
};

std::string manifest_text(std::string const& path) {
    return OpenManifest(path, OpenManifest::Use::read).text();
}

std::string name_in_manifest(std::string const& file) {
    return std::filesystem::path(file).filename().string();
}

}  // namespace

void check_manifest(std::string const& manifest) {
    (void)manifest_text(manifest);
    std::error_code failure;
    auto const folder = std::filesystem::path(write_target(manifest)).parent_path();
    if (!folder.empty() && !std::filesystem::is_directory(folder, failure))
        system_error(manifest, "cannot be written", ENOENT);
}

void note_done(std::string const& manifest, std::string const& file, SweepHead const& head, RowRange rows) {
    std::array<char, 256> host{};
    if (::gethostname(host.data(), host.size() - 1) != 0) host[0] = '?';
    std::vector<std::string> fields;
    for (std::string const& field :
         {name_in_manifest(file), head.group, fmt::format("{}/{}", head.shard, head.shards),
          std::to_string(rows.first + 1), std::to_string(rows.end), head.inputs_hash, file_hash(file),
          head.version, std::string(host.data())})
        fields.push_back(csv_field(field));
    auto const line = csv_line(fields);
    OpenManifest const open(manifest, OpenManifest::Use::write);
    auto const before = open.text();
    if (before.find("\r\n" + line) != std::string::npos) return;
    open.append(before.size(), before.empty() ? manifest_head + line : line);
}

void check_done(std::string const& manifest, std::string const& file) {
    auto const text = manifest_text(manifest);
    std::string const begins = csv_field(name_in_manifest(file)) + ",", hash = "," + file_hash(file) + ",";
    std::string last;
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);)
        if (line.starts_with(begins)) last = line;
    if (last.empty()) manifest_error(file, fmt::format("is not in the manifest {}", manifest));
    if (last.find(hash) == std::string::npos)
        manifest_error(file,
                       fmt::format("has other bytes than when it was finished, by the manifest {}; run that "
                                   "shard again",
                                   manifest));
}

}  // namespace holdwater::sim
