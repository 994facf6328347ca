// Balls by the thousand, rolled forwards to rest on one green.
#pragma once

#include "core/roll/rolling.h"

#include <memory>
#include <vector>

namespace brae {

struct BatchLaunch {
    Vec2 ball, direction;          // horizontal, of any length
    double speed_mps = 0;          // along the surface, in pure rolling, 0 to 20
};
struct BatchRest {
    RollEnd end = RollEnd::rolling;   // never holed: the hole is covered
    Vec2 at;
    double length_m = 0, time_s = 0;
};

// Accuracy: at a tolerance of 1e-10 as roll() within 2e-6 m; 99 of 100 places of rest are within 0.5 mm at 1e-3 on
// long waves and at 3e-6 with 0.1 mm of roughness (docs/solver.md). Stop, edge and flight mean what they mean for roll(): a ball that meets the edge,
// loses the ground, or hardly rests on the slope is given to the scalar engine for its last step, which takes some
// microseconds. Between two steps that both lie inside, an excursion over the edge shorter than a chord of 6 cm can be missed.
// Constant resistance only. Each ball comes out the same to the bit in any company and on every vector target.
class RollBatch {
public:
    // Surface and outline must outlive it; an empty outline means no edge. Throws Error(usage) for a green speed outside
    // 4-16 ft or a tolerance outside 1e-13 to 1e-2.
    RollBatch(const HeightField& surface, const Outline& outline, double green_speed_ft, double tolerance = 1e-6,
              double time_limit_s = 60);
    ~RollBatch();
    RollBatch(const RollBatch&) = delete;
    RollBatch& operator=(const RollBatch&) = delete;

    // On the calling thread. Throws Error(usage), naming the ball, for a start off the green, no direction, or a speed that
    // is no number or outside 0-20 m/s. The result stays valid until the next call. Not by two threads at once.
    const std::vector<BatchRest>& run(const std::vector<BatchLaunch>& launches);

    std::size_t evaluations() const;   // of the motion, in the last call, without the scalar engine's
    std::size_t handed_over() const;   // balls that the scalar engine ended

private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace brae
