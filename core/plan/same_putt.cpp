#include "core/plan/same_putt.h"

#include "core/roll/green_speed.h"
#include "core/roll/run_roll.h"
#include "core/solve/hole_line.h"
#include "core/solve/holing_region.h"

#include <algorithm>
#include <cmath>

namespace brae {

namespace {

constexpr double kStepFt = 0.5;
constexpr double kFarTurnRad = 0.12;       // a step that turns the start more than this has left the putt
constexpr double kOnHoleM = 1e-4;

std::optional<double> offset_of(const PuttQuestion& q, Launch launch) {
    const HoleLine line(q.ball, q.hole);
    const Vec2 d{std::cos(launch.angle), std::sin(launch.angle)};
    const double along = dot(d, line.along);
    if (!(along > 1e-6)) return std::nullopt;
    return distance(q.ball, q.hole) * dot(d, line.right) / along;
}

// One step; none where it leads nowhere.
std::optional<Launch> followed(const TerrainModel& terrain, const PuttQuestion& q, Launch known, double from_ft) {
    const PuttGround ground = putt_ground(*terrain.surface, terrain.outline, q);
    // On the level the square of the launch goes with the deceleration.
    const Launch start{known.angle, known.speed * std::sqrt(level_deceleration(q.green_speed_ft) / level_deceleration(from_ft))};
    const auto found = polish_forward(ground, start, 1e-9);
    if (!found || !(found->speed > 0) || std::abs(std::remainder(found->angle - known.angle, 2 * kPi)) > kFarTurnRad) return std::nullopt;
    // A dying ball has no pass to look at.
    if (ground.hole_speed == 0) return std::nullopt;
    const SurfaceJet jet = terrain.surface->jet(q.ball.x, q.ball.y);
    const auto pass = first_crossing(*terrain.surface, terrain.outline, {q.ball, horizontal_velocity(jet, {std::cos(found->angle), std::sin(found->angle)}, found->speed)},
                                     ground.level_decel, HoleLine(q.ball, q.hole));
    if (!pass || std::abs(pass->offset_m) > kOnHoleM) return std::nullopt;
    return found;
}

}  // namespace

std::optional<PuttAtSpeed> putt_at_speed(const TerrainModel& terrain, const PuttQuestion& asked, Launch known, double known_speed_ft) {
    // Half a foot at a time from the speed that is known.
    PuttQuestion q = asked;
    Launch now = known;
    const double span = asked.green_speed_ft - known_speed_ft;
    const int steps = std::max(1, static_cast<int>(std::ceil(std::abs(span) / kStepFt - 1e-9)));
    double from = known_speed_ft;
    bool good = std::isfinite(known.angle) && known.speed > 0;
    for (int k = 1; k <= steps && good; ++k) {
        q.green_speed_ft = k == steps ? asked.green_speed_ft : known_speed_ft + span * k / steps;
        const auto next = followed(terrain, q, now, from);
        good = next.has_value();
        if (good) now = *next, from = q.green_speed_ft;
    }
    if (good)
        if (const auto offset = offset_of(asked, now)) return PuttAtSpeed{*offset, now};

    // From nothing.
    PuttOptions options;
    options.window = options.path = false;
    options.green_speed_sigma_ft = 0;
    for (const PuttRead& r : solve_putt(*terrain.surface, terrain.outline, asked, options).solutions)
        if (r.aim_offset_m) return PuttAtSpeed{*r.aim_offset_m, launch_of(r)};
    return std::nullopt;
}

}  // namespace brae
