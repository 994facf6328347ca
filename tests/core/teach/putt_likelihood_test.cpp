#include "core/teach/putt_likelihood.h"

#include "core/base/random.h"
#include "core/base/units.h"
#include "core/solve/hole_chance.h"
#include "tests/support/grounds.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

PuttEvidence evidence(Random& random, bool normal) {
    PuttEvidence e;
    for (int k = 0; k < 12; ++k) {
        const double turn = 0.01 * (k - 6) + 0.002 * random.normal();
        if (normal) e.outcome.strips.push_back({turn, random.normal() - 3, true, 0.05 * random.normal(), 0.01 + 0.01 * random.uniform()});
        else e.outcome.strips.push_back({turn, random.normal() - 3, false, -0.1 + 0.02 * random.normal(), 0.1 + 0.02 * random.normal()});
    }
    return e;
}

}  // namespace

TEST_CASE("the gradient of a putt's likelihood is that of its differences, for every kind of evidence") {
    Random random(7);
    for (int round = 0; round < 24; ++round) {
        PuttEvidence e = evidence(random, round % 2 == 0);
        if (round % 3) e.aim = static_cast<SeenAim>(round % 3), e.aim_sigma = 0.008;
        if (round % 4) e.gate = static_cast<GateSide>(round % 4 - 1), e.gate_turn = 0.004;
        double v[7] = {0.01 * random.normal(), 0.0004, 0.03 * random.normal(), 0.003, 0.004 * random.normal(), 0.0001, 0.003 * random.normal()};
        const auto value = [&](LikelihoodGradient* g) {
            return log_likelihood(e, {v[0], v[1], v[2], v[3]}, {v[4], v[5], v[6]}, g);
        };
        LikelihoodGradient g;
        value(&g);
        const double got[7] = {g.turn, g.turn_var, g.push, g.push_var, g.aim_bias, g.aim_var, g.aim_shift};
        for (int k = 0; k < 7; ++k) {
            const double at = v[k], step = k == 1 || k == 3 || k == 5 ? 1e-4 * at : 1e-6;
            v[k] = at + step;
            const double up = value(nullptr);
            v[k] = at - step;
            const double down = value(nullptr);
            v[k] = at;
            CHECK_MESSAGE(got[k] == doctest::Approx((up - down) / (2 * step)).epsilon(1e-4).scale(1e-2 * std::abs(got[k]) + 1e-3), "kind " << round << " by " << k);
        }
    }
}

TEST_CASE("far from everything the likelihood stays a number and still points home") {
    Random random(8);
    PuttEvidence e = evidence(random, false);
    LikelihoodGradient g;
    const double l = log_likelihood(e, {0, 0.0004, 9, 0.003}, {}, &g);
    CHECK(std::isfinite(l));
    CHECK(l < -1000);
    CHECK(std::isfinite(g.push));
    CHECK(g.push < 0);
}

TEST_CASE("a player's chance is that of the holing region integrated in full") {
    const Formula ground = wavy(8);
    const Outline green = wide_green();
    const LessonStation place{"A", {-2.2, 1.1}, {0, 0}, std::nullopt, 0.3};
    const StationResponse s(ground, green, place, 10, nullptr);
    const PuttQuestion question{place.ball, place.hole, 10, place.past_m};
    const PuttAnswer answer = solve_putt(ground, green, question);
    REQUIRE(!answer.solutions.empty());
    const Launch meant = launch_of(answer.solutions.front());
    const HolingRegion region = holing_region(putt_ground(ground, green, question), meant);
    for (const auto& [line_deg, pace] : {std::pair{0.8, 0.05}, {1.5, 0.08}, {2.5, 0.12}}) {
        PlayerSpread spread;
        spread.start_line = StartLineSigma<PlayerSpread::Criterion>(radians(line_deg));
        spread.launch_sigma_rel = pace;
        spread.start_line_bias_rad = radians(0.4);
        const double want = chance_to_hole(region, spread, meant).chance;
        // ln(1 + x) is normal here and x there: a difference of the order of pace^2.
        const double got = chance_of(outcome_strips(s, PuttOutcome::holed), {radians(0.4), std::pow(radians(line_deg), 2), 0, pace * pace});
        CHECK(got == doctest::Approx(want).epsilon(0.02));
    }
}

TEST_CASE("what is left of a normal between two limits has its published mean and variance") {
    // Half a normal: mean sqrt(2 / pi), variance 1 - 2 / pi (standard).
    const PushGiven half = push_given({0, 0, false, 0, 60}, {0, 1, 0, 1});
    CHECK(half.mean == doctest::Approx(std::sqrt(2 / kPi)).epsilon(1e-9));
    CHECK(half.var == doctest::Approx(1 - 2 / kPi).epsilon(1e-9));
    const PushGiven both = push_given({0, 0, true, 2, 1}, {0, 1, 0, 1});
    CHECK(both.mean == doctest::Approx(1));
    CHECK(both.var == doctest::Approx(0.5));
}

TEST_CASE("an aim that was seen moves the aim and narrows it") {
    PuttEvidence e;
    e.aim = SeenAim::left;
    e.aim_sigma = radians(0.3);
    const LaunchLaw law{0, 0.0004, 0, 0.003};
    const DirectionLaw d{0, 0.0001, 0};
    const PushGiven seen = aim_given(e, 0, law, d);
    e.aim.reset();
    const PushGiven unseen = aim_given(e, 0, law, d);
    CHECK(unseen.mean == 0);
    CHECK(unseen.var == doctest::Approx(0.0001 * 0.75));
    CHECK(seen.mean < -radians(0.3));
    CHECK(seen.var < 0.8 * unseen.var);
    CHECK(seen.var > 0);
}
