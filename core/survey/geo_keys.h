// The coordinate system that GeoTIFF keys describe, as LAS files carry them without a TIFF round them.
#pragma once

#include <string>
#include <string_view>

namespace brae {

struct GeoKeys {
    std::string wkt;               // "" where the keys name no system
    double metres_per_height = 0;  // of a vertical unit without a vertical system; 0: not said
};

// The bodies of tags 34735 (directory, 16-bit numbers), 34736 (doubles) and 34737 (text), little-endian. Nothing is thrown:
// keys that cannot be followed give an empty text. Source: OGC GeoTIFF 1.1 (19-008r4); GDAL does the interpreting, from a
// TIFF of one pixel in memory that carries the three tags.
GeoKeys system_of_geo_keys(std::string_view directory, std::string_view doubles, std::string_view text);

}  // namespace brae
