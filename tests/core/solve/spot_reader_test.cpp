#include "core/solve/spot_reader.h"

#include "core/base/constants.h"
#include "core/roll/green_speed.h"
#include "core/solve/back_trace.h"
#include "core/solve/putt.h"
#include "core/solve/ray_kernel.h"
#include "tests/support/grounds.h"

#include <cmath>
#include <cstring>
#include <optional>
#include <vector>

using namespace brae;

namespace {

constexpr double kFeet = 10;
const Vec2 kHole{0.4, -0.2};

PuttAnswer exact_of(const HeightField& surface, Vec2 ball, double past) {
    PuttOptions options;
    options.window = false;
    return solve_putt(surface, test::wide_green(), {ball, kHole, kFeet, past}, options);
}

// The solution of one putt that lies nearest to a read.
struct Gap { double aim, launch, time; };
std::optional<Gap> gap_to(const PuttAnswer& exact, const SpotRead& read) {
    std::optional<Gap> best;
    for (const PuttRead& s : exact.solutions) {
        if (!s.aim_offset_m) continue;
        const Gap gap{std::abs(*s.aim_offset_m - read.aim_offset_m(kHole)), std::abs(s.launch_mps - read.launch_mps),
                      std::abs(s.time_s - read.time_s)};
        if (!best || gap.aim + gap.launch < best->aim + best->launch) best = gap;
    }
    return best;
}

// A walk over the green in steps of a quarter metre, each spot from the one before.
template <class Each>
int walk(const SpotReader& reader, Vec2 from, Vec2 step, int steps, const SpotGuess& guess, const Each& each) {
    std::optional<SpotRead> read = reader.read(from, guess);
    int passes = 0;
    REQUIRE(read);
    for (int k = 1; k <= steps; ++k) {
        read = reader.read(from + k * step, *read);
        REQUIRE(read);
        passes += read->passes;
        each(*read);
    }
    return passes;
}

// East of the hole a ball travels west.
SpotGuess from_east(Vec2 ball) { return {kPi, distance(ball, kHole), 0.1}; }

}  // namespace

TEST_CASE("spots read from their neighbours are those of single putts on planes, waves and rough splines") {
    const auto plane = test::plane(0.02, 0.6, -0.8);
    const auto wavy = test::wavy(3);
    const SplineSurface rough = test::rough_spline(3);
    for (const HeightField* surface : {static_cast<const HeightField*>(&plane), static_cast<const HeightField*>(&wavy), static_cast<const HeightField*>(&rough)})
        for (const auto& [tolerance, aim, launch] : {std::array{1e-5, 4e-4, 4e-4}, std::array{1e-10, 2e-6, 2e-6}}) {
            const SpotReader reader(*surface, kHole, level_deceleration(kFeet), speed_at_hole(0.3, kFeet), tolerance);
            const Vec2 from{3.4, -2.0};
            walk(reader, from, {0.15, 0.2}, 20, from_east(from), [&, aim = aim, launch = launch](const SpotRead& read) {
                const auto gap = gap_to(exact_of(*surface, read.ball, 0.3), read);
                REQUIRE(gap);
                CHECK(gap->aim < aim);
                CHECK(gap->launch < launch);
                CHECK(gap->time < 10 * launch);
            });
        }
}

TEST_CASE("a neighbour's start needs one fan on smooth ground") {
    const auto wavy = test::wavy(5);
    const SpotReader reader(wavy, kHole, level_deceleration(kFeet), speed_at_hole(0.3, kFeet), 1e-5);
    const Vec2 from{4.0, -1.5};
    CHECK(walk(reader, from, {0.0, 0.25}, 12, from_east(from), [](const SpotRead&) {}) <= 16);
}

TEST_CASE("balls that die at the hole are read from their neighbours too") {
    const auto wavy = test::wavy(4);
    const SpotReader reader(wavy, kHole, level_deceleration(kFeet), 0, 1e-9);
    const Vec2 ball{3.0, 0.5};
    const PuttAnswer exact = exact_of(wavy, ball, 0);
    REQUIRE(!exact.solutions.empty());
    // The parameter is the direction at 10 mm/s, near that at the end of the path.
    const double entry = (90 - exact.solutions[0].entry_bearing_deg) * kPi / 180;
    const auto read = reader.read(ball, SpotGuess{entry, exact.solutions[0].length_m, 0.02});
    REQUIRE(read);
    const auto next = reader.read({3.0, 0.7}, *read);
    REQUIRE(next);
    for (const auto& [at, spot] : {std::pair{ball, *read}, std::pair{Vec2{3.0, 0.7}, *next}}) {
        const auto gap = gap_to(exact_of(wavy, at, 0), spot);
        REQUIRE(gap);
        CHECK(gap->aim < 1e-5);
        CHECK(gap->launch < 1e-5);
    }
}

TEST_CASE("the gradients of a read are those of differences between spots") {
    const auto wavy = test::wavy(6);
    const SpotReader reader(wavy, kHole, level_deceleration(kFeet), speed_at_hole(0.3, kFeet), 1e-12);
    const Vec2 ball{3.8, 0.6};
    const auto read = reader.read(ball, from_east(ball));
    REQUIRE(read);
    constexpr double e = 1e-3;
    const auto again = reader.read(ball, *read);
    REQUIRE(again);
    CHECK(std::abs(again->parameter - read->parameter) < 1e-9);
    CHECK(norm(again->parameter_by_ball - read->parameter_by_ball) < 1e-4 * norm(read->parameter_by_ball));
    for (const Vec2 step : {Vec2{e, 0}, Vec2{0, e}}) {
        const auto more = reader.read(ball + step, *read), less = reader.read(ball - step, *read);
        REQUIRE(more);
        REQUIRE(less);
        CHECK(dot(read->parameter_by_ball, step) == doctest::Approx((more->parameter - less->parameter) / 2).epsilon(1e-3));
        CHECK(dot(read->s_by_ball, step) == doctest::Approx((more->s - less->s) / 2).epsilon(1e-3));
    }
}

TEST_CASE("where no ray reaches the ball there is no read, and what is answered is true") {
    const auto level = test::plane(0, 1, 0);
    // A dying ball on a slope that holds none.
    const auto cliff = test::plane(0.2, 1, 0);
    CHECK(!SpotReader(cliff, kHole, level_deceleration(kFeet), 0).read({2, 0}, SpotGuess{kPi, 1.6, 0.02}));
    // Above the hole on such a slope every ball arrives faster than this pace.
    CHECK(!SpotReader(cliff, kHole, level_deceleration(kFeet), speed_at_hole(0.3, kFeet)).read({-3, -0.2}, SpotGuess{0, 3.4, 0.02}));
    // A guess that is far off is led to the ball, or refused.
    const SpotReader reader(level, kHole, level_deceleration(kFeet), speed_at_hole(0.3, kFeet), 1e-9);
    for (int k = 0; k < 24; ++k) {
        const Vec2 ball = kHole + 3.0 * Vec2{std::cos(0.3 * k), std::sin(0.3 * k)};
        const auto read = reader.read(ball, SpotGuess{0.3, 2, 0.05});
        if (!read) continue;
        CHECK(std::abs(cross(read->velocity, kHole - ball)) < 1e-6);
        CHECK(dot(read->velocity, kHole - ball) > 0);
    }
    // Numbers without meaning are refused, not chased.
    CHECK(!reader.read({std::nan(""), 0}, SpotGuess{0, 2, 0.05}));
    CHECK(!reader.read({2, 0}, SpotGuess{std::nan(""), 2, 0.05}));
    CHECK(!reader.read({2, 0}, SpotGuess{0, -1, 0.05}));
}

TEST_CASE("a spot's read is the same to the bit on every vector target") {
    const SplineSurface rough = test::rough_spline(6);
    const Vec2 from{3.4, -2.0};
    std::vector<SpotRead> reference;
    const auto all = [&] {
        std::vector<SpotRead> out;
        const SpotReader reader(rough, kHole, level_deceleration(kFeet), speed_at_hole(0.3, kFeet), 1e-5);
        walk(reader, from, {0.15, 0.2}, 20, from_east(from), [&](const SpotRead& r) { out.push_back(r); });
        return out;
    };
    reference = all();
    for (const std::int64_t target : ray_kernel_targets()) {
        CAPTURE(ray_kernel_target_name(target));
        force_ray_kernel_target(target);
        const std::vector<SpotRead> here = all();
        force_ray_kernel_target(0);
        REQUIRE(here.size() == reference.size());
        for (std::size_t k = 0; k < here.size(); ++k) {
            CHECK(std::memcmp(&here[k].velocity, &reference[k].velocity, sizeof(Vec2)) == 0);
            CHECK(here[k].parameter == reference[k].parameter);
            CHECK(here[k].s == reference[k].s);
            CHECK(here[k].time_s == reference[k].time_s);
        }
    }
}
