#include "core/roll/rim.h"

#include "core/base/constants.h"
#include "core/roll/rim_geometry.h"
#include "core/roll/rolling.h"

#include <algorithm>
#include <cmath>

namespace brae {

double rim_energy(const RimState& s) noexcept {
    return 0.5 * dot(s.velocity, s.velocity) + 0.2 * dot(s.spin, s.spin) + kGravity * s.centre.z;
}

namespace {

constexpr Vec3 kDown{0, 0, -kGravity};
constexpr int kMostSteps = 1000000;
constexpr double kTouching = 1e-13;   // m; rounding of the gap

Vec3 tangential(Vec3 a, Vec3 n) { return a - dot(a, n) * n; }

// Velocity of the ball's material point that touches.
Vec3 slip(const RimState& s, Vec3 n) { return tangential(s.velocity, n) - cross(s.spin, n); }

// What the ground does to a touching ball, per mass.
struct Contact {
    Nearest at;
    Vec3 turning;        // rate of the normal
    double normal = 0;   // pressure that keeps the centre at the distance r; negative: contact ends
    Vec3 grip;           // friction that would keep the slip as it is
};

Contact contact(double slope, const RimState& s) {
    Contact out;
    out.at = nearest_ground(slope, s.centre);
    const Vec3 n = out.at.normal;
    out.turning = normal_rate(out.at, s.velocity);
    out.normal = -dot(kDown, n) - dot(s.velocity, out.turning);
    out.grip = (2.0 / 7.0) * (tangential(cross(s.spin, out.turning), n) - tangential(kDown, n));
    return out;
}

class Rim {
public:
    Rim(double slope, const RimState& start, const RimSettings& settings, std::vector<RimSample>* samples)
        : slope_(slope), set_(settings), samples_(samples), s_(start) {
        out_.energy_start = last_energy_ = rim_energy(start);
        // No ball whose energy is under that of standing on the lowest point of the rim can leave the hole.
        barrier_ = kGravity * (kBallRadius - std::abs(slope) * kHoleRadius);
    }

    RimOutcome go() {
        const Nearest at = nearest_ground(slope_, s_.centre);
        touching_ = at.distance <= kBallRadius + 1e-12 && dot(s_.velocity, at.normal) <= 1e-9;
        sticking_ = touching_ && norm(slip(s_, at.normal)) < 1e-9;
        while (out_.steps < kMostSteps && t_ < set_.time_limit_s) {
            ++out_.steps;
            if (touching_) touch();
            else fly();
            note();
            if (decided()) break;
        }
        out_.at = s_;
        out_.time_s = t_;
        out_.energy_end = rim_energy(s_);
        return out_;
    }

private:
    // One step in contact, by Runge and Kutta's method of fourth order, or the end of contact.
    void touch() {
        const Contact here = contact(slope_, s_);
        if (!(here.normal > 0)) {
            touching_ = bounced_ = false;
            fly();
            return;
        }
        mode_ = sticking_ && norm(here.grip) <= set_.friction * here.normal ? RimMode::sticking : RimMode::slipping;
        sticking_ = mode_ == RimMode::sticking;
        const Vec3 slip0 = slip(s_, here.at.normal);
        const RimState before = s_;
        double h = set_.step_s;
        advance(here, h);
        if (nearest_ground(slope_, s_.centre).where != here.at.where) h = change_of_ground(here, before);
        if (sticking_) {
            hold();
        } else if (norm(slip0) > 1e-9) {
            // Slip that turns round within the step has come to an end on the way.
            const double ahead = dot(slip(s_, nearest_ground(slope_, s_.centre).normal), slip0), all = dot(slip0, slip0);
            if (ahead <= 0) {
                h *= all / (all - ahead);
                s_ = before;
                advance(here, h);
                sticking_ = true;
                hold();
            }
        }
        t_ += h;
    }

    // The curvature jumps between green, edge and wall: the step ends just beyond.
    double change_of_ground(const Contact& here, const RimState& before) {
        double lo = 0, h = set_.step_s;
        RimState beyond = s_;
        for (int k = 0; k < 40; ++k) {
            const double mid = 0.5 * (lo + h);
            s_ = before;
            advance(here, mid);
            if (nearest_ground(slope_, s_.centre).where == here.at.where) {
                lo = mid;
            } else {
                h = mid;
                beyond = s_;
            }
        }
        s_ = beyond;
        return h;
    }

    struct Rate { Vec3 c, v, u; };

    Rate rate(const Contact& k, const RimState& s) const {
        const Vec3 n = k.at.normal;
        Vec3 f = k.grip;
        if (!sticking_) {
            // Against the slip; at its start, where there is none yet, as near to holding as friction allows.
            const Vec3 w = slip(s, n);
            const double size = norm(w), wanted = norm(k.grip);
            const double most = set_.friction * std::max(k.normal, 0.0);
            if (size > 1e-9) f = (-most / size) * w;
            else f = wanted > most ? (most / wanted) * k.grip : k.grip;
        }
        return {s.velocity, kDown + k.normal * n + f, -2.5 * cross(n, f)};
    }
    static RimState moved(const RimState& s, double h, const Rate& k) {
        return {s.centre + h * k.c, s.velocity + h * k.v, s.spin + h * k.u};
    }

    void advance(const Contact& here, double h) {
        const auto at = [&](const RimState& s) { return rate(contact(slope_, s), s); };
        const Rate k1 = rate(here, s_), k2 = at(moved(s_, h / 2, k1)), k3 = at(moved(s_, h / 2, k2)),
                   k4 = at(moved(s_, h, k3));
        const auto mean = [](Vec3 a, Vec3 b, Vec3 c, Vec3 d) { return (1.0 / 6) * (a + 2 * b + 2 * c + d); };
        s_ = moved(s_, h, {mean(k1.c, k2.c, k3.c, k4.c), mean(k1.v, k2.v, k3.v, k4.v), mean(k1.u, k2.u, k3.u, k4.u)});
        // Back onto the distance r, off which the step has drifted by its error.
        const Nearest end = nearest_ground(slope_, s_.centre);
        s_.centre = s_.centre + (kBallRadius - end.distance) * end.normal;
        s_.velocity = tangential(s_.velocity, end.normal);
    }

    // The spin of a ball that does not slip, with what it has about the normal.
    void hold() {
        const Vec3 n = nearest_ground(slope_, s_.centre).normal;
        s_.spin = cross(n, s_.velocity) + dot(s_.spin, n) * n;
    }

    double shortest_hop() const { return 0.01 * set_.step_s; }
    double gap(const RimState& s) const { return nearest_ground(slope_, s.centre).distance - kBallRadius; }
    RimState flown(double h) const {
        return {s_.centre + h * s_.velocity + (0.5 * h * h) * kDown, s_.velocity + h * kDown, s_.spin};
    }

    // How long the gap is sure to last. Its rate is at most the speed; and near the ground, where no surface bends more
    // than 1 / (R - r - 10 mm) towards the ball, it closes with at most 1.3 (g + speed^2 times that bend).
    double sure_flight(const Nearest& at) const {
        const double open = std::max(at.distance - kBallRadius, 0.0), speed = norm(s_.velocity);
        const double any = 2 * open / (speed + std::sqrt(speed * speed + 2 * kGravity * open));
        constexpr double kNear = 0.005;
        if (open >= kNear) return any;
        const double closing = 1.3 * (kGravity + speed * speed / (kHoleRadius - kBallRadius - 2 * kNear));
        const double rate = dot(s_.velocity, at.normal), root = std::sqrt(rate * rate + 2 * closing * open);
        const double near = rate > 0 ? (rate + root) / closing : 2 * open / (root - rate + 1e-300);
        return std::max(any, std::min(near, kNear / (speed + 0.1)));
    }

    // Flight by as long as the gap is sure to last, at least a step, after a bounce a hundredth of one, so that short
    // hops are seen; then the contact that it meets.
    void fly() {
        mode_ = RimMode::flight;
        double h = std::max(bounced_ ? shortest_hop() : set_.step_s, sure_flight(nearest_ground(slope_, s_.centre)));
        RimState next = flown(h);
        // A ball that reaches the floor is in: what it gets back does not lift it to the rim.
        if (next.centre.z - kBallRadius <= -kHoleDepth) {
            s_ = next;
            t_ += h;
            return;
        }
        if (gap(next) > -kTouching) {
            s_ = next;
            t_ += h;
            return;
        }
        double lo = 0;
        for (int k = 0; k < 60 && h - lo > 1e-16; ++k) {
            const double mid = 0.5 * (lo + h);
            (gap(flown(mid)) > -kTouching ? lo : h) = mid;
        }
        s_ = flown(lo);
        t_ += lo;
        strike();
    }

    // An impact of a sphere is central, so that normal and tangent part; slip keeps its direction (standard mechanics).
    void strike() {
        const Nearest at = nearest_ground(slope_, s_.centre);
        const Vec3 n = at.normal;
        const double toward = -dot(s_.velocity, n);
        ++out_.impacts;
        if (toward > 0) {
            const Vec3 w = slip(s_, n);
            const double size = norm(w);
            double back = set_.restitution * toward;
            // A hop too short to tell from rolling is none.
            const double press = std::max(contact(slope_, s_).normal, 0.0);
            if (back < 1e-7 + 2 * press * shortest_hop()) back = 0;
            const double push = toward + back, holding = 2.0 / 7.0 * size;
            const bool stops = holding <= set_.friction * push;
            const Vec3 rub = size > 0 ? (-(stops ? holding : set_.friction * push) / size) * w : Vec3{};
            s_.velocity = s_.velocity + push * n + rub;
            s_.spin = s_.spin - 2.5 * cross(n, rub);
            touching_ = back == 0;
            bounced_ = true;
            sticking_ = touching_ && stops;
            if (touching_) s_.velocity = tangential(s_.velocity, n);
        } else {
            touching_ = true;
            sticking_ = false;
        }
    }

    bool decided() {
        const double rho2 = s_.centre.x * s_.centre.x + s_.centre.y * s_.centre.y;
        constexpr double kOut = kHoleRadius + kBallRadius;
        if (s_.centre.z - kBallRadius <= -kHoleDepth) out_.end = RimEnd::captured;
        else if (rho2 < kHoleRadius * kHoleRadius && last_energy_ < barrier_) out_.end = RimEnd::captured;
        else if (rho2 > kOut * kOut && s_.centre.x * s_.velocity.x + s_.centre.y * s_.velocity.y > 0) out_.end = RimEnd::missed;
        return out_.end != RimEnd::undecided;
    }

    void note() {
        const double energy = rim_energy(s_);
        out_.energy_rise = std::max(out_.energy_rise, energy - last_energy_);
        last_energy_ = energy;
        if (samples_) samples_->push_back({t_, mode_, s_});
    }

    double slope_;
    RimSettings set_;
    std::vector<RimSample>* samples_;
    RimState s_;
    RimOutcome out_;
    RimMode mode_ = RimMode::flight;
    bool touching_ = false, sticking_ = false, bounced_ = false;
    double t_ = 0, last_energy_ = 0, barrier_ = 0;
};

}  // namespace

bool state_at_near_rim(const HoleApproach& a, RimState& state) {
    // Closest approach: travel square to the way from the centre, which lies to the left of a path with offset > 0.
    const Vec2 along{-std::cos(a.angle), -std::sin(a.angle)};
    const SurfaceJet jet{0, a.slope, 0, 0, 0, 0};
    Vec2 p = a.offset_m * right_of(along), v = a.speed_mps / surface_speed(jet, along) * along;

    // Backwards along the green to the rim, by Runge and Kutta's fourth order with steps of at most a third of a
    // millimetre; the last is cut so that it ends on the rim.
    struct Move { Vec2 p, v; };
    const auto step = [&](Vec2 p0, Vec2 v0, double h) {
        const auto acc = [&](Vec2 w) { return roll_rate(jet, w, a.level_decel).a; };
        const Vec2 a1 = acc(v0), v2 = v0 - h / 2 * a1, a2 = acc(v2), v3 = v0 - h / 2 * a2, a3 = acc(v3), v4 = v0 - h * a3,
                   a4 = acc(v4);
        return Move{p0 - h / 6 * (v0 + 2 * v2 + 2 * v3 + v4), v0 - h / 6 * (a1 + 2 * a2 + 2 * a3 + a4)};
    };
    const auto inside = [](Vec2 q) { return dot(q, q) < kHoleRadius * kHoleRadius; };
    if (!inside(p) || !(a.speed_mps > 0)) return false;
    for (int k = 0; k < 20000; ++k) {
        double h = std::min(1e-3, 3e-4 / std::max(norm(v), 1e-3));
        Move next = step(p, v, h);
        if (inside(next.p)) {
            p = next.p;
            v = next.v;
            continue;
        }
        double lo = 0;
        for (int i = 0; i < 60; ++i) {
            const double mid = 0.5 * (lo + h);
            (inside(step(p, v, mid).p) ? lo : h) = mid;
        }
        next = step(p, v, h);
        // Forward velocity must lead into the hole.
        if (!(dot(next.p, next.v) < 0)) return false;
        const double w = std::sqrt(1 + a.slope * a.slope);
        const Vec3 n{-a.slope / w, 0, 1 / w};
        const Vec3 foot{next.p.x, next.p.y, a.slope * next.p.x};
        state.centre = foot + kBallRadius * n;
        state.velocity = {next.v.x, next.v.y, a.slope * next.v.x};
        state.spin = cross(n, state.velocity);
        return true;
    }
    return false;
}

RimOutcome run_rim(double slope, RimState state, const RimSettings& settings, std::vector<RimSample>* samples) {
    return Rim(slope, state, settings, samples).go();
}

RimOutcome meet_hole(const HoleApproach& approach, const RimSettings& settings, std::vector<RimSample>* samples) {
    RimOutcome out;
    if (!(std::abs(approach.offset_m) < kHoleRadius)) {
        out.end = RimEnd::missed;
        return out;
    }
    RimState start;
    if (!state_at_near_rim(approach, start)) {
        out.end = RimEnd::captured;
        return out;
    }
    return run_rim(approach.slope, start, settings, samples);
}

}  // namespace brae
