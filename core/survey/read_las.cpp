#include "core/survey/read_las.h"

#include "core/base/error.h"
#include "core/survey/las_header.h"
#include "core/survey/read_laz.h"
#include "core/survey/text_file.h"

#include <chrono>
#include <cmath>
#include <cstring>
#include <fmt/format.h>

namespace brae {

namespace {

// Points between two looks at the progress; pages behind are given back then.
constexpr std::uint64_t kBlock = 1 << 16;
// Heights in steps above this deserve a word.
constexpr double kCoarseStepM = 0.005;

// Class and flags of a point, LAS 1.4 tables 8 and 16: formats 0 to 5 keep them in one byte, 6 and up in two.
std::uint16_t class_of(const unsigned char* point, bool extended) {
    if (extended)
        return static_cast<std::uint16_t>(point[16] | (point[15] & 0x04 ? kWithheld : 0) | (point[15] & 0x08 ? kOverlap : 0) |
                                          (point[15] & 0x01 ? kSynthetic : 0));
    const unsigned kind = point[15] & 0x1f;
    // Class 12 of the older formats is what became the overlap flag.
    return static_cast<std::uint16_t>((kind == 12 ? 0 : kind) | (kind == 12 ? kOverlap : 0) | (point[15] & 0x80 ? kWithheld : 0) |
                                      (point[15] & 0x20 ? kSynthetic : 0));
}

std::size_t time_offset(int format) {
    switch (format) {
        case 1: case 3: case 4: case 5: return 20;
        case 0: case 2: return 0;
        default: return 22;
    }
}

std::string date_text(std::chrono::sys_days day) {
    const std::chrono::year_month_day ymd(day);
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(ymd.year()), static_cast<unsigned>(ymd.month()), static_cast<unsigned>(ymd.day()));
}

std::string las_date(const LasHeader& h, double gps_time) {
    using namespace std::chrono;
    // Adjusted standard GPS time counts from 6 January 1980 less 1e9 s; leap seconds do not matter for a day.
    if (h.adjusted_gps_time && std::isfinite(gps_time) && gps_time > -9e8 && gps_time < 4e9 && gps_time != 0)
        return date_text(floor<days>(sys_days(year(1980) / 1 / 6) + seconds(static_cast<long long>(gps_time + 1e9))));
    return {};
}

std::string las_written(const LasHeader& h) {
    using namespace std::chrono;
    if (h.year < 1990 || h.year > 2200 || h.day < 1 || h.day > 366) return {};
    return date_text(sys_days(year(h.year) / 1 / 1) + days(h.day - 1));
}

}  // namespace

RawSurvey read_las(const std::filesystem::path& path, Progress& progress, const std::optional<Box>& clip) {
    const std::string name = path.string();
    const MappedFile file(path);
    const LasHeader h = read_las_header(file.bytes(), name);
    if (h.compressed) return read_laz(path, h, progress, clip);

    RawSurvey raw = start_las(path, h);
    // The count was held against the size of the file.
    PointThinner sink(raw, h.count, clip);

    // Whole numbers, scaled; the record may be longer than its format.
    const auto* const first = reinterpret_cast<const unsigned char*>(file.bytes().data()) + h.points_at;
    const std::size_t strip_at = h.extended() ? 20 : 18;
    for (std::uint64_t begin = 0; begin < h.count; begin += kBlock) {
        progress.step(static_cast<double>(begin) / static_cast<double>(h.count), "reading " + name);
        const std::uint64_t end = std::min(h.count, begin + kBlock);
        for (std::uint64_t i = begin; i < end; ++i) {
            const unsigned char* point = first + i * h.record;
            std::int32_t xyz[3];
            std::memcpy(xyz, point, sizeof xyz);
            std::uint16_t strip;
            std::memcpy(&strip, point + strip_at, 2);
            sink.add({xyz[0] * h.scale[0] + h.offset[0], xyz[1] * h.scale[1] + h.offset[1], xyz[2] * h.scale[2] + h.offset[2]},
                     class_of(point, h.extended()), strip);
        }
        file.done_with(static_cast<std::size_t>(h.points_at + end * h.record));
    }
    sink.finish();
    double time = 0;
    if (const std::size_t at = time_offset(h.format)) std::memcpy(&time, first + (h.count / 2) * h.record + at, sizeof time);
    finish_las(raw, h, time);
    return raw;
}

RawSurvey start_las(const std::filesystem::path& path, const LasHeader& h) {
    RawSurvey raw;
    raw.path = path;
    raw.names_units = true;
    raw.crs = h.crs;
    if (h.metres_per_height > 0) raw.metres_per_height = h.metres_per_height;
    raw.warnings = h.warnings;
    raw.rows = h.count;
    return raw;
}

void finish_las(RawSurvey& raw, const LasHeader& h, double gps_time) {
    raw.date = las_date(h, gps_time);
    raw.written = las_written(h);
    if (h.scale[2] > kCoarseStepM)
        raw.warnings.push_back(fmt::format("'{}' keeps heights in steps of {:g} of its unit; finer ones were lost when it was written",
                                           raw.path.string(), h.scale[2]));
}

}  // namespace brae
