// One putt: where to aim and how hard, all solutions, the window that holes, and how sure the answer is.
#pragma once

#include "core/base/constants.h"
#include "core/roll/rolling.h"
#include "core/terrain/terrain_model.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

struct PuttQuestion {
    Vec2 ball, hole;
    double green_speed_ft = 10;
    double past_m = kUsualPastM;   // pace: past the hole's centre on level ground; 0 is the limit of stopping there
};

enum class AimSide { left, right, straight };          // straight: under 5 mm
enum class PuttSide { left_to_right, right_to_left, straight };
std::string to_text(AimSide);   // left, right, straight
std::string to_text(PuttSide);  // left-to-right, right-to-left, straight

// Start directions that hole at the solution's launch speed, and launch speeds that hole in its direction.
// Angles are relative to the solution's direction, left_deg <= 0 <= right_deg, clockwise positive.
struct HolingWindow {
    double left_deg = 0, right_deg = 0;
    double slow_mps = 0, fast_mps = 0;
};

// One way to hole the putt. All lengths in metres.
struct PuttRead {
    Vec2 direction;                          // unit, horizontal, at the start
    double launch_mps = 0;                   // 3D speed along the surface in pure rolling
    double ball_speed_mps = 0;               // off the face, with the skid
    std::optional<double> aim_offset_m;      // positive to the player's right; none where the start is 90 deg off or more
    AimSide aim_side = AimSide::straight;
    PuttSide side = PuttSide::straight;
    double aim_bearing_deg = 0, entry_bearing_deg = 0;
    std::optional<double> past_on_slope_m;   // run past the covered hole here; none where the ball would not stop or leaves
    double time_s = 0, length_m = 0;
    double hole_speed_mps = 0;
    HolingWindow window;
    bool has_window = false;
    double survey_se_m = 0, speed_se_m = 0, aim_offset_se_m = 0;   // the last joins the two; the player is not in it
    double pace_se_m = 0;                    // change of the aim offset by one sigma of the pace, kept apart
    RollPath path;                           // forward, to the hole's centre
};

struct PuttAnswer {
    std::vector<PuttRead> solutions;  // by launch speed, slowest first
    std::string why_none;             // one sentence where there is no solution, else empty
    CaptureModel capture = kDefaultCapture;   // the mechanics behind the holing windows
};

struct PuttOptions {
    bool window = true;               // work out the holing window (some tens of rolls)
    const ErrorModel* error = nullptr;  // height errors of the survey; none: survey_se_m stays 0
    double green_speed_sigma_ft = kGreenSpeedSigmaFt;  // 0: speed_se_m stays 0
    double pace_sigma_m = 0;          // of past_m, how far past the hole; 0: pace_se_m stays 0
    bool path = true;                 // keep the path
    CaptureModel capture = kDefaultCapture;   // of the holing window
};

// Solves by rays run backwards from the hole (docs/solver.md): the family is one-parametric, so every solution is
// found, folds included. Each solution rolled forward again meets the hole's centre within 0.1 mm.
// Throws Error(usage) for a ball or hole outside the outline, a ball nearer to the hole than one hole radius, a pace
// that is negative or over 5 m, a green speed outside 4-16 ft.
PuttAnswer solve_putt(const HeightField& surface, const Outline& outline, const PuttQuestion& question,
                      const PuttOptions& options = {});

}  // namespace brae
