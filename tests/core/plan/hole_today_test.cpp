#include "core/plan/hole_today.h"

#include "core/base/units.h"
#include "core/plan/course_greens.h"
#include "tests/support/greens.h"
#include "tests/support/support.h"

using namespace brae;
using namespace brae::test;

namespace {

// Fair places with scores of a formula, without any judgement.
GreenJudgement scored(const std::function<double(Vec2)>& score) {
    GreenJudgement out;
    out.spacing_m = 1;
    for (int j = -12; j <= 12; ++j)
        for (int i = -7; i <= 7; ++i) {
            HolePosition h;
            h.p = {double(i), double(j)};
            h.score = score(h.p);
            h.fair = true;
            h.criteria = {{"edge", true, 5, 4, "m", "", true, true}};
            out.places.push_back(h);
        }
    out.fair = out.places.size();
    return out;
}

}  // namespace

TEST_CASE("three places lie apart, in other thirds where scores allow, and clear of recent holes") {
    const GreenThirds thirds = thirds_of(ellipse({0, 0}, 9, 15), Vec2{0, 1});
    // Best in the south, a little less towards the north.
    const GreenJudgement all = scored([](Vec2 p) { return 0.5 - 0.002 * p.y; });
    const TodayHoles today = choose_today(all, thirds, {{-7, -12}});
    REQUIRE(today.best.size() == 3);
    for (std::size_t k = 0; k < 3; ++k) {
        CHECK(distance(today.best[k].p, {-7, -12}) >= 3);
        CHECK_FALSE(today.best[k].why.empty());
        for (std::size_t n = 0; n < k; ++n) {
            CHECK(distance(today.best[k].p, today.best[n].p) >= 3);
            CHECK(thirds.along(today.best[k].p) != thirds.along(today.best[n].p));
        }
    }
    CHECK(today.best[0].why.find("front third") == 0);
    // Where one third alone is any good all three come from it.
    for (const HolePosition& h : choose_today(scored([](Vec2 p) { return p.y > 6 ? 0.9 : 0.1; }), thirds, {}).best) CHECK(h.p.y > 6);
}

TEST_CASE("no fair place, or none clear of recent holes, is said") {
    const GreenThirds thirds = thirds_of(ellipse({0, 0}, 9, 15), std::nullopt);
    GreenJudgement none;
    none.why_none = "because";
    CHECK(choose_today(none, thirds, {}).why_none == "because");
    std::vector<Vec2> everywhere;
    for (int j = -12; j <= 12; j += 2)
        for (int i = -8; i <= 8; i += 2) everywhere.push_back({double(i), double(j)});
    CHECK(choose_today(scored([](Vec2) { return 0.5; }), thirds, everywhere).why_none.find("nearer than 3.0 m to a recent hole") != std::string::npos);
}

TEST_CASE("the ramp goes to the flattest square, along its fall line, and off closed ground") {
    // 3 % everywhere but for a shelf of 0.4 % falling to the east round (4, 3).
    const TerrainModel green = green_of([](double x, double y) {
        const double r2 = (x - 4) * (x - 4) + (y - 3) * (y - 3), on = 1 / (1 + std::exp((std::sqrt(r2) - 3.2) / 0.25));
        return 100 - on * 0.004 * (x - 4) + (1 - on) * 0.03 * (y - 3);
    }, ellipse({0, 0}, 10, 10));
    const auto site = flattest_site(green, {}, 10);
    REQUIRE(site);
    CHECK(distance(site->centre, {4, 3}) < 0.8);
    CHECK(site->slope == doctest::Approx(0.004).epsilon(0.1));
    CHECK(std::abs(wrapped(radians(site->bearing_deg - 270))) < radians(8));   // uphill is west
    for (Vec2 c : site->corners) CHECK(green.outline.contains(c));
    CHECK(distance(site->corners[0], site->corners[2]) == doctest::Approx(3 * std::sqrt(2.0)));
    CHECK(site->sentence.find("fall line") != std::string::npos);
    const auto other = flattest_site(green, {{{3, 2}, {5, 2}, {5, 4}, {3, 4}}}, 10);
    REQUIRE(other);
    CHECK(distance(other->centre, {4, 3}) > 1.5);
    CHECK_FALSE(flattest_site(green_of(tilted(0.01, {0, 1}), ellipse({0, 0}, 1.8, 1.8)), {}, 10));
    // On a plane of 0.5 % at 10 ft the two ways differ by 2 S e / (1 - e^2) = 1.28 ft (derived).
    CHECK(flattest_site(green_of(tilted(0.005, {0, 1}), ellipse({0, 0}, 8, 8)), {}, 10)->sentence.find("about 1.3 ft") != std::string::npos);
}
