// Chance to hole on level ground, where the whole problem is in closed form: straight paths, v^2 falls by 2 a a metre.
#pragma once

#include "core/solve/player_spread.h"

#include <vector>

namespace brae {

// By half-width: 2 Phi(asin((R - r) / x) / sigma) - 1 (Gelman and Nolan, Teaching Statistics 24(3), 2002). 1 where
// x <= R - r. Throws Error(usage) for a distance that is not positive or a sigma that is not.
double level_chance(double distance_m, const HalfWidthSpread& spread);

// A level putt of one length by the hole's mechanics: which launches hole, kept so that many spreads can be tried.
// At an angle t from the line the path passes at x |sin t|; the launches that hole run from what brings the ball's
// centre over the near rim to the faster of rest at the far rim and what the hole takes at that offset.
class LevelPutt {
public:
    // The player means a launch that stops past_m past the hole, which takes balls by this model. Throws Error(usage) for a distance not in 0-100 m, a
    // pace not in 0-5 m, a green speed outside 4-16 ft.
    LevelPutt(double distance_m, double green_speed_ft, double past_m, CaptureModel capture = kDefaultCapture);
    CaptureModel capture() const { return capture_; }

    double distance_m() const { return distance_; }
    double meant_mps() const { return meant_; }
    double level_decel() const { return decel_; }

    // Error under 1e-6. The spread is checked, and throws Error(usage) where it holds for another model.
    template <CaptureModel Model>
    double chance(const MechanicsSpread<Model>& spread) const { return chance_of(spread.errors()); }
    double chance_of(const LaunchErrors& errors) const;
    // Slowest and fastest launch that hole at this angle from the line; both 0 where none does.
    struct Limits { double slow = 0, fast = 0; };
    Limits limits(double angle) const;
    // Angle at which holing ends.
    double widest() const { return widest_; }

private:
    struct Node { double angle = 0, weight = 0; Limits limits; };
    CaptureModel capture_;
    double distance_, decel_, meant_, widest_;
    std::vector<Node> nodes_;
};

// Within how many putts a player holes out on the level, each from where the one before came to rest; a missed ball
// runs on as if there were no hole. Tabulated over the distance.
class LevelPlayer {
public:
    LevelPlayer(const LaunchErrors& errors, double green_speed_ft, double past_m);
    template <CaptureModel Model>
    LevelPlayer(const MechanicsSpread<Model>& spread, double green_speed_ft, double past_m)
        : LevelPlayer(spread.errors(), green_speed_ft, past_m) {}
    // Chance to have holed out after one or two putts from this distance, to about 1e-3. Distances are held in
    // 0.06-30 m.
    double within_one(double distance_m) const { return look_up(one_, distance_m); }
    double within_two(double distance_m) const { return look_up(two_, distance_m); }

private:
    double look_up(const std::vector<double>& table, double distance_m) const;
    std::vector<double> one_, two_;
};

}  // namespace brae
