#include "core/plan/mark_geometry.h"

#include "core/base/error.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

using namespace brae;
using namespace brae::test;

namespace {

MarkGeometry judged(const Outline& outline, const std::vector<TapePoint>& marks) {
    Progress progress;
    return mark_geometry(outline, marks, progress);
}

const Outline kRound = ellipse({0, 0}, 10, 10);

}  // namespace

// Two tapes of 1 cm cross square with 1.41 cm and at 30 degrees with 2.83 cm (derived: sqrt(2) cm / sin).
TEST_CASE("two marks a diameter apart tape all of a round green under 90 to 150 degrees but check none of it") {
    // Every point inside a circle sees its diameter under more than 90 degrees (Thales); under 150 where it is not near it.
    const MarkGeometry g = judged(kRound, {{"A", {-10, 0}}, {"B", {10, 0}}});
    // Seen under more than 150 degrees: inside both circles through A and B whose chord they see under 150: by the inscribed
    // angle, two segments of radius 10/sin(150) = 20 m and sagitta 20 - 10 sqrt(3), of the disc's 314.2 m2.
    const double half = kPi / 6, segment = 0.5 * 20 * 20 * (2 * half - std::sin(2 * half));
    CHECK(g.taped == doctest::Approx(1 - 2 * segment / (kPi * 100)).epsilon(0.02));
    CHECK(g.checked == 0);
    CHECK((g.worst_crossing_deg > 140 && g.worst_crossing_deg <= 150));
    CHECK((g.se_m > 0.0141 && g.se_m < 0.0283));
}

TEST_CASE("a third mark off the line checks nearly all of it, and one on the line checks nothing") {
    // A mark on the line of the two others is as far from a place as from its mirror image.
    const MarkGeometry on_line = judged(kRound, {{"A", {-11, 0}}, {"B", {11, 0}}, {"C", {14, 0}}});
    CHECK(on_line.checked == 0);
    const MarkGeometry off = judged(kRound, {{"A", {-11, 0}}, {"B", {11, 0}}, {"C", {0, -11}}});
    CHECK(off.taped == 1);
    CHECK(off.checked > 0.95);
    CHECK(off.se_m < 0.017);
}

TEST_CASE("the place that is named for a further mark lies outside the edge, across from the others, and keeps its promise") {
    const std::vector<TapePoint> marks{{"A", {-11, 0}}, {"B", {0, -11}}};
    const MarkGeometry g = judged(kRound, marks);
    REQUIRE(g.help);
    CHECK(norm(*g.help) == doctest::Approx(11).epsilon(0.02));
    CHECK((g.help->x > 0 && g.help->y > 0));
    std::vector<TapePoint> more = marks;
    more.push_back({"C", *g.help});
    const MarkGeometry with = judged(kRound, more);
    CHECK(with.checked == g.checked_with_help);
    CHECK(with.taped == g.taped_with_help);
    CHECK(with.checked > g.checked + 0.5);
}

TEST_CASE("without marks nothing can be taped, one more helps nothing, and no number is invented") {
    for (const auto& marks : {std::vector<TapePoint>{}, std::vector<TapePoint>{{"A", {500, 0}}}}) {
        const MarkGeometry g = judged(kRound, marks);
        CHECK(g.taped == 0);
        CHECK(g.checked == 0);
        CHECK(std::isnan(g.se_m));
        CHECK(!g.help);
    }
    Progress progress;
    CHECK_THROWS_AS(mark_geometry(Outline(), {}, progress), Error);
}

TEST_CASE("with marks all round nothing is asked for") {
    std::vector<TapePoint> marks;
    for (int k = 0; k < 12; ++k) marks.push_back({std::string(1, static_cast<char>('A' + k)), {11 * std::cos(kPi * k / 6), 11 * std::sin(kPi * k / 6)}});
    const MarkGeometry g = judged(kRound, marks);
    CHECK(g.taped == 1);
    CHECK(g.checked == 1);
    CHECK(!g.help);
}

TEST_CASE("judging ends within a step when it is cancelled") {
    Progress progress;
    progress.cancel();
    CHECK_THROWS(mark_geometry(kRound, {{"A", {-11, 0}}, {"B", {0, -11}}}, progress));
}
