// Writes LAS 1.2 to 1.4 for tests: the bytes of a file from a list of points, every field of the header open to be spoilt.
// Source: LAS Specification 1.4 R15, ASPRS 2019 (from memory of the open standard).
#pragma once

#include <cstdint>
#include <cstring>
#include <string>
#include <vector>

namespace brae::test {

struct LasPoint {
    double x = 0, y = 0, z = 0;
    unsigned kind = 2;  // class
    bool withheld = false, overlap = false;
    unsigned strip = 1;
    double gps_time = 0;
};

struct LasRecord {
    std::string user = "LASF_Projection";
    std::uint16_t id = 2112;
    std::string body;
    bool extended = false;
};

struct LasFile {
    int minor = 2, format = 1;
    std::vector<LasPoint> points;
    std::vector<LasRecord> records;
    double scale = 0.001, offset[3] = {0, 0, 0};
    std::size_t extra_bytes = 0;
    std::uint16_t day = 122, year = 2026, encoding = 1;
    bool legacy_count = true, wide_count = true;
    std::uint64_t said_count = 0;  // where the header is to lie; 0: the truth

    std::string bytes() const;
};

namespace las {
template <class T>
void set(std::string& bytes, std::size_t at, T value) { std::memcpy(bytes.data() + at, &value, sizeof value); }
inline constexpr std::size_t kBytes[11] = {20, 28, 26, 34, 57, 63, 30, 36, 38, 59, 67};
}  // namespace las

inline std::string LasFile::bytes() const {
    using las::set;
    const std::size_t head = minor >= 4 ? 375 : minor == 3 ? 235 : 227;
    std::string out(head, '\0');
    std::memcpy(out.data(), "LASF", 4);
    set(out, 6, encoding);
    set(out, 24, std::uint8_t{1});
    set(out, 25, static_cast<std::uint8_t>(minor));
    set(out, 90, day);
    set(out, 92, year);
    set(out, 94, static_cast<std::uint16_t>(head));

    // Records before the points.
    std::uint32_t before = 0, behind = 0;
    for (const LasRecord& r : records) {
        if (r.extended) {
            ++behind;
            continue;
        }
        ++before;
        std::string record(54, '\0');
        std::memcpy(record.data() + 2, r.user.data(), std::min<std::size_t>(r.user.size(), 16));
        set(record, 18, r.id);
        set(record, 20, static_cast<std::uint16_t>(r.body.size()));
        out += record + r.body;
    }
    const std::size_t record = las::kBytes[format] + extra_bytes;
    const std::uint64_t count = said_count ? said_count : points.size();
    set(out, 96, static_cast<std::uint32_t>(out.size()));
    set(out, 100, before);
    set(out, 104, static_cast<std::uint8_t>(format));
    set(out, 105, static_cast<std::uint16_t>(record));
    if (legacy_count) set(out, 107, static_cast<std::uint32_t>(count));
    for (std::size_t k = 0; k < 3; ++k) {
        set(out, 131 + 8 * k, scale);
        set(out, 155 + 8 * k, offset[k]);
    }
    if (minor >= 4 && wide_count) set(out, 247, count);

    // Points.
    for (const LasPoint& p : points) {
        std::string point(record, '\0');
        const double xyz[3] = {p.x, p.y, p.z};
        for (std::size_t k = 0; k < 3; ++k) {
            const double steps = (xyz[k] - offset[k]) / scale;
            set(point, 4 * k, static_cast<std::int32_t>(steps < 0 ? steps - 0.5 : steps + 0.5));
        }
        if (format >= 6) {
            set(point, 15, static_cast<std::uint8_t>((p.withheld ? 4 : 0) | (p.overlap ? 8 : 0)));
            set(point, 16, static_cast<std::uint8_t>(p.kind));
            set(point, 20, static_cast<std::uint16_t>(p.strip));
            set(point, 22, p.gps_time);
        } else {
            set(point, 15, static_cast<std::uint8_t>((p.overlap ? 12 : p.kind) | (p.withheld ? 0x80 : 0)));
            set(point, 18, static_cast<std::uint16_t>(p.strip));
            if (format != 0 && format != 2) set(point, 20, p.gps_time);
        }
        out += point;
    }

    // Records behind them.
    if (minor >= 4) {
        set(out, 235, static_cast<std::uint64_t>(behind ? out.size() : 0));
        set(out, 243, behind);
        for (const LasRecord& r : records) {
            if (!r.extended) continue;
            std::string extended(60, '\0');
            std::memcpy(extended.data() + 2, r.user.data(), std::min<std::size_t>(r.user.size(), 16));
            set(extended, 18, r.id);
            set(extended, 20, static_cast<std::uint64_t>(r.body.size()));
            out += extended + r.body;
        }
    }
    return out;
}

// The body of a GeoKeyDirectory record from (key, value) pairs.
inline std::string geo_keys(const std::vector<std::pair<std::uint16_t, std::uint16_t>>& keys) {
    std::string body(8 + 8 * keys.size(), '\0');
    const std::uint16_t head[4] = {1, 1, 0, static_cast<std::uint16_t>(keys.size())};
    std::memcpy(body.data(), head, 8);
    for (std::size_t k = 0; k < keys.size(); ++k) {
        const std::uint16_t entry[4] = {keys[k].first, 0, 1, keys[k].second};
        std::memcpy(body.data() + 8 + 8 * k, entry, 8);
    }
    return body;
}

}  // namespace brae::test
