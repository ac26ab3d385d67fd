#include "sim/files/hdf5_limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string>
#include <string_view>

#include "sim/files/seal.hpp"

namespace holdwater::sim {
namespace {

constexpr std::size_t most_objects = 2000, deepest = 2;

struct Look {
    Hdf5Limits limits;
    std::size_t objects = 0;
    double bytes = 0;  // as a double, because a product of sizes may be beyond any integer
    std::string problem;
};

// Handles of the C library, which are closed in every case.
struct Handle {
    hid_t id;
    herr_t (*close)(hid_t);
    Handle(hid_t of, herr_t (*with)(hid_t)) : id(of), close(with) {}
    ~Handle() {
        if (id >= 0) close(id);
    }
    Handle(Handle const&) = delete;
    Handle& operator=(Handle const&) = delete;
};

bool own_packing(hid_t properties) {
    int const count = H5Pget_nfilters(properties);
    for (int i = 0; i < count; ++i) {
        unsigned flags = 0, config = 0;
        std::size_t values = 0;
        auto const filter = H5Pget_filter2(properties, static_cast<unsigned>(i), &flags, &values, nullptr, 0,
                                           nullptr, &config);
        if (filter != H5Z_FILTER_SHUFFLE && filter != H5Z_FILTER_DEFLATE) return false;
    }
    return count >= 0;
}

std::string problem_of_dataset(hid_t data, Look& look) {
    Handle const properties(H5Dget_create_plist(data), H5Pclose), type(H5Dget_type(data), H5Tclose),
        space(H5Dget_space(data), H5Sclose);
    if (properties.id < 0 || type.id < 0 || space.id < 0) return "cannot be looked into";
    auto const layout = H5Pget_layout(properties.id);
    if (layout == H5D_VIRTUAL || H5Pget_external_count(properties.id) != 0)
        return "has its values in other files";
    if (!own_packing(properties.id)) return "is packed in a way that is not used here";
    // In memory a value takes at least eight bytes.
    auto const value_bytes = static_cast<double>(std::max<std::size_t>(H5Tget_size(type.id), 8));
    auto const values = H5Sget_simple_extent_npoints(space.id);
    if (values < 0) return "has no size";
    look.bytes += value_bytes * static_cast<double>(values);
    if (look.bytes > static_cast<double>(look.limits.all_bytes))
        return fmt::format("makes the values take more than {} MiB", look.limits.all_bytes >> 20);
    if (layout != H5D_CHUNKED) return "";
    std::array<hsize_t, H5S_MAX_RANK> chunk{};
    int const rank = H5Pget_chunk(properties.id, H5S_MAX_RANK, chunk.data());
    double chunk_bytes = value_bytes;
    for (int i = 0; i < rank; ++i) chunk_bytes *= static_cast<double>(chunk[static_cast<std::size_t>(i)]);
    if (rank < 1 || chunk_bytes > static_cast<double>(look.limits.chunk_bytes))
        return fmt::format("is packed in pieces of more than {} MiB", look.limits.chunk_bytes >> 20);
    return "";
}

// HDF5 calls this for every link before it follows the link; a result other than 0 ends the visit.
herr_t look_at(hid_t group, char const* name, H5L_info_t const* link, void* data) {
    auto& look = *static_cast<Look*>(data);
    auto const say = [&](std::string const& problem) {
        if (!problem.empty()) look.problem = fmt::format("\"{}\" {}", name, problem);
        return problem.empty() ? 0 : 1;
    };
    if (link->type != H5L_TYPE_HARD) return say("is a link to another place");
    if (++look.objects > most_objects)
        return say(fmt::format("is one of more than {} objects", most_objects));
    std::string_view const path = name;
    if (static_cast<std::size_t>(std::count(path.begin(), path.end(), '/')) > deepest)
        return say("lies in groups within groups");
    Handle const object(H5Oopen(group, name, H5P_DEFAULT), H5Oclose);
    if (object.id < 0) return say("cannot be looked into");
    auto const kind = H5Iget_type(object.id);
    if (kind == H5I_GROUP) return 0;
    return say(kind == H5I_DATASET ? problem_of_dataset(object.id, look) : "is no table");
}

}  // namespace

void check_hdf5(H5::H5File const& file, Hdf5Limits limits) {
    Look look{limits, 0, 0, ""};
    auto const done = H5Lvisit(file.getId(), H5_INDEX_NAME, H5_ITER_NATIVE, look_at, &look);
    if (!look.problem.empty()) throw H5::FileIException("check_hdf5", look.problem);
    if (done < 0) throw H5::FileIException("check_hdf5", "its objects cannot be looked into");
}

H5::H5File open_checked(std::string const& path, Hdf5Limits limits) {
    if (!file_seal_holds(path))
        throw H5::FileIException("open_checked", "another file, or damaged or changed since it was written");
    H5::H5File file(path, H5F_ACC_RDONLY);
    check_hdf5(file, limits);
    return file;
}

}  // namespace holdwater::sim
