#include "core/solve/hole_chance.h"

#include "core/base/error.h"
#include "core/base/random.h"
#include "core/base/units.h"
#include "core/roll/capture.h"
#include "core/roll/green_speed.h"
#include "core/solve/level_chance.h"
#include "tests/support/grounds.h"

#include <cmath>

using namespace brae;

namespace {

using Rim = HoleMechanics<CaptureModel::rim>;
using FreeFall = HoleMechanics<CaptureModel::free_fall>;

template <class Mechanics = HoleMechanics<kDefaultCapture>>
MechanicsSpread<Mechanics::capture> player(double line_deg, double launch_rel) {
    MechanicsSpread<Mechanics::capture> s;
    s.start_line = StartLineSigma<Mechanics>(radians(line_deg));
    s.launch_sigma_rel = launch_rel;
    return s;
}

// One drawn level putt: straight, v^2 falls by 2 a a metre, taken by the rule of core/roll/capture.h. Independent of
// the limits and of the integration. leave: where it lies, as if there were no hole.
template <CaptureModel Model>
bool drawn_level_putt(Random& random, const MechanicsSpread<Model>& s, double x, double a, double past, double& leave) {
    const double angle = s.direction_bias_rad() + s.direction_sigma_rad() * random.normal();
    const double meant = std::sqrt(2 * a * (x + past));
    const double v = meant * (1 + s.launch_bias_rel + s.launch_sigma_rel * random.normal());
    const double run = v > 0 ? v * v / (2 * a) : 0;
    const double along = x * std::cos(angle), offset = x * std::abs(std::sin(angle));
    leave = std::hypot(run * std::cos(angle) - x, run * std::sin(angle));
    if (leave < kHoleRadius) return true;
    return along > 0 && run > along &&
           capture(Model, {offset, std::sqrt(2 * a * (run - along)), 0, 0, a}) == Capture::drops;
}

}  // namespace

TEST_CASE_TEMPLATE("on the level the integral agrees with a million drawn putts, whatever the spread and bias", Mechanics, FreeFall, Rim) {
    constexpr CaptureModel model = Mechanics::capture;
    const double a = level_deceleration(10);
    std::vector<MechanicsSpread<model>> players{player<Mechanics>(0.5, 0.03), player<Mechanics>(1.5, 0.08), player<Mechanics>(3, 0.15),
                                                player<Mechanics>(1, 0.06)};
    players[3].read_sigma_rad = radians(0.8);
    players[3].start_line_bias_rad = radians(0.5);
    players[3].read_bias_rad = radians(-0.1);
    players[3].launch_bias_rel = 0.03;
    Random random(11);
    const double lengths[4] = {1, 3, 6, 2};
    for (int i = 0; i < 4; ++i) {
        const double x = lengths[i], p = LevelPutt(x, 10, 0.3, model).chance(players[i]);
        const int n = 1000000;
        int holed = 0;
        double leave = 0;
        for (int k = 0; k < n; ++k) holed += drawn_level_putt(random, players[i], x, a, 0.3, leave);
        const double drawn = double(holed) / n, sigma = std::sqrt(drawn * (1 - drawn) / n);
        std::printf("level, %s, %.0f m: integral %.5f, drawn %.5f +/- %.5f\n", to_text(model).c_str(), x, p, drawn, sigma);
        CHECK(std::abs(p - drawn) < 3 * sigma);
        // The traced region on the same ground gives the same chance.
        const auto level = test::plane(0, 1, 0);
        const Outline green = test::wide_green();
        const PuttQuestion q{{0, 0}, {x, 0}, 10, 0.3};
        const PuttGround ground = putt_ground(level, green, q);
        const Launch meant{0, std::sqrt(2 * a * (x + 0.3))};
        const HolingRegion region = holing_region(ground, meant, {1e-4, model});
        CHECK(region.capture == model);
        const HoleChance traced = chance_to_hole(region, players[i], meant);
        std::printf("  traced %.5f +/- %.5f, %d rolls, %zu panels\n", traced.chance, traced.error, region.rolls, region.panels.size());
        CHECK(std::abs(traced.chance - p) < std::max(2e-5, traced.error));
        CHECK(std::abs(traced.chance - p) < 2e-4);
    }
}

TEST_CASE_TEMPLATE("on breaking ground the integral agrees with a million draws by the region and with rolled balls", Mechanics, FreeFall, Rim) {
    constexpr CaptureModel model = Mechanics::capture;
    int seed = 3;
    for (const auto& [ball, hole] : {std::pair{Vec2{-2, -1}, Vec2{1.5, 0.5}}, {Vec2{3, -2}, Vec2{-1, 1}}}) {
        const auto surface = test::wavy(++seed);
        const Outline green = test::wide_green();
        const PuttQuestion q{ball, hole, 10, 0.3};
        const PuttAnswer answer = solve_putt(surface, green, q);
        REQUIRE(!answer.solutions.empty());
        const Launch meant = launch_of(answer.solutions[0]);
        const PuttGround ground = putt_ground(surface, green, q);
        const HolingRegion region = holing_region(ground, meant, {1e-4, model});
        REQUIRE(region.why_none.empty());
        const auto s = player<Mechanics>(1.0, 0.06);
        const HoleChance chance = chance_to_hole(region, s, meant);
        CHECK(chance.error < 2e-3);

        Random random(seed);
        const auto draw = [&] {
            const double angle = meant.angle + s.direction_sigma_rad() * random.normal();
            return Launch{angle, meant.speed * (1 + s.launch_sigma_rel * random.normal())};
        };
        int in = 0;
        const int n = 1000000;
        for (int k = 0; k < n; ++k) in += region.holds(draw());
        const double drawn = double(in) / n, sigma = std::sqrt(drawn * (1 - drawn) / n);
        CHECK(std::abs(chance.chance - drawn) < 3 * sigma);

        // Rolled: the region tells holed from missed but for a few on its limits, and holds all that hole.
        int holed = 0, differ = 0;
        const int rolls = 20000;
        for (int k = 0; k < rolls; ++k) {
            const Launch l = draw();
            const bool h = holes_out(ground, l, model);
            holed += h;
            differ += h != region.holds(l);
        }
        const double rolled = double(holed) / rolls;
        std::printf("breaking, %s: integral %.5f +/- %.5f, drawn %.5f, rolled %.4f +/- %.4f, differ %d, rolls %d, panels %zu\n",
                    to_text(model).c_str(), chance.chance, chance.error, drawn, rolled, std::sqrt(rolled * (1 - rolled) / rolls), differ, region.rolls,
                    region.panels.size());
        CHECK(std::abs(chance.chance - rolled) < 3 * std::sqrt(rolled * (1 - rolled) / rolls));
        CHECK(differ <= 20);
        // No part is counted twice: a finer tracing has the same area.
        const HolingRegion finer = holing_region(ground, meant, {2e-5, model});
        CHECK(finer.area == doctest::Approx(region.area).epsilon(2e-3));
    }
}

TEST_CASE_TEMPLATE("expected strokes on the level agree with rounds of drawn putts", Mechanics, FreeFall, Rim) {
    const auto s = player<Mechanics>(1.6, 0.09);
    const double a = level_deceleration(10);
    for (double x : {1.5, 6.0}) {
        const auto level = test::plane(0, 1, 0);
        const Outline green = test::wide_green(40);
        const PuttQuestion q{{0, 0}, {x, 0}, 10, 0.3};
        const PuttGround ground = putt_ground(level, green, q);
        const Launch meant{0, std::sqrt(2 * a * (x + 0.3))};
        const HolingRegion region = holing_region(ground, meant, {1e-4, Mechanics::capture});
        const ExpectedStrokes e = expected_strokes(ground, region, s, meant, 10, 0.3);
        Random random(5);
        const int n = 400000;
        double strokes = 0, squares = 0;
        int counts[5] = {};
        for (int k = 0; k < n; ++k) {
            double left = x, leave = 0;
            int putts = 1;
            // The fourth is holed.
            while (putts < 4 && !drawn_level_putt(random, s, left, a, 0.3, leave)) {
                left = leave;
                ++putts;
            }
            ++counts[putts];
            strokes += putts;
            squares += putts * putts;
        }
        const double mean = strokes / n, sigma = std::sqrt((squares / n - mean * mean) / n);
        std::printf("strokes, %s, %.1f m: %.4f (%.4f %.4f %.4f %.5f), drawn %.4f +/- %.4f (%.4f %.4f %.4f %.5f), leave %.3f m, %d rolls\n",
                    to_text(Mechanics::capture).c_str(), x, e.strokes, e.one, e.two, e.three, e.more, mean, sigma, counts[1] / double(n), counts[2] / double(n),
                    counts[3] / double(n), counts[4] / double(n), e.mean_leave_m, e.rolls);
        CHECK(e.one + e.two + e.three + e.more == doctest::Approx(1));
        CHECK(e.strokes == doctest::Approx(e.one + 2 * e.two + 3 * e.three + 4 * e.more));
        CHECK(std::abs(e.strokes - mean) < 3 * sigma);
        const double three = counts[3] / double(n);
        CHECK(std::abs(e.three - three) < 3 * std::sqrt(three / n) + 5e-4);   // 5e-4: nodes and tables
        CHECK(e.left_green == 0);
    }
}

TEST_CASE("a better player holes more, a bias holes less, and what cannot be is refused") {
    const LevelPutt putt(2.5, 10, 0.3);
    CHECK(putt.chance(player(0.8, 0.05)) > putt.chance(player(1.2, 0.05)));
    CHECK(putt.chance(player(0.8, 0.05)) > putt.chance(player(0.8, 0.10)));
    PlayerSpread biased = player(0.8, 0.05);
    biased.start_line_bias_rad = radians(0.8);
    CHECK(putt.chance(biased) < putt.chance(player(0.8, 0.05)));
    // Right and left alike on the level.
    const double right = putt.chance(biased);
    biased.start_line_bias_rad = -biased.start_line_bias_rad;
    CHECK(putt.chance(biased) == doctest::Approx(right).epsilon(1e-12));
    CHECK(LevelPutt(0.06, 10, 0.3).chance(player(0.8, 0.05)) > 0.9999);

    CHECK_THROWS_AS(putt.chance(player(0, 0.05)), Error);
    CHECK_THROWS_AS(putt.chance(player(1, -0.05)), Error);
    CHECK_THROWS_AS(putt.chance(player(NAN, 0.05)), Error);
    CHECK_THROWS_AS(LevelPutt(0, 10, 0.3), Error);
    CHECK_THROWS_AS(LevelPutt(2, 10, -1), Error);
    // No region, no chance.
    const auto level = test::plane(0, 1, 0);
    const Outline green = test::wide_green();
    const PuttQuestion q{{0, 0}, {3, 0}, 10, 4.5};
    const Launch meant{0, std::sqrt(2 * level_deceleration(10) * 7.5)};
    const HolingRegion none = holing_region(putt_ground(level, green, q), meant);
    CHECK(none.why_none == "the hole does not take the ball at this pace");
    CHECK(none.panels.empty());
    CHECK(chance_to_hole(none, player(1, 0.05), meant).chance == 0);
}

TEST_CASE("a bias to the player's right is made good by aiming left by as much") {
    const auto surface = test::wavy(4);
    const Outline green = test::wide_green();
    const PuttQuestion q{{-2, -1}, {1.5, 0.5}, 10, 0.3};
    const PuttAnswer answer = solve_putt(surface, green, q);
    REQUIRE(!answer.solutions.empty());
    const Launch meant = launch_of(answer.solutions[0]);
    const HolingRegion region = holing_region(putt_ground(surface, green, q), meant);
    PlayerSpread s = player(1, 0.06);
    const double fair = chance_to_hole(region, s, meant).chance;
    s.start_line_bias_rad = 0.03;
    CHECK(chance_to_hole(region, s, meant).chance < fair - 0.05);
    CHECK(chance_to_hole(region, s, {meant.angle + 0.03, meant.speed}).chance == doctest::Approx(fair).epsilon(1e-10));
}

TEST_CASE("a spread that holds for one model of the hole is refused where the other decides") {
    const auto level = test::plane(0, 1, 0);
    const Outline green = test::wide_green();
    const PuttGround ground = putt_ground(level, green, {{0, 0}, {2, 0}, 10, 0.3});
    const Launch meant{0, std::sqrt(2 * level_deceleration(10) * 2.3)};
    const HolingRegion rim = holing_region(ground, meant, {1e-3, CaptureModel::rim});
    CHECK_THROWS_WITH(chance_to_hole(rim, player<FreeFall>(1, 0.05), meant),
                      "the player's spread holds for the hole's free fall model and the putt is judged by rim; one model for both is wanted");
    CHECK_THROWS_AS(expected_strokes(ground, rim, player<FreeFall>(1, 0.05), meant, 10, 0.3), Error);
    CHECK_THROWS_AS(LevelPutt(2, 10, 0.3, CaptureModel::free_fall).chance(player<Rim>(1, 0.05)), Error);
    CHECK_NOTHROW(LevelPutt(2, 10, 0.3, CaptureModel::free_fall).chance(player<FreeFall>(1, 0.05)));
}

TEST_CASE("on the level the rim holes more putts than free fall at one and the same spread") {
    for (double x : {1.0, 3.0, 6.0})
        CHECK(LevelPutt(x, 10, 0.3, CaptureModel::rim).chance(player<Rim>(1, 0.06)) >
              LevelPutt(x, 10, 0.3, CaptureModel::free_fall).chance(player<FreeFall>(1, 0.06)));
}
