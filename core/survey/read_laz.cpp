#include "core/survey/read_laz.h"

#include "core/base/error.h"
#include "core/survey/read_las.h"

#include <fmt/format.h>

#ifdef BRAE_HAS_LASZIP
#include <algorithm>
#include <laszip/laszip_api.h>
#include <memory>
#endif

namespace brae {

#ifdef BRAE_HAS_LASZIP

namespace {

// Closes and frees whatever was opened.
struct Reader {
    laszip_POINTER handle = nullptr;
    bool open = false;
    ~Reader() {
        if (open) laszip_close_reader(handle);
        if (handle) laszip_destroy(handle);
    }
};

}  // namespace

bool reads_laz() { return true; }

RawSurvey read_laz(const std::filesystem::path& path, const LasHeader& h, Progress& progress, const std::optional<Box>& clip) {
    const std::string name = path.string();
    Reader reader;
    const auto check = [&](laszip_I32 failed, std::uint64_t at) {
        if (!failed) return;
        laszip_CHAR* text = nullptr;
        if (reader.handle) laszip_get_error(reader.handle, &text);
        throw Error(fmt::format("'{}' cannot be read as LAZ at point {}: {}", name, at, text ? text : "LASzip gave no reason"));
    };
    check(laszip_create(&reader.handle), 0);
    laszip_BOOL compressed = 0;
    check(laszip_open_reader(reader.handle, name.c_str(), &compressed), 0);
    reader.open = true;
    laszip_point_struct* point = nullptr;
    check(laszip_get_point_pointer(reader.handle, &point), 0);

    RawSurvey raw = start_las(path, h);
    // The count cannot be held against the size of a compressed file, so memory grows as points come.
    PointThinner sink(raw, 0, clip);
    double time = 0;
    for (std::uint64_t i = 0; i < h.count; ++i) {
        if ((i & 0xffff) == 0) progress.step(static_cast<double>(i) / static_cast<double>(h.count), "reading " + name);
        check(laszip_read_point(reader.handle), i + 1);
        // The extended fields hold the class of formats 6 and up.
        const unsigned kind = h.extended() ? point->extended_classification : point->classification;
        const bool old_overlap = !h.extended() && kind == 12;
        const unsigned flags = h.extended() ? point->extended_classification_flags : 0;
        const auto word = static_cast<std::uint16_t>(
            (old_overlap ? 0 : kind & 0xff) | (old_overlap || (flags & 8) ? kOverlap : 0) |
            (point->withheld_flag || (flags & 4) ? kWithheld : 0) | (point->synthetic_flag || (flags & 1) ? kSynthetic : 0));
        sink.add({point->X * h.scale[0] + h.offset[0], point->Y * h.scale[1] + h.offset[1], point->Z * h.scale[2] + h.offset[2]}, word,
                 point->point_source_ID);
        if (i == h.count / 2) time = point->gps_time;
    }
    sink.finish();
    finish_las(raw, h, time);
    return raw;
}

#else

bool reads_laz() { return false; }

RawSurvey read_laz(const std::filesystem::path& path, const LasHeader& h, Progress&, const std::optional<Box>&) {
    throw Error(fmt::format("'{}' is LAZ (compressed, {} points), which this build cannot unpack: ask for LAS, or unpack it, for "
                            "example with 'pdal translate {} {}.las'",
                            path.string(), h.count, path.filename().string(), path.stem().string()));
}

#endif

}  // namespace brae
