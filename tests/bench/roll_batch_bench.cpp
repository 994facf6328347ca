// A thousand balls rolled to rest, against one after the other with Boost.Odeint at equal accuracy.
#include "core/base/random.h"
#include "core/roll/green_speed.h"
#include "core/roll/run_roll.h"
#include "core/solve/ray_kernel.h"
#include "core/solve/roll_batch.h"
#include "tests/bench/common.h"
#include "tests/bench/ground.h"
#include "tests/bench/rolling_peer.h"

#include <cstdio>

namespace brae::bench {

namespace {

constexpr double kHalf = 15;

// Putts that come to rest inside: those that leave are not compared, since the peer knows no edge.
std::vector<BatchLaunch> launches_on(const SplineSurface& surface, std::vector<Vec2>& rests) {
    Random random(77);
    const Outline green = square(kHalf);
    std::vector<BatchLaunch> out;
    while (out.size() < 1000) {
        const double a = random.uniform(0, 2 * kPi);
        const BatchLaunch l{{random.uniform(-10, 10), random.uniform(-10, 10)}, {std::cos(a), std::sin(a)}, random.uniform(1, 3.2)};
        RollRun run;
        run.tolerance = 1e-12;
        const Vec2 v = horizontal_velocity(surface.jet(l.ball.x, l.ball.y), l.direction, l.speed_mps);
        const RollOutcome exact = run_roll(surface, green, {l.ball, v}, level_deceleration(kFeet), run, nullptr);
        if (exact.end != RollEnd::stopped) continue;
        out.push_back(l);
        rests.push_back(exact.at.p);
    }
    return out;
}

bool compare(const char* name, const SplineSurface& surface) {
    const Outline green = square(kHalf);
    const double decel = level_deceleration(kFeet);
    std::vector<Vec2> exact;
    const std::vector<BatchLaunch> launches = launches_on(surface, exact);
    const auto worst = [&](const auto& rest_of) {
        std::vector<double> off;
        for (std::size_t k = 0; k < exact.size(); ++k) off.push_back(distance(rest_of(k), exact[k]));
        return percentile99(off);
    };

    // The loosest settings whose 99th percentile is within 0.5 mm.
    const double settings[] = {1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 3e-5, 1e-5, 3e-6, 1e-6, 1e-7, 1e-8};
    std::vector<Vec2> peer(launches.size());
    const auto shoot_all = [&](double tolerance) {
        for (std::size_t k = 0; k < launches.size(); ++k) {
            const BatchLaunch& l = launches[k];
            const Vec2 v = horizontal_velocity(surface.jet(l.ball.x, l.ball.y), l.direction, l.speed_mps);
            peer[k] = peer_rest(surface, decel, {l.ball, v}, tolerance, kHalf + 0.5);
        }
    };
    double theirs = 0, their_error = 1, ours = 0, our_error = 1;
    for (const double t : settings) {
        shoot_all(theirs = t);
        if ((their_error = worst([&](std::size_t k) { return peer[k]; })) <= 5e-4) break;
    }
    for (const double t : settings) {
        RollBatch batch(surface, green, kFeet, ours = t);
        const auto& rests = batch.run(launches);
        if ((our_error = worst([&](std::size_t k) { return rests[k].at; })) <= 5e-4) break;
    }

    RollBatch batch(surface, green, kFeet, ours);
    double peer_s = 1e9, our_s = 1e9;
    for (int round = 0; round < 5; ++round) {
        peer_s = std::min(peer_s, seconds_of([&] { shoot_all(theirs); }));
        our_s = std::min(our_s, least_seconds(5, [&] { batch.run(launches); }));
    }
    const auto count = static_cast<double>(launches.size()), evaluations = static_cast<double>(batch.evaluations());
    std::printf("\n1,000 rolls to rest, %s: 99th percentile of the place of rest: ours at %g %.3f mm, peer at %g %.3f mm\n", name, ours,
                1e3 * our_error, theirs, 1e3 * their_error);
    std::printf("  a roll: peer %.2f us, ours %.2f us on one thread; %.0f evaluations a roll, %.1f ns each; %zu ended by the scalar engine\n",
                1e6 * peer_s / count, 1e6 * our_s / count, evaluations / count, 1e9 * our_s / evaluations, batch.handed_over());
    const bool good = our_error <= 5e-4 && their_error <= 5e-4 && peer_s / our_s >= 5;
    std::printf("  ratio %.1f (5 are wanted); %s\n", peer_s / our_s, good ? "holds" : "BELOW");
    return good;
}

}  // namespace

bool compare_roll_batch() {
    const bool smooth = compare("long waves", ground(1, 0));
    const bool rough = compare("0.1 mm of roughness", ground(2, 0.0001));
    return smooth && rough;
}

}  // namespace brae::bench
