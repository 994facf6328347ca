#include "core/solve/holing_region.h"

#include "core/base/constants.h"
#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "core/roll/plane_motion.h"
#include "core/roll/run_roll.h"

#include <algorithm>
#include <cmath>

namespace brae {

namespace {

constexpr double kSlowest = 1e-3, kFastest = 20;   // m/s; limits beyond these are cut off there
constexpr int kMostSteps = 400;                    // directions walked to one side
constexpr int kMostHalvings = 16;                  // of one walked step

class Tracer {
public:
    Tracer(const PuttGround& ground, Launch solution, const RegionOptions& options)
        : ground_(ground), solution_(solution), options_(options), fine_(2e-6 * solution.speed) {}

    HolingRegion trace() {
        HolingRegion region;
        region.solution = solution_;
        region.capture = options_.capture;
        const double v = solution_.speed;
        const auto first = limits({solution_.angle, 0.97 * v, 1.03 * v}, solution_.angle, v);
        if (!first) {
            region.rolls = rolls_;
            region.why_none = "the hole does not take the ball at this pace";
            return region;
        }

        const std::vector<RegionNode> nodes = both_ways(*first);
        double scale = 0;   // of the tolerance
        for (std::size_t i = 1; i < nodes.size(); ++i)
            scale += 0.5 * (nodes[i].angle - nodes[i - 1].angle) * (height(nodes[i]) + height(nodes[i - 1]));
        fill(nodes, scale, region);

        // Slower balls that come to rest over the rim, apart from the rest at their direction.
        const HolingRegion main = region;
        HolingRegion known = region;
        known_ = &known;
        for (const RegionPanel& p : main.panels)
            for (const auto& [x, y] : {std::pair{p.from, p.middle}, {p.middle, p.to}}) {
                // They begin where the slow limit jumps.
                if (std::abs(x.slow - y.slow) < 0.05 * reach(x.slow) || y.angle - x.angle > 0.1 * step()) continue;
                const RegionNode& above = x.slow > y.slow ? x : y;
                const auto seed = below(above);
                if (!seed) continue;
                fill(both_ways(*seed), scale, region);
                known = region;
            }
        known_ = nullptr;

        for (const RegionPanel& p : region.panels)
            region.area += (p.to.angle - p.from.angle) * (height(p.from) + 4 * height(p.middle) + height(p.to)) / 6;
        // What lies beyond the last directions, and the halving of the limits.
        region.area_error += end_loss_ + 2 * fine_ * (region.highest_angle() - region.lowest_angle());
        region.rolls = rolls_;
        return region;
    }

private:
    // A step from one direction to the next: a third of the hole's half-width as seen from the ball.
    double step() const { return std::min(0.1, kHoleRadius / distance(ground_.ball, ground_.hole) / 3); }
    // About by how much launches differ that come to rest at the two sides of the hole.
    double reach(double speed) const {
        return speed * std::min(0.5, 1.5 * kHoleRadius / distance(ground_.ball, ground_.hole));
    }
    static double height(const RegionNode& n) { return n.fast - n.slow; }

    // Directions walked outwards both ways, in order of the angle.
    std::vector<RegionNode> both_ways(const RegionNode& first) {
        std::vector<RegionNode> nodes = walk(first, -1);
        std::reverse(nodes.begin(), nodes.end());
        nodes.push_back(first);
        for (const RegionNode& n : walk(first, +1)) nodes.push_back(n);
        return nodes;
    }

    void fill(const std::vector<RegionNode>& nodes, double scale, HolingRegion& region) {
        for (std::size_t i = 1; i < nodes.size(); ++i)
            refine(nodes[i - 1], between(nodes[i - 1], nodes[i]), nodes[i], options_.tolerance * scale, kMostHalvings, region);
    }

    // An interval under the one that is known at this angle, within the run that the hole's width makes.
    std::optional<RegionNode> below(const RegionNode& n) {
        for (int k = 0; k < 12; ++k) {
            const double speed = n.slow - reach(n.slow) * (k + 0.5) / 12;
            if (!holes(n.angle, speed)) continue;
            const double around = reach(n.slow) / 100;
            if (const auto found = limits({n.angle, speed - around, speed + around}, n.angle, speed)) return found;
        }
        return std::nullopt;
    }

    // While a part of its own is traced, an interval that touches what is known belongs there.
    bool is_known(const RegionNode& n) const {
        if (!known_) return false;
        for (const RegionNode& m : known_->at(n.angle))
            if (n.fast > m.slow - 10 * fine_ && n.slow < m.fast + 10 * fine_) return true;
        return false;
    }

    bool holes(double angle, double speed) {
        ++rolls_;
        return holes_out(ground_, {angle, speed}, options_.capture);
    }

    // The limits at this angle of the interval that holds `inside` or, where that misses, of one found near.
    std::optional<RegionNode> limits(const RegionNode& near, double angle, double inside) {
        if (!holes(angle, inside)) {
            const double h = std::max(height(near), 1e-3 * solution_.speed);
            // The middle of the longest run of speeds that hole.
            int best = 0, last = 0, run = 0;
            const auto speed_at = [&](double k) { return near.slow - 0.3 * h + 1.6 * h * (k + 0.5) / 16; };
            for (int k = 0; k < 16; ++k) {
                const double speed = speed_at(k);
                run = speed > kSlowest && speed < kFastest && holes(angle, speed) ? run + 1 : 0;
                if (run > best) {
                    best = run;
                    last = k;
                }
            }
            if (best == 0) return std::nullopt;
            inside = speed_at(last - (best - 1) / 2);
        }
        const double first_step = std::max(0.02 * height(near), 1e-4 * solution_.speed);
        const RegionNode found{angle, edge(angle, inside, near.slow, -1, first_step), edge(angle, inside, near.fast, +1, first_step)};
        if (is_known(found)) return std::nullopt;
        return found;
    }

    // The speed at which holing ends on this side of `inside`, looked for round a guess.
    double edge(double angle, double inside, double guess, double sign, double move) {
        double in = inside, out = sign * (guess - inside) > move ? guess : inside + sign * move;
        if (holes(angle, out)) {
            for (;;) {
                in = out;
                out = in + sign * move;
                if (out <= kSlowest || out >= kFastest) return std::clamp(out, kSlowest, kFastest);
                if (!holes(angle, out)) break;
                move *= 2;
            }
        } else {
            for (double trial = out - sign * move; sign * (trial - inside) > 0; trial = out - sign * move) {
                if (holes(angle, trial)) {
                    in = trial;
                    break;
                }
                out = trial;
                move *= 2;
            }
        }
        while (std::abs(out - in) > fine_) {
            const double mid = 0.5 * (in + out);
            (holes(angle, mid) ? in : out) = mid;
        }
        return 0.5 * (in + out);
    }

    // Directions to one side in steps; the last is where holing ends, to 2^-12 of a step.
    std::vector<RegionNode> walk(RegionNode at, double sign) {
        std::vector<RegionNode> out;
        for (int k = 0; k < kMostSteps && std::abs(at.angle - solution_.angle) < kPi; ++k) {
            const double next = at.angle + sign * step();
            if (const auto n = limits(at, next, 0.5 * (at.slow + at.fast))) {
                out.push_back(at = *n);
                continue;
            }
            double beyond = next;
            bool moved = false;
            for (int h = 0; h < 12; ++h) {
                const double mid = 0.5 * (at.angle + beyond);
                if (const auto n = limits(at, mid, 0.5 * (at.slow + at.fast))) {
                    at = *n;
                    moved = true;
                } else {
                    beyond = mid;
                }
            }
            if (moved) out.push_back(at);
            end_loss_ += std::abs(beyond - at.angle) * height(at);
            break;
        }
        return out;
    }

    // The node half-way; an empty interval where nothing holes there.
    RegionNode between(const RegionNode& a, const RegionNode& b) {
        const double angle = 0.5 * (a.angle + b.angle);
        const RegionNode near{angle, 0.5 * (a.slow + b.slow), 0.5 * (a.fast + b.fast)};
        const double inside = 0.5 * (near.slow + near.fast);
        if (const auto n = limits(near, angle, inside)) return *n;
        return {angle, inside, inside};
    }

    // Halves until the parabolas foretell the quarter points, by area.
    void refine(const RegionNode& a, const RegionNode& m, const RegionNode& b, double tolerance, int halvings,
                HolingRegion& region) {
        const RegionPanel whole{a, m, b};
        const RegionNode q1 = between(a, m), q3 = between(m, b);
        const auto off = [&](const RegionNode& q) {
            const RegionNode told = whole.at(q.angle);
            return std::max(std::abs(told.slow - q.slow), std::abs(told.fast - q.fast));
        };
        const double error = std::max(off(q1), off(q3)) * (b.angle - a.angle);
        if (error < tolerance || halvings == 0) {
            region.panels.push_back({a, q1, m});
            region.panels.push_back({m, q3, b});
            region.area_error += 0.5 * error;
            return;
        }
        refine(a, q1, m, tolerance, halvings - 1, region);
        refine(m, q3, b, tolerance, halvings - 1, region);
    }

    const PuttGround& ground_;
    Launch solution_;
    const RegionOptions& options_;
    const HolingRegion* known_ = nullptr;
    double fine_, end_loss_ = 0;
    int rolls_ = 0;
};

}  // namespace

RegionNode RegionPanel::at(double angle) const {
    // Lagrange's parabola on -1, 0, 1.
    const double half = 0.5 * (to.angle - from.angle);
    const double u = half > 0 ? (angle - middle.angle) / half : 0;
    const double wa = 0.5 * u * (u - 1), wm = 1 - u * u, wb = 0.5 * u * (u + 1);
    RegionNode out{angle, wa * from.slow + wm * middle.slow + wb * to.slow, wa * from.fast + wm * middle.fast + wb * to.fast};
    if (out.fast < out.slow) out.slow = out.fast = 0.5 * (out.slow + out.fast);
    return out;
}

double HolingRegion::lowest_angle() const {
    double out = solution.angle;
    for (const RegionPanel& p : panels) out = std::min(out, p.from.angle);
    return out;
}

double HolingRegion::highest_angle() const {
    double out = solution.angle;
    for (const RegionPanel& p : panels) out = std::max(out, p.to.angle);
    return out;
}

std::vector<RegionNode> HolingRegion::at(double angle) const {
    const double a = solution.angle + wrapped(angle - solution.angle);
    std::vector<RegionNode> out;
    // Panels of a part share their ends: the later one has it.
    for (const RegionPanel& p : panels)
        if (a >= p.from.angle && a < p.to.angle) out.push_back(p.at(a));
    std::sort(out.begin(), out.end(), [](const RegionNode& x, const RegionNode& y) { return x.slow < y.slow; });
    return out;
}

bool HolingRegion::holds(Launch launch) const {
    const double a = solution.angle + wrapped(launch.angle - solution.angle);
    for (const RegionPanel& p : panels)
        if (a >= p.from.angle && a < p.to.angle) {
            const RegionNode n = p.at(a);
            if (launch.speed >= n.slow && launch.speed <= n.fast) return true;
        }
    return false;
}

HolingRegion holing_region(const PuttGround& ground, Launch solution, const RegionOptions& options) {
    return Tracer(ground, solution, options).trace();
}

PuttGround putt_ground(const HeightField& surface, const Outline& outline, const PuttQuestion& q) {
    PuttGround out{surface, outline, q.ball, q.hole, level_deceleration(q.green_speed_ft),
                   speed_at_hole(q.past_m, q.green_speed_ft)};
    if (out.hole_speed < kTangentSpeed) out.hole_speed = 0;
    return out;
}

Launch launch_of(const PuttRead& read) { return {std::atan2(read.direction.y, read.direction.x), read.launch_mps}; }

}  // namespace brae
