#include "core/plan/quick_chance.h"

#include "core/base/constants.h"
#include "core/solve/holing_region.h"
#include "core/solve/holing_window.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

namespace brae {

namespace {

constexpr double kLimitRel = 1e-3;      // of the launch: how far apart the ends of a found limit lie
constexpr int kMostSteps = 40;          // directions walked to one side
constexpr int kRefinings = 2;           // rounds of more directions where the limits jump
constexpr double kJumpMatters = 0.008;  // of the chance
constexpr int kParts = 6;               // of one step, in the integral
constexpr int kEndHalvings = 3;         // of the last step, beyond which nothing holes

struct Limits { double angle = 0, slow = 0, fast = 0; };

class Walker {
public:
    Walker(const PuttGround& ground, double speed) : ground_(ground), speed_(speed) {}

    // The limits at this angle, looked for round those of a direction near it.
    std::optional<Limits> at(double angle, const Limits& near) const {
        std::optional<double> inside;
        const double high = near.fast - near.slow;
        for (const double share : {0.5, 0.3, 0.7, 0.1, 0.9, -0.15, 1.15})
            if (const double v = near.slow + share * high; v > 0 && holes(angle, v)) {
                inside = v;
                break;
            }
        if (!inside) return std::nullopt;
        return Limits{angle, edge(angle, *inside, near.slow, -1), edge(angle, *inside, near.fast, +1)};
    }

private:
    bool holes(double angle, double speed) const { return holes_out(ground_, {angle, speed}); }
    // The speed at which holing ends on one side of one that holes.
    double edge(double angle, double inside, double guess, double sign) const {
        double step = 4 * kLimitRel * speed_, in = inside, out = sign * (guess - inside) > 0 ? guess : inside + sign * step;
        while (holes(angle, out)) {
            in = out, out = in + sign * step, step *= 2;
            if (out <= 0 || out > 20) return std::clamp(out, 0.0, 20.0);
        }
        // From a guess that misses back towards what holes, then halved.
        for (double trial = out - sign * step; sign * (trial - in) > 0; trial = out - sign * step) {
            if (holes(angle, trial)) {
                in = trial;
                break;
            }
            out = trial, step *= 2;
        }
        while (std::abs(out - in) > kLimitRel * speed_) {
            const double middle = 0.5 * (in + out);
            (holes(angle, middle) ? in : out) = middle;
        }
        return 0.5 * (in + out);
    }
    const PuttGround& ground_;
    double speed_;
};

double upper(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }
double bell(double z) { return std::exp(-0.5 * z * z) / std::sqrt(2 * kPi); }

// Parabola through three nodes.
double parabola(const Limits& a, const Limits& b, const Limits& c, double Limits::*of, double x) {
    const double ab = (b.*of - a.*of) / (b.angle - a.angle), bc = (c.*of - b.*of) / (c.angle - b.angle);
    return a.*of + (x - a.angle) * (ab + (x - b.angle) * (bc - ab) / (c.angle - a.angle));
}

// Limits within the step that ends at node k: the mean of the parabolas with the node before and the one behind, as far as
// there are such.
Limits between(const std::vector<Limits>& nodes, std::size_t k, double angle) {
    Limits out{angle, 0, 0};
    for (double Limits::*of : {&Limits::slow, &Limits::fast}) {
        double sum = 0;
        int n = 0;
        if (k >= 2) sum += parabola(nodes[k - 2], nodes[k - 1], nodes[k], of, angle), ++n;
        if (k + 1 < nodes.size()) sum += parabola(nodes[k - 1], nodes[k], nodes[k + 1], of, angle), ++n;
        out.*of = n > 0 ? sum / n : nodes[k - 1].*of + (angle - nodes[k - 1].angle) / (nodes[k].angle - nodes[k - 1].angle) * (nodes[k].*of - nodes[k - 1].*of);
    }
    return out;
}

}  // namespace

double quick_chance(const PuttGround& ground, Launch meant, const LaunchErrors& errors) {
    errors.check_model(kDefaultCapture);
    const Walker walker(ground, meant.speed);
    const auto first = walker.at(meant.angle, {meant.angle, 0.97 * meant.speed, 1.03 * meant.speed});
    if (!first) return 0;

    // Outwards both ways, by a third of what the hole's half-width is seen as; the last step is halved.
    const double step = std::min(0.1, kHoleRadius / distance(ground.ball, ground.hole) / 3);
    std::vector<Limits> nodes;
    for (const double sign : {-1.0, 1.0}) {
        Limits last = *first;
        double stride = step;
        int halvings = 0;
        for (int k = 0; k < kMostSteps && halvings <= kEndHalvings; ++k) {
            if (const auto found = walker.at(last.angle + sign * stride, last)) {
                nodes.push_back(last = *found);
                if (halvings > 0) stride /= 2, ++halvings;
            } else {
                stride /= 2, ++halvings;
            }
        }
    }
    nodes.push_back(*first);
    std::sort(nodes.begin(), nodes.end(), [](const Limits& a, const Limits& b) { return a.angle < b.angle; });

    // Closed in speed, straight between fine steps in direction and closed there. Angles run to the left, errors to the right.
    const double centre = meant.angle - errors.lean, mean = meant.speed * (1 + errors.bias_rel), sigma = meant.speed * errors.push_rel;
    const auto share = [&](const Limits& n) { return std::max(0.0, upper((n.fast - mean) / sigma) - upper((n.slow - mean) / sigma)); };
    // Where the limits jump between two directions, and that counts, more are asked.
    for (int round = 0; round < kRefinings; ++round) {
        std::vector<Limits> finer{nodes.front()};
        for (std::size_t k = 1; k < nodes.size(); ++k) {
            const Limits &a = nodes[k - 1], &b = nodes[k];
            const double mass = upper((b.angle - centre) / errors.turn) - upper((a.angle - centre) / errors.turn);
            if (std::abs(share(b) - share(a)) * mass > kJumpMatters)
                if (const auto middle = walker.at(0.5 * (a.angle + b.angle), share(a) > share(b) ? a : b)) finer.push_back(*middle);
            finer.push_back(b);
        }
        nodes = std::move(finer);
    }
    double chance = 0;
    for (std::size_t k = 1; k < nodes.size(); ++k) {
        Limits from = nodes[k - 1];
        if (!(nodes[k].angle > from.angle)) continue;
        for (int part = 1; part <= kParts; ++part) {
            const Limits to = part == kParts ? nodes[k] : between(nodes, k, nodes[k - 1].angle + (nodes[k].angle - nodes[k - 1].angle) * part / kParts);
            const double a = from.angle, b = to.angle, za = (a - centre) / errors.turn, zb = (b - centre) / errors.turn;
            const double fa = share(from), slope = (share(to) - fa) / (b - a), mass = upper(zb) - upper(za);
            chance += (fa + slope * (centre - a)) * mass - slope * errors.turn * (bell(zb) - bell(za));
            from = to;
        }
    }
    return std::clamp(chance, 0.0, 1.0);
}

double chance_at(const TerrainModel& terrain, const PracticeStation& s, const PlayerSpread& player) {
    const Vec2 start = s.marker - s.ball;
    return quick_chance(putt_ground(*terrain.surface, terrain.outline, {s.ball, s.hole, s.green_speed_ft, s.past_m}), {std::atan2(start.y, start.x), s.launch_mps}, player.errors());
}

}  // namespace brae
