#include "core/plan/spot_reads.h"

#include "core/base/segment.h"
#include "core/base/units.h"
#include "core/plan/zones.h"
#include "core/solve/back_trace.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <tbb/parallel_for.h>

namespace brae {

namespace {

// A start more than this off the hole cannot be aimed at a peg beside it.
constexpr double kWidestStartRad = 50 * kPi / 180;
// A break that moves by more than this and this share of itself with half a foot of speed teaches nothing.
constexpr double kUnrestM = 0.04, kUnrestShare = 0.20;

RayFamilyOptions quick() {
    RayFamilyOptions options;
    options.tolerance = 1e-7;
    return options;
}

Vec2 spot_at(Vec2 hole, double distance_m, double bearing) { return hole + distance_m * Vec2{std::sin(bearing), std::cos(bearing)}; }

}  // namespace

std::optional<double> slower_green(double green_speed_ft) {
    const double slower = green_speed_ft - kSpeedStepFt;
    return slower < kSlowestGreenFt ? std::nullopt : std::optional(slower);
}

std::optional<double> faster_green(double green_speed_ft) {
    const double faster = green_speed_ft + kSpeedStepFt;
    return faster > kFastestGreenFt ? std::nullopt : std::optional(faster);
}

double SpotRead::swing_m() const {
    if (std::isnan(offset_slower_m)) return std::abs(offset_faster_m - offset_m);
    if (std::isnan(offset_faster_m)) return std::abs(offset_m - offset_slower_m);
    return 0.5 * std::abs(offset_faster_m - offset_slower_m);
}

double SpotRead::unrest() const { return swing_m() / (0.05 + std::abs(offset_m)); }

SpotReader::SpotReader(const TerrainModel& terrain, const StationRequest& request, double past_m, Progress& progress,
                       double longest_path_m)
    : terrain_(terrain), request_(request) {
    // A green speed that the program does not accept leaves its family empty.
    const std::array<std::optional<double>, 3> speeds = {request.green_speed_ft, slower_green(request.green_speed_ft),
                                          faster_green(request.green_speed_ft)};
    const std::array<RayFamily*, 3> families = {&today_, &slower_, &faster_};
    progress.step(0.05, "reads round the hole");
    tbb::parallel_for(0, 3, [&](int k) {
        if (speeds[k])
            *families[k] = trace_family(*terrain_.surface, terrain_.outline, request_.hole, *speeds[k], past_m, quick(), nullptr,
                                        longest_path_m);
    });
    progress.step(0.3, "reads round the hole");
}

std::optional<double> SpotReader::offset(const RayFamily& family, Vec2 ball, Launch* launch) const {
    // Of several ways to hole the putt the slowest counts, as in the full solution.
    std::optional<double> out;
    double slowest = std::numeric_limits<double>::infinity();
    for (const RayHit& hit : hits_at(family, ball)) {
        const Ray ray = trace_ray(*terrain_.surface, terrain_.outline, family.hole, family.green_speed_ft, family.past_m,
                                  hit.parameter, hit.s, quick());
        if (ray.points.size() < 2) continue;
        const RayPoint& start = ray.points.back();
        if (start.speed >= slowest || distance(start.p, ball) > 0.25) continue;
        slowest = start.speed;
        // The angle from the ball-hole line at the ray's own end, clockwise; it changes slowly over the last millimetres.
        const Vec2 line = family.hole - start.p;
        const double angle = std::atan2(-cross(line, start.v), dot(line, start.v));
        out.reset();
        if (std::abs(angle) > kWidestStartRad) continue;
        if (std::any_of(ray.points.begin(), ray.points.end(),
                        [&](const RayPoint& q) { return inside_any(request_.closed_zones, q.p); })) continue;
        if (runs_over_other_hole(ray)) continue;
        out = distance(family.hole, ball) * std::tan(angle);
        if (launch) *launch = {std::atan2(family.hole.y - ball.y, family.hole.x - ball.x) - angle, start.speed};
    }
    return out;
}

bool SpotReader::runs_over_other_hole(const Ray& ray) const {
    for (Vec2 other : request_.other_holes)
        for (std::size_t i = 0; i + 1 < ray.points.size(); ++i)
            if (distance(nearest_on_segment(other, ray.points[i].p, ray.points[i + 1].p), other) < kPassHoleM) return true;
    return false;
}

SpotRead room_at(const TerrainModel& terrain, const StationRequest& request, double distance_m, double bearing) {
    SpotRead spot;
    spot.bearing = bearing;
    spot.ball = spot_at(request.hole, distance_m, bearing);
    if (terrain.outline.signed_distance(spot.ball) < kStanceM) {
        spot.fault = SpotFault::edge;
        return spot;
    }
    if (inside_any(request.closed_zones, spot.ball)) {
        spot.fault = SpotFault::zone;
        return spot;
    }
    for (Vec2 other : request.other_holes)
        if (distance(other, spot.ball) < kOtherHoleM) {
            spot.fault = SpotFault::other_hole;
            return spot;
        }
    const auto height = [&](Vec2 p) { return terrain.surface->height(p.x, p.y); };
    spot.slope_along = (height(request.hole) - height(spot.ball)) / distance_m;
    return spot;
}

SpotRead SpotReader::at(double distance_m, double bearing) const {
    SpotRead spot = room_at(terrain_, request_, distance_m, bearing);
    if (spot.good()) read(spot);
    return spot;
}

void SpotReader::read(SpotRead& spot) const {
    const auto side = [&](const RayFamily& family, std::optional<double> speed) {
        return speed ? offset(family, spot.ball) : std::optional(std::numeric_limits<double>::quiet_NaN());
    };
    const auto today = offset(today_, spot.ball, &spot.launch);
    std::optional<double> slower, faster;
    if (today) slower = side(slower_, slower_green(request_.green_speed_ft));
    if (slower) faster = side(faster_, faster_green(request_.green_speed_ft));
    if (!today || !slower || !faster) {
        spot.fault = SpotFault::no_read;
        return;
    }
    spot.offset_m = *today;
    spot.offset_slower_m = *slower;
    spot.offset_faster_m = *faster;
    if (spot.swing_m() > kUnrestM + kUnrestShare * std::abs(*today)) spot.fault = SpotFault::shaky;
}

std::vector<SpotRead> SpotReader::ring(double distance_m, int count) const {
    std::vector<SpotRead> out(count);
    tbb::parallel_for(0, count, [&](int k) { out[k] = at(distance_m, 2 * kPi * k / count); });
    return out;
}

std::vector<SpotRead> where_offset_is(const std::vector<SpotRead>& ring, Vec2 hole, double distance_m, double offset_m) {
    std::vector<SpotRead> out;
    const std::size_t n = ring.size();
    for (std::size_t i = 0; i < n; ++i) {
        const SpotRead &a = ring[i], &b = ring[(i + 1) % n];
        if (!a.good() || !b.good() || (a.offset_m < offset_m) == (b.offset_m < offset_m)) continue;
        // A jump between neighbours is a fold, not a crossing.
        if (std::abs(a.offset_m - b.offset_m) > 0.25 * distance_m) continue;
        const double t = (offset_m - a.offset_m) / (b.offset_m - a.offset_m);
        const auto mix = [&](double x, double y) { return x + t * (y - x); };
        SpotRead spot;
        spot.bearing = mix(a.bearing, i + 1 < n ? b.bearing : b.bearing + 2 * kPi);
        spot.ball = spot_at(hole, distance_m, spot.bearing);
        spot.offset_m = offset_m;
        spot.offset_slower_m = mix(a.offset_slower_m, b.offset_slower_m);
        spot.offset_faster_m = mix(a.offset_faster_m, b.offset_faster_m);
        spot.slope_along = mix(a.slope_along, b.slope_along);
        spot.launch = {mix(a.launch.angle, a.launch.angle + std::remainder(b.launch.angle - a.launch.angle, 2 * kPi)), mix(a.launch.speed, b.launch.speed)};
        out.push_back(spot);
    }
    return out;
}

SpotRead SpotReader::refine(const SpotRead& rough, double distance_m, double offset_m) const {
    // Secant from the rough spot and one a degree beside it.
    SpotRead a = at(distance_m, rough.bearing), b = at(distance_m, rough.bearing + kPi / 180);
    for (int k = 0; k < 8 && a.good() && b.good(); ++k) {
        if (std::abs(a.offset_m - offset_m) < 2e-4 || a.offset_m == b.offset_m) break;
        const double bearing = a.bearing + (offset_m - a.offset_m) * (b.bearing - a.bearing) / (b.offset_m - a.offset_m);
        if (std::abs(bearing - rough.bearing) > 5 * kPi / 180) {
            a.fault = SpotFault::shaky;
            break;
        }
        b = a;
        a = at(distance_m, bearing);
    }
    if (a.good() && std::abs(a.offset_m - offset_m) > 0.001) a.fault = SpotFault::shaky;
    return a;
}

}  // namespace brae
