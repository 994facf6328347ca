#include "core/base/error.h"
#include "core/base/progress.h"
#include "core/base/random.h"
#include "core/survey/read_survey.h"
#include "tests/support/support.h"

#include <algorithm>
#include <chrono>
#include <cmath>

using namespace brae;

namespace {

// Two levels 0.5 m apart over a slope of 1 in 3, on ground that falls and bends gently.
double tiered(double x, double y) {
    const double t = std::clamp((y - 11.0 - 0.05 * x) / 1.5, 0.0, 1.0);
    return 0.02 * x + 0.01 * y + 0.0008 * (x - 12) * (x - 12) + 0.5 * t;
}

struct Scene {
    Survey survey;
    std::size_t turf = 0;  // the first so many points are turf, the rest is not
};

Scene scene(double density, double noise, double side = 25, std::uint64_t seed = 7) {
    Scene s;
    Random random(seed);
    s.turf = static_cast<std::size_t>(density * side * side);
    for (std::size_t k = 0; k < s.turf; ++k) {
        const double x = random.uniform(0, side), y = random.uniform(0, side);
        s.survey.points.push_back({x, y, tiered(x, y) + noise * random.normal()});
    }
    return s;
}

// Something that stands at a place: points over a disc, heights over the ground between two limits.
void stand(Scene& s, Vec2 at, double radius, double low, double high, int count, std::uint64_t seed) {
    Random random(seed);
    for (int k = 0; k < count; ++k) {
        const double r = radius * std::sqrt(random.uniform()), a = random.uniform(0, 2 * kPi);
        const Vec2 p = at + r * Vec2{std::cos(a), std::sin(a)};
        s.survey.points.push_back({p.x, p.y, tiered(p.x, p.y) + random.uniform(low, high)});
    }
}

std::size_t removed(const Survey& s, std::size_t begin, std::size_t end) {
    return static_cast<std::size_t>(std::count_if(s.removed.begin() + static_cast<std::ptrdiff_t>(begin),
                                                  s.removed.begin() + static_cast<std::ptrdiff_t>(end), [](auto r) { return r != kept; }));
}

}  // namespace

TEST_CASE("cleaning leaves clean turf alone, on tiers of one in three and with 25 mm of noise too") {
    struct Kind {
        double density, noise;
    };
    for (const Kind kind : {Kind{400, 0.004}, Kind{400, 0.0}, Kind{100, 0.015}, Kind{30, 0.025}, Kind{8.7, 0.019}}) {
        CAPTURE(kind.density);
        CAPTURE(kind.noise);
        Scene s = scene(kind.density, kind.noise);
        Progress quiet;
        const auto counts = clean_survey(s.survey, quiet);
        const double n = static_cast<double>(s.turf);
        CHECK(static_cast<double>(removed(s.survey, 0, s.turf)) < 0.01 * n);
        // On the slope between the levels alone, too.
        std::size_t on_tier = 0, lost = 0;
        for (std::size_t k = 0; k < s.turf; ++k) {
            const double t = (s.survey.points[k].y - 11.0 - 0.05 * s.survey.points[k].x) / 1.5;
            if (t < -0.3 || t > 1.3) continue;
            ++on_tier;
            lost += s.survey.removed[k] != kept;
        }
        CHECK(static_cast<double>(lost) < 0.02 * static_cast<double>(on_tier));
        std::size_t all = 0;
        for (std::size_t count : counts) all += count;
        CHECK(all == s.survey.points.size());
        CHECK(counts[double_strip] == 0);
    }
}

TEST_CASE("a flagstick, a bag, people and noise below go, and the turf round them stays") {
    struct Kind {
        double density, noise;
    };
    for (const Kind kind : {Kind{400, 0.004}, Kind{30, 0.025}}) {
        CAPTURE(kind.density);
        Scene s = scene(kind.density, kind.noise);
        const int share = static_cast<int>(kind.density / 10);
        stand(s, {8.2, 6.1}, 0.02, 0.15, 2.13, 4 * share, 1);   // flagstick
        stand(s, {15.0, 7.0}, 0.25, 0.15, 0.90, 8 * share, 2);  // bag
        stand(s, {5.0, 18.0}, 0.30, 0.15, 1.80, 20 * share, 3); // person
        stand(s, {5.9, 18.3}, 0.30, 0.15, 1.75, 20 * share, 4); // and another
        stand(s, {20.0, 12.6}, 0.30, 0.2, 1.80, 20 * share, 5);  // on the tier
        const std::size_t above_end = s.survey.points.size();
        stand(s, {12, 12}, 12, -1.5, -0.3, 2 * share, 6);
        Progress quiet;
        const auto counts = clean_survey(s.survey, quiet);
        const double clutter = static_cast<double>(above_end - s.turf);
        CHECK(static_cast<double>(removed(s.survey, s.turf, above_end)) > 0.995 * clutter);
        CHECK(removed(s.survey, above_end, s.survey.points.size()) == s.survey.points.size() - above_end);
        CHECK(counts[below_turf] + counts[sparse] >= s.survey.points.size() - above_end);
        CHECK(static_cast<double>(removed(s.survey, 0, s.turf)) < 0.01 * static_cast<double>(s.turf));
    }
}

TEST_CASE("longer grass along the outline and everything far outside it go, the green stays") {
    for (double density : {400.0, 30.0}) {
        CAPTURE(density);
        const double noise = density > 100 ? 0.004 : 0.025;
        Scene s = scene(density, noise);
        std::vector<Vec2> ring;
        for (int k = 0; k < 60; ++k) ring.push_back(Vec2{12.5, 12.5} + 9.5 * Vec2{std::cos(k * kPi / 30), (0.85 + 0.1 * std::cos(k * kPi / 10)) * std::sin(k * kPi / 30)});
        s.survey.outline = Outline(ring, OutlineSource::drawn);
        const Outline& edge = *s.survey.outline;
        // Grass 45 mm higher outside.
        for (Vec3& p : s.survey.points)
            if (!edge.contains({p.x, p.y})) p.z += 0.045;
        Progress quiet;
        clean_survey(s.survey, quiet);
        std::size_t inside = 0, lost = 0, beside = 0, stayed = 0;
        for (std::size_t k = 0; k < s.turf; ++k) {
            const Vec2 p{s.survey.points[k].x, s.survey.points[k].y};
            if (edge.contains(p)) {
                ++inside;
                lost += s.survey.removed[k] != kept;
            } else {
                ++beside;
                stayed += s.survey.removed[k] == kept;
            }
        }
        CHECK(static_cast<double>(lost) < 0.01 * static_cast<double>(inside));
        CHECK(static_cast<double>(stayed) < 0.02 * static_cast<double>(beside));
    }
}

TEST_CASE("levels and rasters keep every height; a level that stands out is named") {
    Survey levels;
    for (int j = 0; j < 12; ++j)
        for (int i = 0; i < 12; ++i) levels.points.push_back({2.0 * i + 0.1 * (j % 3), 2.0 * j, tiered(2.0 * i, 2.0 * j)});
    levels.points[70].z += 3.05;
    Progress quiet;
    CHECK(clean_survey(levels, quiet)[kept] == levels.points.size());
    REQUIRE(levels.warnings.size() == 1);
    CHECK(levels.warnings[0].find("one level stands out") != std::string::npos);

    Survey raster;
    raster.grid_spacing_m = 0.25;
    for (int j = 0; j < 100; ++j)
        for (int i = 0; i < 100; ++i) raster.points.push_back({0.25 * i, 0.25 * j, tiered(0.25 * i, 0.25 * j)});
    raster.points[5050].z += 40;
    CHECK(clean_survey(raster, quiet)[kept] == raster.points.size() - 1);
    CHECK(raster.removed[5050] == above_turf);
}

TEST_CASE("cleaning gives the same answer twice and stops when cancelled") {
    Scene a = scene(100, 0.015), b = scene(100, 0.015);
    stand(a, {8, 6}, 0.3, 0, 1.8, 300, 1);
    stand(b, {8, 6}, 0.3, 0, 1.8, 300, 1);
    Progress quiet, stopped;
    clean_survey(a.survey, quiet);
    clean_survey(b.survey, quiet);
    CHECK(a.survey.removed == b.survey.removed);
    stopped.cancel();
    CHECK_THROWS_AS(clean_survey(a.survey, stopped), Error);
}
