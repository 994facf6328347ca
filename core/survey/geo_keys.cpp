#include "core/survey/geo_keys.h"

#include "core/base/constants.h"
#include "core/survey/gdal_support.h"

#include <algorithm>
#include <array>
#include <atomic>
#include <cpl_conv.h>
#include <cpl_vsi.h>
#include <cstdint>
#include <cstring>
#include <fmt/format.h>
#include <gdal_priv.h>
#include <ogr_spatialref.h>
#include <vector>

namespace brae {

namespace {

constexpr std::uint16_t kVerticalSystem = 4096, kVerticalUnit = 4099;
// Keys are few; more than this is no directory.
constexpr std::size_t kMostKeys = 512;

struct Key {
    std::uint16_t id, tag, count, value;
};

std::vector<Key> keys_of(std::string_view directory) {
    std::vector<Key> keys;
    if (directory.size() < 8) return keys;
    const auto word = [&](std::size_t k) {
        std::uint16_t value;
        std::memcpy(&value, directory.data() + 2 * k, 2);
        return value;
    };
    const std::size_t n = std::min({static_cast<std::size_t>(word(3)), directory.size() / 8 - 1, kMostKeys});
    for (std::size_t k = 1; k <= n; ++k) keys.push_back({word(4 * k), word(4 * k + 1), word(4 * k + 2), word(4 * k + 3)});
    return keys;
}

template <class T>
void put(std::string& bytes, T value) {
    char raw[sizeof(T)];
    std::memcpy(raw, &value, sizeof(T));
    bytes.append(raw, sizeof(T));
}

// A TIFF of one byte of picture (TIFF 6.0, 1992), little-endian, with the tags that matter.
std::string one_pixel(const std::vector<Key>& keys, std::string_view doubles, std::string_view text) {
    struct Entry {
        std::uint16_t tag, type;
        std::uint32_t count;
        std::string body;
    };
    std::string directory;
    for (const std::uint16_t head : {std::uint16_t{1}, std::uint16_t{1}, std::uint16_t{1}, static_cast<std::uint16_t>(keys.size())}) put(directory, head);
    for (const Key& key : keys)
        for (const std::uint16_t v : {key.id, key.tag, key.count, key.value}) put(directory, v);
    const auto number = [](std::uint16_t tag, std::uint32_t value) {
        Entry e{tag, 4, 1, {}};
        put(e.body, value);
        return e;
    };
    const auto doubles_entry = [](std::uint16_t tag, std::initializer_list<double> values) {
        Entry e{tag, 12, static_cast<std::uint32_t>(values.size()), {}};
        for (double v : values) put(e.body, v);
        return e;
    };
    std::vector<Entry> entries{number(256, 1), number(257, 1), number(258, 8), number(259, 1), number(262, 1), number(273, 8),
                               number(277, 1), number(278, 1), number(279, 1),
                               doubles_entry(33550, {1, 1, 0}), doubles_entry(33922, {0, 0, 0, 0, 0, 0}),
                               {34735, 3, static_cast<std::uint32_t>(directory.size() / 2), directory}};
    if (doubles.size() >= 8) entries.push_back({34736, 12, static_cast<std::uint32_t>(doubles.size() / 8), std::string(doubles.substr(0, doubles.size() / 8 * 8))});
    if (!text.empty()) {
        std::string ended(text);
        ended += '\0';
        entries.push_back({34737, 2, static_cast<std::uint32_t>(ended.size()), ended});
    }

    // Head, the pixel, the directory, then what does not fit into four bytes.
    std::string bytes("II*\0", 4), far;
    put(bytes, std::uint32_t{12});
    bytes += std::string(4, '\0');
    put(bytes, static_cast<std::uint16_t>(entries.size()));
    const auto far_at = static_cast<std::uint32_t>(bytes.size() + 12 * entries.size() + 4);
    for (const Entry& e : entries) {
        put(bytes, e.tag);
        put(bytes, e.type);
        put(bytes, e.count);
        if (e.body.size() <= 4) {
            bytes += e.body + std::string(4 - e.body.size(), '\0');
            continue;
        }
        put(bytes, static_cast<std::uint32_t>(far_at + far.size()));
        far += e.body + std::string(e.body.size() % 2, '\0');
    }
    put(bytes, std::uint32_t{0});
    return bytes + far;
}

}  // namespace

GeoKeys system_of_geo_keys(std::string_view directory, std::string_view doubles, std::string_view text) {
    GeoKeys result;
    const std::vector<Key> keys = keys_of(directory);
    if (keys.empty()) return result;

    // A unit of heights alone makes no vertical system, yet says what is needed.
    bool vertical_system = false;
    for (const Key& key : keys) {
        vertical_system = vertical_system || (key.id == kVerticalSystem && key.value != 0 && key.value != 32767);
        if (key.id == kVerticalUnit && key.tag == 0)
            result.metres_per_height = key.value == 9001 ? 1.0 : key.value == 9002 ? kFoot : key.value == 9003 ? kUsSurveyFoot : 0.0;
    }
    if (vertical_system) result.metres_per_height = 0;

    register_survey_drivers();
    const QuietGdal quiet;
    std::string bytes = one_pixel(keys, doubles, text);
    static std::atomic<unsigned> counter{0};
    const std::string name = fmt::format("/vsimem/brae-keys-{}.tif", ++counter);
    VSILFILE* file = VSIFileFromMemBuffer(name.c_str(), reinterpret_cast<GByte*>(bytes.data()), bytes.size(), FALSE);
    if (!file) return result;
    VSIFCloseL(file);
    // Heights count: both parts of the system are wanted.
    CPLSetThreadLocalConfigOption("GTIFF_REPORT_COMPD_CS", "YES");
    const char* const drivers[] = {"GTiff", nullptr};
    if (GDALDatasetH dataset = GDALOpenEx(name.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY, drivers, nullptr, nullptr)) {
        const OGRSpatialReference* srs = GDALDataset::FromHandle(dataset)->GetSpatialRef();
        if (srs && (srs->IsProjected() || srs->IsGeographic())) {
            const char* const options[] = {"FORMAT=WKT2_2019", nullptr};
            char* wkt = nullptr;
            srs->exportToWkt(&wkt, options);
            if (wkt) result.wkt = wkt;
            CPLFree(wkt);
        }
        GDALClose(dataset);
    }
    CPLSetThreadLocalConfigOption("GTIFF_REPORT_COMPD_CS", nullptr);
    VSIUnlink(name.c_str());
    return result;
}

}  // namespace brae
