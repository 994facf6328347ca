#include "core/survey/las_header.h"

#include "core/base/error.h"
#include "core/survey/geo_keys.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>
#include <fmt/format.h>

namespace brae {

namespace {

static_assert(std::endian::native == std::endian::little, "LAS numbers are little-endian and are copied as they stand");

template <class T>
T load(std::string_view bytes, std::uint64_t at) {
    T value;
    std::memcpy(&value, bytes.data() + at, sizeof value);
    return value;
}

// Text in a field of fixed length ends at its first zero.
std::string_view until_zero(std::string_view field) { return field.substr(0, field.find('\0')); }

// What the records of LASF_Projection say; the first of each kind counts.
struct Projection {
    std::string_view wkt, keys, doubles, text;
    void take(std::string_view user, unsigned id, std::string_view body) {
        if (until_zero(user) != "LASF_Projection") return;
        std::string_view& slot = id == 2112 ? wkt : id == 34735 ? keys : id == 34736 ? doubles : id == 34737 ? text : ignored;
        if (slot.empty()) slot = body;
    }
    std::string_view ignored;
};

// Variable length records: 54 bytes of head and at most 65535 of body each, between header and points.
void read_records(std::string_view bytes, const std::string& name, std::uint64_t at, std::uint32_t records, std::uint64_t end,
                  Projection& projection, std::vector<std::string>& warnings) {
    for (std::uint32_t k = 0; k < records; ++k) {
        if (at + 54 > end || at + 54 + load<std::uint16_t>(bytes, at + 20) > end) {
            // Points can be read without; what a record past this one said is lost.
            warnings.push_back(fmt::format("'{}' says {} records before its points, holds {}; a coordinate system may be missing",
                                           name, records, k));
            return;
        }
        const std::uint16_t length = load<std::uint16_t>(bytes, at + 20);
        projection.take(bytes.substr(at + 2, 16), load<std::uint16_t>(bytes, at + 18), bytes.substr(at + 54, length));
        at += 54u + length;
    }
}

// Extended records stand behind the points: 60 bytes of head, a 64-bit length.
void read_extended_records(std::string_view bytes, const std::string& name, std::uint64_t at, std::uint32_t records,
                           Projection& projection, std::vector<std::string>& warnings) {
    for (std::uint32_t k = 0; k < records; ++k) {
        if (at > bytes.size() || bytes.size() - at < 60 || load<std::uint64_t>(bytes, at + 20) > bytes.size() - at - 60) {
            warnings.push_back(fmt::format("'{}' says {} records behind its points, holds {}; a coordinate system may be missing",
                                           name, records, k));
            return;
        }
        const auto length = load<std::uint64_t>(bytes, at + 20);
        projection.take(bytes.substr(at + 2, 16), load<std::uint16_t>(bytes, at + 18), bytes.substr(at + 60, length));
        at += 60 + length;
    }
}

}  // namespace

LasHeader read_las_header(std::string_view bytes, const std::string& name) {
    // The part that all versions share.
    if (bytes.size() < 227 || bytes.substr(0, 4) != "LASF")
        throw Error(fmt::format("'{}' has {} bytes where a LAS or LAZ header has at least 227; the file is cut short", name, bytes.size()));
    LasHeader h;
    const int major = load<std::uint8_t>(bytes, 24);
    h.minor = load<std::uint8_t>(bytes, 25);
    if (major != 1 || h.minor > 4) throw Error(fmt::format("'{}' is LAS {}.{}; LAS 1.0 to 1.4 is wanted", name, major, h.minor));
    const std::uint16_t encoding = load<std::uint16_t>(bytes, 6);
    h.adjusted_gps_time = encoding & 1;
    h.day = load<std::uint16_t>(bytes, 90);
    h.year = load<std::uint16_t>(bytes, 92);
    const std::uint16_t size = load<std::uint16_t>(bytes, 94);
    const std::size_t least = h.minor >= 4 ? 375 : h.minor == 3 ? 235 : 227;
    if (size < least || size > bytes.size())
        throw Error(fmt::format("'{}' says its LAS 1.{} header has {} bytes; {} or more inside a file of {} are wanted", name, h.minor,
                                size, least, bytes.size()));

    // Points: format, length, place.
    const std::uint8_t format = load<std::uint8_t>(bytes, 104);
    h.compressed = format & 0xc0;
    h.format = format & 0x3f;
    if (h.format >= static_cast<int>(kLasPointBytes.size()))
        throw Error(fmt::format("'{}' holds points of format {}; 0 to 10 is wanted", name, h.format));
    h.record = load<std::uint16_t>(bytes, 105);
    const std::size_t needed = kLasPointBytes[static_cast<std::size_t>(h.format)];
    if (h.record < needed)
        throw Error(fmt::format("'{}' says its points of format {} have {} bytes each; {} or more are wanted", name, h.format, h.record,
                                needed));
    h.points_at = load<std::uint32_t>(bytes, 96);
    if (h.points_at < size || h.points_at > bytes.size())
        throw Error(fmt::format("'{}' says its points start at byte {}; a place between its header and its end, {} to {}, is wanted",
                                name, h.points_at, size, bytes.size()));

    // The 64-bit count rules where there is one.
    const std::uint32_t legacy = load<std::uint32_t>(bytes, 107);
    h.count = legacy;
    if (h.minor >= 4) {
        const auto wide = load<std::uint64_t>(bytes, 247);
        if (wide != 0) h.count = wide;
        if (wide != 0 && legacy != 0 && wide != legacy)
            h.warnings.push_back(fmt::format("'{}' says {} points in one place of its header and {} in another; the first is taken",
                                             name, wide, legacy));
    }
    if (!h.compressed) {
        const std::uint64_t room = bytes.size() - h.points_at, fits = room / h.record;
        if (h.count > fits)
            throw Error(fmt::format("'{}' says {} points, holds {}; the file is cut short or its header is wrong", name, h.count, fits));
        // Waveforms and extended records may follow; without them whole points behind the last are points not counted.
        const std::uint32_t behind = h.minor >= 4 ? load<std::uint32_t>(bytes, 243) : 0;
        const bool waves = h.minor >= 3 && load<std::uint64_t>(bytes, 227) != 0;
        if (h.count < fits && behind == 0 && !waves)
            h.warnings.push_back(fmt::format("'{}' says {} points and has room for {}; its header may be wrong, and only those it "
                                             "says are read", name, h.count, fits));
    }
    if (h.count == 0) throw Error(fmt::format("'{}' says that it holds no points; at least 10 are wanted", name));

    for (std::size_t k = 0; k < 3; ++k) {
        h.scale[k] = load<double>(bytes, 131 + 8 * k);
        h.offset[k] = load<double>(bytes, 155 + 8 * k);
        if (!std::isfinite(h.scale[k]) || !(h.scale[k] > 0) || h.scale[k] > 1e3 || !std::isfinite(h.offset[k]) || std::abs(h.offset[k]) > 1e12)
            throw Error(fmt::format("'{}' has the scale {} and the offset {} for its {}; a positive number and a number are wanted", name,
                                    h.scale[k], h.offset[k], "xyz"[k]));
    }

    // The coordinate system: WKT rules over GeoKeys (the standard wants it for formats 6 and up).
    Projection projection;
    read_records(bytes, name, size, load<std::uint32_t>(bytes, 100), h.points_at, projection, h.warnings);
    if (h.minor >= 4)
        read_extended_records(bytes, name, load<std::uint64_t>(bytes, 235), load<std::uint32_t>(bytes, 243), projection, h.warnings);
    h.crs = std::string(until_zero(projection.wkt));
    h.crs.erase(h.crs.find_last_not_of(" \t\r\n") + 1);
    if (h.crs.empty() && !projection.keys.empty()) {
        GeoKeys keys = system_of_geo_keys(projection.keys, projection.doubles, projection.text);
        h.crs = std::move(keys.wkt);
        h.metres_per_height = keys.metres_per_height;
        if (h.crs.empty())
            h.warnings.push_back(fmt::format("'{}' names its coordinate system by GeoKeys that cannot be followed; say --crs", name));
    }
    return h;
}

}  // namespace brae
