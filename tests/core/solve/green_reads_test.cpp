#include "core/solve/green_reads.h"

#include "core/base/error.h"
#include "core/base/random.h"
#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "core/solve/putt.h"
#include "core/solve/ray_kernel.h"
#include "tests/support/grounds.h"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <tbb/global_control.h>
#include <vector>

using namespace brae;

namespace {

Progress quiet;

// Answers of the whole green against those of single putts, on spots drawn at random.
struct Comparison {
    std::vector<double> aim, launch, time, entry;   // differences of the slowest solution, sorted
    int compared = 0, other_mask = 0, other_count = 0, several = 0;
    double part(const std::vector<double>& sorted, double p) const {
        return sorted.empty() ? 0 : sorted[static_cast<std::size_t>(p * static_cast<double>(sorted.size() - 1))];
    }
};

Comparison compare(const HeightField& surface, const Outline& green, const GreenQuestion& question, const GreenReads& reads,
                   std::uint64_t seed, int spots) {
    PuttOptions options;
    options.window = false;
    options.green_speed_sigma_ft = 0;
    options.path = false;
    Random random(seed);
    Comparison out;
    const Raster& map = reads.launch_mps;
    while (out.compared < spots) {
        const int i = static_cast<int>(random.uniform(0, map.columns)), j = static_cast<int>(random.uniform(0, map.rows));
        const Vec2 ball = map.centre(i, j);
        const std::size_t k = map.index(i, j);
        if (!green.contains(ball) || distance(ball, question.hole) < kHoleRadius) continue;
        ++out.compared;
        const PuttAnswer exact = solve_putt(surface, green, {ball, question.hole, question.green_speed_ft, question.past_m}, options);
        out.other_mask += exact.solutions.empty() != (reads.mask[k] == 0);
        if (exact.solutions.empty() || reads.mask[k] == 0) continue;
        out.several += exact.solutions.size() > 1;
        if (static_cast<double>(exact.solutions.size()) != reads.solutions.values[k]) {
            ++out.other_count;
            continue;
        }
        const PuttRead& e = exact.solutions.front();
        CHECK(e.aim_offset_m.has_value() == !std::isnan(reads.aim_offset_m.values[k]));
        if (e.aim_offset_m) out.aim.push_back(std::abs(*e.aim_offset_m - reads.aim_offset_m.values[k]));
        out.launch.push_back(std::abs(e.launch_mps - reads.launch_mps.values[k]));
        out.time.push_back(std::abs(e.time_s - reads.time_s.values[k]));
        out.entry.push_back(std::abs(wrapped(radians(e.entry_bearing_deg - reads.entry_bearing_deg.values[k]))));
        CHECK(std::abs(wrapped(radians(e.aim_bearing_deg - reads.start_bearing_deg.values[k]))) < 0.01);
    }
    for (auto* v : {&out.aim, &out.launch, &out.time, &out.entry}) std::sort(v->begin(), v->end());
    return out;
}

// The bytes of everything that a read answers.
std::vector<unsigned char> bytes_of(const GreenReads& reads) {
    std::vector<unsigned char> out(reads.mask);
    const auto add = [&](const void* from, std::size_t size) {
        const std::size_t at = out.size();
        out.resize(at + size);
        std::memcpy(out.data() + at, from, size);
    };
    for (const Raster* r : {&reads.aim_offset_m, &reads.break_m, &reads.launch_mps, &reads.start_bearing_deg,
                            &reads.entry_bearing_deg, &reads.time_s, &reads.solutions})
        add(r->values.data(), r->values.size() * sizeof(double));
    for (const SpotSolution& s : reads.all) {
        add(&s.spot, sizeof s.spot);
        for (const double v : {s.direction.x, s.direction.y, s.launch_mps, s.aim_offset_m, s.start_bearing_deg, s.entry_bearing_deg, s.time_s}) add(&v, sizeof v);
    }
    return out;
}

// The choice of the vector target is free again, whatever a test ends with.
struct FreeTarget { ~FreeTarget() { force_ray_kernel_target(0); } };

}  // namespace

TEST_CASE("reads of the whole green agree with single putts on planes") {
    const Outline green = test::wide_green(8);
    for (const double past : {0.3, 0.0}) {
        const auto surface = test::plane(0.025, 0.6, -0.8);
        const GreenQuestion question{{1.2, 0.4}, 10, past};
        const GreenReads reads = read_green(surface, green, question, {}, quiet);
        CHECK(reads.spots == 64 * 64);
        const Comparison c = compare(surface, green, question, reads, 1, 60);
        CHECK(c.other_mask == 0);
        CHECK(c.other_count == 0);
        CHECK(c.part(c.aim, 1) < 5e-4);
        CHECK(c.part(c.launch, 1) < 5e-4);
        CHECK(c.part(c.time, 1) < 5e-3);
        CHECK(c.part(c.entry, 1) < (past > 0 ? 1e-3 : 0.05));
    }
}

TEST_CASE("reads of the whole green agree with single putts on wavy ground and on splines with noise") {
    const Outline green = test::wide_green(10);
    for (std::uint64_t seed = 1; seed <= 4; ++seed) {
        const test::Formula wavy = test::wavy(seed, 1.2);
        const SplineSurface rough = test::rough_spline(seed, 11);
        const bool smooth = seed % 2 == 0;
        const HeightField& surface = smooth ? static_cast<const HeightField&>(wavy) : rough;
        const GreenQuestion question{{-2.1, 1.7}, 10, seed <= 2 ? 0.3 : 0.05};
        const GreenReads reads = read_green(surface, green, question, {}, quiet);
        const Comparison c = compare(surface, green, question, reads, seed, 60);
        CHECK(c.other_mask <= 1);
        CHECK(c.other_count <= 1);
        CHECK(c.part(c.aim, 0.97) < 5e-4);
        CHECK(c.part(c.launch, 0.97) < 5e-4);
    }
}

TEST_CASE("on tiers and saddles all solutions are true, the slowest first, and hardly one of a single putt is missed") {
    // Steep enough for folds, for balls that turn back and for paths that bunch; there each of the two solvers misses a
    // solution now and then that the other has.
    const Outline green = test::wide_green(9);
    PuttOptions plain;
    plain.window = false;
    plain.green_speed_sigma_ft = 0;
    plain.path = false;
    int several = 0, wanted = 0, missed = 0, rolled = 0, untrue = 0;
    for (int n = 0; n < 4; ++n) {
        const test::Formula surface = n % 2 == 0 ? test::tier(0.4, 0.9) : test::saddle(0.022);
        const GreenQuestion question{n < 2 ? Vec2{-1.5, 0.7} : Vec2{2.4, -1.1}, 11, 0.3};
        const GreenReads reads = read_green(surface, green, question, {0.5}, quiet);
        const Raster& map = reads.launch_mps;
        for (std::size_t k = 1; k < reads.all.size(); ++k) {
            CHECK(reads.all[k - 1].spot <= reads.all[k].spot);
            if (reads.all[k - 1].spot == reads.all[k].spot) CHECK(reads.all[k - 1].launch_mps <= reads.all[k].launch_mps);
        }
        Random random(static_cast<std::uint64_t>(n) + 20);
        for (int m = 0; m < 60; ++m) {
            const auto k = static_cast<std::uint32_t>(random.uniform(0, static_cast<double>(map.values.size())));
            const Vec2 ball = map.centre(static_cast<int>(k) % map.columns, static_cast<int>(k) / map.columns);
            if (distance(ball, question.hole) < kHoleRadius) continue;
            std::vector<SpotSolution> here;
            for (const SpotSolution& s : reads.all)
                if (s.spot == k) here.push_back(s);
            several += here.size() > 1;
            CHECK(static_cast<double>(here.size()) == reads.solutions.values[k]);
            for (const PuttRead& e : solve_putt(surface, green, {ball, question.hole, 11, 0.3}, plain).solutions) {
                ++wanted;
                missed += std::none_of(here.begin(), here.end(), [&](const SpotSolution& s) {
                    return std::abs(s.launch_mps - e.launch_mps) < 2e-3 && distance(s.direction, e.direction) < 2e-3;
                });
            }
            for (const SpotSolution& s : here) {
                RollOptions covered;
                covered.hole = question.hole;
                covered.covered = true;
                const RollPath path = roll(surface, green, ball, s.direction, s.launch_mps, 11, covered);
                ++rolled;
                untrue += !path.pass || std::abs(path.pass->offset_m) > 0.01 || std::abs(path.pass->speed_mps - speed_at_hole(0.3, 11)) > 0.01;
            }
        }
    }
    CHECK(several >= 20);
    CHECK(wanted > 200);
    CHECK(missed * 50 <= wanted);
    CHECK(untrue * 50 <= rolled);
}

TEST_CASE("without solving spots one by one the rest of the map stays the same") {
    const Outline green = test::wide_green(6);
    const auto surface = test::tier(0.4, 0.9);
    const GreenQuestion question{{-1.5, 0.7}, 11, 0.3};
    const GreenReads whole = read_green(surface, green, question, {0.25, true}, quiet);
    const GreenReads quick = read_green(surface, green, question, {0.25, false}, quiet);
    CHECK(quick.all.size() <= whole.all.size());
    CHECK(quick.solved > 0.9 * static_cast<double>(whole.solved));
    std::size_t same = 0;
    for (std::size_t k = 0; k < quick.mask.size(); ++k) same += quick.mask[k] && quick.launch_mps.values[k] == whole.launch_mps.values[k];
    CHECK(same > 0.98 * static_cast<double>(quick.solved));
}

TEST_CASE("a mirrored green has mirrored reads") {
    const Outline green = test::wide_green(8);
    const auto plain = test::wavy(5);
    const test::Formula mirrored([&](double x, double y) {
        SurfaceJet j = plain.jet(-x, y);
        j.hx = -j.hx;
        j.hxy = -j.hxy;
        return j;
    });
    const GreenReads a = read_green(plain, green, {{1.1, 0.3}, 10, 0.3}, {}, quiet);
    const GreenReads b = read_green(mirrored, green, {{-1.1, 0.3}, 10, 0.3}, {}, quiet);
    std::size_t same = 0, both = 0;
    for (int j = 0; j < a.launch_mps.rows; ++j)
        for (int i = 0; i < a.launch_mps.columns; ++i) {
            const std::size_t k = a.launch_mps.index(i, j), m = a.launch_mps.index(a.launch_mps.columns - 1 - i, j);
            if (!a.mask[k] || !b.mask[m] || a.solutions.values[k] != b.solutions.values[m]) continue;
            ++both;
            same += std::abs(a.launch_mps.values[k] - b.launch_mps.values[m]) < 2e-4 &&
                    std::abs(a.aim_offset_m.values[k] + b.aim_offset_m.values[m]) < 5e-4;
        }
    CHECK(both > 0.97 * static_cast<double>(a.solved));
    CHECK(same > 0.99 * static_cast<double>(both));
}

TEST_CASE("the mask is that of the green and of the putts that exist") {
    // An L whose inner corner hides part of the green from the hole, on a gentle plane: paths there leave the green.
    const Outline ell({{-6, -6}, {6, -6}, {6, 0}, {0, 0}, {0, 6}, {-6, 6}}, OutlineSource::drawn);
    const auto surface = test::plane(0.01, 1, 0);
    const GreenQuestion question{{4.5, -1.5}, 10, 0.3};
    const GreenReads reads = read_green(surface, ell, question, {}, quiet);
    std::size_t on = 0;
    for (int j = 0; j < reads.solutions.rows; ++j)
        for (int i = 0; i < reads.solutions.columns; ++i) {
            const std::size_t k = reads.solutions.index(i, j);
            CHECK(std::isnan(reads.solutions.values[k]) == !ell.contains(reads.solutions.centre(i, j)));
            CHECK((reads.solutions.values[k] > 0) == (reads.mask[k] == 1));
            CHECK(std::isnan(reads.launch_mps.values[k]) == (reads.mask[k] == 0));
            on += reads.mask[k];
        }
    CHECK(on == reads.solved);
    CHECK(reads.solved < reads.spots);
    const Comparison c = compare(surface, ell, question, reads, 3, 150);
    CHECK(c.other_mask <= 1);

    // Above a slope that holds no ball there is no putt at this pace.
    const auto steep = test::plane(0.12, 1, 0);
    const GreenReads none = read_green(steep, test::wide_green(6), {{0, 0}, 10, 0.1}, {}, quiet);
    const auto at = [&](double x, double y) {
        const Raster& m = none.launch_mps;
        return none.mask[m.index(static_cast<int>((x - m.x0) / m.cell), static_cast<int>((y - m.y0) / m.cell))];
    };
    CHECK(at(-4, 0.1) == 0);
    CHECK(at(4, 0.1) == 1);
}

TEST_CASE("the hole on a slope that holds no ball has no reads at no pace and says why") {
    const auto surface = test::plane(0.09, 0, -1);
    const GreenReads reads = read_green(surface, test::wide_green(4), {{0, 0}, 10, 0}, {}, quiet);
    CHECK(reads.why_none.find("no ball stops") != std::string::npos);
    CHECK(reads.solved == 0);
    CHECK(reads.spots == 32 * 32);
    CHECK(std::count(reads.mask.begin(), reads.mask.end(), static_cast<unsigned char>(1)) == 0);
}

TEST_CASE("one thread, two threads and every vector target give the same bytes") {
    const SplineSurface surface = test::rough_spline(2, 9);
    const Outline green = test::wide_green(8);
    const FreeTarget free_again;
    std::vector<unsigned char> first;
    const auto targets = ray_kernel_targets();
    CHECK(targets.size() >= 2);
    for (const double past : {0.3, 0.0}) {
        first.clear();
        for (const std::int64_t target : targets) {
            CAPTURE(ray_kernel_target_name(target));
            force_ray_kernel_target(target);
            for (const std::size_t threads : {1, 2}) {
                const tbb::global_control limit(tbb::global_control::max_allowed_parallelism, threads);
                const auto bytes = bytes_of(read_green(surface, green, {{1.3, -0.6}, 10, past}, {}, quiet));
                if (first.empty()) first = bytes;
                CHECK(bytes == first);
            }
        }
    }
}

TEST_CASE("a reader that is asked again and again answers as a fresh one") {
    const SplineSurface surface = test::rough_spline(4, 8);
    const Outline green = test::wide_green(7);
    GreenReader reader(surface, green);
    for (const GreenQuestion& q : {GreenQuestion{{1, 1}, 10, 0.3}, GreenQuestion{{-3, 2}, 8, 0}, GreenQuestion{{1, 1}, 10, 0.3}})
        CHECK(bytes_of(reader.read(q, quiet)) == bytes_of(read_green(surface, green, q, {}, quiet)));
}

TEST_CASE("questions without meaning are refused and a cancelled one stops") {
    const auto surface = test::wavy(1);
    const Outline green = test::wide_green(5);
    CHECK_THROWS_AS(read_green(surface, green, {{6, 0}, 10, 0.3}, {}, quiet), Error);
    CHECK_THROWS_AS(read_green(surface, green, {{std::nan(""), 0}, 10, 0.3}, {}, quiet), Error);
    CHECK_THROWS_AS(read_green(surface, green, {{0, 0}, 3, 0.3}, {}, quiet), Error);
    CHECK_THROWS_AS(read_green(surface, green, {{0, 0}, 10, -0.1}, {}, quiet), Error);
    CHECK_THROWS_AS(read_green(surface, green, {{0, 0}, 10, 0.3}, {0.01}, quiet), Error);
    CHECK_THROWS_AS(read_green(surface, Outline(), {{0, 0}, 10, 0.3}, {}, quiet), Error);
    Progress stopped;
    stopped.cancel();
    try {
        read_green(surface, green, {{0, 0}, 10, 0.3}, {}, stopped);
        CHECK(false);
    } catch (const Error& e) {
        CHECK(e.kind() == ErrorKind::cancelled);
    }
}

TEST_CASE("coarse reads for thousands of holes are within 5 mm of aim and 5 mm/s of launch for 97 of 100 spots, from fewer rays") {
    for (const std::uint64_t seed : {3, 4}) {
        const SplineSurface surface = test::rough_spline(seed);
        const Outline green = test::wide_green();
        Progress progress;
        GreenReader exact(surface, green, {0.5, true}), coarse(surface, green, {0.5, false, true});
        for (const Vec2 hole : {Vec2{1.3, 0.7}, Vec2{-5, 6}}) {
            const GreenReads& a = exact.read({hole, 10, 0.3}, progress);
            const GreenReads& b = coarse.read({hole, 10, 0.3}, progress);
            std::size_t both = 0, off = 0;
            for (std::size_t k = 0; k < a.mask.size(); ++k) {
                if (!a.mask[k] || !b.mask[k]) continue;
                ++both;
                off += std::abs(a.aim_offset_m.values[k] - b.aim_offset_m.values[k]) > 5e-3 || std::abs(a.launch_mps.values[k] - b.launch_mps.values[k]) > 5e-3;
            }
            CHECK(static_cast<double>(both) > 0.98 * static_cast<double>(a.solved));
            CHECK(static_cast<double>(off) < 0.03 * static_cast<double>(both));
            CHECK(coarse.effort().rays < exact.effort().rays);
        }
    }
}
