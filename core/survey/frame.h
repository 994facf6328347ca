// Where the green's local metres lie in the world: origin, coordinate system, and how the two are related.
#pragma once

#include "core/base/vec.h"

#include <memory>
#include <span>
#include <string>

namespace brae {

// Immutable description of a green's local frame. Local axes: x east, y north, z up, metres.
struct FrameSpec {
    // Coordinate system of the survey as WKT2, or empty where none is known.
    std::string crs_wkt;
    // Short name for people and JSON, such as "EPSG:2154"; "" where none is known.
    std::string crs_name;
    // True: local metres are a transverse Mercator with k0 = 1 centred on (centre_lon_deg, centre_lat_deg) of the
    // survey's own datum, because the survey's system is geographic or its point scale differs from 1 by more than 1e-4.
    // Its axes are turned by convergence_deg, so that +y is the survey's grid north here (true north for a geographic
    // system): rasters keep their rows, and map = origin_map + local * scale_factor / metres_per_unit within 0.1 mm
    // across a green for a projected conformal system.
    // False: local = (map - origin_map) * metres_per_unit.
    bool local_tm = false;
    double centre_lon_deg = 0, centre_lat_deg = 0;
    // Map coordinates (the survey's system and units, easting first) of the local origin (0, 0).
    Vec2 origin_map;
    // Metres per horizontal unit of the survey's system.
    double metres_per_unit = 1.0;
    // Height that local z = 0 has in the survey's vertical datum, metres. Local z = survey height - origin_height_m.
    double origin_height_m = 0;
    // Grid scale factor of the survey's system here (map length / ground length; 1 for geographic and unknown systems)
    // and grid convergence in degrees, positive where grid north lies east of true north.
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
    // The same for many points at once: x and y are replaced, z is left alone.
    void from_map(std::span<Vec3> points) const;
    // Degrees, longitude first (RFC 7946). Throws Error where the frame has no coordinate system.
    Vec2 to_lonlat(Vec2 local) const;
    Vec2 from_lonlat(Vec2 lonlat) const;

private:
    struct Transform;
    FrameSpec spec_;
    std::shared_ptr<Transform> transform_;
};

}  // namespace brae
