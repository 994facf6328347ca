// Coordinate systems as text, and conversions between two of them (PROJ through GDAL, easting or longitude first).
#pragma once

#include "core/base/vec.h"

#include <memory>
#include <optional>
#include <span>
#include <string>

namespace brae {

// The horizontal part of a coordinate system, and what its vertical part says about heights.
struct SystemInfo {
    std::string wkt;   // WKT2, horizontal part only; empty where the text names only a unit (a local grid)
    std::string name;  // "EPSG:2154", else the system's own name
    bool geographic = false;
    bool web_mercator = false;
    double metres_per_unit = 1;                // 1 for geographic systems
    std::optional<double> metres_per_height;   // where a vertical part says so
};

// Takes "EPSG:27700", WKT 1 or 2, or a PROJ string; reads no file and no network. `what` starts the error sentence, such
// as "--crs" or a file name. Throws Error for text that names no system and for geocentric systems.
SystemInfo parse_system(const std::string& text, const std::string& what);

// The area that a system is made for, as its authority describes it, where a place in its own map units lies outside; empty
// where the place lies within, and where the system does not say.
std::optional<std::string> area_missed(const SystemInfo& system, Vec2 place);

// WKT of a transverse Mercator with k0 = 1 on the datum of `wkt`, centred on (lon, lat) in degrees of that datum.
std::string local_tm_wkt(const std::string& wkt, double lon_deg, double lat_deg);
// WKT of the geographic system on which `wkt` stands.
std::string geographic_wkt(const std::string& wkt);

// One direction between two systems and its inverse. Safe from several threads (calls are serialised).
class Transformer {
public:
    Transformer(const std::string& from_wkt, const std::string& to_wkt);
    ~Transformer();
    Transformer(const Transformer&) = delete;
    Transformer& operator=(const Transformer&) = delete;

    // Throw Error where a point lies outside the area that the systems cover.
    Vec2 forward(Vec2 p) const;
    Vec2 inverse(Vec2 p) const;
    // x and y in place; z is left alone.
    void forward(std::span<Vec3> points) const;

private:
    struct Handles;
    std::unique_ptr<Handles> handles_;
};

}  // namespace brae
