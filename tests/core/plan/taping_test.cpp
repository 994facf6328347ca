#include "core/plan/taping.h"

#include "core/base/error.h"
#include "core/base/random.h"
#include "core/base/units.h"
#include "tests/support/support.h"

#include <cmath>
#include <string>

using namespace brae;

namespace {

TapeReading tape(const std::string& name, Vec2 mark, Vec2 to, double error = 0) {
    return {{name, mark}, distance(mark, to) + error};
}

std::string refusal(const std::vector<TapeReading>& tapes, std::optional<TapeSide> side,
                    const std::vector<TapeReading>& checks = {}) {
    try {
        locate_by_tapes(tapes, side, checks);
    } catch (const Error& e) {
        return e.what();
    }
    return "";
}

// Two marks placed so that their tapes to the origin cross at an angle.
std::vector<TapeReading> crossing(double deg, double e1 = 0, double e2 = 0) {
    const Vec2 a{10, 0}, b{12 * std::cos(radians(deg)), 12 * std::sin(radians(deg))};
    return {tape("S1", a, {0, 0}, e1), tape("S2", b, {0, 0}, e2)};
}

}  // namespace

TEST_CASE("two exact tapes and a side give back the point they were taken to") {
    Random random(11);
    int tried = 0;
    while (tried < 200) {
        const Vec2 a{random.uniform(0, 30), random.uniform(0, 30)}, b{random.uniform(0, 30), random.uniform(0, 30)};
        const Vec2 p{random.uniform(0, 30), random.uniform(0, 30)};
        const auto plan = plan_tapes({{"a", a}, {"b", b}}, p);
        if (!plan) continue;
        ++tried;
        const TapeFix fix = locate_by_tapes({plan->first, plan->second}, plan->side, {});
        CHECK(distance(fix.p, p) < 1e-7);
        CHECK(fix.crossing_deg == doctest::Approx(plan->crossing_deg).epsilon(1e-6));
        CHECK_FALSE(fix.residual_m.has_value());
    }
}

TEST_CASE("left is left as one stands on the first mark and looks at the second") {
    const std::vector<TapeReading> tapes = {tape("a", {0, 0}, {3, 4}), tape("b", {10, 0}, {3, 4})};
    CHECK(distance(locate_by_tapes(tapes, TapeSide::left, {}).p, {3, 4}) < 1e-9);
    CHECK(distance(locate_by_tapes(tapes, TapeSide::right, {}).p, {3, -4}) < 1e-9);
    CHECK(distance(locate_by_tapes({tapes[1], tapes[0]}, TapeSide::left, {}).p, {3, -4}) < 1e-9);
}

// check-values.md, Surveys and setting out; derived: sqrt(2) / sin(crossing) cm.
TEST_CASE("each tape wrong by 1 cm makes 1.4 cm at 90 degrees and 2.8 cm at 30") {
    CHECK(locate_by_tapes(crossing(90), TapeSide::left, {}).se_m == doctest::Approx(0.0141).epsilon(0.01));
    CHECK(locate_by_tapes(crossing(30.001), TapeSide::left, {}).se_m == doctest::Approx(0.0283).epsilon(0.01));
    // And by simulation: independent errors of 1 cm, root mean square of the distance to the true place.
    Random random(5);
    double sum = 0;
    for (int k = 0; k < 20000; ++k) {
        const auto fix = locate_by_tapes(crossing(90, 0.01 * random.normal(), 0.01 * random.normal()), TapeSide::left, {});
        sum += dot(fix.p, fix.p);
    }
    CHECK(std::sqrt(sum / 20000) == doctest::Approx(0.01414).epsilon(0.02));
}

// check-values.md: 4 cm at 20 degrees (derived), which is why such a crossing is refused.
TEST_CASE("a crossing under 30 or over 150 degrees is refused and the angle is named") {
    CHECK(0.01 * std::sqrt(2.0) / std::sin(radians(20)) == doctest::Approx(0.0413).epsilon(0.01));
    CHECK(refusal(crossing(20), TapeSide::left).find("20 degrees") != std::string::npos);
    CHECK(refusal(crossing(160), TapeSide::left).find("160 degrees") != std::string::npos);
    CHECK(refusal(crossing(31), TapeSide::left).empty());
}

TEST_CASE("where the marks are known a refused crossing names the pair that crosses best there, or says that there is none") {
    // A and B lie nearly behind one another as seen from (10, 0); C and A are square there.
    const TapePoint a{"A", {0, 0}}, b{"B", {0, 1.7}}, c{"C", {10, -8}};
    const Vec2 p{10, 0};
    const std::vector<TapeReading> tapes{{a, distance(a.p, p)}, {b, distance(b.p, p)}};
    const auto sentence = [&](const std::vector<TapePoint>& known) {
        try {
            locate_by_tapes(tapes, TapeSide::right, {}, known);
        } catch (const Error& e) {
            return std::string(e.what());
        }
        return std::string();
    };
    CHECK(sentence({a, b, c}).find("measure from A and C, which cross at 90 degrees there") != std::string::npos);
    CHECK(sentence({a, b}).find("no pair of marks crosses better there") != std::string::npos);
    CHECK(sentence({}).find("choose another pair") != std::string::npos);
}

TEST_CASE("both crossings of two tapes are told, left first, and none where they do not meet") {
    const TapePoint a{"A", {0, 0}}, b{"B", {6, 0}};
    const auto both = tape_crossings({a, 5}, {b, 5});
    REQUIRE(both.size() == 2);
    CHECK(distance(both[0], {3, 4}) < 1e-12);
    CHECK(distance(both[1], {3, -4}) < 1e-12);
    CHECK(crossing_deg(a.p, b.p, both[0]) == doctest::Approx(2 * degrees(std::asin(0.6))));
    CHECK(tape_crossings({a, 3}, {b, 3}).size() == 1);
    for (const double bad : {2.0, 0.0, -1.0, 101.0, std::nan(""), 11.5}) CHECK(tape_crossings({a, bad}, {b, 3}).empty());
    CHECK(tape_crossings({a, 5}, {a, 5}).empty());
    CHECK(crosses_well(30));
    CHECK(!crosses_well(151));
}

TEST_CASE("a third mark tells the mirror image, and without side or check the caller is asked") {
    const Vec2 p{4, 6};
    const std::vector<TapeReading> two = {tape("S1", {0, 0}, p), tape("S2", {9, 1}, p)};
    CHECK(refusal(two, std::nullopt).find("two places") != std::string::npos);
    const TapeFix fix = locate_by_tapes(two, std::nullopt, {tape("S3", {2, 12}, p, 0.01)});
    CHECK(distance(fix.p, p) < 1e-9);
    CHECK(*fix.residual_m == doctest::Approx(0.01));
    // A check that lies in line with both marks cannot tell.
    CHECK(refusal({tape("S1", {0, 0}, p), tape("S2", {9, 0}, p)}, std::nullopt, {tape("S3", {4, 0}, p)}).find("two places") !=
          std::string::npos);
}

TEST_CASE("a check that is off by more than 3 cm asks to measure again and says by how much") {
    const Vec2 p{4, 6};
    const std::vector<TapeReading> two = {tape("S1", {0, 0}, p), tape("S2", {9, 1}, p)};
    const std::string said = refusal(two, TapeSide::left, {tape("S3", {2, 12}, p, 0.05)});
    CHECK(said.find("measure again") != std::string::npos);
    CHECK(said.find("5.0 cm") != std::string::npos);
    CHECK(refusal(two, TapeSide::left, {tape("S3", {2, 12}, p, 0.029)}).empty());
    CHECK(refusal(two, TapeSide::right, {tape("S3", {2, 12}, p)}).find("other side") != std::string::npos);
}

TEST_CASE("more tapes share their errors by least squares") {
    Random random(8);
    const Vec2 p{5, 5};
    double two = 0, four = 0;
    for (int k = 0; k < 2000; ++k) {
        const auto e = [&] { return 0.005 * random.normal(); };
        const std::vector<TapeReading> all = {tape("a", {0, 5}, p, e()), tape("b", {5, 0}, p, e()), tape("c", {11, 6}, p, e()),
                                              tape("d", {4, 12}, p, e())};
        const TapeFix best = locate_by_tapes(all, std::nullopt, {});
        four += dot(best.p - p, best.p - p);
        const Vec2 q = locate_by_tapes({all[0], all[1]}, TapeSide::left, {}).p;
        two += dot(q - p, q - p);
        CHECK(best.se_m < 0.0142);
    }
    CHECK(four < 0.6 * two);
    CHECK(std::sqrt(four / 2000) == doctest::Approx(0.005).epsilon(0.05));
}

TEST_CASE("tapes that do not meet are told with the gap") {
    CHECK(refusal({{{"S1", {0, 0}}, 3}, {{"S2", {10, 0}}, 4}}, TapeSide::left).find("3.00 m more") != std::string::npos);
    CHECK(refusal({{{"S1", {0, 0}}, 20}, {{"S2", {10, 0}}, 4}}, TapeSide::left).find("6.00 m too long") != std::string::npos);
}

TEST_CASE("readings that mean nothing are wrong use") {
    const TapeReading good{{"S2", {10, 0}}, 8};
    for (const double bad : {0.0, -3.0, 400.0, std::nan("")}) {
        try {
            locate_by_tapes({{{"S1", {0, 0}}, bad}, good}, TapeSide::left, {});
            CHECK(false);
        } catch (const Error& e) {
            CHECK(e.kind() == ErrorKind::usage);
            CHECK(std::string(e.what()).find("S1") != std::string::npos);
        }
    }
    CHECK(refusal({good}, TapeSide::left).find("at least two") != std::string::npos);
    CHECK(refusal({good, good}, TapeSide::left).find("same place") != std::string::npos);
}

TEST_CASE("a plan takes the squarest pair within 30 m and a check that tells the mirror image") {
    const Vec2 p{10, 10};
    const std::vector<TapePoint> known = {{"far", {10, 60}}, {"S1", {0, 10}}, {"S2", {10, 2}}, {"S3", {18, 17}}};
    const auto plan = plan_tapes(known, p);
    REQUIRE(plan);
    CHECK(plan->first.from.name == "S1");
    CHECK(plan->second.from.name == "S2");
    CHECK(plan->crossing_deg == doctest::Approx(90));
    CHECK(plan->se_m == doctest::Approx(0.01414).epsilon(0.001));
    REQUIRE(plan->check);
    CHECK(plan->check->from.name == "S3");
    CHECK(plan->check->metres == doctest::Approx(distance({18, 17}, p)));
    const TapeFix fix = locate_by_tapes({plan->first, plan->second}, std::nullopt, {*plan->check});
    CHECK(distance(fix.p, p) < 1e-9);
}

TEST_CASE("there is no plan where every pair crosses too flat") {
    CHECK_FALSE(plan_tapes({{"a", {0, 0}}, {"b", {20, 0.5}}}, {10, 0}).has_value());
    CHECK_FALSE(plan_tapes({{"a", {0, 0}}}, {10, 0}).has_value());
    CHECK_FALSE(plan_tapes({}, {10, 0}).has_value());
}

TEST_CASE("tapes along one line that miss each other by millimetres do not spoil a third that crosses them") {
    // The place lies between S1 and S2, 23 m apart, whose tapes are 5 mm short of one another.
    const std::vector<TapeReading> tapes = {{{"S1", {0, 0}}, 11.495}, {{"S2", {23, 0}}, 11.50}, {{"S3", {14, 25.822}}, 25.942}};
    for (const std::optional<TapeSide> side : {std::optional<TapeSide>(), std::optional(TapeSide::left), std::optional(TapeSide::right)}) {
        const TapeFix fix = locate_by_tapes(tapes, side, {});
        CHECK(distance(fix.p, {11.4975, 0}) < 0.01);
        CHECK(*fix.residual_m < 0.005);
        CHECK(std::abs(fix.crossing_deg - 90) < 7);
    }
    // In any order, also where one is too long for its pair: p lies beyond S2 on the line through both.
    CHECK(distance(locate_by_tapes({tapes[2], tapes[1], tapes[0]}, std::nullopt, {}).p, {11.4975, 0}) < 0.01);
    const Vec2 p{28, 0};
    const std::vector<TapeReading> beyond = {tape("S1", {0, 0}, p, 0.004), tape("S2", {23, 0}, p), tape("S3", {27, 14}, p)};
    CHECK(distance(locate_by_tapes(beyond, std::nullopt, {}).p, p) < 0.01);

    // Two alone that almost meet do not cross; a larger gap of one pair is an error of a reading, found by the rest.
    CHECK(refusal({tapes[0], tapes[1]}, TapeSide::left).find("cross at 180 degrees") != std::string::npos);
    CHECK(refusal({{{"S1", {0, 0}}, 11.2}, tapes[1], tapes[2]}, std::nullopt).find("measure again") != std::string::npos);
    CHECK(refusal({{{"S1", {0, 0}}, 1}, {{"S2", {23, 0}}, 1}, {{"S3", {14, 25}}, 1}}, std::nullopt).find("do not meet") != std::string::npos);
}

TEST_CASE("a check from a mark that is already taped from is wrong use") {
    const Vec2 p{4, 6};
    const std::vector<TapeReading> two = {tape("S1", {0, 0}, p), tape("S2", {9, 1}, p)};
    CHECK(refusal(two, TapeSide::left, {tape("S2", {9, 1}, p)}).find("check from S2 starts at the mark of the tape from S2") != std::string::npos);
    CHECK(refusal(two, std::nullopt, {tape("twin", {0, 0.01}, p)}).find("tape from S1") != std::string::npos);
}
