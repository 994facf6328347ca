#include "core/solve/aim_error_map.h"

#include "core/base/error.h"
#include "core/base/random.h"
#include "core/solve/putt.h"
#include "tests/support/grounds.h"

#include <algorithm>
#include <chrono>
#include <cmath>

using namespace brae;

namespace {

const ErrorModel kError{0.0006, 0.5, 0.002, 3.0};

struct Mapped { GreenReads reads; AimErrorMap errors; };
Mapped mapped(const HeightField& surface, const Outline& green, const GreenQuestion& q, double spacing = 0.25) {
    Progress silent;
    Mapped out;
    out.reads = read_green(surface, green, q, {spacing}, silent);
    const auto began = std::chrono::steady_clock::now();
    out.errors = map_aim_errors(surface, green, q, out.reads, kError, 0.5, silent);
    std::printf("errors of %zu spots in %.2f s, %zu one by one\n", out.errors.spots,
                std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count(), out.errors.one_by_one);
    return out;
}

// Largest and 99th percentile of the relative differences to solve_putt's own figures on random spots.
struct Worst { double survey = 0, speed = 0, joined = 0, joined99 = 0; int spots = 0; };
Worst against_putts(const HeightField& surface, const Outline& green, const GreenQuestion& q, const Mapped& m, std::uint64_t seed, int most) {
    Random random(seed);
    Worst worst;
    std::vector<double> joined;
    const Raster& layout = m.reads.aim_offset_m;
    for (int k = 0; k < 20 * most && worst.spots < most; ++k) {
        // Every fourth of those beside the hole.
        const bool near = k % 4 == 0;
        const auto index = [&](double hole, double origin, int count) {
            const double at = near ? (hole - origin) / layout.cell + random.uniform(-4, 4) : random.uniform(0, count);
            return std::clamp(static_cast<int>(at), 0, count - 1);
        };
        const int i = index(q.hole.x, layout.x0, layout.columns), j = index(q.hole.y, layout.y0, layout.rows);
        const std::size_t spot = layout.index(i, j);
        if (!std::isfinite(m.errors.aim_offset_se_m.values[spot])) continue;
        PuttOptions options;
        options.window = options.path = false;
        options.error = &kError;
        const PuttAnswer answer = solve_putt(surface, green, {layout.centre(i, j), q.hole, q.green_speed_ft, q.past_m}, options);
        for (const PuttRead& r : answer.solutions) {
            // The same solution, told by its launch and aim.
            if (!r.aim_offset_m || std::abs(r.launch_mps - m.reads.launch_mps.values[spot]) > 2e-3 ||
                std::abs(*r.aim_offset_m - layout.values[spot]) > 5e-3) continue;
            const auto off = [&](const Raster& map, double se) { return std::abs(map.values[spot] / se - 1); };
            worst.survey = std::max(worst.survey, off(m.errors.survey_se_m, r.survey_se_m));
            // Where the answer does not depend on green speed there is nothing to divide by: of the joined figure.
            worst.speed = std::max(worst.speed, std::abs(m.errors.speed_se_m.values[spot] - r.speed_se_m) / r.aim_offset_se_m);
            joined.push_back(off(m.errors.aim_offset_se_m, r.aim_offset_se_m));
            ++worst.spots;
            break;
        }
    }
    std::sort(joined.begin(), joined.end());
    REQUIRE(!joined.empty());
    worst.joined = joined.back();
    worst.joined99 = joined[joined.size() * 99 / 100];
    std::printf("  against %d putts: survey %.2f %%, green speed %.2f %%, joined %.2f %% (99 of 100: %.2f %%)\n", worst.spots,
                100 * worst.survey, 100 * worst.speed, 100 * worst.joined, 100 * worst.joined99);
    return worst;
}

}  // namespace

TEST_CASE("the map of standard errors is within 5 % of the single putts' figures, at a pace and dying, smooth and rough") {
    const Outline green = test::wide_green(9);
    const auto smooth = test::wavy(5);
    const SplineSurface rough = test::rough_spline(6, 10);
    std::uint64_t seed = 20;
    for (const HeightField* surface : {static_cast<const HeightField*>(&smooth), static_cast<const HeightField*>(&rough)})
        for (double past : {0.3, 0.0}) {
            const GreenQuestion q{{1.5, -1}, 10, past};
            const Mapped m = mapped(*surface, green, q);
            const Worst worst = against_putts(*surface, green, q, m, ++seed, 160);
            CHECK(worst.spots == 160);
            CHECK(worst.survey < 0.05);
            CHECK(worst.speed < 0.05);
            CHECK(worst.joined < 0.05);
            // Every spot that has an aim has its error, and nothing else has.
            std::size_t aims = 0;
            for (std::size_t k = 0; k < m.reads.mask.size(); ++k) {
                const bool aim = m.reads.mask[k] && std::isfinite(m.reads.aim_offset_m.values[k]);
                aims += aim;
                if (!aim) CHECK(std::isnan(m.errors.aim_offset_se_m.values[k]));
            }
            CHECK(m.errors.spots <= aims);
            CHECK(m.errors.spots >= aims * 99 / 100);
        }
}

TEST_CASE("where rays fold over a tier or bunch on a saddle the map agrees with the single putts all the same") {
    const Outline green = test::wide_green(7);
    const auto tier = test::tier();
    const auto saddle = test::saddle();
    std::uint64_t seed = 40;
    for (const auto& [surface, hole] : {std::pair{static_cast<const HeightField*>(&tier), Vec2{-2.5, 0.5}},
                                        {static_cast<const HeightField*>(&tier), Vec2{2.5, -0.5}},
                                        {static_cast<const HeightField*>(&saddle), Vec2{1.0, 0.7}}}) {
        const GreenQuestion q{hole, 10, 0.3};
        const Mapped m = mapped(*surface, green, q);
        const Worst worst = against_putts(*surface, green, q, m, ++seed, 160);
        CHECK(worst.spots > 140);
        CHECK(worst.joined99 < 0.05);
    }
}

TEST_CASE("on the level nothing hangs on green speed, and the survey's part grows with the distance alone") {
    const Outline green = test::wide_green(6);
    const auto level = test::plane(0, 1, 0);
    const Mapped m = mapped(level, green, {{0.1, 0.1}, 10, 0.3}, 0.5);
    const Raster& map = m.errors.survey_se_m;
    std::vector<std::pair<double, double>> by_distance;
    for (int j = 0; j < map.rows; ++j)
        for (int i = 0; i < map.columns; ++i)
            if (std::isfinite(map.at(i, j))) {
                CHECK(m.errors.speed_se_m.at(i, j) < 1e-7);
                by_distance.emplace_back(distance(map.centre(i, j), {0.1, 0.1}), map.at(i, j));
            }
    REQUIRE(by_distance.size() > 400);
    std::sort(by_distance.begin(), by_distance.end());
    for (std::size_t k = 1; k < by_distance.size(); ++k) CHECK(by_distance[k].second > by_distance[k - 1].second * 0.995);
}

TEST_CASE("the map has the same bits again, can be cancelled, and refuses a sigma that is none") {
    const Outline green = test::wide_green(5);
    const auto surface = test::wavy(7);
    const GreenQuestion q{{0, 0}, 10, 0.3};
    const Mapped a = mapped(surface, green, q, 0.5), b = mapped(surface, green, q, 0.5);
    for (std::size_t k = 0; k < a.reads.mask.size(); ++k) {
        const double x = a.errors.aim_offset_se_m.values[k], y = b.errors.aim_offset_se_m.values[k];
        CHECK((x == y || (std::isnan(x) && std::isnan(y))));
    }
    Progress cancelled;
    cancelled.cancel();
    CHECK_THROWS_AS(map_aim_errors(surface, green, q, a.reads, kError, 0.5, cancelled), Error);
    Progress silent;
    CHECK_THROWS_AS(map_aim_errors(surface, green, q, a.reads, kError, -1, silent), Error);
    CHECK_THROWS_AS(map_aim_errors(surface, green, q, {}, {NAN, 1, 0, 1}, 0.5, silent), Error);
}
