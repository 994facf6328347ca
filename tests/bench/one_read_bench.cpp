// One read from that of the neighbouring spot, against Newton shooting with Boost.Odeint at equal accuracy.
#include "core/base/random.h"
#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "core/solve/green_reads.h"
#include "core/solve/spot_reader.h"
#include "tests/bench/common.h"
#include "tests/bench/ground.h"
#include "tests/bench/shooting_peer.h"

#include <cstdio>
#include <optional>

namespace brae::bench {

namespace {

const Vec2 kHole{1.3, 0.7};

// A spot with its answer at 1e-12, and both sides' start: their own exact answer for the spot 0.25 m beside it.
struct Spot {
    Vec2 ball;
    Answer exact;
    PeerLaunch peer;
    SpotRead neighbour;
};

std::vector<Spot> spots_on(const SplineSurface& surface) {
    const Outline green = square();
    Progress quiet;
    GreenReader whole(surface, green);
    const GreenReads& reads = whole.read({kHole, kFeet, kPast}, quiet);
    const Raster& layout = reads.launch_mps;
    const double decel = level_deceleration(kFeet), v = speed_at_hole(kPast, kFeet);
    const ShootingPeer peer(surface, kHole, decel, v, 1e-12);
    const SpotReader reader(surface, kHole, decel, v, 1e-12);
    Random random(200);
    std::vector<Spot> out;
    for (int tries = 0; out.size() < 200 && tries < 20000; ++tries) {
        const auto k = static_cast<std::size_t>(random.uniform(0, static_cast<double>(layout.values.size())));
        const Vec2 ball = layout.centre(static_cast<int>(k) % layout.columns, static_cast<int>(k) / layout.columns);
        const Vec2 beside = ball + Vec2{layout.cell, 0};
        if (!reads.mask[k] || k + 1 >= reads.mask.size() || !reads.mask[k + 1] || distance(ball, kHole) < 0.5 ||
            reads.solutions.values[k] != 1)
            continue;
        const auto solve = [&](Vec2 p, std::size_t at, PeerLaunch& l) {
            l = {radians(90 - reads.start_bearing_deg.values[at]), reads.launch_mps.values[at]};
            for (int n = 0; n < 2; ++n)
                if (!peer.solve(p, l)) return false;
            return true;
        };
        Spot spot;
        spot.ball = ball;
        PeerLaunch here;
        if (!solve(ball, k, here) || !solve(beside, k + 1, spot.peer)) continue;
        spot.exact = {aim_of(ball, kHole, here.angle), peer.surface_speed(ball, here), true};
        const double entry = radians(90 - reads.entry_bearing_deg.values[k + 1]);
        const auto start = reader.read(beside, SpotGuess{entry, distance(beside, kHole), 0.02});
        if (!start || std::abs(start->launch_mps - peer.surface_speed(beside, spot.peer)) > 1e-5) continue;
        spot.neighbour = *start;
        out.push_back(spot);
    }
    return out;
}

bool compare(const char* name, const SplineSurface& surface) {
    const double decel = level_deceleration(kFeet), v = speed_at_hole(kPast, kFeet);
    const std::vector<Spot> spots = spots_on(surface);
    std::vector<Answer> answers(spots.size());
    const auto accuracy = [&] {
        Accuracy out;
        std::vector<double> aim, launch;
        for (std::size_t k = 0; k < spots.size(); ++k) {
            out.missing += !answers[k].solved;
            aim.push_back(answers[k].solved ? std::abs(answers[k].aim - spots[k].exact.aim) : 1);
            launch.push_back(answers[k].solved ? std::abs(answers[k].launch - spots[k].exact.launch) : 1);
        }
        out.aim = percentile99(aim);
        out.launch = percentile99(launch);
        return out;
    };
    const auto shoot = [&](double tolerance) {
        const ShootingPeer peer(surface, kHole, decel, v, tolerance);
        for (std::size_t k = 0; k < spots.size(); ++k) {
            PeerLaunch l = spots[k].peer;
            const bool solved = peer.solve(spots[k].ball, l);
            answers[k] = {aim_of(spots[k].ball, kHole, l.angle), peer.surface_speed(spots[k].ball, l), solved};
        }
    };
    double passes = 0;
    const auto read = [&](double tolerance) {
        const SpotReader reader(surface, kHole, decel, v, tolerance);
        passes = 0;
        for (std::size_t k = 0; k < spots.size(); ++k) {
            const auto r = reader.read(spots[k].ball, spots[k].neighbour);
            answers[k] = r ? Answer{r->aim_offset_m(kHole), r->launch_mps, true} : Answer{};
            if (r) passes += r->passes;
        }
    };

    const double settings[] = {1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 3e-5, 1e-5, 3e-6, 1e-6, 1e-7, 1e-8};
    double theirs = 0, ours = 0;
    Accuracy their_error, our_error;
    for (const double t : settings) {
        shoot(theirs = t);
        if ((their_error = accuracy()).enough()) break;
    }
    for (const double t : settings) {
        read(ours = t);
        if ((our_error = accuracy()).enough()) break;
    }
    double peer_s = 1e9, our_s = 1e9;
    for (int round = 0; round < 10; ++round) {
        peer_s = std::min(peer_s, seconds_of([&] { shoot(theirs); }));
        our_s = std::min(our_s, least_seconds(3, [&] { read(ours); }));
    }
    const auto count = static_cast<double>(spots.size());
    std::printf("\none read from the spot beside it, %s, %zu spots: ours at %g %.3f mm, %.3f mm/s (%d missing); peer at %g %.3f mm, %.3f mm/s "
                "(%d missing)\n",
                name, spots.size(), ours, 1e3 * our_error.aim, 1e3 * our_error.launch, our_error.missing, theirs, 1e3 * their_error.aim,
                1e3 * their_error.launch, their_error.missing);
    const bool good = spots.size() == 200 && our_error.enough() && their_error.enough() && peer_s / our_s >= 3;
    std::printf("  a read: peer %.1f us, ours %.2f us, %.2f fans each, one thread\n  ratio %.1f (3 are wanted); %s\n", 1e6 * peer_s / count,
                1e6 * our_s / count, passes / count, peer_s / our_s, good ? "holds" : "BELOW");
    return good;
}

}  // namespace

bool compare_one_read() {
    const bool smooth = compare("long waves", ground(1, 0));
    const bool rough = compare("0.1 mm of roughness", ground(2, 0.0001));
    return smooth && rough;
}

}  // namespace brae::bench
