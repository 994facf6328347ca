#include "core/record/hole_history.h"

#include "core/base/calendar.h"
#include "core/base/error.h"
#include "tests/core/record/sample_green.h"
#include "tests/support/support.h"
#include "tests/support/refusal.h"

#include <algorithm>

using namespace brae;
using namespace brae::test;

namespace {

int day(const char* text) { return *day_number(text); }
Green green_without_holes() {
    Green g = sample_green();
    g.holes.clear();
    g.skipped.clear();
    return g;
}
// A week: planned on 1, 2, 3 and 5 May; cut elsewhere on the 2nd; frost on the 3rd.
Green a_week() {
    Green g = green_without_holes();
    g.holes = {{"plan", {12, 10}, "2026-05-01", "JM", false}, {"plan", {15, 10}, "2026-05-02", "JM", false},
               {"plan", {18, 10}, "2026-05-03", "JM", false}, {"plan", {12, 14}, "2026-05-05", "JM", true}};
    g = with_hole_cut(g, {"2026-05-02", {15, 11}, "AB", "wet patch", 9.5}).green;
    return with_day_skipped(g, {"2026-05-03", "frost", "AB"}).green;
}

}  // namespace

TEST_CASE("a hole stays until the next one is cut; where it was cut counts, and a plan for a skipped day does not") {
    const std::vector<HoleUse> uses = hole_history(a_week(), day("2026-05-07"));
    REQUIRE(uses.size() == 3);
    CHECK(uses[0].p == Vec2{12, 10});
    CHECK_FALSE(uses[0].as_cut);
    CHECK(uses[0].last_day == day("2026-05-01"));
    CHECK(uses[1].p == Vec2{15, 11});
    CHECK(uses[1].as_cut);
    CHECK(uses[1].planned == Vec2{15, 10});
    CHECK(uses[1].speed_ft == 9.5);
    CHECK(uses[1].last_day == day("2026-05-04"));   // over the frost and the day without an entry
    REQUIRE(uses[1].skipped.size() == 1);
    CHECK(uses[1].skipped[0].reason == "frost");
    CHECK(uses[2].p == Vec2{12, 14});
    CHECK(uses[2].last_day == day("2026-05-06"));
    // What lies ahead is no history.
    CHECK(hole_history(a_week(), day("2026-05-02")).size() == 1);
    CHECK(planned_from(a_week(), day("2026-05-03")).size() == 2);
}

TEST_CASE("days in use, plugs and the week's holes are told for any day") {
    const Green g = a_week();
    const std::vector<PastHole> past = past_holes(g, day("2026-05-07"));
    REQUIRE(past.size() == 6);   // 1; 2, 3, 4; 5, 6 May
    CHECK(past[0].days_before == 1);
    CHECK(past[0].p == Vec2{12, 14});
    CHECK(past[2].days_before == 3);
    CHECK(past[2].p == Vec2{15, 11});
    CHECK(past[5].days_before == 6);
    CHECK(past_holes(g, day("2026-05-07"), 3).size() == 3);

    // The hole of 2 May was plugged on the 5th: after 14 days, on the 19th, it has healed.
    const auto plugs = open_plugs(g, day("2026-05-07"), 14);
    REQUIRE(plugs.size() == 3);
    CHECK(plugs[0].plugged == day("2026-05-07"));
    CHECK(plugs[1].plugged == day("2026-05-05"));
    CHECK(plugs[1].days_left == 12);
    const auto later = open_plugs(g, day("2026-05-18"), 14);
    REQUIRE(later.size() == 2);   // that of 1 May, plugged on the 2nd, healed on the 16th
    CHECK(later[1].days_left == 1);
    CHECK(open_plugs(g, day("2026-05-19"), 14).size() == 1);

    CHECK(holes_of_week(g, day("2026-05-12")).size() == 1);   // 5 May on; the one of 2 May went on the 4th, eight days before
    CHECK(holes_of_week(g, day("2026-05-11")).size() == 2);
}

TEST_CASE("a hole of which nothing more is heard is known for two weeks, and today's without a date was in use yesterday") {
    Green g = green_without_holes();
    g.holes = {{"cut", {12, 10}, "2026-03-01", "", true, true}};
    CHECK(hole_history(g, day("2026-05-01"))[0].last_day == day("2026-03-14"));
    CHECK(past_holes(g, day("2026-05-20"), 60).empty());
    // Water for a month, told day by day, keeps it known.
    g = with_day_skipped(g, {"2026-03-20", "water", ""}).green;
    CHECK(hole_history(g, day("2026-05-01"))[0].last_day == day("2026-04-02"));
    g.holes = {{"taped", {12, 10}, "", "", true}, {"other", {14, 10}, "", "", false}};
    const auto past = past_holes(g, day("2026-05-20"));
    REQUIRE(past.size() == 1);
    CHECK(past[0].days_before == 1);
    CHECK_FALSE(hole_history(g, day("2026-05-20"))[0].dated);
    // A skipped day is told of it too; once a plan has had a day, it is today's no longer.
    g.skipped = {{"2026-05-19", "wet", ""}};
    REQUIRE(hole_history(g, day("2026-05-20"))[0].skipped.size() == 1);
    CHECK(hole_history(g, day("2026-05-20"))[0].skipped[0].reason == "wet");
    g.skipped.clear();
    g.holes.push_back({"plan 2026-05-18", {14, 12}, "2026-05-18", "", false, false, {}, "", true});
    REQUIRE(hole_history(g, day("2026-05-20")).size() == 1);
    CHECK(hole_history(g, day("2026-05-20"))[0].by_plan);
    CHECK_FALSE(hole_history(g, day("2026-05-18"))[0].dated);
}

TEST_CASE("the second hole of a practice green is not told against the first as if that had been planned") {
    const HistoryEntry first = with_hole_cut(green_without_holes(), {"2026-05-02", {12, 10}, "AB", "", {}});
    CutHole second{"2026-05-02", {15, 12}, "AB", "", {}};
    second.beside = true;
    const HistoryEntry both = with_hole_cut(first.green, second);
    CHECK(both.green.holes.size() == 2);
    CHECK(both.remarks.empty());
}

TEST_CASE("a hole as cut becomes today's, keeps the plan beside it, and says how far it is from it") {
    Green g = green_without_holes();
    g.holes = {{"plan", {12, 10}, "2026-05-02", "JM", true}};
    const HistoryEntry entry = with_hole_cut(g, {"2026-05-02", {12, 11}, "AB", "scar", 10.5});
    REQUIRE(entry.green.holes.size() == 2);
    const StoredHole* today = entry.green.todays_hole();
    REQUIRE(today);
    CHECK(today->p == Vec2{12, 11});
    CHECK(today->as_cut);
    CHECK(today->set_by == "AB");
    REQUIRE(entry.remarks.size() == 1);
    CHECK(holds(entry.remarks[0], "1.0 m from the place planned"));
    CHECK(entry.green.speeds.back().speed_ft == 10.5);
    CHECK(g.holes.size() == 1);   // the green that was given stays

    // Told once more, it is corrected, not doubled.
    const HistoryEntry again = with_hole_cut(entry.green, {"2026-05-02", {12.5, 11}, "AB", "", 10.0});
    CHECK(again.green.holes.size() == 2);
    CHECK(again.green.todays_hole()->p == Vec2{12.5, 11});
    CHECK(again.green.speeds.size() == entry.green.speeds.size());
    CHECK(holds(again.remarks[0], "takes the place of the hole at 12.00, 11.00"));
    // And skipped after all: the plan is not taken for cut either.
    const HistoryEntry none = with_day_skipped(again.green, {"2026-05-02", "frost", "AB"});
    CHECK(hole_history(none.green, day("2026-05-05")).empty());
}

TEST_CASE("on a skipped day the hole before stays today's") {
    Green g = green_without_holes();
    g = with_hole_cut(g, {"2026-05-01", {12, 10}, "", "", {}}).green;
    g.holes.push_back({"plan", {15, 10}, "2026-05-02", "", false});
    for (StoredHole& h : g.holes) h.today = h.date == "2026-05-02";   // accepted in the panel, then frost
    const Green frost = with_day_skipped(g, {"2026-05-02", "frost", ""}).green;
    REQUIRE(frost.todays_hole());
    CHECK(frost.todays_hole()->p == Vec2{12, 10});
}

TEST_CASE("a practice green has several holes of one day, and each leaves a plug") {
    Green g = with_hole_cut(green_without_holes(), {"2026-05-01", {12, 10}, "", "", {}}).green;
    g = with_hole_cut(g, {"2026-05-02", {16, 10}, "", "", {}}).green;
    g = with_hole_cut(g, {"2026-05-02", {16, 14}, "", "", {}, true}).green;
    CHECK(std::count_if(g.holes.begin(), g.holes.end(), [](const StoredHole& h) { return h.today; }) == 2);
    CHECK(hole_history(g, day("2026-05-04")).size() == 3);
    CHECK(hole_history(g, day("2026-05-04"))[0].last_day == day("2026-05-01"));
    CHECK(past_holes(g, day("2026-05-04")).size() == 5);
    CHECK(open_plugs(g, day("2026-05-04"), 14).size() == 3);
    CHECK(history_csv(with_history(green_without_holes(), history_csv(g), "h.csv").green) == history_csv(g));
    // Told once more, all of that day are replaced.
    g = with_hole_cut(g, {"2026-05-02", {18, 10}, "", "", {}}).green;
    CHECK(hole_history(g, day("2026-05-04")).size() == 2);
}

TEST_CASE("an open plug under a hole is said") {
    Green g = with_hole_cut(green_without_holes(), {"2026-05-01", {12, 10}, "", "", {}}).green;
    g = with_hole_cut(g, {"2026-05-02", {16, 10}, "", "", {}}).green;
    const HistoryEntry on_plug = with_hole_cut(g, {"2026-05-05", {12.5, 10}, "", "", {}});
    REQUIRE(on_plug.remarks.size() == 1);
    CHECK(holds(on_plug.remarks[0], "0.5 m from a plug that was laid on 2026-05-02 and heals for 11 more days"));
    CHECK(with_hole_cut(g, {"2026-05-16", {12.5, 10}, "", "", {}}).remarks.empty());
}

TEST_CASE("dates backwards, places off the green, speeds that are none and days without a reason are refused with one sentence") {
    const Green g = a_week();
    CHECK(holds(refusal([&] { with_hole_cut(g, {"2026-05-01", {12, 10}, "", "", {}}); }), "goes up to 2026-05-02, and 2026-05-01 lies before it"));
    CHECK(holds(refusal([&] { with_day_skipped(g, {"2026-05-01", "water", ""}); }), "lies before it"));
    CHECK(holds(refusal([&] { with_hole_cut(g, {"2026-05-32", {12, 10}, "", "", {}}); }), "'2026-05-32'; a day such as"));
    CHECK(holds(refusal([&] { with_hole_cut(g, {"2026-05-06", {1, 10}, "", "", {}}); }), "m outside the green"));
    CHECK(holds(refusal([&] { with_hole_cut(g, {"2026-05-06", {std::nan(""), 10}, "", "", {}}); }), "no number"));
    CHECK(holds(refusal([&] { with_hole_cut(g, {"2026-05-06", {12, 10}, "", "", 30.0}); }), "4 to 16 ft"));
    CHECK(holds(refusal([&] { with_day_skipped(g, {"2026-05-06", "", ""}); }), "a reason is wanted"));
    // Told late, on purpose: into the history, and today's hole stays.
    const HistoryEntry late = with_hole_cut(g, {"2026-05-01", {12.5, 10}, "", "", {}}, true);
    CHECK(late.green.todays_hole()->p == g.todays_hole()->p);
    CHECK(hole_history(late.green, day("2026-05-02"))[0].p == Vec2{12.5, 10});
}

TEST_CASE("a remark comes back from a history's text as it was told, quotes and commas with it") {
    // RFC 4180: a field with a comma or a quote stands in quotes, and a quote in it is doubled.
    const Green g = with_hole_cut(green_without_holes(), {"2026-05-02", {15, 11}, "AB", "\"soft\", by the drain", {}}).green;
    const std::string text = history_csv(g);
    CHECK(holds(text, ",AB,\"\"\"soft\"\", by the drain\"\n"));
    const Green back = with_history(green_without_holes(), text, "h.csv").green;
    REQUIRE(back.holes.size() == 1);
    CHECK(back.holes[0].remark == "\"soft\", by the drain");
}

TEST_CASE("a history goes to text and back, into the same green only") {
    const Green g = a_week();
    const std::string text = history_csv(g);
    CHECK(holds(text, "2026-05-02,cut,15.000,11.000,9.5,AB,wet patch\n"));
    CHECK(holds(text, "2026-05-03,skipped,,,,AB,frost\n"));
    Green empty = green_without_holes();
    const Green back = with_history(empty, text, "h.csv").green;
    CHECK(history_csv(back) == text);
    CHECK(back.todays_hole()->date == "2026-05-02");
    // Once more changes nothing.
    CHECK(history_csv(with_history(back, text, "h.csv").green) == text);

    empty.id = "00000000-9999-4222-8333-444444444444";
    CHECK(holds(refusal([&] { with_history(empty, text, "h.csv"); }), "h.csv, line 1: the history belongs to another green"));
    const std::string head = "# green " + g.id + " 7\ndate,state,x_m,y_m,speed_ft,set_by,remark\n";
    const auto refused = [&](const std::string& rows) { return refusal([&] { with_history(g, head + rows, "h.csv"); }); };
    CHECK(holds(refused("2026-05-02,cut,12,10,,,\n2026-05-01,cut,12,10,,,\n"), "line 4: 2026-05-01 comes after 2026-05-02; dates run forwards"));
    CHECK(holds(refused("2026-05-02,cut,120,10,,,\n"), "line 3: the place 120.00, 10.00 lies"));
    CHECK(holds(refused("2026-05-02,moved,12,10,,,\n"), "the state is 'moved'"));
    CHECK(holds(refused("2026-05-02,cut,12,nan,,,\n"), "y_m is 'nan'"));
    CHECK(holds(refused("2026-05-02,cut,12\n"), "found 3 fields"));
    CHECK(holds(refusal([&] { with_history(g, "x,y\n1,2\n", "h.csv", true); }), "the columns date,state"));
    CHECK(holds(refusal([&] { with_history(g, "", "h.csv"); }), "holds no history"));
}

TEST_CASE("a history that does not say whose it is goes into a green only where that is allowed") {
    const std::string rows = "date,state,x_m,y_m,speed_ft,set_by,remark\n2026-05-02,cut,12,10,,,\n";
    const Green g = green_without_holes();
    const std::string said = refusal([&] { with_history(g, rows, "h.csv"); });
    CHECK(holds(said, "h.csv, line 1: the history does not say whose it is"));
    CHECK(holds(said, "# green " + g.id));
    CHECK(with_history(g, rows, "h.csv", true).green.holes.size() == 1);
}

TEST_CASE("planned, by hand, cut and skipped stay what they are through the text, and a place just outside a smaller edge is kept with a remark") {
    Green g = green_without_holes();
    g.holes = {{"plan", {12, 10}, "2026-05-01", "JM", false}, {"set", {15, 10}, "2026-05-02", "JM", false}, {"cut", {18, 10}, "2026-05-03", "AB", false, true}};
    g.holes[0].by_plan = true;
    g.skipped = {{"2026-05-04", "frost", ""}};
    const std::string text = history_csv(g);
    CHECK(holds(text, "2026-05-01,planned,"));
    CHECK(holds(text, "2026-05-02,by hand,"));
    const Green back = with_history(green_without_holes(), text, "h.csv").green;
    CHECK(history_csv(back) == text);
    CHECK(hole_history(back, day("2026-05-02"))[0].by_plan);
    CHECK_FALSE(hole_history(back, day("2026-05-03"))[1].by_plan);

    const HistoryEntry near = with_history(g, "# green " + g.id + "\ndate,state,x_m,y_m,speed_ft,set_by,remark\n2026-04-02,cut,2,12,,,\n", "h.csv");
    CHECK(near.green.holes.size() == 4);
    REQUIRE(near.remarks.size() == 2);
    CHECK(holds(near.remarks[0], "1 of the places lie outside the edge as it is now"));
}

TEST_CASE("a day that will be skipped does not stand in the way of the holes cut before it") {
    Green g = green_without_holes();
    g.skipped = {{"2026-05-06", "machines", ""}};
    g = with_hole_cut(g, {"2026-05-04", {12, 10}, "", "", {}}).green;
    CHECK(g.todays_hole()->date == "2026-05-04");
    CHECK(g.skipped.size() == 1);
}
