// What the chain makes of the delivered files, compared with the formulas that the samples come from; and every read
// on these greens rolled forward again by an independent integrator.
#include "core/base/random.h"
#include "core/base/units.h"
#include "core/record/green_file.h"
#include "core/roll/green_speed.h"
#include "core/solve/putt.h"
#include "core/terrain/slope.h"
#include "terrain-samples/generator/sample_greens.h"
#include "tests/support/peer.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;

namespace {

Green green_from(const samples::SampleGreen& sample, const std::vector<std::string>& names, SurveyMethod method) {
    std::vector<std::filesystem::path> files;
    for (const auto& n : names) files.push_back(test::samples() / sample.folder / n);
    ReadOptions options;
    options.crs = sample.crs;
    options.outline = test::samples() / sample.folder / "outline.geojson";
    options.method = method;
    Progress silent;
    Survey survey = read_survey(files, options, silent);
    clean_survey(survey, silent);
    return make_green(std::move(survey), sample.title, {}, silent);
}

struct Misfit { double height_m = 0, slope = 0, within_one = 0, within_two = 0; };

// Root mean squares over 0.25 m spots inside the outline; with `off_tiers` only where the truth is under 5 %.
Misfit misfit_of(const Green& green, const samples::SampleGreen& sample, bool off_tiers) {
    const TerrainModel& t = *green.terrain;
    const Box box = t.outline.box();
    double h2 = 0, s2 = 0, n = 0, one = 0, two = 0;
    for (double y = box.y0; y < box.y1; y += 0.25)
        for (double x = box.x0; x < box.x1; x += 0.25) {
            if (!t.outline.contains({x, y})) continue;
            const Vec2 q = t.frame.to_map({x, y}) - sample.origin;
            const SurfaceJet truth = sample.jet(q.x, q.y), found = t.surface->jet(x, y);
            if (off_tiers && slope_ratio(truth) > 0.05) continue;
            const double dh = found.h + t.frame.spec().origin_height_m - sample.datum - truth.h;
            const double ds = slope_ratio(found) - slope_ratio(truth);
            const int i = static_cast<int>((x - t.grid.slope_se.x0) / t.grid.slope_se.cell), j = static_cast<int>((y - t.grid.slope_se.y0) / t.grid.slope_se.cell);
            if (t.grid.has(i, j)) {
                one += std::abs(ds) <= t.grid.slope_se.at(i, j);
                two += std::abs(ds) <= 2 * t.grid.slope_se.at(i, j);
            }
            h2 += dh * dh;
            s2 += ds * ds;
            n += 1;
        }
    return {std::sqrt(h2 / n), std::sqrt(s2 / n), one / n, two / n};
}

}  // namespace

TEST_CASE("from the scan and from the raster, height is within 5 mm RMS and slope within 0.2 points of the formula") {
    for (const auto& sample : samples::all_greens())
        for (const char* name : {"tripod-scan.ply", "dtm.tif"}) {
            const bool scan = name[0] == 't';
            const Misfit m = misfit_of(green_from(sample, {name}, scan ? SurveyMethod::tripod_scan : SurveyMethod::grid), sample, false);
            MESSAGE(sample.folder << " " << std::string(name) << ": height " << 1000 * m.height_m << " mm, slope " << 100 * m.slope << " points, "
                                  << 100 * m.within_one << " % within one standard error, " << 100 * m.within_two << " % within two");
            CHECK(m.height_m < 0.005);
            CHECK(percent(m.slope) < 0.2);
        }
}

TEST_CASE("from lidar and from levels the surface is coarser, within what such surveys can say") {
    for (const auto& sample : samples::all_greens()) {
        const Misfit lidar = misfit_of(green_from(sample, {"lidar.ply"}, SurveyMethod::airborne_lidar), sample, false);
        const Misfit levels = misfit_of(green_from(sample, {"levels.csv"}, SurveyMethod::total_station), sample, true);
        MESSAGE(sample.folder << " lidar: height " << 1000 * lidar.height_m << " mm, slope " << 100 * lidar.slope << " points");
        MESSAGE(sample.folder << " levels off the tiers: height " << 1000 * levels.height_m << " mm, slope " << 100 * levels.slope << " points");
        CHECK(lidar.height_m < 0.006);
        CHECK(percent(lidar.slope) < 0.45);
        CHECK(levels.height_m < 0.015);
        CHECK(percent(levels.slope) < 1.0);
    }
}

namespace {

constexpr double kNear = 0.02;   // m; the first pass of the hole nearer than this is the one that is meant

// The same putt by the independent integrator alone: Newton's method on its rolls, with their differences for derivatives.
struct PeerRead { bool settled = false; double aim_offset_m = 0, launch_mps = 0; };
PeerRead peer_read(const HeightField& surface, const PuttQuestion& q, double angle, double launch) {
    const double wanted = speed_at_hole(q.past_m, q.green_speed_ft);
    bool met = true;
    const auto miss = [&](double a, double v) {
        const test::PeerPass pass = test::peer_roll(surface, q.ball.x, q.ball.y, std::cos(a), std::sin(a), v, q.green_speed_ft,
                                                    q.hole.x, q.hole.y, 1e-3, 30, kNear);
        met = met && pass.offset < kNear;
        return Vec2{pass.right, pass.speed - wanted};
    };
    PeerRead out;
    const double e = 1e-5, away = distance(q.ball, q.hole);
    for (int k = 0; k < 12 && !out.settled; ++k) {
        const Vec2 at = miss(angle, launch);
        const Vec2 turn = (miss(angle + e, launch) - miss(angle - e, launch)) / (2 * e);
        const Vec2 push = (miss(angle, launch + e) - miss(angle, launch - e)) / (2 * e);
        const double det = cross(turn, push);
        if (!met || det == 0) break;
        const double da = cross(at, push) / det, dv = cross(turn, at) / det;
        angle -= da;
        launch -= dv;
        // To a hundredth of what is asked for.
        out.settled = std::abs(da) * away < 1e-5 && std::abs(dv) < 1e-5;
    }
    const Vec2 line = unit(q.hole - q.ball), d{std::cos(angle), std::sin(angle)};
    out.aim_offset_m = distance(q.ball, q.hole) * dot(d, right_of(line)) / dot(d, line);
    out.launch_mps = launch;
    return out;
}

}  // namespace

TEST_CASE("on 1,000 random putts on the samples the reads are within 1 mm of aim and 1 mm/s of launch of an independent solver") {
    int putts = 0, reads = 0, compared = 0, unsettled = 0, none = 0;
    double worst_aim = 0, worst_launch = 0, worst_pass = 0, worst_speed = 0;
    const auto greens = samples::all_greens();
    for (std::size_t g = 0; g < greens.size(); ++g) {
        const Green green = green_from(greens[g], {"dtm.tif"}, SurveyMethod::grid);
        const TerrainModel& t = *green.terrain;
        Random random(greens[g].seed);
        const Box box = t.outline.box();
        const auto spot = [&] {
            for (;;) {
                const Vec2 p{random.uniform(box.x0, box.x1), random.uniform(box.y0, box.y1)};
                if (t.outline.signed_distance(p) > 0.5) return p;
            }
        };
        const int last = static_cast<int>(1000 * (g + 1) / greens.size());
        while (putts < last) {
            const PuttQuestion q{spot(), spot(), random.uniform(8, 12), random.uniform(0.02, 0.6)};
            if (distance(q.ball, q.hole) < 0.5) continue;
            PuttOptions options;
            options.window = options.path = false;
            options.green_speed_sigma_ft = 0;
            const PuttAnswer answer = solve_putt(*t.surface, t.outline, q, options);
            if (answer.solutions.empty()) {
                ++none;
                continue;
            }
            ++putts;
            for (const PuttRead& r : answer.solutions) {
                ++reads;
                // Rolled forward as it is ...
                const test::PeerPass pass = test::peer_roll(*t.surface, q.ball.x, q.ball.y, r.direction.x, r.direction.y, r.launch_mps,
                                                            q.green_speed_ft, q.hole.x, q.hole.y, 1e-3, 30, kNear);
                worst_pass = std::max(worst_pass, pass.offset);
                worst_speed = std::max(worst_speed, std::abs(pass.speed - speed_at_hole(q.past_m, q.green_speed_ft)));
                // ... and solved anew from a start that is beside it.
                if (!r.aim_offset_m) continue;
                PeerRead peer;
                for (double off : {1e-3, 1e-4, 1e-5}) {
                    peer = peer_read(*t.surface, q, std::atan2(r.direction.y, r.direction.x) + off, r.launch_mps + off);
                    if (peer.settled && std::abs(peer.aim_offset_m - *r.aim_offset_m) < 0.001) break;
                }
                if (!peer.settled) {
                    ++unsettled;
                    continue;
                }
                ++compared;
                worst_aim = std::max(worst_aim, std::abs(peer.aim_offset_m - *r.aim_offset_m));
                worst_launch = std::max(worst_launch, std::abs(peer.launch_mps - r.launch_mps));
            }
        }
    }
    std::printf("%d putts, %d more without an answer, %d reads, %d compared, %d not settled by the peer: worst aim %.5f mm, launch %.5f mm/s; "
                "rolled forward worst pass %.5f mm, speed there %.5f mm/s\n", putts, none, reads, compared, unsettled, 1000 * worst_aim,
                1000 * worst_launch, 1000 * worst_pass, 1000 * worst_speed);
    CHECK(putts == 1000);
    CHECK(none < putts / 5);
    CHECK(unsettled <= compared / 100);
    CHECK(worst_aim < 0.001);
    CHECK(worst_launch < 0.001);
    CHECK(worst_pass < 0.001);
    CHECK(worst_speed < 0.001);
}
