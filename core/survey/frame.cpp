#include "core/survey/frame.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/survey/coordinate_system.h"

#include <cmath>
#include <mutex>

namespace brae {

namespace {

// Longitude and latitude as RFC 7946 wants them: WGS 84, degrees, Greenwich.
const std::string& wgs84_wkt() {
    static const std::string wkt = parse_system("EPSG:4326", "WGS 84").wkt;
    return wkt;
}

}  // namespace

struct Frame::Transform {
    std::unique_ptr<Transformer> to_tm;      // the survey's system -> local transverse Mercator
    Vec2 origin_tm;                          // where the local origin lies in it
    double cos_turn = 1, sin_turn = 0;       // of the convergence
    std::unique_ptr<Transformer> to_wgs84;   // made when first asked for
    std::mutex lock;

    const Transformer& wgs84(const std::string& wkt) {
        const std::lock_guard<std::mutex> guard(lock);
        if (!to_wgs84) to_wgs84 = std::make_unique<Transformer>(wkt, wgs84_wkt());
        return *to_wgs84;
    }
    // Turned so that +y is grid north: its true bearing is the convergence.
    Vec2 turned(Vec2 d) const { return {d.x * cos_turn - d.y * sin_turn, d.x * sin_turn + d.y * cos_turn}; }
    Vec2 turned_back(Vec2 d) const { return {d.x * cos_turn + d.y * sin_turn, d.y * cos_turn - d.x * sin_turn}; }
};

Frame::Frame(FrameSpec spec) : spec_(std::move(spec)) {
    if (!(spec_.metres_per_unit > 0) || !std::isfinite(spec_.metres_per_unit))
        throw Error("a frame has a horizontal unit of no length; metres per unit above 0 are wanted");
    if (spec_.crs_wkt.empty()) {
        spec_.local_tm = false;
        return;
    }
    transform_ = std::make_shared<Transform>();
    if (!spec_.local_tm) return;
    transform_->to_tm = std::make_unique<Transformer>(
        spec_.crs_wkt, local_tm_wkt(spec_.crs_wkt, spec_.centre_lon_deg, spec_.centre_lat_deg));
    transform_->cos_turn = std::cos(radians(spec_.convergence_deg));
    transform_->sin_turn = std::sin(radians(spec_.convergence_deg));
    transform_->origin_tm = transform_->to_tm->forward(spec_.origin_map);
}

Vec2 Frame::to_map(Vec2 local) const {
    if (!spec_.local_tm) return spec_.origin_map + local / spec_.metres_per_unit;
    return transform_->to_tm->inverse(transform_->origin_tm + transform_->turned_back(local));
}

Vec2 Frame::from_map(Vec2 map) const {
    if (!spec_.local_tm) return spec_.metres_per_unit * (map - spec_.origin_map);
    return transform_->turned(transform_->to_tm->forward(map) - transform_->origin_tm);
}

void Frame::from_map(std::span<Vec3> points) const {
    if (spec_.local_tm) transform_->to_tm->forward(points);
    for (Vec3& p : points) {
        const Vec2 q = spec_.local_tm ? transform_->turned(Vec2{p.x, p.y} - transform_->origin_tm)
                                      : spec_.metres_per_unit * (Vec2{p.x, p.y} - spec_.origin_map);
        p.x = q.x;
        p.y = q.y;
    }
}

Vec2 Frame::to_lonlat(Vec2 local) const {
    if (!has_crs())
        throw Error("the survey has no coordinate system, so longitude and latitude are not known; name one with --crs");
    return transform_->wgs84(spec_.crs_wkt).forward(to_map(local));
}

Vec2 Frame::from_lonlat(Vec2 lonlat) const {
    if (!has_crs())
        throw Error("the survey has no coordinate system, so longitude and latitude have no place in it; name one with --crs");
    // A change of datum by Helmert's formula inverts to about a millimetre only; two corrections against the forward
    // direction make the pair exact.
    const Transformer& wgs84 = transform_->wgs84(spec_.crs_wkt);
    Vec2 aim = lonlat, map = wgs84.inverse(aim);
    for (int round = 0; round < 2; ++round) {
        aim = aim + (lonlat - wgs84.forward(map));
        map = wgs84.inverse(aim);
    }
    return from_map(map);
}

}  // namespace brae
