// How far a player's putts scatter, in types that carry the criterion of holing under which the figures hold.
//
// A spread is fitted to made and missed putts through a rule of what the hole takes, and is right with that rule only:
// with another rule the same figure predicts another player (5 ft: 0.58 by half-width, 0.82 for a ball that dies over
// the whole hole, at one sigma). So a sigma is a type of its own for each criterion and cannot be copied across.
#pragma once

#include "core/roll/capture.h"

namespace brae {

// Holed where the start line passes the hole's centre within R - r; pace plays no part (Gelman and Nolan 2002).
struct HalfWidthCriterion { static constexpr const char* name = "half-width R - r"; };
// Holed where this capture model says so, by offset and speed, or at rest over the hole. Each model is a criterion.
template <CaptureModel Model>
struct HoleMechanics {
    static constexpr CaptureModel capture = Model;
    static constexpr const char* name = Model == CaptureModel::rim ? "hole mechanics, rim" : "hole mechanics, free fall";
};

// One standard deviation of the start line, radians.
template <class Criterion>
struct StartLineSigma {
    double rad = 0;
    StartLineSigma() = default;
    explicit constexpr StartLineSigma(double radians_) : rad(radians_) {}
};

struct HalfWidthSpread {
    using Criterion = HalfWidthCriterion;
    StartLineSigma<HalfWidthCriterion> start_line;
};

// Start line and read together as normal errors, with the model they hold for: what the integrals work on.
struct LaunchErrors {
    CaptureModel capture = kDefaultCapture;
    double turn = 0, lean = 0;             // direction: sigma and bias, rad, positive to the player's right
    double push_rel = 0, bias_rel = 0;     // launch: the same, relative
    // Throws Error(usage), naming both, where these errors hold for another model than the one that is asked.
    void check_model(CaptureModel asked) const;
};

// Independent normal errors of one putt. Launch errors are relative to the launch speed that was meant. Angles of bias
// are positive to the player's right. read: how far the line that the player means differs from the true one.
template <CaptureModel Model>
struct MechanicsSpread {
    using Criterion = HoleMechanics<Model>;
    StartLineSigma<Criterion> start_line;
    double launch_sigma_rel = 0;
    double read_sigma_rad = 0;
    double start_line_bias_rad = 0, read_bias_rad = 0, launch_bias_rel = 0;

    double direction_sigma_rad() const;    // start line and read together
    double direction_bias_rad() const { return start_line_bias_rad + read_bias_rad; }
    // Throws Error(usage) unless the direction's sigma is in 1e-5..0.5 rad, the launch's in 1e-5..0.25, the read's not
    // negative and the biases within 0.5.
    void check() const;
    LaunchErrors errors() const;           // checked
};
using PlayerSpread = MechanicsSpread<kDefaultCapture>;

// A player's spreads in the units that people type, one standard deviation each. Those at first are a fair amateur's, for
// where nothing is known of a player: an assumption, not a measurement. Stated here and nowhere else.
struct PlayerFigures {
    double start_line_deg = 1.0, pace_pct = 6.0, read_deg = 0.5;
    bool operator==(const PlayerFigures&) const = default;
};
PlayerSpread spread_of(const PlayerFigures& figures);
inline PlayerSpread assumed_player() { return spread_of(PlayerFigures{}); }

}  // namespace brae
