#include "core/solve/roll_batch.h"

#include "core/base/error.h"
#include "core/roll/green_speed.h"
#include "core/roll/plane_motion.h"
#include "core/roll/run_roll.h"
#include "core/solve/edge_field.h"
#include "core/solve/roll_kernel.h"

#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <optional>

namespace brae {

namespace {

constexpr double kChord = 0.06;        // m; a path near the edge is tested in chords of this length
constexpr double kShortStop = 5e-4;    // m; as in run_roll: the tangent plane serves for no longer way than this
constexpr double kAway = 1e300;

// The edge by its raster: the sum of the clear distances at both ends settles most steps.
class FieldEdge final : public RollEdge {
public:
    explicit FieldEdge(const EdgeField& field) : field_(field) {}
    double inside_until(const RollLaneState& a, const RollLaneState& b) const override {
        const double way = b.s - a.s, clear_a = field_.clearance(a.p), clear_b = field_.clearance(b.p);
        if (clear_b < 0) return -1;
        if (clear_a + clear_b <= way) {
            // The step as a cubic, in chords.
            const double h = b.t - a.t;
            const int parts = 1 + static_cast<int>(way / kChord);
            const auto at = [&](int n) -> Vec2 {
                const double x = double(n) / parts, x2 = x * x, x3 = x2 * x;
                if (n == parts) return b.p;
                return (1 - 3 * x2 + 2 * x3) * a.p + (3 * x2 - 2 * x3) * b.p + (h * (x - 2 * x2 + x3)) * a.v + (h * (x3 - x2)) * b.v;
            };
            if (field_.crosses_path(a.p, parts, kChord, at)) return -1;
        }
        return b.s + clear_b;
    }

private:
    const EdgeField& field_;
};

}  // namespace

struct RollBatch::State {
    const HeightField& surface;
    const Outline& outline;
    std::optional<EdgeField> edge;
    double level_decel, tolerance, time_limit;
    std::vector<RollLaneState> starts;
    std::vector<double> inside_until;
    std::vector<std::size_t> which;
    std::vector<RollLaneResult> results;
    std::vector<BatchRest> rests;
    std::size_t evaluations = 0, handed_over = 0;

    BatchRest by_engine(const RollLaneState& from) {
        RollRun run;
        run.tolerance = tolerance;
        run.time_limit_s = std::max(time_limit - from.t, 1e-9);
        const RollOutcome out = run_roll(surface, outline, {from.p, from.v}, level_decel, run, nullptr);
        ++handed_over;
        return {out.end, out.at.p, from.s + out.length_m, from.t + out.time_s};
    }
};

RollBatch::RollBatch(const HeightField& surface, const Outline& outline, double green_speed_ft, double tolerance,
                     double time_limit_s) {
    if (!(tolerance >= 1e-13 && tolerance <= 1e-2))
        throw usage_error(fmt::format("the tolerance is {}; 1e-13 to 1e-2 are wanted", tolerance));
    if (!(time_limit_s > 0 && time_limit_s <= 3600))
        throw usage_error(fmt::format("the time limit is {} s; up to 3600 s are wanted", time_limit_s));
    state_ = std::make_unique<State>(State{surface, outline, std::nullopt, level_deceleration(green_speed_ft), tolerance, time_limit_s, {}, {}, {}, {}, {}});
    if (!outline.empty()) state_->edge.emplace(outline);
}

RollBatch::~RollBatch() = default;
std::size_t RollBatch::evaluations() const { return state_->evaluations; }
std::size_t RollBatch::handed_over() const { return state_->handed_over; }

const std::vector<BatchRest>& RollBatch::run(const std::vector<BatchLaunch>& launches) {
    State& state = *state_;
    state.rests.assign(launches.size(), {});
    state.starts.clear();
    state.inside_until.clear();
    state.which.clear();
    state.handed_over = 0;

    // The balls that roll; those that hardly move or lie on the edge go to the engine.
    for (std::size_t k = 0; k < launches.size(); ++k) {
        const BatchLaunch& l = launches[k];
        const auto refuse = [&](const std::string& what) { throw usage_error(fmt::format("ball {}: {}", k, what)); };
        if (!(l.speed_mps >= 0 && l.speed_mps <= 20)) refuse(fmt::format("the launch speed is {} m/s; 0 to 20 m/s are wanted", l.speed_mps));
        if (!(dot(l.direction, l.direction) > 0) || !std::isfinite(dot(l.direction, l.direction))) refuse("the launch has no direction");
        if (!std::isfinite(l.ball.x) || !std::isfinite(l.ball.y) || (state.edge && !state.outline.contains(l.ball)))
            refuse(fmt::format("its place {:.3f},{:.3f} is not on the green", l.ball.x, l.ball.y));
        const SurfaceJet jet = state.surface.jet(l.ball.x, l.ball.y);
        const RollLaneState start{l.ball, horizontal_velocity(jet, l.direction, l.speed_mps), 0, 0};
        const double clear = state.edge ? state.edge->clearance(l.ball) : kAway;
        if (l.speed_mps <= kTangentSpeed || (clear <= 0 && state.outline.signed_distance(l.ball) < 1e-6)) {
            state.rests[k] = state.by_engine(start);
            continue;
        }
        state.starts.push_back(start);
        state.inside_until.push_back(clear);
        state.which.push_back(k);
    }

    state.results.resize(state.starts.size());
    RollLaneTask task;
    task.spline = dynamic_cast<const SplineSurface*>(&state.surface);
    task.field = &state.surface;
    std::optional<FieldEdge> edge;
    if (state.edge) task.edge = &edge.emplace(*state.edge);
    task.level_decel = state.level_decel;
    task.tolerance = state.tolerance;
    task.time_limit_s = state.time_limit;
    state.evaluations = roll_lanes(task, state.starts.data(), state.inside_until.data(), state.starts.size(), state.results.data());

    // The last centimetre per second in closed form where the slope holds the ball.
    for (std::size_t n = 0; n < state.which.size(); ++n) {
        const RollLaneState& at = state.results[n].at;
        BatchRest& rest = state.rests[state.which[n]];
        if (state.results[n].end == RollLaneEnd::slow) {
            const SurfaceJet jet = state.surface.jet(at.p.x, at.p.y);
            const TangentStop stop = stop_on_tangent_plane(jet, at.v, state.level_decel);
            if (stop.e < 1 && norm(stop.displacement) < kShortStop) {
                rest = {RollEnd::stopped, at.p + stop.displacement, at.s + norm(stop.displacement), at.t + stop.time_s};
                continue;
            }
        }
        rest = state.by_engine(at);
    }
    return state.rests;
}

}  // namespace brae
