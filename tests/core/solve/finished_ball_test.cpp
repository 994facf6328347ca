#include "core/solve/finished_ball.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "core/roll/run_roll.h"
#include "tests/support/brute_force.h"
#include "tests/support/grounds.h"

#include <cmath>
#include <limits>

using namespace brae;

namespace {

// Where a launch ends, rolled forward.
Vec2 rest(const HeightField& s, Vec2 ball, double angle, double speed, double ft) {
    const RollPath path = roll(s, Outline(), ball, {std::cos(angle), std::sin(angle)}, speed, ft);
    REQUIRE(path.end == RollEnd::stopped);
    return path.stop();
}
double angle_of(Vec2 d) { return std::atan2(d.y, d.x); }

// The ground mirrored in the x axis.
test::Formula mirrored(const HeightField& s) {
    return test::Formula([&s](double x, double y) {
        SurfaceJet j = s.jet(x, -y);
        j.hy = -j.hy;
        j.hxy = -j.hxy;
        return j;
    });
}

const Vec2 kBall{-3, 0}, kHole{0, 0};
const Outline kGreen = test::wide_green();

}  // namespace

TEST_CASE("a launch on a plane is found again from where the closed form says that it stops") {
    const double slope = 0.02, theta = std::atan(slope), ft = 10, level = level_deceleration(ft);
    const auto ground = test::plane(slope, 0, -1);   // falls to the south
    const double a_f = level * std::cos(theta), a_g = kRollFactor * kGravity * std::sin(theta);
    for (double psi : {-2.4, -1.2, -0.5, 0.4, 1.3, 1.8, 2.6})
        for (double v : {0.8, 1.9}) {
            // X runs down the fall line along the surface, Y to its left, which is east.
            const PlaneStop s = stop_on_plane(v, psi, a_f, a_g);
            FinishedBall b{kBall, kHole, ft};
            b.stop = kBall + Vec2{s.y, -s.x * std::cos(theta)};
            const FinishedBallReveal r = reveal_finished_ball(ground, kGreen, b);
            REQUIRE(r.launches.size() == 1);
            CHECK(std::abs(r.best()->launch_mps - v) < 1e-6);
            const Vec2 start = unit(Vec2{std::sin(psi), -std::cos(psi) * std::cos(theta)});
            CHECK(norm(r.best()->direction - start) < 1e-6);
        }
}

TEST_CASE("launches on wavy ground are found again and their errors are told apart") {
    Random random(5);
    int told = 0;
    for (int k = 0; k < 30; ++k) {
        const auto ground = test::wavy(100 + k);
        const Vec2 hole{random.uniform(-1, 1), random.uniform(-1, 1)};
        const double turn = random.uniform(-kPi, kPi), ft = random.uniform(8, 12);
        const Vec2 ball = hole + random.uniform(2, 6) * Vec2{std::cos(turn), std::sin(turn)};
        const PuttAnswer answer = solve_putt(ground, kGreen, {ball, hole, ft, 0.3});
        if (answer.solutions.size() != 1) continue;
        const PuttRead& read = answer.solutions[0];

        // The player aims beside the true aim, starts beside the aim, and hits too hard or too soft.
        const double chosen = *read.aim_offset_m + random.uniform(-0.2, 0.2), away = distance(ball, hole);
        const double start_line = radians(random.uniform(-2, 2)), push = random.uniform(-0.15, 0.25);
        const double to_hole = angle_of(hole - ball);
        const double angle = to_hole - std::atan2(chosen, away) - start_line;   // right is clockwise
        FinishedBall b{ball, hole, ft};
        b.stop = rest(ground, ball, angle, read.launch_mps + push, ft);
        b.chosen_aim_offset_m = chosen;
        const FinishedBallReveal r = reveal_finished_ball(ground, kGreen, b);
        if (r.launches.size() != 1) continue;
        ++told;
        const RevealedLaunch& l = *r.best();
        CHECK(std::abs(wrapped(angle_of(l.direction) - angle)) < 1e-6);
        CHECK(std::abs(l.launch_mps - read.launch_mps - push) < 1e-6);
        CHECK(std::abs(l.start_line_error_deg->value - degrees(start_line)) < 1e-4);
        CHECK(std::abs(l.read_error_m->value - (chosen - *read.aim_offset_m)) < 1e-6);
        CHECK(std::abs(l.pace_error_mps->value - push) < 1e-6);
        CHECK(std::abs(l.direction_error_deg->value - l.read_error_deg->value - l.start_line_error_deg->value) < 1e-9);
    }
    CHECK(told >= 25);
}

TEST_CASE("mirrored ground gives mirrored answers") {
    const auto ground = test::wavy(12);
    const auto other = mirrored(ground);
    FinishedBall b{{-3.5, 0.7}, {0.4, -0.3}, 10};
    b.stop = rest(ground, b.ball, 0.05, 2.5, 10);
    b.chosen_aim_offset_m = 0.11;
    FinishedBall m = b;
    for (Vec2* p : {&m.ball, &m.hole, &m.stop}) p->y = -p->y;
    m.chosen_aim_offset_m = -0.11;
    const ErrorModel error{0.001, 0.6, 0.002, 3};
    const auto r = reveal_finished_ball(ground, kGreen, b, {&error}), s = reveal_finished_ball(other, kGreen, m, {&error});
    REQUIRE(r.launches.size() == 1);
    REQUIRE(s.launches.size() == 1);
    const RevealedLaunch &x = *r.best(), &y = *s.best();
    CHECK(x.direction.y == doctest::Approx(-y.direction.y).epsilon(1e-7));
    CHECK(x.launch_mps == doctest::Approx(y.launch_mps).epsilon(1e-8));
    CHECK(x.read_error_m->value == doctest::Approx(-y.read_error_m->value).epsilon(1e-6));
    CHECK(x.start_line_error_deg->value == doctest::Approx(-y.start_line_error_deg->value).epsilon(1e-6));
    CHECK(x.pass.crossing_m.value == doctest::Approx(-y.pass.crossing_m.value).epsilon(1e-6));
    CHECK(x.pass.side == y.pass.side);
    CHECK(x.pass.hand != y.pass.hand);
    CHECK(x.direction_se_deg == doctest::Approx(y.direction_se_deg).epsilon(1e-4));
    CHECK(x.pace_error_mps->se == doctest::Approx(y.pace_error_mps->se).epsilon(1e-4));
}

TEST_CASE("the side is that of the crossing, so that a ball can pass high and stop low") {
    // Falls to the south; a ball from the west breaks to its right and its true aim is to the left.
    const auto ground = test::plane(0.02, 0, -1);
    const auto reveal = [&](double angle, double speed) {
        FinishedBall b{kBall, kHole, 10};
        b.stop = rest(ground, kBall, angle, speed, 10);
        return reveal_finished_ball(ground, kGreen, b);
    };
    const auto high = reveal(0.10, 2.3);
    REQUIRE(high.launches.size() == 1);
    CHECK(high.best()->pass.side == PassSide::high);
    CHECK(high.best()->pass.hand == PassSide::left);
    CHECK(high.best()->pass.crossing_m.value < -0.05);
    CHECK(high.best()->pass.rest_offset_m.value > 0.05);   // and rests below the hole
    CHECK(high.best()->pass.past_m.value > 0);

    const auto low = reveal(0.02, 2.1);
    CHECK(low.best()->pass.side == PassSide::low);
    CHECK(low.best()->pass.hand == PassSide::right);
    CHECK(low.best()->pass.certain);

    const auto weak = reveal(0.15, 1.5);
    CHECK(weak.best()->pass.side == PassSide::short_of);
    CHECK(weak.best()->pass.past_m.value < 0);
    CHECK(weak.best()->pace_error_past_m->value < -0.3);
    CHECK(weak.best()->pace_error_mps->value < 0);
    CHECK(to_text(weak.best()->pass.side) == "short");
}

TEST_CASE("a straight putt has a left and a right but no high side") {
    const auto flat = test::plane(0, 1, 0);
    for (double sign : {-1.0, 1.0}) {
        FinishedBall b{kBall, kHole, 10};
        b.stop = {0.5, 0.3 * sign};
        const auto r = reveal_finished_ball(flat, kGreen, b);
        REQUIRE(r.launches.size() == 1);
        CHECK(r.best()->pass.side == (sign > 0 ? PassSide::left : PassSide::right));
        // On the level the ball rolls straight: launch speed and start by hand.
        CHECK(r.best()->launch_mps == doctest::Approx(std::sqrt(2 * level_deceleration(10) * std::hypot(3.5, 0.3))).epsilon(1e-7));
        CHECK(r.best()->direction_error_deg->value == doctest::Approx(-sign * degrees(std::atan2(0.3, 3.5))).epsilon(1e-6));
    }
}

TEST_CASE("on the level the standard errors are those of geometry") {
    // sigma across / distance is the direction's; v = sqrt(2 a L) gives (a / v) sigma and v / (2 S) per foot.
    const auto flat = test::plane(0, 1, 0);
    FinishedBall b{kBall, kHole, 10};
    b.stop = {1, 0};
    b.stop_sigma_m = 0.08;
    b.chosen_aim_offset_m = 0;
    const auto r = reveal_finished_ball(flat, kGreen, b, {nullptr, 0.4});
    const RevealedLaunch& l = *r.best();
    const double a = level_deceleration(10), v = l.launch_mps;
    CHECK(l.direction_se_deg == doctest::Approx(degrees(0.08 / 4)).epsilon(1e-5));
    CHECK(l.launch_se_mps == doctest::Approx(std::hypot(0.08 * a / v, 0.4 * v / 20)).epsilon(1e-4));
    // The read's launch errs with the same green speed, so the difference errs less than the launch.
    const double read = r.read->launch_mps;
    CHECK(l.pace_error_mps->se == doctest::Approx(std::hypot(0.08 * a / v, 0.4 * (v - read) / 20)).epsilon(1e-3));
    CHECK(l.pass.crossing_m.se == doctest::Approx(0.08 * 3 / 4).epsilon(1e-4));
    CHECK(l.pass.past_m.value == doctest::Approx(1).epsilon(1e-6));
    CHECK(l.pass.past_m.se == doctest::Approx(0.08).epsilon(1e-3));
}

TEST_CASE("all launches that end in a place are given, and the side that was seen chooses") {
    const auto ground = test::tier(0.35, 0.8);
    // Up the tier's foot and back, or straight along it.
    FinishedBall b{{-3, -1.5}, {-2, 0.6}, 9};
    int with_several = 0, chosen = 0;
    for (Vec2 stop : {Vec2{-1.6, 1.4}, Vec2{-1.3, 1.8}, Vec2{-1.0, 2.2}, Vec2{-2.2, 1.5}}) {
        b.stop = stop;
        b.seen.reset();
        const auto r = reveal_finished_ball(ground, kGreen, b);
        const auto all = test::brute_force(ground, kGreen, b.ball, stop, 9, 0, 240, 40);
        CHECK(r.launches.size() >= all.size());
        for (const Launch& known : all) {
            bool found = false;
            for (const auto& l : r.launches)
                found = found || (std::abs(wrapped(angle_of(l.direction) - known.angle)) < 1e-4 &&
                                  std::abs(l.launch_mps - known.speed) < 1e-4);
            CHECK(found);
        }
        if (r.launches.size() < 2) continue;
        ++with_several;
        CHECK(r.status == RevealStatus::several);
        for (const auto& l : r.launches)
            if (l.pass.certain) {
                b.seen = l.pass.hand;
                const auto s = reveal_finished_ball(ground, kGreen, b);
                CHECK(s.launches.size() <= r.launches.size());
                bool kept = false;
                for (const auto& m : s.launches) {
                    kept = kept || m.launch_mps == l.launch_mps;
                    CHECK((m.pass.hand == l.pass.hand || !m.pass.certain));
                }
                CHECK(kept);
                chosen += s.launches.size() < r.launches.size();
            }
    }
    CHECK(with_several >= 1);
    CHECK(chosen >= 1);
}

TEST_CASE("what cannot be told is said") {
    const auto ground = test::plane(0.02, 0, -1);
    FinishedBall b{kBall, kHole, 10};
    b.stop = {0.6, -0.4};

    SUBCASE("no chosen aim: read and start line are one") {
        const auto r = reveal_finished_ball(ground, kGreen, b);
        CHECK(r.status == RevealStatus::told);
        CHECK(r.best()->direction_error_deg);
        CHECK_FALSE(r.best()->read_error_m);
        CHECK_FALSE(r.best()->start_line_error_deg);
        CHECK(r.sentence.find("cannot be told apart") != std::string::npos);
    }
    SUBCASE("a side that was seen but cannot have been") {
        b.seen = PassSide::high;   // rests far low and short of any curl
        b.stop = {0.4, -1.2};
        const auto r = reveal_finished_ball(ground, kGreen, b);
        CHECK(r.status == RevealStatus::side_disagrees);
        CHECK(r.best());
        CHECK(r.sentence.find("high") != std::string::npos);
    }
    SUBCASE("a place of rest that is hardly known") {
        b.stop_sigma_m = 1.0;
        CHECK(reveal_finished_ball(ground, kGreen, b).status == RevealStatus::sensitive);
    }
    SUBCASE("a path over the hole") {
        const auto answer = solve_putt(ground, kGreen, {kBall, kHole, 10, 0.5});
        const PuttRead& read = answer.solutions.at(0);
        b.stop = rest(ground, kBall, angle_of(read.direction), read.launch_mps, 10);
        const auto r = reveal_finished_ball(ground, kGreen, b);
        CHECK(r.status == RevealStatus::touched_hole);
        CHECK(r.best()->touched_hole);
    }
    SUBCASE("ground on which no ball stops") {
        const auto steep = test::plane(0.09, 0, -1);
        const auto r = reveal_finished_ball(steep, kGreen, b);
        CHECK(r.status == RevealStatus::no_launch);
        CHECK(r.launches.empty());
        CHECK_FALSE(r.sentence.empty());
    }
    SUBCASE("a ball that has not moved") {
        b.stop = kBall + Vec2{0.01, 0};
        CHECK(reveal_finished_ball(ground, kGreen, b).status == RevealStatus::hardly_moved);
    }
}

TEST_CASE("a holed ball tells only the window's interval") {
    const auto ground = test::plane(0.02, 0, -1);
    FinishedBall b{kBall, kHole, 10};
    b.finish = BallFinish::holed;
    const auto r = reveal_finished_ball(ground, kGreen, b);
    CHECK(r.status == RevealStatus::holed);
    CHECK(r.launches.empty());
    REQUIRE(r.range);
    CHECK(r.range->left_deg < 0);
    CHECK(r.range->right_deg > 0);
    CHECK(r.range->slow_mps < r.read->launch_mps);
    CHECK(*r.range->fast_mps > r.read->launch_mps);
    CHECK(r.sentence.find("interval") != std::string::npos);
}

TEST_CASE("a ball off the green tells a least speed, which is true of every launch that leaves there") {
    const auto ground = test::plane(0.02, 0, -1);
    const Outline small({{-4, -3}, {2, -3}, {2, 3}, {-4, 3}}, OutlineSource::drawn);
    int left = 0;
    for (double angle : {0.0, 0.15, 0.3})
        for (double speed : {2.6, 3.0, 4.0}) {
            const RollPath path = roll(ground, small, kBall, {std::cos(angle), std::sin(angle)}, speed, 10);
            if (path.end != RollEnd::left_green) continue;
            ++left;
            FinishedBall b{kBall, kHole, 10};
            b.finish = BallFinish::off_green;
            b.stop = path.stop();
            const auto r = reveal_finished_ball(ground, small, b);
            CHECK(r.status == RevealStatus::off_green);
            REQUIRE(r.range);
            CHECK_FALSE(r.range->fast_mps);
            CHECK(r.range->slow_mps < speed + 1e-9);
            const double turn = degrees(wrapped(angle_of(r.read->direction) - angle));
            CHECK(turn > r.range->left_deg - 0.3);    // the place is drawn in by 2 cm
            CHECK(turn < r.range->right_deg + 0.3);
        }
    CHECK(left >= 6);
}

TEST_CASE("questions without meaning are refused in a sentence") {
    const auto ground = test::plane(0.02, 0, -1);
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const auto with = [](auto change) {
        FinishedBall b{kBall, kHole, 10};
        b.stop = {0.5, 0.2};
        change(b);
        return b;
    };
    for (const FinishedBall& b :
         {with([&](FinishedBall& f) { f.stop.x = nan; }), with([&](FinishedBall& f) { f.stop = {50, 0}; }),
          with([&](FinishedBall& f) { f.stop_sigma_m = nan; }), with([&](FinishedBall& f) { f.chosen_aim_offset_m = nan; }),
          with([&](FinishedBall& f) { f.chosen_aim_sigma_m = -1; }), with([&](FinishedBall& f) { f.green_speed_ft = 3; }),
          with([&](FinishedBall& f) { f.past_m = -1; }), with([&](FinishedBall& f) { f.ball = {90, 0}; })})
        CHECK_THROWS_AS(reveal_finished_ball(ground, kGreen, b), Error);
}
