// The public header and the records behind it of a LAS file, checked before anything is trusted.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace brae {

struct LasHeader {
    int minor = 2;                     // of version 1.minor
    int format = 0;                    // 0 to 10, the compression bits taken off
    bool compressed = false;           // LAZ
    bool adjusted_gps_time = false;    // times are GPS seconds less 1e9, else seconds of a week
    std::size_t record = 0;            // bytes from one point to the next
    std::uint64_t points_at = 0, count = 0;
    std::array<double, 3> scale{1, 1, 1}, offset{};
    int day = 0, year = 0;             // when the file was written; 0 where it does not say
    std::string crs;                   // WKT, "" where the file names no system
    double metres_per_height = 0;      // from GeoKeys with a vertical unit and no vertical system; 0: not said
    std::vector<std::string> warnings;

    bool extended() const { return format >= 6; }
};

// Reads the header of the whole file `bytes`. `name` starts error sentences. Throws Error for another version or format,
// a record shorter than its format, offsets outside the file, scales that are no numbers, and, where it is not compressed,
// for more points than the file has room for. Source: LAS Specification 1.4 R15, ASPRS 2019 (tables 3, 5, 7 to 17; from
// memory of the open standard).
LasHeader read_las_header(std::string_view bytes, const std::string& name);

// Bytes of a point of each format, extra bytes not counted.
inline constexpr std::array<std::size_t, 11> kLasPointBytes{20, 28, 26, 34, 57, 63, 30, 36, 38, 59, 67};

}  // namespace brae
