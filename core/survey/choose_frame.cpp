#include "core/survey/choose_frame.h"

#include "core/base/error.h"
#include "core/base/units.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

// Floors, but takes 484958 - 1e-9 for 484958.
double floor_whole(double x) { return std::floor(x + 1e-6); }

// How map lengths and directions stand to the ground at a place: derivatives of map by the local transverse Mercator,
// whose own scale there is 1 (central differences over 20 m; its scale differs by 1e-12 at that distance).
struct PointScale {
    double east = 1, north = 1, convergence_deg = 0;
};

PointScale point_scale(const Transformer& map_to_tm, Vec2 centre_map, double metres_per_unit) {
    const Vec2 c = map_to_tm.forward(centre_map);
    constexpr double h = 10;
    const auto map = [&](double dx, double dy) { return metres_per_unit * map_to_tm.inverse({c.x + dx, c.y + dy}); };
    const Vec2 de = (map(h, 0) - map(-h, 0)) / (2 * h), dn = (map(0, h) - map(0, -h)) / (2 * h);
    PointScale s;
    s.east = norm(de);
    s.north = norm(dn);
    // Grid north in ground directions solves J d = (0, 1).
    const double det = cross(de, dn);
    s.convergence_deg = degrees(std::atan2(-dn.x / det, de.x / det));
    return s;
}

}  // namespace

FrameSpec choose_frame(const Box& extent, const SystemInfo& system, double lowest_m, std::vector<std::string>& warnings) {
    FrameSpec spec;
    spec.crs_wkt = system.wkt;
    spec.crs_name = system.name;
    spec.metres_per_unit = system.metres_per_unit;
    spec.origin_height_m = std::floor(lowest_m);

    // Without a system small coordinates stay, large ones lose their whole metres.
    if (system.wkt.empty()) {
        const double largest = std::max({std::abs(extent.x0), std::abs(extent.x1), std::abs(extent.y0), std::abs(extent.y1)});
        if (largest * system.metres_per_unit >= kLocalCoordinatesBelowM)
            spec.origin_map = {floor_whole(extent.x0), floor_whole(extent.y0)};
        return spec;
    }

    const Vec2 centre{(extent.x0 + extent.x1) / 2, (extent.y0 + extent.y1) / 2};
    if (system.geographic && (std::abs(centre.x) > 360 || std::abs(centre.y) > 90))
        throw Error(fmt::format("coordinates near ({:.3f}, {:.3f}) are not degrees, yet the coordinate system {} wants "
                                "longitude and latitude", centre.x, centre.y, system.name));
    if (const auto area = area_missed(system, centre))
        warnings.push_back(fmt::format("the survey lies outside the area that {} is made for ({}); check the coordinate system",
                                       system.name, *area));
    const Vec2 lonlat = system.geographic ? centre : Transformer(system.wkt, geographic_wkt(system.wkt)).forward(centre);
    spec.centre_lon_deg = lonlat.x;
    spec.centre_lat_deg = lonlat.y;

    const Transformer to_tm(system.wkt, local_tm_wkt(system.wkt, lonlat.x, lonlat.y));
    if (system.geographic) {
        // Degrees have no length: the corner is floored in local metres.
        spec.local_tm = true;
        const Vec2 a = to_tm.forward(Vec2{extent.x0, extent.y0}), b = to_tm.forward(Vec2{extent.x0, extent.y1});
        const Vec2 c = to_tm.forward(Vec2{extent.x1, extent.y0});
        spec.origin_map = to_tm.inverse({floor_whole(std::min(a.x, b.x)), floor_whole(std::min(a.y, c.y))});
        return spec;
    }

    spec.origin_map = {floor_whole(extent.x0), floor_whole(extent.y0)};
    const PointScale scale = point_scale(to_tm, centre, system.metres_per_unit);
    spec.scale_factor = std::sqrt(scale.east * scale.north);
    spec.convergence_deg = scale.convergence_deg;
    spec.local_tm = std::max(std::abs(scale.east - 1), std::abs(scale.north - 1)) > kLargestScaleError;
    if (system.web_mercator)
        warnings.push_back(fmt::format("the survey is in Web Mercator, where lengths here are {:.3f} times too long and "
                                       "slopes as much too small; it was brought to true metres", spec.scale_factor));
    else if (spec.local_tm)
        warnings.push_back(fmt::format("lengths in {} are {:.5f} times those on the ground here; local metres are true "
                                       "ground metres at the ellipsoid", system.name, spec.scale_factor));
    return spec;
}

FrameSpec keep_frame(const FrameSpec& green, const Box& extent, const SystemInfo& system) {
    const auto named = [](const std::string& name, const std::string& wkt) { return wkt.empty() ? std::string("no coordinate system") : name; };
    if (green.crs_name != system.name || green.crs_wkt.empty() != system.wkt.empty() || green.metres_per_unit != system.metres_per_unit)
        throw Error(fmt::format("the survey is in {}, the green is in {}; a survey in the green's system is wanted",
                                named(system.name, system.wkt), named(green.crs_name, green.crs_wkt)));
    constexpr double far_m = 1000;
    const Vec2 middle = Frame(green).from_map({(extent.x0 + extent.x1) / 2, (extent.y0 + extent.y1) / 2});
    if (!(norm(middle) < far_m))
        throw Error(fmt::format("the survey lies {:.1f} km from the green, so it is another one; choose another name, or say --replace",
                                norm(middle) / 1000));
    return green;
}

}  // namespace brae
