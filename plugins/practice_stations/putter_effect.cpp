#include "plugins/practice_stations/putter_effect.h"

#include "core/base/constants.h"
#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "core/roll/launch.h"

#include <cmath>

namespace brae::practice_stations {

namespace {

class LevelGround final : public HeightField {
public:
    SurfaceJet jet(double, double) const noexcept override { return {}; }
};

LoftEffect effect_of(double loft_deg, double green_speed_ft) {
    PutterStrike strike;
    strike.loft = radians(loft_deg);
    // As fast as the putt wants it on the level.
    const double launch = std::sqrt(2 * level_deceleration(green_speed_ft) * (kPutterPuttM + kUsualPastM));
    const SkidPath path = skid_on_surface(LevelGround{}, {}, {1, 0}, ball_speed_for_launch(launch, green_speed_ft, strike), strike);
    return {degrees(launch_angle(strike)), path.jump_height_m, path.length_m, path.time_s};
}

}  // namespace

PutterEffect putter_effect(const std::vector<StoredPutter>& putters, double green_speed_ft) {
    PutterEffect out;
    for (const StoredPutter& p : putters) (p.when == "after" ? out.after : out.before) = p;
    if (out.before && out.before->loft_deg) out.loft_before = effect_of(*out.before->loft_deg, green_speed_ft);
    if (out.after && out.after->loft_deg) out.loft_after = effect_of(*out.after->loft_deg, green_speed_ft);
    if (out.before && out.after && out.before->lie_deg && out.after->lie_deg) {
        out.lie_change_deg = *out.after->lie_deg - *out.before->lie_deg;
        // More upright at the same hold: the toe comes up. By the loft of after, else of before.
        const auto loft = out.after->loft_deg ? out.after->loft_deg : out.before->loft_deg;
        if (loft) {
            const double turn = face_turn(radians(*loft), radians(*out.lie_change_deg));
            out.face_turn_deg = degrees(turn);
            out.face_turn_m = kPutterPuttM * std::tan(turn);
        }
    }
    return out;
}

}  // namespace brae::practice_stations
