#include "core/roll/rolling.h"

#include "core/base/constants.h"
#include "core/base/error.h"
#include "core/base/units.h"
#include "core/roll/capture_table.h"
#include "core/roll/green_speed.h"
#include "tests/support/grounds.h"
#include "tests/support/peer.h"

#include <cmath>
#include <limits>

using namespace brae;

namespace {

Vec2 turned(Vec2 p, double angle) {
    return {std::cos(angle) * p.x - std::sin(angle) * p.y, std::sin(angle) * p.x + std::cos(angle) * p.y};
}

// The surface turned by an angle, then mirrored in the y axis if asked: h'(p) = h(M^-1 p).
test::Formula moved(const HeightField& surface, double angle, bool mirrored) {
    const double c = std::cos(angle), s = std::sin(angle), f = mirrored ? -1 : 1;
    return test::Formula([&surface, c, s, f](double x, double y) {
        // Back to the original place: u = c f x + s y, v = -s f x + c y.
        const SurfaceJet j = surface.jet(c * f * x + s * y, -s * f * x + c * y);
        const double ux = c * f, uy = s, vx = -s * f, vy = c;
        return SurfaceJet{j.h,
                          j.hx * ux + j.hy * vx,
                          j.hx * uy + j.hy * vy,
                          j.hxx * ux * ux + 2 * j.hxy * ux * vx + j.hyy * vx * vx,
                          j.hxx * ux * uy + j.hxy * (ux * vy + uy * vx) + j.hyy * vx * vy,
                          j.hxx * uy * uy + 2 * j.hxy * uy * vy + j.hyy * vy * vy};
    });
}

double energy(const RollSample& s) { return 0.7 * s.v * s.v + kGravity * s.p.z; }   // per mass, with rotation

}  // namespace

TEST_CASE("the path agrees with an independent integration in 3D vectors to a micrometre") {
    for (std::uint64_t seed = 1; seed <= 6; ++seed) {
        const auto surface = test::wavy(seed, 1.5);
        Random random(seed);
        const Vec2 ball{random.uniform(-3, 3), random.uniform(-3, 3)}, d = direction_of_bearing(random.uniform(0, 360));
        const RollPath path = roll(surface, {}, ball, d, 1.8, 9);
        REQUIRE(path.end == RollEnd::stopped);
        const auto peer = test::peer_roll(surface, ball.x, ball.y, d.x, d.y, 1.8, 9, 1e3, 1e3, 1e-4);
        CHECK(distance(path.stop(), {peer.stop_x, peer.stop_y}) < 1e-6);
    }
}

TEST_CASE("on a rough spline the path agrees with an independent integration to ten micrometres") {
    const SplineSurface surface = test::rough_spline(3);
    for (double bearing : {10.0, 130.0, 250.0}) {
        const Vec2 d = direction_of_bearing(bearing);
        const RollPath path = roll(surface, {}, {0.3, -0.2}, d, 1.8, 9);
        REQUIRE(path.end == RollEnd::stopped);
        const auto peer = test::peer_roll(surface, 0.3, -0.2, d.x, d.y, 1.8, 9, 1e3, 1e3, 1e-4);
        CHECK(distance(path.stop(), {peer.stop_x, peer.stop_y}) < 1e-5);
    }
}

TEST_CASE("a finer tolerance moves the stop by less and less") {
    const auto surface = test::wavy(4, 1.5);
    const auto stop = [&](double tolerance) {
        RollOptions o;
        o.tolerance = tolerance;
        return roll(surface, {}, {0, 0}, {1, 0.4}, 2.2, 10, o).stop();
    };
    const Vec2 exact = stop(1e-13);
    CHECK(distance(stop(1e-6), exact) < 1e-4);
    CHECK(distance(stop(1e-8), exact) < 1e-6);
    CHECK(distance(stop(1e-10), exact) < 1e-8);
    CHECK(distance(stop(1e-10), exact) < distance(stop(1e-6), exact));
}

TEST_CASE("the energy of a rolling ball never rises") {
    for (std::uint64_t seed = 1; seed <= 6; ++seed) {
        const auto surface = test::wavy(seed, 2);
        const RollPath path = roll(surface, {}, {0, 0}, direction_of_bearing(60.0 * double(seed)), 2.5, 12);
        for (std::size_t i = 1; i < path.samples.size(); ++i)
            CHECK(energy(path.samples[i]) <= energy(path.samples[i - 1]) + 1e-9);
    }
}

TEST_CASE("mirrored and turned ground gives mirrored and turned paths to a nanometre") {
    const auto surface = test::wavy(7, 1.5);
    const Vec2 ball{0.7, -1.1}, direction{0.8, 0.6};
    const Vec2 stop = roll(surface, {}, ball, direction, 2.0, 10).stop();
    for (bool mirrored : {false, true})
        for (double angle : {0.0, 0.5, kPi / 2, 2.2, kPi}) {
            const auto other = moved(surface, angle, mirrored);
            const auto image = [&](Vec2 p) {
                const Vec2 q = turned(p, angle);
                return mirrored ? Vec2{-q.x, q.y} : q;
            };
            const Vec2 got = roll(other, {}, image(ball), image(direction), 2.0, 10).stop();
            CHECK(distance(got, image(stop)) < 1e-9);
        }
}

TEST_CASE("a grid that is mirrored or turned by a quarter gives the mirrored or turned path to a nanometre") {
    const SplineSurface surface = test::rough_spline(5);
    const SplineGrid g = surface.grid();
    SplineGrid mirrored = g, quarter = g;
    const double far = g.x0 + (g.columns - 1) * g.cell;
    mirrored.x0 = -far;
    quarter.x0 = -far;   // (x, y) -> (-y, x)
    for (int j = 0; j < g.rows; ++j)
        for (int i = 0; i < g.columns; ++i) {
            mirrored.coefficients[static_cast<std::size_t>(j * g.columns + i)] = g.at(g.columns - 1 - i, j);
            quarter.coefficients[static_cast<std::size_t>(j * g.columns + i)] = g.at(j, g.columns - 1 - i);
        }
    const Vec2 ball{0.71, -1.13}, d{0.8, 0.6};
    const Vec2 stop = roll(surface, {}, ball, d, 1.9, 10).stop();
    const Vec2 in_mirror = roll(SplineSurface(mirrored), {}, {-ball.x, ball.y}, {-d.x, d.y}, 1.9, 10).stop();
    const Vec2 in_turn = roll(SplineSurface(quarter), {}, {-ball.y, ball.x}, {-d.y, d.x}, 1.9, 10).stop();
    CHECK(distance(in_mirror, {-stop.x, stop.y}) < 1e-9);
    CHECK(distance(in_turn, {-stop.y, stop.x}) < 1e-9);
}

TEST_CASE("a ball hit straight up a slope that holds none turns and comes back through its start") {
    // 9 % at 10 ft: e = 1.15.
    const auto surface = test::plane(0.09, 0, -1);
    RollOptions o;
    o.hole = Vec2{0, -0.5};
    o.covered = true;
    o.time_limit_s = 30;
    const RollPath path = roll(surface, test::wide_green(8), {0, 0}, {0, 1}, 1.0, 10, o);
    CHECK(path.end == RollEnd::left_green);
    REQUIRE(path.pass);
    CHECK(std::abs(path.pass->offset_m) < 1e-6);
    double highest = 0;
    for (const RollSample& s : path.samples) highest = std::max(highest, s.p.y);
    // Uphill v^2 / (2 (a_f + a_g)), along the slope; seen on samples.
    const double w = std::sqrt(1 + 0.09 * 0.09), a = (level_deceleration(10) + kRollFactor * kGravity * 0.09) / w;
    CHECK(highest == doctest::Approx(1.0 / (2 * a) / w).epsilon(2e-3));
    // And a hair off straight up it comes back beside it.
    const RollPath beside = roll(surface, test::wide_green(8), {0, 0}, {1e-7, 1}, 1.0, 10, o);
    REQUIRE(beside.pass);
    CHECK(std::abs(beside.pass->offset_m) < 1e-4);
    CHECK(beside.end == RollEnd::left_green);
}

TEST_CASE("a ball laid on ground that is too steep rolls down and on other ground stays") {
    CHECK(roll(test::plane(0.09, 0, -1), test::wide_green(), {0, 0}, {1, 0}, 0, 10).end == RollEnd::left_green);
    const RollPath still = roll(test::plane(0.02, 0, -1), test::wide_green(), {0, 0}, {1, 0}, 0, 10);
    CHECK(still.end == RollEnd::stopped);
    CHECK(still.stop() == Vec2{0, 0});
    CHECK(still.length_m == 0);
}

TEST_CASE("on a slope just at the limit a roll ends by its time and never hangs") {
    const double slope = level_deceleration(10) / (kRollFactor * kGravity);
    for (double f : {0.999999, 1.0, 1.000001}) {
        RollOptions o;
        o.time_limit_s = 20;
        const RollPath path = roll(test::plane(slope * f, 1, 0), {}, {0, 0}, {1, 0.2}, 0.5, 10, o);
        CHECK(path.end == RollEnd::rolling);
        CHECK(path.time_s == doctest::Approx(20));
        CHECK(std::isfinite(path.stop().x));
    }
}

TEST_CASE("a roll ends on the edge to a nanometre, also in a bay thinner than a step") {
    // A slit 2 mm wide cut into the green from the north.
    const Outline slit({{-5, -5}, {5, -5}, {5, 5}, {0.501, 5}, {0.5, -1}, {0.499, 5}, {-5, 5}}, OutlineSource::drawn);
    const RollPath cut = roll(test::plane(0, 1, 0), slit, {0, 0}, {1, 0}, 2, 10);
    CHECK(cut.end == RollEnd::left_green);
    CHECK(std::abs(slit.signed_distance(cut.stop())) < 1e-8);
    CHECK(cut.stop().x < 0.5);
    const RollPath below = roll(test::plane(0, 1, 0), slit, {0, -1.5}, {1, 0}, 1, 10);
    CHECK(below.end == RollEnd::stopped);
    const RollPath out = roll(test::wavy(2), test::wide_green(3), {0, 0}, {1, 0.3}, 3, 10);
    CHECK(out.end == RollEnd::left_green);
    CHECK(std::abs(test::wide_green(3).signed_distance(out.stop())) < 1e-8);
    // From the edge itself inwards is no leaving; outwards is.
    CHECK(roll(test::plane(0, 1, 0), test::wide_green(3), {-3, 0}, {1, 0}, 1, 10).end == RollEnd::stopped);
    CHECK(roll(test::plane(0, 1, 0), test::wide_green(3), {-3, 0}, {-1, 0}, 1, 10).end == RollEnd::left_green);
}

TEST_CASE("a crest too sharp for its speed throws the ball") {
    // h = -k x^2 / 2: contact is lost where k v^2 > g.
    const test::Formula crest([](double x, double) { return SurfaceJet{-2 * x * x, -4 * x, 0, -4, 0, 0}; });
    const RollPath fast = roll(crest, {}, {-0.4, 0}, {1, 0}, 4, 10);
    CHECK(fast.end == RollEnd::airborne);
    const RollPath slow = roll(test::Formula([](double x, double) { return SurfaceJet{-0.01 * x * x, -0.02 * x, 0, -0.02, 0, 0}; }),
                               {}, {-0.4, 0}, {1, 0}, 1, 10);
    CHECK(slow.end == RollEnd::stopped);
}

TEST_CASE("a straight putt on the level is holed at a fair speed, flies over at a fast one, and stops short at a slow one") {
    const auto level = test::plane(0, 1, 0);
    RollOptions o;
    o.hole = Vec2{2, 0};
    const double reach = std::sqrt(2 * level_deceleration(10) * 2.0);
    CHECK(roll(level, {}, {0, 0}, {1, 0}, reach * 1.05, 10, o).end == RollEnd::holed);
    // By free fall at 1.31 m/s over the centre; by the rim at its limit less what the green takes from the rim on.
    const double v = tabled_capture_limit(0, 0, 0).all_drop_mps, rim = std::sqrt(v * v - 2 * level_deceleration(10) * kHoleRadius);
    for (auto [model, fastest] : {std::pair{CaptureModel::free_fall, free_fall_capture_speed(0)}, {CaptureModel::rim, rim}}) {
        o.capture = model;
        const RollPath in = roll(level, {}, {0, 0}, {1, 0}, std::hypot(reach, fastest - 0.001), 10, o);
        CHECK(in.end == RollEnd::holed);
        CHECK(in.capture == model);
        CHECK(roll(level, {}, {0, 0}, {1, 0}, std::hypot(reach, fastest + 0.001), 10, o).end == RollEnd::stopped);
    }
    // Its centre over the rim counts, a millimetre short of that does not.
    const auto runs = [&](double metres) { return std::sqrt(2 * level_deceleration(10) * metres); };
    CHECK(roll(level, {}, {0, 0}, {1, 0}, runs(2 - kHoleRadius + 0.001), 10, o).end == RollEnd::holed);
    CHECK(roll(level, {}, {0, 0}, {1, 0}, runs(2 - kHoleRadius - 0.001), 10, o).end == RollEnd::stopped);
    // A covered hole is only watched.
    o.covered = true;
    const RollPath over = roll(level, {}, {0, 0}, {1, 0}, reach * 1.05, 10, o);
    CHECK(over.end == RollEnd::stopped);
    REQUIRE(over.pass);
    CHECK(over.pass->speed_mps == doctest::Approx(std::sqrt(1.05 * 1.05 - 1) * reach));
}

TEST_CASE("a pass is signed: positive when the ball goes by on the right of the hole") {
    RollOptions o;
    o.hole = Vec2{2, 0.2};
    o.covered = true;
    const RollPath right = roll(test::plane(0, 1, 0), {}, {0, 0}, {1, 0}, 2, 10, o);
    REQUIRE(right.pass);
    CHECK(right.pass->offset_m == doctest::Approx(0.2));
    CHECK(right.pass->direction.x == doctest::Approx(1));
    o.hole = Vec2{2, -0.2};
    CHECK(roll(test::plane(0, 1, 0), {}, {0, 0}, {1, 0}, 2, 10, o).pass->offset_m == doctest::Approx(-0.2));
    o.hole = Vec2{2, -1.2};
    CHECK_FALSE(roll(test::plane(0, 1, 0), {}, {0, 0}, {1, 0}, 2, 10, o).pass);
}

TEST_CASE("samples are in order of time, near one another, and end at the end") {
    RollOptions o;
    o.sample_step_m = 0.03;
    const RollPath path = roll(test::wavy(2), {}, {0, 0}, {1, 0.3}, 2.4, 10, o);
    double length = 0;
    for (std::size_t i = 1; i < path.samples.size(); ++i) {
        const auto &a = path.samples[i - 1], &b = path.samples[i];
        CHECK(b.t > a.t);
        const double gap = distance({a.p.x, a.p.y}, {b.p.x, b.p.y});
        CHECK(gap <= 0.03);
        length += gap;
    }
    CHECK(length == doctest::Approx(path.length_m).epsilon(1e-4));
    CHECK(path.samples.back().t == path.time_s);
    CHECK(path.samples.back().v == 0);
}

TEST_CASE("a launch without meaning is refused in a sentence") {
    const auto level = test::plane(0, 1, 0);
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const Outline green = test::wide_green(3);
    CHECK_THROWS_AS(roll(level, green, {0, 0}, {1, 0}, nan, 10), Error);
    CHECK_THROWS_AS(roll(level, green, {0, 0}, {1, 0}, -1, 10), Error);
    CHECK_THROWS_AS(roll(level, green, {0, 0}, {1, 0}, 21, 10), Error);
    CHECK_THROWS_AS(roll(level, green, {0, 0}, {0, 0}, 1, 10), Error);
    CHECK_THROWS_AS(roll(level, green, {0, 0}, {nan, 0}, 1, 10), Error);
    CHECK_THROWS_AS(roll(level, green, {4, 0}, {1, 0}, 1, 10), Error);
    CHECK_THROWS_AS(roll(level, green, {nan, 0}, {1, 0}, 1, 10), Error);
    CHECK_THROWS_AS(roll(level, green, {0, 0}, {1, 0}, 1, 3.5), Error);
    CHECK_THROWS_AS(roll(level, green, {0, 0}, {1, 0}, 1, nan), Error);
}

TEST_CASE("a surface that is not a number ends the roll and never hangs") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const test::Formula hole_in_data([=](double x, double) {
        return x > 0.5 ? SurfaceJet{nan, nan, nan, nan, nan, nan} : SurfaceJet{};
    });
    const RollPath path = roll(hole_in_data, {}, {0, 0}, {1, 0}, 2, 10);
    CHECK(path.end == RollEnd::rolling);
    CHECK(std::isfinite(path.stop().x));
}
