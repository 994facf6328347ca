// What a finished ball reveals: from where it came to rest, how it was started, and with it the errors of read, start
// line and pace apart. docs/solver.md.
#pragma once

#include "core/solve/putt.h"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace brae {

enum class BallFinish { on_green, holed, off_green };

// By where the ball crosses the line through the hole square to the ball-hole line, not by where it rests. High is the
// side of the true aim. A ball that stops before that line is short.
enum class PassSide { high, low, left, right, short_of };
std::string to_text(PassSide side);   // high, low, left, right, short

struct FinishedBall {
    Vec2 ball, hole;                            // the start and the hole
    double green_speed_ft = 10;
    double past_m = kUsualPastM;                // the pace of the read that the ball is judged against
    BallFinish finish = BallFinish::on_green;
    Vec2 stop{};                                // where it rests; off the green: where it left; holed: not read
    std::optional<double> stop_sigma_m{};       // 1 sigma in each direction; none: 5 cm + 2 % of its distance to the hole
    std::optional<double> chosen_aim_offset_m{};  // the aim that the player chose, positive to the right as in PuttRead
    double chosen_aim_sigma_m = 0;              // how well that is known
    std::optional<PassSide> seen{};             // the side on which it was seen to pass
};

struct RevealOptions {
    const ErrorModel* error = nullptr;                 // height errors of the survey; none: taken as exact
    double green_speed_sigma_ft = kGreenSpeedSigmaFt;
    // Where 1 sigma is larger than these the place of rest does not tell (choices of this program).
    double most_direction_se_deg = 4;
    double most_launch_se = 0.15;                      // as a part of the launch speed
};

struct Told { double value = 0, se = 0; };

struct PassReport {
    PassSide side = PassSide::short_of;   // high or low where the putt breaks, else left or right; or short
    PassSide hand = PassSide::short_of;   // left, right or short
    bool certain = false;                 // false: within 2 sigma of the other side
    Told crossing_m;                      // on that line, positive to the right; short: none
    Told past_m;                          // speed there as pace; negative: how far short it stopped
    Told rest_offset_m;                   // of the place of rest, positive to the right
};

// One launch that brings the ball to where it stopped. Angles and offsets are positive to the player's right.
struct RevealedLaunch {
    Vec2 direction;                        // unit, horizontal
    double launch_mps = 0, ball_speed_mps = 0;
    bool has_error = false;                // false at a fold: no standard error can be given and all se are 0
    double direction_se_deg = 0, launch_se_mps = 0, correlation = 0;
    std::array<double, 3> covariance{};    // rad^2, rad m/s, (m/s)^2, for the angle counter-clockwise
    PassReport pass;
    bool touched_hole = false;             // this path runs over the hole
    // Start direction against the true aim: read and start line together.
    std::optional<Told> direction_error_deg;
    // Apart, where the chosen aim is known: chosen aim against the true one, and start direction against the chosen.
    std::optional<Told> read_error_deg, read_error_m, start_line_error_deg, start_line_error_m;
    std::optional<Told> pace_error_mps, pace_error_past_m;   // positive: too hard
};

// What an interval says: start direction relative to the true read's, clockwise positive, and launch speeds. The two
// are limits each with the other at the read (holed) or at its own end (off the green), not a rectangle.
struct LaunchRange { double left_deg = 0, right_deg = 0, slow_mps = 0; std::optional<double> fast_mps; };

enum class RevealStatus { told, several, side_disagrees, sensitive, touched_hole, holed, off_green, no_launch, hardly_moved };

struct FinishedBallReveal {
    RevealStatus status = RevealStatus::told;
    std::string sentence;                    // what is told, or why it is not
    std::vector<RevealedLaunch> launches;    // that agree with what was seen; nearest to the aim first
    std::optional<PuttRead> read;            // the true read that it is judged against
    std::optional<LaunchRange> range;        // holed and off the green
    const RevealedLaunch* best() const { return launches.empty() ? nullptr : &launches.front(); }
};

// Linearised at each launch: place of rest, green speed and survey, with the read's dependence on the last two.
// Throws Error(usage) for what solve_putt refuses, a place of rest or sigma that is not a number, and a ball that
// rests outside the outline though it is said to be on the green.
FinishedBallReveal reveal_finished_ball(const HeightField& surface, const Outline& outline, const FinishedBall& ball,
                                        const RevealOptions& options = {});

}  // namespace brae
