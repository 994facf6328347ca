// Measures how often a simulated player's true errors lie within the stated 90 % intervals: brae_lessons [LESSONS] [prior|far ...].
// prior: players drawn from the prior; far: read, start line and pace two of its spreads away. Fails where a share is out of bounds.
#include "core/record/green_file.h"
#include "core/teach/lesson_estimate.h"
#include "tests/support/simulated_lesson.h"

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <string>

using namespace brae;
using namespace brae::test;

namespace {

struct Count {
    const char* name;
    double unit;
    int within = 0;
    double width = 0, error_sq = 0;
    void add(const Told90& told, double truth) {
        within += truth >= told.low && truth <= told.high;
        width += told.high - told.low;
        error_sq += (told.mean - truth) * (told.mean - truth);
    }
};

double seconds() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

// One kind of player, over as many lessons; true where all shares are in bounds.
bool run(const std::vector<PracticeGround>& grounds, int lessons, bool far) {
    const PlayerPrior prior;
    std::vector<Count> counts{{"read, constant (deg)", degrees(1)}, {"read, share (%)", 100}, {"read at the stations, low side (deg)", degrees(1)},
                              {"start line (deg)", degrees(1)}, {"pace (% of launch)", 100}, {"aim at address (deg)", degrees(1)},
                              {"stroke (deg)", degrees(1)}, {"spread of pace (ln)", 1}};
    int done = 0, unsettled = 0, holed = 0, putts = 0, off = 0;
    double tables = 0, inference = 0, slowest = 0;
    for (int k = 0; done < lessons && k < 4 * lessons; ++k) {
        Random random((far ? 900000u : 100000u) + static_cast<unsigned>(k));
        const PracticeGround& ground = grounds[static_cast<std::size_t>(k) % grounds.size()];
        TruePlayer player = drawn_player(random, prior);
        if (far) move_far(player, random, prior);
        SimulationOptions options;
        options.green_speed_ft = random.uniform(8.5, 11.5);
        const SimulatedLesson s = simulate_lesson(ground, player, random, options);
        if (!s.good) continue;
        const double t0 = seconds();
        auto stations = std::make_shared<std::vector<StationResponse>>();
        try {
            for (const LessonStation& place : s.lesson.stations)
                stations->emplace_back(*ground.surface, ground.outline, place, s.lesson.green_speed_ft, &ground.error);
        } catch (const Error&) {
            continue;   // a station on a fold is refused, with a sentence
        }
        const double t1 = seconds();
        const PlayerModel model(s.lesson, stations, &ground.error, prior);
        Progress progress;
        const LessonEstimate e = estimate_lesson(model, {}, progress);
        const double t2 = seconds();
        tables += t1 - t0, inference += t2 - t1, slowest = std::max(slowest, t2 - t1);
        ++done;
        unsettled += !e.settled;
        for (const SeenPutt& p : s.lesson.putts) ++putts, holed += p.outcome == PuttOutcome::holed, off += p.outcome == PuttOutcome::off_green;

        double low = 0;
        int breaking = 0;
        for (const StationResponse& r : *stations) {
            if (r.straight()) continue;
            low += (r.high_is_right() ? -1 : 1) * (player.figure[kReadConstant] + player.figure[kReadShare] * r.true_aim());
            ++breaking;
        }
        const double* f = player.figure;
        counts[0].add(e.figure[kReadConstant], f[kReadConstant]);
        counts[1].add(e.figure[kReadShare], f[kReadShare]);
        counts[2].add(e.read_low, breaking > 0 ? low / breaking : 0);
        counts[3].add(e.start_line, player.start_line());
        counts[4].add(e.figure[kPaceBias], f[kPaceBias]);
        counts[5].add(e.figure[kAimBias], f[kAimBias]);
        counts[6].add(e.figure[kStrokeBias], f[kStrokeBias]);
        counts[7].add(e.figure[kPaceSpread], f[kPaceSpread]);
        if (std::getenv("BRAE_LESSONS_LIST"))
            std::printf("%d read %.2f in %.2f..%.2f, start %.2f in %.2f..%.2f, r-hat %.3f, worth %.0f draws, %d gradients, acceptance %.2f, %.0f ms\n", k, 100 * f[kReadShare],
                        100 * e.figure[kReadShare].low, 100 * e.figure[kReadShare].high, degrees(player.start_line()), degrees(e.start_line.low),
                        degrees(e.start_line.high), e.draws.worst_r_hat, e.draws.least_effective, e.draws.gradients, e.draws.acceptance, 1e3 * (t2 - t1));
    }
    std::printf("%s: %d lessons of 30 putts, %.0f %% holed, %.1f %% off the green; tables %.0f ms, inference %.0f ms a lesson (slowest %.0f); %d not settled\n",
                far ? "players two spreads from the mean" : "players from the prior", done, 100.0 * holed / std::max(1, putts), 100.0 * off / std::max(1, putts),
                1e3 * tables / std::max(1, done), 1e3 * inference / std::max(1, done), 1e3 * slowest, unsettled);
    bool right = done == lessons;
    for (std::size_t k = 0; k < counts.size(); ++k) {
        const Count& c = counts[k];
        const double share = 100.0 * c.within / std::max(1, done);
        // The bounds are for read, start line and pace.
        const bool counted = k < 5, good = !counted || (far ? share >= 80 : std::abs(share - 90) <= 4);
        std::printf("| %-36s | %5.1f %% | half-width %6.2f | error RMS %6.2f | %s\n", c.name, share, c.unit * c.width / 2 / std::max(1, done),
                    c.unit * std::sqrt(c.error_sq / std::max(1, done)), !counted ? "" : good ? "right" : "out of bounds");
        right = right && good;
    }
    std::fflush(stdout);
    return right;
}

}  // namespace

int main(int argc, char** argv) {
    const int lessons = argc > 1 ? std::atoi(argv[1]) : 500;
    if (lessons < 1) {
        std::fprintf(stderr, "brae_lessons: %s is no number of lessons; one or more is wanted\n", argv[1]);
        return 2;
    }
    const auto wanted = [&](const char* name) {
        for (int k = 2; k < argc; ++k)
            if (std::strcmp(argv[k], name) == 0) return true;
        return argc <= 2;
    };
    try {
        // The sample greens as surveyed, and today's hole of each.
        std::vector<PracticeGround> grounds;
        for (const char* name : {"practice-green", "two-tier", "crowned"}) {
            Progress progress;
            const std::filesystem::path folder = std::filesystem::path(BRAE_SOURCE_DIR) / "terrain-samples" / name;
            const Green levels = open_green(folder / "levels.csv", progress), green = open_green(folder / "tripod-scan.ply", progress);
            const Vec2 hole = green.terrain->frame.from_map(levels.terrain->frame.to_map(levels.todays_hole()->p));
            const ErrorModel& e = green.terrain->error;
            std::printf("%s: survey errors %.2f mm over %.2f m and %.2f mm over %.1f m\n", name, 1e3 * e.smooth_se_m, e.smooth_length_m, 1e3 * e.correlated_se_m, e.correlated_length_m);
            grounds.emplace_back(green.terrain->surface, green.terrain->outline, e, hole);
        }
        bool right = true;
        if (wanted("prior")) right = run(grounds, lessons, false) && right;
        if (wanted("far")) right = run(grounds, lessons, true) && right;
        return right ? 0 : 1;
    } catch (const std::exception& e) {
        std::fprintf(stderr, "brae_lessons: %s\n", e.what());
        return 1;
    }
}
