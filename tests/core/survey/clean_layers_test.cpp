#include "core/survey/clean_layers.h"

#include "core/base/random.h"
#include "core/survey/read_survey.h"
#include "tests/core/survey/survey_files.h"

using namespace brae;
using namespace brae::test;

namespace {

double ground(double x, double y) { return 0.02 * x + 0.01 * y + 0.0006 * (x - 12) * (x - 12); }

// A scan of 20 x 20 m, points in no order, with noise.
Survey scan(double density, double noise, std::uint64_t seed = 5) {
    Survey s;
    Random random(seed);
    for (int k = 0; k < static_cast<int>(400 * density); ++k) {
        const double x = random.uniform(0, 20), y = random.uniform(0, 20);
        s.points.push_back({x, y, ground(x, y) + noise * random.normal()});
    }
    return s;
}

std::vector<std::size_t> clean(Survey& s) {
    Progress quiet;
    return clean_survey(s, quiet);
}

}  // namespace

TEST_CASE("a survey that the file has sorted keeps its ground and shows the rest under its own reason") {
    Survey s = scan(20, 0.02);
    s.classes.assign(s.points.size(), 2);
    // A low wall the robust filter alone would take for turf: 30 mm high.
    for (std::size_t k = 0; k < 300; ++k) {
        s.classes[k] = 6;
        s.points[k].z += 0.03;
    }
    s.classes[400] |= kWithheld;
    s.classes[401] = 7;
    const auto counts = clean(s);
    CHECK(counts[other_class] == 301);
    CHECK(counts[withheld] == 1);
    CHECK(s.removed[0] == other_class);
    CHECK(s.removed[400] == withheld);
    CHECK(warns(s, "301 points of other classes were left out"));
    CHECK(counts[kept] > 7600);
    CHECK(s.points.size() == s.removed.size());
}

TEST_CASE("without a ground class only what is named as something else goes, and points of files without classes stay") {
    Survey s = scan(20, 0.02);
    s.classes.assign(s.points.size(), 1);
    for (std::size_t k = 0; k < 100; ++k) s.classes[k] = 5;
    for (std::size_t k = 100; k < 200; ++k) s.classes[k] = kNoClass;
    auto counts = clean(s);
    CHECK(counts[other_class] == 100);
    CHECK(warns(s, "plants, buildings, water or noise"));
    // With ground in one file and none in the other, the other's points stay.
    Survey two = scan(20, 0.02);
    two.classes.assign(two.points.size(), 2);
    for (std::size_t k = 0; k < 4000; ++k) two.classes[k] = kNoClass;
    CHECK(clean(two)[other_class] == 0);
}

TEST_CASE("a strip that lies off the rest goes where both lie, and is named with its step") {
    for (const double gap : {0.04, -0.06}) {
        CAPTURE(gap);
        Survey s = scan(60, 0.012);
        s.strips.assign(s.points.size(), 7);
        std::size_t second = 0;
        for (std::size_t k = 0; k < s.points.size(); ++k)
            if (k % 3 == 0 && s.points[k].x > 8) {
                s.strips[k] = 9;
                s.points[k].z += gap;
                ++second;
            }
        clean(s);
        std::size_t gone = 0, wrong = 0;
        for (std::size_t k = 0; k < s.points.size(); ++k)
            (s.strips[k] == 9 ? gone : wrong) += s.removed[k] == double_strip;
        // Where a cell holds two points or less of either nothing is compared.
        CHECK(static_cast<double>(gone) > 0.95 * static_cast<double>(second));
        CHECK(wrong == 0);
        REQUIRE(warns(s, "strip 9 lies "));
        const std::size_t at = s.warnings[0].find("strip 9 lies ") + 13;
        CHECK(std::abs(std::stod(s.warnings[0].substr(at)) - 1000 * std::abs(gap)) < 3);
        CHECK(warns(s, gap > 0 ? "mm above the rest" : "mm below the rest"));
    }
    // Strips that meet stay whole.
    Survey s = scan(60, 0.012);
    for (std::size_t k = 0; k < s.points.size(); ++k) s.strips.push_back(static_cast<std::uint16_t>(k % 2));
    CHECK(clean(s)[double_strip] == 0);
}

TEST_CASE("two sheets in a file without strips are told from one, and the fuller one stays") {
    for (const bool upper : {false, true}) {
        Survey s = scan(300, 0.003);
        std::size_t second = 0;
        std::vector<bool> of_second(s.points.size());
        for (std::size_t k = 0; k < s.points.size(); ++k)
            if (k % 5 < 2) {
                s.points[k].z += upper ? 0.03 : -0.03;
                of_second[k] = true;
                ++second;
            }
        const auto counts = clean(s);
        std::size_t gone = 0, wrong = 0;
        for (std::size_t k = 0; k < s.points.size(); ++k) (of_second[k] ? gone : wrong) += s.removed[k] != kept;
        CHECK(static_cast<double>(gone) > 0.98 * static_cast<double>(second));
        CHECK(static_cast<double>(wrong) < 0.02 * static_cast<double>(s.points.size() - second));
        CHECK(counts[double_strip] > 0.9 * static_cast<double>(second));
        CHECK(warns(s, "lies double, 30 mm apart"));
    }
}

TEST_CASE("one sheet is not called two: noise of any size, clutter, a rim of longer grass") {
    for (const double noise : {0.0, 0.003, 0.01, 0.02}) {
        CAPTURE(noise);
        Survey s = scan(300, noise);
        CHECK(clean(s)[double_strip] == 0);
    }
    Survey grass = scan(300, 0.003);
    Random random(3);
    for (Vec3& p : grass.points)
        if (std::hypot(p.x - 10, p.y - 10) > 8 && random.uniform() < 0.6) p.z += random.uniform(0.0, 0.08);
    CHECK(clean(grass)[double_strip] == 0);
}
