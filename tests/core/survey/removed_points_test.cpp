#include "core/survey/removed_points.h"

#include "core/base/random.h"
#include "core/survey/read_survey.h"
#include "tests/support/support.h"

#include <algorithm>
#include <cmath>

using namespace brae;

namespace {

// Flat turf of 20 m with a box of things 0.4 m high at (5, 5), one at (15, 15), and a plant by class.
struct Lawn {
    Survey survey;
    std::size_t turf = 0, first = 0, second = 0, plants = 0;   // the points stand in this order
};

Lawn lawn() {
    Lawn out;
    Random random(11);
    const auto add = [&](double x0, double x1, double y0, double y1, double z0, double z1, std::size_t n, std::uint16_t kind) {
        for (std::size_t k = 0; k < n; ++k) {
            out.survey.points.push_back({random.uniform(x0, x1), random.uniform(y0, y1), random.uniform(z0, z1)});
            out.survey.classes.push_back(kind);
        }
        return n;
    };
    out.turf = add(0, 20, 0, 20, -0.003, 0.003, 20000, 1);
    out.first = add(4.9, 5.1, 4.9, 5.1, 0.3, 0.4, 30, 1);
    out.second = add(14.9, 15.1, 14.9, 15.1, 0.3, 0.4, 40, 1);
    out.plants = add(10, 10.2, 3, 3.2, 0.0, 0.002, 25, 4);
    return out;
}

std::size_t kept_of(const Survey& s, std::size_t begin, std::size_t count) {
    return static_cast<std::size_t>(std::count(s.removed.begin() + static_cast<std::ptrdiff_t>(begin),
                                               s.removed.begin() + static_cast<std::ptrdiff_t>(begin + count), std::uint8_t{kept}));
}

}  // namespace

TEST_CASE("every reason has a word of its own that leads back to it") {
    for (std::size_t k = 1; k < kRemovalReasons; ++k) {
        const auto reason = static_cast<RemovalReason>(k);
        CHECK(reason_of(word_of(reason)) == reason);
        CHECK((words_to_put_back().find(word_of(reason)) == std::string::npos) == (reason == outside_clip));
    }
    CHECK_FALSE(reason_of(""));
    CHECK_FALSE(reason_of("kept"));
    CHECK_FALSE(reason_of("above the turf"));
}

TEST_CASE("nothing is put back unless it is asked for, and asking for nothing changes nothing") {
    Lawn a = lawn(), b = lawn();
    Progress quiet;
    const auto counts = clean_survey(a.survey, quiet);
    CHECK(counts[above_turf] >= 60);
    CHECK(counts[other_class] == a.plants);
    CHECK(kept_of(a.survey, a.turf, a.first) == 0);
    PutBack nothing;
    CHECK(nothing.empty());
    clean_survey(b.survey, quiet, nothing);
    CHECK(a.survey.removed == b.survey.removed);
}

TEST_CASE("a box keeps what lies in it, whatever the reason, and nothing else") {
    Lawn plain = lawn(), s = lawn();
    Progress quiet;
    clean_survey(plain.survey, quiet);
    PutBack put_back;
    put_back.boxes = {{4, 4, 6, 6}, {9.9, 2.9, 10.3, 3.3}};
    clean_survey(s.survey, quiet, put_back);
    CHECK(kept_of(s.survey, s.turf, s.first) == s.first);
    CHECK(kept_of(s.survey, s.turf + s.first, s.second) == 0);
    CHECK(kept_of(s.survey, s.turf + s.first + s.second, s.plants) == s.plants);
    for (std::size_t k = 0; k < s.survey.points.size(); ++k)
        if (!put_back.in_box({s.survey.points[k].x, s.survey.points[k].y})) CHECK(s.survey.removed[k] == plain.survey.removed[k]);
}

TEST_CASE("a reason that is put back is a rule switched off: plants by name are judged by where they lie") {
    Progress quiet;
    Lawn s = lawn();
    PutBack put_back;
    put_back.reasons[other_class] = true;
    auto counts = clean_survey(s.survey, quiet, put_back);
    CHECK(counts[other_class] == 0);
    CHECK(counts[above_turf] >= 60);
    CHECK(kept_of(s.survey, s.turf + s.first + s.second, s.plants) > s.plants / 2);

    Lawn t = lawn();
    put_back = {};
    put_back.reasons[above_turf] = true;
    counts = clean_survey(t.survey, quiet, put_back);
    CHECK(counts[above_turf] == 0);
    CHECK(counts[other_class] == t.plants);
    CHECK(kept_of(t.survey, t.turf, t.first + t.second) == t.first + t.second);
}

TEST_CASE("what lies outside the edge stays out, whatever is put back") {
    Lawn s = lawn();
    s.survey.outline = Outline({{8, 0}, {20, 0}, {20, 20}, {8, 20}}, OutlineSource::file);
    PutBack all;
    all.reasons.fill(true);
    all.boxes = {{-10, -10, 30, 30}};
    Progress quiet;
    const auto counts = clean_survey(s.survey, quiet, all);
    CHECK(counts[outside_clip] > 5000);
    CHECK(counts[outside_clip] + counts[kept] == s.survey.points.size());
}

TEST_CASE("the points to look at are thinned evenly, the same every time, and the counts are whole") {
    Survey s;
    for (int k = 0; k < 1000; ++k) {
        s.points.push_back({k * 0.01, 0, 0});
        s.removed.push_back(k % 4 == 0 ? kept : k % 2 == 0 ? below_turf : above_turf);
    }
    const RemovedPoints all = removed_points(s, {}, 1000), few = removed_points(s, {}, 100);
    CHECK(all.points.size() == 750);
    CHECK(all.total() == 750);
    CHECK(few.counts == all.counts);
    CHECK(few.counts[above_turf] == 500);
    CHECK(few.counts[kept] == 0);
    const auto above = std::count_if(few.points.begin(), few.points.end(), [](const RemovedPoint& p) { return p.reason == above_turf; });
    CHECK(above == 100);
    // Every fifth of the five hundred: no stretch of the survey is left out.
    for (std::size_t k = 1; k < 100; ++k) CHECK(few.points[k].p.x - few.points[k - 1].p.x == doctest::Approx(0.10));
    CHECK(removed_points(s, {}, 100).points == few.points);
    CHECK(removed_points(s, {}, 0).points.empty());
    CHECK(removed_points(Survey{}).total() == 0);
}

TEST_CASE("longer grass outside the edge is counted and shown as outside it, not as clutter above the turf") {
    Survey s;
    for (int k = 0; k < 100; ++k) {
        s.points.push_back({k * 0.1 + 0.05, 1, 0.3});
        s.removed.push_back(k < 50 ? above_turf : k < 70 ? kept : k < 90 ? outside_clip : sparse);
    }
    const Outline edge({{2, 0}, {9.5, 0}, {9.5, 2}, {2, 2}}, OutlineSource::file);
    const RemovedPoints out = removed_points(s, edge);
    CHECK(out.counts[above_turf] == 30);
    CHECK(out.counts[sparse] == 5);
    CHECK(out.counts[outside_clip] == 20 + 20 + 5);
    CHECK(out.total() == removed_points(s).total());
    CHECK(removed_points(s).counts[above_turf] == 50);
    for (const RemovedPoint& p : out.points)
        if (p.reason != outside_clip) CHECK(edge.contains({p.p.x, p.p.y}));
}
