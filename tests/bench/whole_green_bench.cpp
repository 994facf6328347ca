// How fast the whole green is answered, against shooting from every spot. Prints the ratios of this one run and fails
// where they are below what is promised. Both sides are set to the same accuracy on the same 200 spots.
#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "core/solve/green_reads.h"
#include "core/solve/ray_kernel.h"
#include "core/survey/read_survey.h"
#include "core/terrain/build_terrain.h"
#include "tests/bench/common.h"
#include "tests/bench/ground.h"
#include "tests/bench/ray_fan.h"
#include "tests/bench/shooting_peer.h"

#include <algorithm>
#include <benchmark/benchmark.h>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <string>
#include <tbb/global_control.h>
#include <vector>

namespace brae::bench {

namespace {

const Vec2 kHole{1.3, 0.7};
Progress quiet;

struct Place { const SplineSurface& surface; const Outline& outline; Vec2 hole; };

// Every spot in turn, each from the answer of the one before; rows to and fro.
std::vector<Answer> shoot_all(const Place& place, const Raster& layout, double tolerance) {
    const ShootingPeer peer(place.surface, place.hole, level_deceleration(kFeet), speed_at_hole(kPast, kFeet), tolerance);
    std::vector<Answer> out(layout.values.size());
    PeerLaunch warm;
    bool have = false;
    for (int j = 0; j < layout.rows; ++j)
        for (int n = 0; n < layout.columns; ++n) {
            const int i = j % 2 ? layout.columns - 1 - n : n;
            const Vec2 ball = layout.centre(i, j), line = place.hole - ball;
            if (norm(line) < kHoleRadius || !place.outline.contains(ball)) continue;
            const double v = speed_at_hole(kPast, kFeet);
            const PeerLaunch cold{std::atan2(line.y, line.x), std::sqrt(v * v + 2 * level_deceleration(kFeet) * norm(line))};
            PeerLaunch guess = have ? warm : cold;
            bool solved = peer.solve(ball, guess);
            if (!solved) {
                guess = cold;
                solved = peer.solve(ball, guess);
            }
            have = solved;
            if (!solved) continue;
            warm = guess;
            out[layout.index(i, j)] = {aim_of(ball, place.hole, guess.angle), peer.surface_speed(ball, guess), true};
        }
    return out;
}

// The 200 spots and their answers at a tolerance of 1e-12.
struct Reference { std::vector<std::size_t> spots; std::vector<Answer> answers; };

Reference reference(const Place& place, const Raster& layout, const GreenReads& reads) {
    const ShootingPeer peer(place.surface, place.hole, level_deceleration(kFeet), speed_at_hole(kPast, kFeet), 1e-12);
    Reference out;
    Random random(200);
    while (out.spots.size() < 200) {
        const auto k = static_cast<std::size_t>(random.uniform(0, static_cast<double>(layout.values.size())));
        const Vec2 ball = layout.centre(static_cast<int>(k) % layout.columns, static_cast<int>(k) / layout.columns);
        if (!reads.mask[k] || distance(ball, place.hole) < 0.3) continue;
        PeerLaunch guess{radians(90 - reads.start_bearing_deg.values[k]), reads.launch_mps.values[k]};
        Answer a;
        for (int n = 0; n < 3; ++n) a.solved = peer.solve(ball, guess);   // further rounds start from the answer
        if (a.solved) a = {aim_of(ball, place.hole, guess.angle), peer.surface_speed(ball, guess), true};
        out.spots.push_back(k);
        out.answers.push_back(a);
    }
    return out;
}

Accuracy accuracy(const Reference& exact, const auto& answer_of) {
    std::vector<double> aim, launch;
    Accuracy out;
    for (std::size_t n = 0; n < exact.spots.size(); ++n) {
        const Answer a = answer_of(exact.spots[n]);
        if (!a.solved || !exact.answers[n].solved) {
            ++out.missing;
            continue;
        }
        aim.push_back(std::abs(a.aim - exact.answers[n].aim));
        launch.push_back(std::abs(a.launch - exact.answers[n].launch));
    }
    out.aim = percentile99(aim);
    out.launch = percentile99(launch);
    return out;
}

bool compare(const char* name, const Place& place, bool promised) {
    GreenReader reader(place.surface, place.outline);
    const GreenReads reads = reader.read({place.hole, kFeet, kPast}, quiet);
    const Raster& layout = reads.launch_mps;
    const Reference exact = reference(place, layout, reads);
    std::printf("\n%s: %zu spots, %zu solved, %zu solutions, %zu rays, %zu solved one by one\n", name, reads.spots, reads.solved,
                reads.all.size(), reader.effort().rays, reader.effort().polished);

    const Accuracy ours = accuracy(exact, [&](std::size_t k) {
        return Answer{reads.aim_offset_m.values[k], reads.launch_mps.values[k], reads.mask[k] != 0};
    });
    // The peer's loosest setting that is as exact as promised.
    double tolerance = 0, theirs_s = 0;
    Accuracy theirs;
    for (const double t : {1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 3e-5, 1e-5, 3e-6, 1e-6, 1e-7, 1e-8}) {
        std::vector<Answer> answers;
        const double s = seconds_of([&] { answers = shoot_all(place, layout, t); });
        theirs = accuracy(exact, [&](std::size_t k) { return answers[k]; });
        tolerance = t;
        theirs_s = s;
        if (theirs.enough()) break;
    }
    // Turn about, so that a busy machine is busy for both.
    double one = 1e9, two = 1e9;
    for (int round = 0; round < 3; ++round) {
        theirs_s = std::min(theirs_s, seconds_of([&] { shoot_all(place, layout, tolerance); }));
        for (const std::size_t threads : {1, 2}) {
            const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
            double& best = threads == 1 ? one : two;
            best = std::min(best, least_seconds(15, [&] { reader.read({place.hole, kFeet, kPast}, quiet); }));
        }
    }
    std::printf("  99th percentile against 1e-12: ours %.3f mm, %.3f mm/s (%d missing); peer at %g %.3f mm, %.3f mm/s (%d missing)\n",
                1e3 * ours.aim, 1e3 * ours.launch, ours.missing, tolerance, 1e3 * theirs.aim, 1e3 * theirs.launch, theirs.missing);
    std::printf("  whole green: peer %.1f ms (%.1f us a spot), ours %.2f ms on one thread, %.2f ms on two\n", 1e3 * theirs_s,
                1e6 * theirs_s / static_cast<double>(reads.spots), 1e3 * one, 1e3 * two);
    const bool good = ours.enough() && theirs.enough() && theirs_s / two >= 60 && two < 0.016;
    std::printf("  ratio %.0f on two threads (60 are wanted), %.0f on one; under 16 ms: %s%s\n", theirs_s / two, theirs_s / one,
                two < 0.016 ? "yes" : "no", promised ? (good ? "; holds" : "; BELOW") : "");
    return good || !promised;
}

// Ours alone, with and without the spots that are solved one by one.
void time_only(const Place& place) {
    for (const bool one_by_one : {true, false}) {
        GreenReader reader(place.surface, place.outline, {0.25, one_by_one});
        const GreenReads& reads = reader.read({place.hole, kFeet, kPast}, quiet);
        const double s = least_seconds(5, [&] { reader.read({place.hole, kFeet, kPast}, quiet); });
        std::printf("\n  %zu spots, %zu solved, %zu rays, %zu one by one: %.1f ms on all threads", reads.spots, reads.solved,
                    reader.effort().rays, reader.effort().polished, 1e3 * s);
    }
    std::printf("\n");
}

// Cost against spacing: it grows with the green and hardly with the spots.
void read_whole_green(benchmark::State& state) {
    const SplineSurface surface = ground(1, 0);
    const Outline green = square();
    GreenReader reader(surface, green, {static_cast<double>(state.range(0)) / 1000});
    for (auto _ : state) benchmark::DoNotOptimize(reader.read({kHole, kFeet, kPast}, quiet).solved);
    state.counters["spots"] = static_cast<double>(reader.read({kHole, kFeet, kPast}, quiet).spots);
}
BENCHMARK(read_whole_green)->Arg(1000)->Arg(500)->Arg(250)->Arg(125)->Unit(benchmark::kMillisecond)->UseRealTime();

// Cost against area, at the same spacing of spots: squares of 10 to 30 m side.
void read_green_of_side(benchmark::State& state) {
    const SplineSurface surface = ground(1, 0);
    const double half = static_cast<double>(state.range(0)) / 2;
    const Outline green = square(half);
    GreenReader reader(surface, green, {0.25});
    for (auto _ : state) benchmark::DoNotOptimize(reader.read({kHole, kFeet, kPast}, quiet).solved);
    state.counters["spots"] = static_cast<double>(reader.read({kHole, kFeet, kPast}, quiet).spots);
    state.counters["m2"] = 4 * half * half;
}
BENCHMARK(read_green_of_side)->Arg(10)->Arg(15)->Arg(20)->Arg(30)->Unit(benchmark::kMillisecond)->UseRealTime();

// One vector of rays, on each target: time a step, which is six evaluations of motion and derivative a lane.
void trace_rays_on_target(benchmark::State& state) {
    const auto targets = ray_kernel_targets();
    const std::int64_t target = targets[static_cast<std::size_t>(state.range(0)) % targets.size()];
    force_ray_kernel_target(target);
    state.SetLabel(ray_kernel_target_name(target));
    RayFan fan(kHole);
    std::size_t lanes = 0;
    for (auto _ : state) {
        fan.trace();
        lanes += RayFan::kRays * RayFan::intervals() * 6;
    }
    state.counters["evaluation"] = benchmark::Counter(static_cast<double>(lanes), benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
    force_ray_kernel_target(0);
}
BENCHMARK(trace_rays_on_target)->DenseRange(0, 3)->Unit(benchmark::kMicrosecond);

}  // namespace

bool compare_whole_greens() {
    const Outline green = square();
    bool good = true;
    const auto drawn = [&](const char* name, const SplineSurface& surface, bool promised) {
        good = compare(name, {surface, green, kHole}, promised) && good;
    };
    drawn("long waves", ground(1, 0), true);
    drawn("long waves with 0.1 mm of roughness", ground(2, 0.0001), true);
    drawn("long waves with 0.3 mm of roughness", ground(3, 0.0003), false);

    // Fitted to what surveys deliver; the hole in the middle. Not promised: printed for what it is.
    for (const std::string name : {"practice-green", "crowned", "two-tier"}) {
        const auto folder = std::filesystem::path(BRAE_SOURCE_DIR) / "terrain-samples" / name;
        Survey survey = read_survey({folder / "tripod-scan.ply"}, {}, quiet);
        clean_survey(survey, quiet);
        const TerrainModel terrain = build_terrain(survey, {}, quiet);
        std::printf("\nfitted to a scan, cells of %.2f m, %.0f m2:", terrain.surface->grid().cell, terrain.outline.area_m2());
        const Place place{*terrain.surface, terrain.outline, terrain.outline.centroid()};
        if (name == "two-tier") time_only(place);   // shooting at loose tolerances takes minutes there
        else compare(name.c_str(), place, false);
    }
    return good;
}

}  // namespace brae::bench
