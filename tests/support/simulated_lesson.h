// A simulated player with known errors on a real ground that differs from the surveyed one: lessons for the inference to
// be held against. Every ball is one full roll with the rim's mechanics; nothing of core/teach's tables is used.
#pragma once

#include "core/base/random.h"
#include "core/base/units.h"
#include "core/roll/rolling.h"
#include "core/solve/hole_line.h"
#include "core/solve/putt.h"
#include "core/teach/lesson.h"
#include "core/teach/player_model.h"
#include "core/teach/player_prior.h"
#include "core/terrain/terrain_model.h"
#include "tests/support/drawn_lattice.h"

#include <cmath>
#include <memory>
#include <vector>

namespace brae::test {

// The survey's ground plus a draw of its stated error: what the balls really roll on.
class RealGround final : public HeightField {
public:
    RealGround(std::shared_ptr<const SplineSurface> surveyed, SplineSurface smooth, SplineSurface correlated)
        : surveyed_(std::move(surveyed)), smooth_(std::move(smooth)), correlated_(std::move(correlated)) {}
    SurfaceJet jet(double x, double y) const noexcept override {
        SurfaceJet j = surveyed_->jet(x, y);
        add(j, smooth_.jet(x, y));
        add(j, correlated_.jet(x, y));
        return j;
    }

private:
    std::shared_ptr<const SplineSurface> surveyed_;
    SplineSurface smooth_, correlated_;
};

// One green with the laws of its survey's error, ready for many draws.
class PracticeGround {
public:
    PracticeGround(std::shared_ptr<const SplineSurface> surveyed, Outline edge, ErrorModel stated, Vec2 the_hole)
        : surface(std::move(surveyed)), outline(std::move(edge)), error(stated), hole(the_hole),
          smooth_(outline.box(), std::max(error.smooth_se_m, 1e-12), error.smooth_length_m),
          correlated_(outline.box(), std::max(error.correlated_se_m, 1e-12), error.correlated_length_m) {}
    RealGround draw(Random& random) const {
        SplineSurface a = smooth_.draw(random), b = correlated_.draw(random);
        return RealGround(surface, std::move(a), std::move(b));
    }
    std::shared_ptr<const SplineSurface> surface;
    Outline outline;
    ErrorModel error;
    Vec2 hole;

private:
    LatticeLaw smooth_, correlated_;
};

// The player's figures: biases, and spreads as spreads.
struct TruePlayer {
    double figure[kPlayerFigures] = {};
    double start_line() const { return figure[kAimBias] + figure[kStrokeBias]; }
};

inline TruePlayer drawn_player(Random& random, const PlayerPrior& prior) {
    TruePlayer p;
    for (int k = 0; k < kPlayerFigures; ++k) {
        const FigurePrior& f = prior.figure[static_cast<std::size_t>(k)];
        p.figure[k] = f.mean + f.sd * random.normal();
        if (k >= kReadSpread) p.figure[k] = std::exp(p.figure[k]);
    }
    return p;
}

// Two of the prior's spreads away in read (constant and share), start line and pace at once, signs drawn.
inline void move_far(TruePlayer& p, Random& random, const PlayerPrior& prior) {
    const auto sign = [&] { return random.uniform() < 0.5 ? -1.0 : 1.0; };
    for (int k : {kReadConstant, kReadShare, kPaceBias}) p.figure[k] = prior.figure[static_cast<std::size_t>(k)].mean + 2 * sign() * prior.figure[static_cast<std::size_t>(k)].sd;
    // The likeliest pair whose sum is two spreads of the sum.
    const double a = prior.figure[kAimBias].sd, b = prior.figure[kStrokeBias].sd, sum = 2 * sign() * std::hypot(a, b);
    p.figure[kAimBias] = sum * a * a / (a * a + b * b);
    p.figure[kStrokeBias] = sum * b * b / (a * a + b * b);
}

struct SimulationOptions {
    int stations = 5, putts_each = 6, own_each = 3;    // the own reads come first, then the marker
    bool read_told = true;
    double green_speed_ft = 10;
};

struct SimulatedLesson {
    Lesson lesson;
    TruePlayer player;
    double true_speed_ft = 0;
    bool good = false;             // false: no place for the stations was found
};

// The solution whose direction is nearest to this one, of those that can be aimed at.
inline const PuttRead* nearest_read(const PuttAnswer& answer, const Vec2* direction) {
    const PuttRead* best = nullptr;
    for (const PuttRead& r : answer.solutions) {
        if (!r.aim_offset_m) continue;
        if (!best || (direction && dot(r.direction, *direction) > dot(best->direction, *direction))) best = &r;
    }
    return best;
}

inline SimulatedLesson simulate_lesson(const PracticeGround& ground, const TruePlayer& player, Random& random, const SimulationOptions& options) {
    SimulatedLesson out;
    out.player = player;
    Lesson& lesson = out.lesson;
    lesson.green_speed_ft = options.green_speed_ft;
    out.true_speed_ft = std::clamp(lesson.green_speed_ft + lesson.green_speed_sigma_ft * random.normal(), kSlowestGreenFt, kFastestGreenFt);
    const RealGround real = ground.draw(random);
    PuttOptions plain;
    plain.window = plain.path = false;
    plain.green_speed_sigma_ft = 0;

    // Stations round the hole, solved on the surveyed ground for the marker and on the real one for the truth.
    struct Truth { double aim = 0, launch = 0, read_at = 0, pace_at = 0, set_out = 0; };
    std::vector<Truth> truths;
    const double turn = random.uniform(0, 2 * kPi);
    for (int tries = 0; tries < 60 && static_cast<int>(lesson.stations.size()) < options.stations; ++tries) {
        const double a = turn + 2 * kPi * (static_cast<double>(lesson.stations.size()) + random.uniform(-0.3, 0.3)) / options.stations, away = random.uniform(1.8, 4.5);
        LessonStation s;
        s.label = std::string(1, static_cast<char>('A' + lesson.stations.size()));
        s.hole = ground.hole;
        s.ball = s.hole + away * Vec2{std::cos(a), std::sin(a)};
        if (ground.outline.signed_distance(s.ball) < 0.5) continue;
        const PuttQuestion nominal{s.ball, s.hole, lesson.green_speed_ft, s.past_m}, true_one{s.ball, s.hole, out.true_speed_ft, s.past_m};
        const PuttAnswer told = solve_putt(*ground.surface, ground.outline, nominal, plain);
        const PuttRead* read = nearest_read(told, nullptr);
        if (!read || std::abs(*read->aim_offset_m) > 0.5 * away) continue;
        const PuttAnswer truly = solve_putt(real, ground.outline, true_one, plain);
        const PuttRead* truth = nearest_read(truly, &read->direction);
        if (!truth || dot(truth->direction, read->direction) < 0.98) continue;
        // Set out with the error that the model states.
        const HoleLine line(s.ball, s.hole);
        s.marker = s.hole + *read->aim_offset_m * line.right;
        lesson.stations.push_back(s);
        truths.push_back({std::atan2(dot(truth->direction, line.right), dot(truth->direction, line.along)), truth->launch_mps,
                          player.figure[kReadStationSpread] * random.normal(), player.figure[kPaceStationSpread] * random.normal(), kMarkerSetM * random.normal()});
    }
    if (static_cast<int>(lesson.stations.size()) < options.stations) return out;

    for (int k = 0; k < options.putts_each; ++k)
        for (int n = 0; n < options.stations; ++n) {
            const LessonStation& s = lesson.stations[static_cast<std::size_t>(n)];
            const Truth& truth = truths[static_cast<std::size_t>(n)];
            const HoleLine line(s.ball, s.hole);
            const double away = distance(s.ball, s.hole);
            SeenPutt putt;
            putt.station = n;
            putt.phase = k < options.own_each ? PuttPhase::own_read : PuttPhase::marker;
            // The line that is meant, the line at address, the start; all as turns from the ball-hole line.
            double chosen = 0;
            if (putt.phase == PuttPhase::own_read) {
                chosen = truth.aim * (1 + player.figure[kReadShare]) + player.figure[kReadConstant] + truth.read_at + player.figure[kReadSpread] * random.normal();
                if (options.read_told) putt.own_read_m = away * std::tan(chosen) + putt.own_read_sigma_m * random.normal();
            } else {
                const Vec2 to = *s.marker - s.ball;
                chosen = std::atan2(dot(to, line.right), dot(to, line.along)) + truth.set_out / away;
            }
            const double aim = player.figure[kAimBias] + player.figure[kAimSpread] * random.normal();
            const double start = chosen + aim + player.figure[kStrokeBias] + player.figure[kStrokeSpread] * random.normal();
            double push = player.figure[kPaceBias] + truth.pace_at + player.figure[kPaceSpread] * random.normal();
            const bool off_centre = random.uniform() < 0.08;
            putt.strike = off_centre ? (random.uniform() < 0.5 ? StrikePlace::toe : StrikePlace::heel) : StrikePlace::centre;
            if (off_centre) push -= std::abs(0.10 + 0.05 * random.normal());

            // What people see of it.
            const double looked = aim + radians(putt.aim_sigma_deg) * random.normal();
            putt.aim = looked < -radians(0.5) ? SeenAim::left : looked > radians(0.5) ? SeenAim::right : SeenAim::on;
            if (putt.phase == PuttPhase::marker && k % 3 == 0) {
                const Vec2 to = *s.marker - s.ball;
                // The gate stands on the line to the marker, where that really is.
                const double through = start - std::atan2(dot(to, line.right), dot(to, line.along)) - truth.set_out / away + radians(0.2) * random.normal();
                putt.gate = through < -radians(1) ? GateSide::left : through > radians(1) ? GateSide::right : GateSide::middle;
            }

            RollOptions rolls;
            rolls.hole = s.hole;
            rolls.tolerance = 1e-9;
            const Vec2 direction = std::cos(start) * line.along + std::sin(start) * line.right;
            const RollPath path = roll(real, ground.outline, s.ball, direction, std::min(20.0, truth.launch * std::exp(push)), out.true_speed_ft, rolls);
            const Vec2 rest = path.stop();
            double crossing = line.offset(rest);
            for (std::size_t i = 1; i < path.samples.size(); ++i) {
                const Vec2 a{path.samples[i - 1].p.x, path.samples[i - 1].p.y}, b{path.samples[i].p.x, path.samples[i].p.y};
                if (line.beyond(a) < 0 && line.beyond(b) >= 0) {
                    crossing = line.offset(b);
                    break;
                }
            }
            const bool over_hole = path.pass && std::abs(path.pass->offset_m) < kHoleRadius && path.pass->approach;
            if (path.end == RollEnd::holed) putt.outcome = PuttOutcome::holed;
            else if (path.end == RollEnd::left_green || path.end == RollEnd::airborne) putt.outcome = PuttOutcome::off_green;
            else if (over_hole) putt.outcome = PuttOutcome::lip_out;
            else if (line.beyond(rest) < 0) putt.outcome = PuttOutcome::short_of;
            else if (std::abs(away * std::tan(truth.aim)) < 0.005) putt.outcome = crossing > 0 ? PuttOutcome::passed_right : PuttOutcome::passed_left;
            else putt.outcome = (crossing > 0) == (truth.aim > 0) ? PuttOutcome::passed_high : PuttOutcome::passed_low;
            if (putt.outcome != PuttOutcome::holed && putt.outcome != PuttOutcome::lip_out && putt.outcome != PuttOutcome::off_green) {
                const double sigma = stop_sigma(StopSource::click, distance(rest, s.hole));
                putt.stop = StopPlace{rest + Vec2{sigma * random.normal(), sigma * random.normal()}};
            }
            lesson.putts.push_back(putt);
        }
    out.good = true;
    return out;
}

}  // namespace brae::test
