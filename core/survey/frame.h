// Where the green's local metres lie in the world: origin, coordinate system, and how the two are related.
#pragma once

#include "core/base/vec.h"

#include <memory>
#include <string>

namespace brae {

// Immutable description of a green's local frame. Local axes: x east, y north, z up, metres.
struct FrameSpec {
    // Coordinate system of the survey as WKT2, or empty where none is known.
    std::string crs_wkt;
    // Short name for people and JSON, such as "EPSG:2154"; "" where none is known.
    std::string crs_name;
    // True: local metres are a transverse Mercator with k0 = 1 centred on (centre_lon_deg, centre_lat_deg), because
    // the survey's system is geographic or its point scale differs from 1 by more than 1e-4.
    // False: local = map - origin_map (times the linear unit).
    bool local_tm = false;
    double centre_lon_deg = 0, centre_lat_deg = 0;
    // Map coordinates (the survey's system and units, easting first) of the local origin (0, 0).
    Vec2 origin_map;
    // Metres per horizontal unit of the survey's system.
    double metres_per_unit = 1.0;
    // Height that local z = 0 has in the survey's vertical datum, metres. Local z = survey height - origin_height_m.
    double origin_height_m = 0;
    // For the report: grid scale factor of the survey's system here, and grid convergence in degrees.
    double scale_factor = 1.0, convergence_deg = 0;

    friend bool operator==(const FrameSpec&, const FrameSpec&) = default;
};

// Converts between local metres and the survey's map coordinates, and to WGS 84 longitude/latitude (PROJ through GDAL).
// Cheap to copy; safe to use from several threads at once (each call makes or locks its own transformer).
class Frame {
public:
    Frame() = default;  // no system, origin (0, 0): local == map
    explicit Frame(FrameSpec spec);

    const FrameSpec& spec() const { return spec_; }
    bool has_crs() const { return !spec_.crs_wkt.empty(); }

    Vec2 to_map(Vec2 local) const;    // easting first, in the system's units
    Vec2 from_map(Vec2 map) const;    // inverse of to_map within 0.1 mm
    // Degrees, longitude first (RFC 7946). Throws Error where the frame has no coordinate system.
    Vec2 to_lonlat(Vec2 local) const;
    Vec2 from_lonlat(Vec2 lonlat) const;

private:
    struct Transform;
    FrameSpec spec_;
    std::shared_ptr<Transform> transform_;
};

}  // namespace brae
