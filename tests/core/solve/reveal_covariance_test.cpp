#include "core/solve/reveal_covariance.h"

#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "core/roll/run_roll.h"
#include "tests/support/drawn_field.h"
#include "tests/support/grounds.h"

#include <cmath>

using namespace brae;

namespace {

// How often the truth lies inside the stated standard error.
struct Cover {
    int in = 0, all = 0;
    double squares = 0;
    void add(const Told& told, double truth) {
        ++all;
        in += std::abs(told.value - truth) < told.se;
        squares += (told.value - truth) * (told.value - truth) / (told.se * told.se);
    }
};

}  // namespace

TEST_CASE("the stated standard errors cover the truth as often as they should") {
    // Truth: other ground, other green speed, a seen place of rest that is off; 200 seeded cases. 68.3 % of a normal
    // law; 200 cases know their own share to 3.3 %.
    Random random(77);
    const ErrorModel error{0.0008, 0.7, 0.003, 3};
    const Outline green = test::wide_green();
    Cover direction, launch, read, line, pace, crossing, past;
    int tried = 0;
    while (direction.all < 200 && ++tried < 400) {
        const auto nominal = test::wavy(500 + tried);
        const Vec2 hole{random.uniform(-1, 1), random.uniform(-1, 1)};
        const double turn = random.uniform(-kPi, kPi), away = random.uniform(2.5, 6);
        const Vec2 ball = hole + away * Vec2{std::cos(turn), std::sin(turn)};
        const double told_ft = random.uniform(8.5, 11), true_ft = told_ft + 0.3 * random.normal();

        const test::DrawnField fine(random, error.smooth_se_m, error.smooth_length_m);
        const test::DrawnField wide(random, error.correlated_se_m, error.correlated_length_m);
        const test::Formula truth([&](double x, double y) {
            SurfaceJet j = nominal.jet(x, y);
            fine.add(x, y, j);
            wide.add(x, y, j);
            return j;
        });

        // The player's errors are about the true read on the true ground.
        PuttOptions plain;
        plain.window = false;
        const PuttAnswer answer = solve_putt(nominal, green, {ball, hole, told_ft, 0.3}, plain);
        if (answer.solutions.size() != 1) continue;
        const PuttRead& known = answer.solutions[0];
        const PuttGround ground{truth, green, ball, hole, level_deceleration(true_ft), speed_at_hole(0.3, true_ft)};
        const auto true_read = polish_forward(ground, {std::atan2(known.direction.y, known.direction.x), known.launch_mps}, 1e-9);
        if (!true_read) continue;
        const double to_hole = std::atan2(hole.y - ball.y, hole.x - ball.x);
        const double read_turn = -wrapped(true_read->angle - to_hole), chosen_turn = read_turn + radians(1.5) * random.normal();
        const double line_error = radians(1) * random.normal(), speed = true_read->speed * (1 + 0.08 * random.normal());
        const double angle = to_hole - chosen_turn - line_error;
        const RollState start{ball, horizontal_velocity(truth.jet(ball.x, ball.y), {std::cos(angle), std::sin(angle)}, speed)};
        RollRun run;
        const RollOutcome rolled = run_roll(truth, Outline(), start, ground.level_decel, run, nullptr);
        if (rolled.end != RollEnd::stopped || !green.contains(rolled.at.p)) continue;
        const auto crossed = first_crossing(truth, Outline(), start, ground.level_decel, HoleLine(ball, hole));

        FinishedBall b{ball, hole, told_ft, 0.3};
        const double sigma = 0.05 + 0.02 * distance(rolled.at.p, hole);
        b.stop = rolled.at.p + sigma * Vec2{random.normal(), random.normal()};
        b.stop_sigma_m = sigma;
        b.chosen_aim_offset_m = away * std::tan(chosen_turn);
        if (!green.contains(b.stop)) continue;
        const FinishedBallReveal r = reveal_finished_ball(nominal, green, b, {&error, 0.3});
        if (r.launches.size() != 1 || !r.best()->has_error) continue;
        const RevealedLaunch& l = *r.best();
        direction.add({degrees(-wrapped(std::atan2(l.direction.y, l.direction.x) - angle)), l.direction_se_deg}, 0);
        launch.add({l.launch_mps, l.launch_se_mps}, speed);
        read.add(*l.read_error_deg, degrees(chosen_turn - read_turn));
        line.add(*l.start_line_error_deg, degrees(line_error));
        pace.add(*l.pace_error_mps, speed - true_read->speed);
        if (crossed && l.pass.hand != PassSide::short_of) {
            crossing.add(l.pass.crossing_m, crossed->offset_m);
            past.add(l.pass.past_m, past_of_speed(crossed->speed_mps, true_ft));
        }
    }
    REQUIRE(direction.all == 200);
    const auto check = [](const char* name, const Cover& c) {
        const double share = double(c.in) / c.all;
        MESSAGE(std::string(name) << ": " << 100 * share << " % of " << c.all << ", rms of error / se " << std::sqrt(c.squares / c.all));
        CHECK(share > 0.60);
        CHECK(share < 0.76);
    };
    check("direction", direction);
    check("launch", launch);
    check("read", read);
    check("start line", line);
    check("pace", pace);
    check("crossing", crossing);
    check("past", past);
}
