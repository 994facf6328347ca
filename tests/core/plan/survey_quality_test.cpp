#include "core/plan/survey_quality.h"

#include "core/base/constants.h"
#include "core/base/error.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;

namespace {

// A disc of 9 m on a plane of 2 %, with the given errors of height.
TerrainModel disc(const ErrorModel& error, double slope_se) {
    TerrainModel t;
    std::vector<Vec2> ring;
    for (int k = 0; k < 90; ++k) ring.push_back({10 + 9 * std::cos(k * kPi / 45), 10 + 9 * std::sin(k * kPi / 45)});
    t.outline = Outline(ring, OutlineSource::file);
    SplineGrid g{44, 44, -0.5, -0.5, 0.5, {}};
    for (int j = 0; j < g.rows; ++j)
        for (int i = 0; i < g.columns; ++i) g.coefficients.push_back(0.02 * (g.x0 + i * g.cell));
    t.surface = std::make_shared<const SplineSurface>(g);
    t.grid.height = t.grid.height_se = t.grid.slope_se = Raster(40, 40, 0, 0, 0.5);
    t.grid.mask.assign(1600, 0);
    for (int j = 0; j < 40; ++j)
        for (int i = 0; i < 40; ++i) {
            const std::size_t k = t.grid.height.index(i, j);
            t.grid.mask[k] = t.outline.contains(t.grid.height.centre(i, j));
            t.grid.height_se.values[k] = 0.001;
            t.grid.slope_se.values[k] = slope_se;
        }
    t.error = error;
    t.noise_m = 0.004;
    t.points_used = 100000;
    return t;
}

}  // namespace

TEST_CASE("the error of a 3 m aim on a plane follows from the slope's error: short correlation averages out, long does not") {
    Progress progress;
    // Error over a very long length is a tilt of the plane: across 2 % at 10 ft a tilt by dS moves the aim of a 3 m putt by
    // about what one more dS of slope breaks (0.18 m per % at 3 m and this pace, from the table of the plane).
    const SurveyQuality tilt = survey_quality(disc({0, 1, 0.02, 20}, 0.001), progress);
    CHECK(tilt.putts >= 10);
    CHECK(tilt.slope_se == doctest::Approx(0.001));
    CHECK(tilt.aim_se_m > 0.008);
    CHECK(tilt.aim_se_m < 0.03);
    // The same slope variance over half a metre averages along the putt.
    const SurveyQuality rough = survey_quality(disc({0.0005, 0.5, 0, 3}, 0.001), progress);
    CHECK(rough.aim_se_m < 0.7 * tilt.aim_se_m);
    CHECK(tilt.correlated_share == doctest::Approx(1));
    CHECK(rough.correlated_share == doctest::Approx(0));
    // Twice the error is twice the aim's: linear.
    const SurveyQuality twice = survey_quality(disc({0, 1, 0.04, 20}, 0.002), progress);
    CHECK(twice.aim_se_m == doctest::Approx(2 * tilt.aim_se_m).epsilon(0.01));
}

TEST_CASE("the verdict falls from stations to hole positions to an overview as the survey gets worse, with advice") {
    Progress progress;
    const SurveyQuality good = survey_quality(disc({0.001, 0.8, 0.002, 3}, 0.0015), progress);
    CHECK(good.verdict == SurveyVerdict::stations);
    CHECK(good.advice.empty());
    const SurveyQuality fair = survey_quality(disc({0.004, 1.0, 0.009, 3}, 0.0035), progress);
    CHECK(fair.verdict == SurveyVerdict::hole_positions);
    CHECK(fair.advice.size() == 1);
    const SurveyQuality poor = survey_quality(disc({0.01, 1.0, 0.02, 3}, 0.012), progress);
    CHECK(poor.verdict == SurveyVerdict::overview_only);
    CHECK_FALSE(poor.advice.empty());
    int limiting = 0;
    for (const QualityFact& f : poor.facts) limiting += f.limits;
    CHECK(limiting == 2);   // slope and aim
    CHECK(to_text(poor.verdict) == "overview only");
}

TEST_CASE("a green with a twentieth of it missing is an overview, whatever its points are worth") {
    Progress progress;
    TerrainModel t = disc({0.001, 0.8, 0.002, 3}, 0.0015);
    t.outline = t.outline.with_gaps({{{8, 8}, {12, 8}, {12, 12}, {8, 12}}});
    const SurveyQuality q = survey_quality(t, progress);
    CHECK(q.missing == doctest::Approx(16 / (kPi * 81)).epsilon(0.01));
    CHECK(q.verdict == SurveyVerdict::overview_only);
}

TEST_CASE("on a green too small for any 3 m putt the aim is not known and that is said") {
    Progress progress;
    TerrainModel t = disc({0.001, 0.8, 0.002, 3}, 0.0015);
    t.outline = Outline({{9, 9}, {11, 9}, {11, 11}, {9, 11}}, OutlineSource::data_boundary);
    const SurveyQuality q = survey_quality(t, progress);
    CHECK(q.putts == 0);
    CHECK(q.verdict == SurveyVerdict::hole_positions);
    CHECK(q.facts.back().value == "not known");
    CHECK(q.advice.size() == 2);   // denser points, and an outline
    CHECK_THROWS_AS(survey_quality(TerrainModel{}, progress), Error);
}

TEST_CASE("a dome against check points is told with advice and holds the verdict down; without one nothing is claimed") {
    Progress progress;
    const auto with_checks = [&](double dome) {
        TerrainModel t = disc({0.001, 0.8, 0.002, 3}, 0.0015);
        // Heights that are lower in the middle than the surface by the dome, over 8 m; 2 mm to and fro.
        int k = 0;
        for (double y = 3; y <= 17; y += 2)
            for (double x = 3; x <= 17; x += 2) {
                if (t.outline.signed_distance({x, y}) < kCheckInsideM) continue;
                const double r2 = (x - 10) * (x - 10) + (y - 10) * (y - 10);
                t.checks.push_back({x, y, 0.02 * x + dome * r2 / 49 + 0.002 * std::sin(7.0 * ++k)});
            }
        return survey_quality(t, progress);
    };
    const auto fact = [](const SurveyQuality& q, const std::string& name) {
        for (const QualityFact& f : q.facts)
            if (f.name == name) return f;
        return QualityFact{};
    };
    const SurveyQuality none = with_checks(0);
    CHECK(none.verdict == SurveyVerdict::stations);
    CHECK(none.advice.empty());
    CHECK(fact(none, "Dome").meaning.find("no more than chance") != std::string::npos);
    CHECK(fact(none, "Check points").value.find("mm RMS") != std::string::npos);
    CHECK(fact(none, "Shared error").meaning.find("no survey shows it by itself") != std::string::npos);

    // 2 D / R: 12 mm over 7 m turn slopes by 0.34 %, 30 mm by 0.86 %; the limit is 0.4 %.
    const SurveyQuality some = with_checks(0.012), much = with_checks(0.030), slight = with_checks(0.005);
    CHECK(some.bent);
    CHECK(some.verdict == SurveyVerdict::hole_positions);
    CHECK(some.advice.size() == 1);
    CHECK(some.advice.front().find("stands up in the middle by 12 mm") != std::string::npos);
    CHECK(fact(some, "Dome").limits);
    CHECK(much.verdict == SurveyVerdict::overview_only);
    CHECK_FALSE(slight.bent);
    CHECK(slight.verdict == SurveyVerdict::stations);

    // Few check points give a mean and say what is missing.
    TerrainModel few = disc({0.001, 0.8, 0.002, 3}, 0.0015);
    few.checks = {{10, 10, 0.19}, {12, 10, 0.23}};
    const SurveyQuality two = survey_quality(few, progress);
    CHECK(two.check.count == 2);
    CHECK(fact(two, "Dome and tilt").value == "not known");
}

TEST_CASE("points put back that are no turf make an overview of the best survey, with the reason; such that are turf change nothing") {
    Progress progress;
    TerrainModel t = disc({0.001, 0.8, 0.002, 3}, 0.0015);
    const auto fact = [](const SurveyQuality& q) {
        for (const QualityFact& f : q.facts)
            if (f.name == "Put back") return f;
        return QualityFact{};
    };
    CHECK(survey_quality(t, progress).verdict == SurveyVerdict::stations);
    CHECK(fact(survey_quality(t, progress)).value.empty());
    t.put_back = {900, 0.004, 1.01};
    const SurveyQuality turf = survey_quality(t, progress);
    CHECK(turf.verdict == SurveyVerdict::stations);
    CHECK(fact(turf).value == "900 points");
    CHECK(!fact(turf).limits);
    t.put_back = {900, 0.21, 7};
    const SurveyQuality thing = survey_quality(t, progress);
    CHECK(thing.verdict == SurveyVerdict::overview_only);
    CHECK(fact(thing).limits);
    CHECK(fact(thing).meaning.find("210 mm about the surface and are probably no turf") != std::string::npos);
    CHECK(thing.advice.front().find("put back away again") != std::string::npos);
}
