#include "sim/sweep/manifest.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <filesystem>
#include <fstream>
#include <iterator>
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

// The manifest, locked until the end of the object.
class LockedManifest {
  public:
    explicit LockedManifest(std::string const& path)
        : path_(path), descriptor_(::open(path.c_str(), O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC, 0666)) {
        if (descriptor_ < 0 || ::flock(descriptor_, LOCK_EX) != 0)
            manifest_error(path,
                           fmt::format("cannot be written ({})", std::generic_category().message(errno)));
    }
    ~LockedManifest() {
        if (descriptor_ >= 0) ::close(descriptor_);
    }
    LockedManifest(LockedManifest const&) = delete;
    LockedManifest& operator=(LockedManifest const&) = delete;

    void append(std::string const& text) const {
        if (::write(descriptor_, text.data(), text.size()) != static_cast<ssize_t>(text.size()))
            manifest_error(path_,
                           fmt::format("cannot be written ({})", std::generic_category().message(errno)));
    }

  private:
    std::string path_;
    int descriptor_;
};

std::string manifest_text(std::string const& path) {
    std::ifstream in(path, std::ios::binary);
    return std::string(std::istreambuf_iterator<char>(in), {});
}

void check_is_manifest(std::string const& path, std::string const& text) {
    if (!text.empty() && !text.starts_with(manifest_head))
        manifest_error(path, "is there already and is not a manifest; it is left alone, give another name");
}

std::string name_in_manifest(std::string const& file) {
    return std::filesystem::path(file).filename().string();
}

}  // namespace

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
    LockedManifest const locked(manifest);
    auto const before = manifest_text(manifest);
    check_is_manifest(manifest, before);
    if (before.find("\r\n" + line) != std::string::npos) return;
    locked.append(before.empty() ? manifest_head + line : line);
}

void check_done(std::string const& manifest, std::string const& file) {
    auto const text = manifest_text(manifest);
    check_is_manifest(manifest, text);
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
