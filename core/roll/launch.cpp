#include "core/roll/launch.h"

#include "core/base/error.h"
#include "core/roll/green_speed.h"
#include "core/roll/rim_geometry.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

double launch_angle(const PutterStrike& s) noexcept {
    return s.loft - std::atan(2.0 / 7.0 * std::tan(s.loft) / (1 + s.face_restitution));
}

double launch_spin(const PutterStrike& s) noexcept {
    const double along = 1 + s.face_restitution, across = 2.0 / 7.0 * std::tan(s.loft);
    return -kRollFactor * std::tan(s.loft) / std::sqrt(along * along + across * across) + s.added_topspin;
}

double face_turn(double loft, double lie_error) noexcept { return std::atan(std::tan(loft) * std::sin(lie_error)); }

namespace {

constexpr double kStep = 1e-4, kLongest = 10;   // s
constexpr double kHop = 1e-3;                   // m/s; a slower rebound is none

Vec3 normal_of(const SurfaceJet& jet) {
    const double w = std::sqrt(1 + jet.hx * jet.hx + jet.hy * jet.hy);
    return {-jet.hx / w, -jet.hy / w, 1 / w};
}

// The point of contact (the ball's lowest while it flies), velocity, and r times the spin.
struct Ball { Vec3 p, v, u; };

Vec3 slip_of(const Ball& b, Vec3 n) { return b.v - dot(b.v, n) * n - cross(b.u, n); }

class Skidding {
public:
    Skidding(const HeightField& surface, const Ball& start, const PutterStrike& strike)
        : surface_(surface), strike_(strike), b_(start) {}

    SkidPath go() {
        const double start_x = b_.p.x, start_y = b_.p.y;
        hop(start_x, start_y);
        slide();
        const SurfaceJet jet = surface_.jet(b_.p.x, b_.p.y);
        out_.rolling = {{b_.p.x, b_.p.y}, {b_.v.x, b_.v.y}};
        out_.rolling_mps = surface_speed(jet, out_.rolling.v);
        out_.rolls = out_.rolls && std::isfinite(out_.rolling_mps);
        return out_;
    }

private:
    double over(const Ball& b) const { return b.p.z - surface_.jet(b.p.x, b.p.y).h; }
    Ball flown(double h) const {
        const Vec3 g{0, 0, -kGravity};
        return {b_.p + h * b_.v + (0.5 * h * h) * g, b_.v + h * g, b_.u};
    }

    // Flights and impacts until the ball stays down. Each rebound is a fraction of the last.
    void hop(double x0, double y0) {
        for (int k = 0; k < 100 && out_.time_s < kLongest; ++k) {
            const Vec3 n = normal_of(surface_.jet(b_.p.x, b_.p.y));
            const double rate = dot(b_.v, n);
            if (rate <= kHop) {
                if (rate > 0) b_.v = b_.v - rate * n;
                if (rate < 0) strike(n, 0);
                return;
            }
            double h = kStep;
            while (over(flown(h)) > 0 && h < kLongest) {
                out_.jump_height_m = std::max(out_.jump_height_m, over(flown(h)));
                h += kStep;
            }
            double lo = std::max(0.0, h - kStep);
            for (int i = 0; i < 50; ++i) {
                const double mid = 0.5 * (lo + h);
                (over(flown(mid)) > 0 ? lo : h) = mid;
            }
            const Ball down = flown(h);
            out_.length_m += std::hypot(down.p.x - b_.p.x, down.p.y - b_.p.y);
            out_.time_s += h;
            b_ = down;
            out_.jump_length_m = std::hypot(b_.p.x - x0, b_.p.y - y0);
            const SurfaceJet jet = surface_.jet(b_.p.x, b_.p.y);
            b_.p.z = jet.h;
            strike(normal_of(jet), strike_.turf_restitution);
        }
    }

    // A sphere's impact: normal and tangent part (standard mechanics).
    void strike(Vec3 n, double restitution) {
        const double toward = -dot(b_.v, n);
        if (!(toward > 0)) return;
        double push = (1 + restitution) * toward;
        if (restitution * toward < kHop) push = toward;
        const Vec3 w = slip_of(b_, n);
        const double size = norm(w), rub = std::min(2.0 / 7.0 * size, strike_.friction * push);
        const Vec3 f = size > 0 ? (-rub / size) * w : Vec3{};
        b_.v = b_.v + push * n + f;
        b_.u = b_.u - 2.5 * cross(n, f);
    }

    struct Rate { Vec3 v, a, u; };
    // held: direction that friction keeps through a step in which the slip may end, or 0.
    Rate rate(const Ball& b, Vec3 held) const {
        const SurfaceJet jet = surface_.jet(b.p.x, b.p.y);
        const Vec3 n = normal_of(jet);
        const double q = jet.hxx * b.v.x * b.v.x + 2 * jet.hxy * b.v.x * b.v.y + jet.hyy * b.v.y * b.v.y;
        const double press = std::max((kGravity + q) * n.z, 0.0);
        const Vec3 w = dot(held, held) > 0 ? held - dot(held, n) * n : slip_of(b, n);
        const double size = norm(w);
        const Vec3 f = size > 1e-12 ? (-strike_.friction * press / size) * w : Vec3{};
        return {b.v, Vec3{0, 0, -kGravity} + press * n + f, -2.5 * cross(n, f)};
    }
    Ball stepped(double h, Vec3 held) const {
        const auto moved = [&](double by, const Rate& k) { return Ball{b_.p + by * k.v, b_.v + by * k.a, b_.u + by * k.u}; };
        const Rate a = rate(b_, held), b = rate(moved(h / 2, a), held), c = rate(moved(h / 2, b), held), d = rate(moved(h, c), held);
        const auto mean = [](Vec3 k1, Vec3 k2, Vec3 k3, Vec3 k4) { return (1.0 / 6) * (k1 + 2 * k2 + 2 * k3 + k4); };
        Ball next = moved(h, {mean(a.v, b.v, c.v, d.v), mean(a.a, b.a, c.a, d.a), mean(a.u, b.u, c.u, d.u)});
        next.p.z = surface_.jet(next.p.x, next.p.y).h;
        return next;
    }

    // Sliding until the slip has turned round, which is where it ended.
    void slide() {
        while (out_.time_s < kLongest) {
            const Vec3 before = slip_of(b_, normal_of(surface_.jet(b_.p.x, b_.p.y)));
            const double all = dot(before, before);
            if (all < 1e-18) {
                out_.rolls = true;
                return;
            }
            // The last step goes straight through the end of the slip, so that its place can be told.
            const bool near_end = norm(before) < 10 * strike_.friction * kGravity * kStep;
            const Vec3 held = near_end ? (1 / norm(before)) * before : Vec3{};
            Ball next = stepped(kStep, held);
            double h = kStep;
            const double ahead = dot(slip_of(next, normal_of(surface_.jet(next.p.x, next.p.y))), before);
            if (!std::isfinite(ahead)) return;
            const bool ends = ahead <= 0;
            if (ends) {
                h *= all / (all - ahead);
                next = stepped(h, held);
            }
            out_.length_m += std::hypot(next.p.x - b_.p.x, next.p.y - b_.p.y);
            out_.time_s += h;
            b_ = next;
            if (ends) {
                out_.rolls = true;
                return;
            }
        }
    }

    const HeightField& surface_;
    const PutterStrike& strike_;
    Ball b_;
    SkidPath out_;
};

// Level ground.
class Level final : public HeightField {
public:
    SurfaceJet jet(double, double) const noexcept override { return {}; }
};

}  // namespace

SkidPath skid_on_surface(const HeightField& surface, Vec2 ball, Vec2 direction, double speed, const PutterStrike& strike) {
    // What has no meaning is refused in one sentence.
    if (!(speed >= 0 && speed <= 20))
        throw usage_error(fmt::format("the ball speed is {} m/s; 0 to 20 m/s are wanted", speed));
    if (!(dot(direction, direction) > 0) || !std::isfinite(dot(direction, direction)))
        throw usage_error("the strike has no direction; a horizontal direction is wanted");
    if (!(strike.friction > 0 && strike.friction <= 2))
        throw usage_error(fmt::format("the sliding friction is {}; over 0 to 2 is wanted", strike.friction));
    if (!(std::abs(strike.loft) <= 0.35))
        throw usage_error(fmt::format("the loft is {:.1f} degrees; -20 to 20 are wanted", strike.loft * 180 / kPi));

    // Along the surface, raised by the launch angle; spin about the level axis square to the putt.
    const SurfaceJet jet = surface.jet(ball.x, ball.y);
    const Vec3 n = normal_of(jet);
    const Vec2 d = unit(direction);
    const double climb = jet.hx * d.x + jet.hy * d.y, length = std::sqrt(1 + climb * climb);
    const Vec3 along{d.x / length, d.y / length, climb / length};
    const double up = launch_angle(strike);
    const Vec3 v = (speed * std::cos(up)) * along + (speed * std::sin(up)) * n;
    return Skidding(surface, {{ball.x, ball.y, jet.h}, v, (speed * launch_spin(strike)) * cross(n, along)}, strike).go();
}

double equivalent_launch(const SkidPath& path, double green_speed_ft) {
    return std::sqrt(path.rolling_mps * path.rolling_mps + 2 * level_deceleration(green_speed_ft) * path.length_m);
}

double ball_speed_for_launch(double launch_mps, double green_speed_ft, const PutterStrike& strike) {
    const auto launch = [&](double speed) { return equivalent_launch(skid_on_surface(Level{}, {}, {1, 0}, speed, strike), green_speed_ft); };
    double lo = 0, hi = 20;
    if (!(launch_mps >= 0 && launch_mps <= launch(hi)))
        throw usage_error(fmt::format("the launch speed is {} m/s; 0 to {:.1f} m/s are wanted", launch_mps, launch(hi)));
    for (int k = 0; k < 40; ++k) {
        const double mid = 0.5 * (lo + hi);
        (launch(mid) < launch_mps ? lo : hi) = mid;
    }
    return 0.5 * (lo + hi);
}

}  // namespace brae
