#include "core/record/kept_plan.h"

#include "core/record/green_file.h"
#include "tests/core/record/green_file_checks.h"
#include "tests/support/refusal.h"

using namespace brae;
using namespace brae::test;

namespace {

Green bare() {
    Green g = sample_green();
    g.holes.clear();
    g.skipped.clear();
    return g;
}
const std::vector<PlannedHole> kThree{{"2026-05-02", {12, 10}, 9.5}, {"2026-05-03", {15, 10}, 9.5}, {"2026-05-04", {18, 12}, 9.5}};

}  // namespace

TEST_CASE("a kept plan goes through the file and is replaced by the next, while holes set by hand, cut holes and skipped days stay") {
    Green g = bare();
    HistoryEntry first = with_plan(g, "2026-05-02", 3, kThree, "JM");
    REQUIRE(first.green.holes.size() == 3);
    CHECK(first.remarks.empty());
    const Scratch scratch;
    Progress progress;
    write_green_file(first.green, scratch / "g.gpkg", progress);
    g = read_green_file(scratch / "g.gpkg");
    REQUIRE(g.holes.size() == 3);
    for (const StoredHole& h : g.holes) {
        CHECK(h.by_plan);
        CHECK(h.set_by == "JM");
        CHECK(h.speed_ft == 9.5);
        CHECK_FALSE(h.today);
    }

    // The greenkeeper moves the second day by hand; the third will be skipped; the first was cut.
    g = with_hole_set(g, {"2026-05-03", {15, 13}, "AB", "away from the wet", {}}).green;
    g = with_hole_cut(g, {"2026-05-02", {12, 10.5}, "AB", "", {}}).green;
    g.skipped = {{"2026-05-04", "machines", ""}};
    const HistoryEntry again = with_plan(g, "2026-05-02", 4, {{"2026-05-02", {20, 10}}, {"2026-05-03", {20, 10}}, {"2026-05-04", {20, 10}}, {"2026-05-05", {20, 10}}});
    const auto on = [&](const std::string& date) {
        std::vector<StoredHole> out;
        for (const StoredHole& h : again.green.holes)
            if (h.date == date) out.push_back(h);
        return out;
    };
    REQUIRE(on("2026-05-02").size() == 1);
    CHECK(on("2026-05-02")[0].as_cut);
    REQUIRE(on("2026-05-03").size() == 1);
    CHECK(on("2026-05-03")[0].p == Vec2{15, 13});
    CHECK_FALSE(on("2026-05-03")[0].by_plan);
    CHECK(on("2026-05-04").empty());
    REQUIRE(on("2026-05-05").size() == 1);
    CHECK(on("2026-05-05")[0].by_plan);
    CHECK(std::any_of(again.remarks.begin(), again.remarks.end(), [](const std::string& r) { return holds(r, "2026-05-04 is skipped (machines)"); }));
}

TEST_CASE("a plan takes away what an earlier one chose for later days too near to it, and says so") {
    Green g = with_plan(bare(), "2026-05-02", 3, kThree, "").green;
    g = with_hole_set(g, {"2026-05-06", {14, 13}, "AB", "", {}}).green;
    const HistoryEntry again = with_plan(g, "2026-05-02", 2, {{"2026-05-02", {18, 12}}, {"2026-05-03", {12, 10}}});
    REQUIRE(again.green.holes.size() == 3);
    CHECK(again.green.holes[2].date == "2026-05-06");
    CHECK(std::any_of(again.remarks.begin(), again.remarks.end(), [](const std::string& r) { return holds(r, "1 of them for days after these"); }));
}

TEST_CASE("today's hole that a plan had chosen passes on to the new choice of that day") {
    Green g = with_plan(bare(), "2026-05-02", 3, kThree).green;
    g.holes.front().today = true;
    g = with_plan(g, "2026-05-02", 1, {{"2026-05-02", {14, 14}}}).green;
    REQUIRE(g.todays_hole());
    CHECK(g.todays_hole()->p == Vec2{14, 14});
    CHECK(g.holes.size() == 3);   // the days that were not planned anew stay
}

TEST_CASE("a plan outside its days, twice for a day or off the green is refused, and so is a hole for a day that is told") {
    const Green g = bare();
    CHECK(holds(refusal([&] { with_plan(g, "2026-05-02", 1, {{"2026-05-03", {12, 10}}}); }), "2026-05-03 lies outside the plan of 2026-05-02 to 2026-05-02"));
    CHECK(holds(refusal([&] { with_plan(g, "2026-05-02", 2, {{"2026-05-02", {12, 10}}, {"2026-05-02", {15, 10}}}); }), "two holes are planned for 2026-05-02"));
    CHECK(holds(refusal([&] { with_plan(g, "2026-05-02", 2, {{"2026-05-02", {120, 10}}}); }), "m outside the green"));
    CHECK(holds(refusal([&] { with_plan(g, "soon", 2, {}); }), "'soon'"));
    const Green cut = with_hole_cut(g, {"2026-05-02", {12, 10}, "", "", {}}).green;
    CHECK(holds(refusal([&] { with_hole_set(cut, {"2026-05-02", {15, 10}, "", "", {}}); }), "is told as cut"));
    const Green frost = with_day_skipped(cut, {"2026-05-03", "frost", ""}).green;
    CHECK(holds(refusal([&] { with_hole_set(frost, {"2026-05-03", {15, 10}, "", "", {}}); }), "skipped (frost)"));
}
