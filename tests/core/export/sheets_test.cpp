#include "core/base/error.h"
#include "core/base/units.h"
#include "core/export/sheets.h"
#include "core/record/lesson_card.h"
#include "tests/core/record/sample_green.h"
#include "tests/support/printed.h"
#include "tests/support/refusal.h"

#include <cmath>
#include <fstream>
#include <regex>

using namespace brae;
using namespace brae::test;
namespace fs = std::filesystem;

namespace {

// A level square green, so that its edges can be found in the print.
Green square_green(double side) {
    Green green = sample_green();
    auto t = std::make_shared<TerrainModel>(*green.terrain);
    t->outline = Outline({{2, 2}, {2 + side, 2}, {2 + side, 2 + side}, {2, 2 + side}}, OutlineSource::file);
    green.terrain = t;
    green.marks.clear();
    green.zones.clear();
    green.stations.clear();
    return green;
}

PracticeStation station(const std::string& label, Vec2 ball, Vec2 hole, double aim) {
    PracticeStation s;
    s.label = label;
    s.ball = ball;
    s.hole = hole;
    s.distance_m = distance(ball, hole);
    s.aim_offset_m = aim;
    s.break_m = std::abs(aim);
    s.break_se_m = 0.021;
    s.break_slower_m = 0.9 * s.break_m;
    s.break_faster_m = 1.1 * s.break_m;
    s.side = aim > 0 ? PuttSide::right_to_left : PuttSide::left_to_right;
    s.marker = hole + aim * right_of(unit(hole - ball));
    s.ball_speed_mps = 2.5;
    s.path = {ball, 0.5 * (ball + s.marker), hole};
    return s;
}

SheetRequest request_for(int stations) {
    SheetRequest r;
    r.date = "2026-05-02";
    for (int k = 0; k < stations; ++k)
        r.stations.push_back(station(std::string(1, static_cast<char>('A' + k % 26)),
                                     Vec2{8, 8} + (1.5 + 0.02 * k) * direction_of_bearing(360.0 * k / stations), {8, 8},
                                     k % 2 ? 0.15 : -0.2));
    return r;
}

}  // namespace

TEST_CASE("a green of 10 m prints to its scale, and the check line is 100 mm long") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    for (const Paper paper : {Paper::a4, Paper::letter}) {
        SheetRequest request = request_for(3);
        request.paper = paper;
        const SheetResult result = write_sheet(square_green(12), request, scratch / "s.pdf");
        // 12 m at 1:75 are 160 mm, at 1:50 240 mm: more than the paper's width.
        CHECK(result.scale == 75);

        const int dpi = 300;
        const Picture page = first_page(scratch / "s.pdf", dpi);
        const double pixels_per_mm = dpi / 25.4;
        CHECK(page.width == doctest::Approx((paper == Paper::a4 ? 210.0 : 215.9) * pixels_per_mm).epsilon(1e-3));
        // The outline's upper edge: the longest line of its rows that is not a rule over the whole text width.
        int edges = 0, checks = 0;
        for (int y = page.height / 10; y < page.height * 9 / 10; ++y) {
            const auto [a, b] = longest_run(page, y);
            const double mm = (b - a + 1) / pixels_per_mm;
            // Lines reach half their own width farther at each end.
            if (std::abs(mm - 160.0) < 1.0) {
                ++edges;
                CHECK(std::abs(mm - 160.35) < 0.3);
            }
            if (std::abs(mm - 100.0) < 2.0) {
                ++checks;
                CHECK(std::abs(mm - 100.15) < 0.3);
            }
        }
        CHECK(edges >= 4);    // two edges of some pixels each
        CHECK(checks >= 1);
    }
}

TEST_CASE("two ball spots ten metres apart print ten metres apart at the sheet's scale") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    SheetRequest request;
    const Green green = square_green(15);
    // Far from lines and from each other's label; the marker and the hole lie between them, higher up.
    request.stations = {station("A", {4.5, 5}, {9.5, 14}, 0.2), station("B", {14.5, 5}, {9.5, 14}, -0.2)};
    for (auto& s : request.stations) s.path.clear(), s.marker = s.hole;
    const SheetResult result = write_sheet(green, request, scratch / "s.pdf");
    REQUIRE(result.scale == 100);   // 15 m at 1:100 are 150 mm; at 1:75 200 mm

    // Filled discs of 1.9 points: dark squares of 11 pixels at 300 dpi whose centre row is the widest.
    const int dpi = 300;
    const Picture page = first_page(scratch / "s.pdf", dpi);
    const std::vector<Vec2> spots = solid_spots(page, 5, page.height / 6, page.height * 3 / 5);
    // Nothing else on the plan is as solid as the two discs.
    REQUIRE(spots.size() == 2);
    CHECK(spots[0].y == spots[1].y);
    CHECK(std::abs(spots[1].x - spots[0].x) * 25.4 / dpi == doctest::Approx(100).epsilon(2e-3));
}

TEST_CASE("the page count is the PDF's, and every page says which it is") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    for (int n : {1, 7, 60}) {
        CAPTURE(n);
        const SheetResult result = write_sheet(square_green(12), request_for(n), scratch / "s.pdf");
        CHECK(result.pages == pages_in(scratch / "s.pdf"));
        const std::string words = words_in(scratch / "s.pdf");
        for (int k = 1; k <= result.pages; ++k)
            CHECK(holds(words, "Page " + std::to_string(k) + " of " + std::to_string(result.pages)));
    }
}

TEST_CASE("a stations sheet says the break, the aim marker, the tapes and the cautions") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    Green green = sample_green();
    SheetRequest request;
    request.date = "2026-05-02";
    request.green_speed_ft = 9.5;
    // 3 m due north of the ball; the aim is 28.3 cm to the left, so the putt breaks from left to right.
    request.stations = {station("A", {12, 9}, {12, 12}, -0.283)};
    request.stations[0].tape_ball = green.stations[0].station.tape_ball;
    request.stations[0].note = "watch the last metre";
    request.stations[0].lesson = "ladder";
    write_sheet(green, request, scratch / "s.pdf");
    std::string words = words_in(scratch / "s.pdf");
    for (const char* wanted : {"Practice stations: ladder", "Dunlarrick 4", "2026-05-02", "Green speed 9.5 ft", "hole's centre", "surface revision 1",
                               "3.00 m", "28.3 cm left", "28 ± 3 cm", "nine of ten cases", "left-to-right", "0.30 m",
                               "9.5 ft: 25", "10.5 ft: 31", "At other speeds, cm", "watch the last metre", "S1 6.93 m", "S2 13.40 m",
                               "left of the line S1–S2", "S3 13.67 m", "± 2.5 cm", "by string and square",
                               "count them out", "No string across", "about 20 putts", "lightning", "greenkeeper",
                               "Not for use during a round", "100 mm", "survey's"}) {
        CAPTURE(std::string(wanted));
        CHECK(holds(words, wanted));
    }
    // In feet and inches, the same places.
    request.feet_and_inches = true;
    write_sheet(green, request, scratch / "s.pdf");
    words = words_in(scratch / "s.pdf");
    CHECK(holds(words, "11.1 in left"));        // 0.283 / 0.0254 = 11.14
    CHECK(holds(words, "ft/s off the face"));
    CHECK_FALSE(holds(words, "m/s"));
    CHECK(holds(words, "S1 22 ft 8¾ in"));      // 6.93 / 0.0254 = 272.83 in = 22 ft 8.83 in
    CHECK(holds(words, "this line is 4 in"));
    CHECK(holds(words, "12 in"));
}

TEST_CASE("every sheet of stations is in one system of units, notes and warnings too") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    SheetRequest request = request_for(8);
    for (PracticeStation& s : request.stations) {
        s.lesson = "ring";
        s.note = "downhill: a putt that misses runs 0.4 m (1.4 ft) past; the break is uncertain by 12 cm (4.7 in); one peg serves, 0.25 m from the hole " + s.label;
    }
    request.missing = "station 3: none of 90 spots of 1.5 to 4 m has a break of 4 cm";
    request.warnings = {"the surface moved by 2 cm within 0.6 m of the edge"};
    for (const char* kind : {"stations", "pocket", "lesson-card"})
        for (const Paper paper : {Paper::a4, Paper::letter})
            for (const bool feet : {false, true}) {
                request.kind = kind, request.paper = paper, request.feet_and_inches = feet;
                write_sheet(sample_green(), request, scratch / "s.pdf");
                const std::string words = words_in(scratch / "s.pdf");
                for (const std::string& found : strange_units(words, feet)) CHECK_MESSAGE(found.empty(), std::string(kind) << (feet ? " in feet: " : " in metres: ") << found);
                CHECK_FALSE(strange_units(words, !feet).empty());
                // Who stands on a green with it reads what has to be known.
                for (const char* caution : {"greenkeeper", "count", "ot for use during a round"}) CHECK_MESSAGE(holds(words, caution), (std::string(kind) + ": " + caution));
            }
    request.kind = "stations";
    write_sheet(sample_green(), request, scratch / "s.pdf");
    CHECK(holds(words_in(scratch / "s.pdf"), "Not to be had here: station 3: none of 90 spots of 4 ft 11 in to 13 ft 1 in has a break of 1.6 in."));
}

TEST_CASE("the survey report is in one system of units, whatever the survey says of itself") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    Green green = sample_green();
    green.survey.height_of_cut_m = 0.0035;
    auto terrain = std::make_shared<TerrainModel>(*green.terrain);
    terrain->warnings.push_back("14 points stand more than 3 cm over the ground and were removed; 2.5 mm of noise were found within 0.6 m");
    green.terrain = terrain;
    SheetRequest request;
    request.kind = "survey";
    for (const bool feet : {false, true}) {
        request.feet_and_inches = feet;
        write_sheet(green, request, scratch / "s.pdf");
        const std::string words = words_in(scratch / "s.pdf");
        for (const std::string& found : strange_units(words, feet)) CHECK_MESSAGE(found.empty(), (feet ? "in feet: " : "in metres: ") << found);
        CHECK_MESSAGE(holds(words, feet ? "height of cut 0.14 in" : "height of cut 3.5 mm"), words);
        CHECK_MESSAGE(holds(words, feet ? "0.10 in of noise" : "2.5 mm of noise"), words);
    }
}

TEST_CASE("the peg that stations of a ring share has tapes of its own, and they lead to where the start lines meet") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    Green green = sample_green();
    SheetRequest request;
    // Six balls round one hole whose start lines all run through one point 0.3 m north of it.
    const Vec2 hole{12, 12}, meet{12, 12.3};
    for (int k = 0; k < 6; ++k) {
        PracticeStation s = station(std::string(1, static_cast<char>('A' + k)), hole + 2.0 * direction_of_bearing(30 + 60.0 * k), hole, 0.1);
        const Vec2 along = unit(hole - s.ball), start = unit(meet - s.ball);
        s.marker = s.ball + (s.distance_m / dot(start, along)) * start;
        s.aim_offset_m = dot(s.marker - hole, right_of(along)), s.break_m = std::abs(s.aim_offset_m);
        s.side = s.aim_offset_m > 0 ? PuttSide::right_to_left : PuttSide::left_to_right;
        s.start_line_at_1m = s.ball + 1.0 * start;
        s.lesson = "ring";
        request.stations.push_back(s);
    }
    const auto peg = shared_aim(request.stations);
    REQUIRE(peg);
    CHECK(distance(peg->p, meet) < 1e-6);
    write_sheet(green, request, scratch / "s.pdf");
    const std::string words = words_in(scratch / "s.pdf");
    REQUIRE(holds(words, "shared peg"));
    CHECK(holds(words, "black: shared peg"));
    // The row's two tapes, read off the page, meet at the point within the centimetre they are rounded to.
    const std::string row = words.substr(words.find("shared peg"));
    const std::regex tape("([A-Za-z]+[0-9]*) ([0-9]+\\.[0-9]{2}) m");
    std::vector<TapeReading> tapes;
    std::vector<TapePoint> known{{"hole", hole}};
    for (const ReferenceMark& m : green.marks) known.push_back({m.name, {m.p.x, m.p.y}});
    for (auto at = std::sregex_iterator(row.begin(), row.end(), tape); at != std::sregex_iterator() && tapes.size() < 2; ++at)
        for (const TapePoint& p : known)
            if (p.name == (*at)[1].str()) tapes.push_back({p, std::stod((*at)[2].str())});
    REQUIRE(tapes.size() == 2);
    double nearest = 1e9;
    for (const Vec2& p : tape_crossings(tapes[0], tapes[1])) nearest = std::min(nearest, distance(p, meet));
    CHECK(nearest < 0.015);
    // Without marks it is found by a string from a ball spot.
    green.marks.clear();
    write_sheet(green, request, scratch / "s.pdf");
    CHECK(holds(words_in(scratch / "s.pdf"), "shared peg: from ball spot"));
}

TEST_CASE("a station without a break at the slower or faster green says no line, and speeds beyond 4 and 16 ft are not named") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    SheetRequest request;
    request.date = "2026-05-02";
    request.stations = {station("A", {12, 9}, {12, 12}, -0.283), station("B", {14, 9}, {12, 12}, 0.2)};
    request.stations[0].break_faster_m = std::nan("");
    request.stations[1].green_speed_ft = 16;
    request.stations[1].break_faster_m = std::nan("");
    write_sheet(sample_green(), request, scratch / "s.pdf");
    const std::string words = words_in(scratch / "s.pdf");
    CHECK(holds(words, "10.5 ft: no line"));
    CHECK(holds(words, "15.5 ft: 18"));
    CHECK_FALSE(holds(words, "16.5 ft"));
    CHECK_FALSE(holds(words, "nan"));
}

TEST_CASE("the pocket card says aim, length, gate and the breaks at other speeds, and that it is for practice") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    SheetRequest request = request_for(9);
    request.kind = "pocket";
    request.green_speed_ft = 9.5;
    request.speeds.assign(9, {{8.0, 0.17, 2, true}, {9.5, 0.2, 2, false}, {10.5, std::nullopt, 0, false}});
    for (const Paper paper : {Paper::a4, Paper::letter}) {
        request.paper = paper;
        // Eight stations a card at most: nine are parted over two pages.
        CHECK(write_sheet(sample_green(), request, scratch / "p.pdf").pages == 2);
        const std::string words = words_in(scratch / "p.pdf");
        for (const char* wanted : {"Dunlarrick 4", "9.5 ft", "20 cm left", "15 cm right", "1.50 m", "8.0 usual: 17", "10.5: \u2013", "gate 0.50 m on",
                                   "Not for use during a round", "greenkeeper"}) {
            CAPTURE(std::string(wanted));
            CHECK(holds(words, wanted));
        }
    }
    request.stations.clear();
    CHECK(holds(refusal([&] { write_sheet(sample_green(), request, scratch / "p.pdf"); }), "no stations"));
}

TEST_CASE("a scale bar is as long as its figures say, in metres and in feet") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    SheetRequest request = request_for(2);
    const int dpi = 600;
    for (const bool feet : {false, true}) {
        CAPTURE(feet);
        request.feet_and_inches = feet;
        const SheetResult result = write_sheet(square_green(12), request, scratch / "s.pdf");
        // The longest with five round parts of at most 60 mm: at 1:75 half a metre (33 mm) or two feet (41 mm).
        REQUIRE(result.scale == 75);
        const std::string words = words_in(scratch / "s.pdf");
        CHECK(holds(words, feet ? "8 10 ft" : "2 2.5 m"));
        CHECK_FALSE(holds(words, feet ? "2.5 m" : "10 ft"));
        // Its parts are black and white by turns; the first, third and fifth stand in one row, with 5 parts from end to end.
        const double part = (feet ? 2 * 304.8 : 500.0) / 75 * dpi / 25.4;
        const Picture page = first_page(scratch / "s.pdf", dpi);
        int found = 0;
        for (int y = page.height / 3; y < page.height * 9 / 10 && found == 0; ++y) {
            std::vector<std::pair<int, int>> bars;
            for (int x = 0; x < page.width / 2; ++x) {
                if (!page.dark(x, y)) continue;
                int end = x;
                while (page.dark(end + 1, y)) ++end;
                if (std::abs(end - x + 1 - part) < 0.05 * part) bars.push_back({x, end});
                x = end;
            }
            if (bars.size() != 3) continue;
            ++found;
            // Outlines of half a point reach a quarter of it farther at each end.
            CHECK(bars[2].second - bars[0].first + 1 - 0.5 / 72 * dpi == doctest::Approx(5 * part).epsilon(3e-3));
            CHECK(bars[1].first - bars[0].first == doctest::Approx(2 * part).epsilon(3e-3));
        }
        CHECK(found == 1);
    }
}

TEST_CASE("a lesson card has thirty lines on one page, and its columns and codes are those that the card's reader knows") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    SheetRequest request = request_for(5);
    request.kind = "lesson-card";
    for (const Paper paper : {Paper::a4, Paper::letter})
        for (const bool feet : {false, true}) {
            request.paper = paper, request.feet_and_inches = feet;
            CHECK(write_sheet(sample_green(), request, scratch / "c.pdf").pages == 1);
            CHECK(pages_in(scratch / "c.pdf") == 1);
            const std::string words = words_in(scratch / "c.pdf");
            for (const char* code : kOutcomeCodes) CHECK(holds(words, std::string(" ") + code + " "));
            CHECK(holds(words, "h hi lo le ri s lip off x"));
            CHECK(holds(words, " 30 "));
            CHECK_FALSE(holds(words, " 31 "));
            for (const char* word : kOutcomeWords) CHECK(holds(words, word));
            std::string columns;
            for (const char* c : feet ? kPrintedColumnsInFeet : kPrintedColumns) columns += (columns.empty() ? "" : ",") + std::string(c);
            CHECK(holds(words, columns));
            CHECK(holds(words, "Not for use during a round"));
            // Rows for a wet thumb: at least 5.5 mm high, all alike. Rules over the whole width are 31 and more.
            const int dpi = 150;
            const Picture page = first_page(scratch / "c.pdf", dpi);
            std::vector<int> rules;
            for (int y = page.height / 8; y < page.height * 15 / 16; ++y) {
                const auto [a, b] = longest_run(page, y);
                if ((b - a) * 25.4 / dpi > 170 && (rules.empty() || y - rules.back() > 4)) rules.push_back(y);
            }
            REQUIRE(rules.size() >= 31);
            int alike = 0;
            const double row = (rules[31] - rules[1]) / 30.0;
            for (std::size_t k = 2; k <= 31; ++k) alike += std::abs(rules[k] - rules[k - 1] - row) <= 1.5;
            CHECK(alike == 30);
            CHECK(row * 25.4 / dpi >= 5.5);
        }
    // What is printed is what is read: the header line as it stands on the page, and a line of codes under it.
    StoredLesson lesson;
    for (const PracticeStation& s : request.stations) {
        StoredLessonStation kept;
        kept.place = {s.label, s.ball, s.hole, s.marker, s.past_m};
        lesson.stations.push_back(kept);
    }
    std::string text;
    for (const char* c : kPrintedColumns) text += (text.empty() ? "" : ",") + std::string(c);
    text += "\n";
    for (std::size_t k = 0; k < kOutcomeCodes.size(); ++k)
        text += "B," + std::string(kPhaseCodes[k % 4]) + ",-12," + kAimCodes[k % 3] + "," + kGateCodes[k % 3] + "," + kStrikeCodes[k % 3] + "," + kOutcomeCodes[k] +
                (k == 0 ? ",,\n" : ",-0.05,0.2\n");
    std::ofstream(scratch / "card.csv") << text;
    const std::vector<StoredPutt> putts = read_lesson_card(scratch / "card.csv", lesson);
    REQUIRE(putts.size() == kOutcomeCodes.size());
    for (std::size_t k = 0; k < putts.size(); ++k) {
        const SeenPutt& p = putts[k].seen;
        CHECK(p.station == 1);
        CHECK(static_cast<std::size_t>(p.outcome) == k);
        CHECK(static_cast<std::size_t>(*p.phase) == k % 4);
        CHECK((static_cast<std::size_t>(*p.aim) == k % 3 && static_cast<std::size_t>(*p.gate) == k % 3 && static_cast<std::size_t>(*p.strike) == k % 3));
        CHECK(p.own_read_m == doctest::Approx(-0.12));
        CHECK(p.stop.has_value() == (k > 0));
    }
}

TEST_CASE("a zone smaller than a square metre prints with its label") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    Green green = sample_green();
    green.zones = {{"plug", "drain", {{10, 10}, {10.5, 10}, {10.5, 10.5}}, "2026-06-01"}};
    SheetRequest request;
    request.kind = "holes";
    HolePosition p;
    p.p = {14, 11};
    p.fair = true;
    request.positions = {p};
    write_sheet(green, request, scratch / "h.pdf");
    CHECK(holds(words_in(scratch / "h.pdf"), green.zones[0].kind));
}

TEST_CASE("a holes sheet ranks the positions with edge, slope, tapes and cautions") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    SheetRequest request;
    request.kind = "holes";
    request.paper = Paper::letter;
    HolePosition p;
    p.p = {14, 11};
    p.slope = 0.0213;
    p.edge_m = 4 * 0.9144;
    p.fair = true;
    p.day = "1";
    p.why = "even ground";
    request.positions = {p, p};
    request.positions[1].p = {17, 14};
    request.positions[1].day = "2";
    const SheetResult result = write_sheet(sample_green(), request, scratch / "h.pdf");
    CHECK(result.pages == pages_in(scratch / "h.pdf"));
    const std::string words = words_in(scratch / "h.pdf");
    for (const char* wanted : {"Hole positions", "2.1 %", "4.0 paces", "3.7 m", "even ground", "committee decide",
                               "frost", "re-entry", "today"}) {
        CAPTURE(std::string(wanted));
        CHECK(holds(words, wanted));
    }
}

TEST_CASE("nothing reaches into the margins, however long the names are") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    Green green = sample_green();
    const std::string endless(300, 'W');
    green.name = "Dunlarrick " + endless;
    green.marks[0].name = endless;
    SheetRequest request = request_for(8);
    request.date = endless;
    for (auto& s : request.stations) {
        s.label = endless;
        s.note = endless + " \xff\xfe\x01 broken";
        s.tape_ball = green.stations[0].station.tape_ball;
        s.tape_ball->first.from.name = endless;
    }
    write_sheet(green, request, scratch / "s.pdf");
    const int dpi = 60;
    for (int n = 1; n <= pages_in(scratch / "s.pdf"); ++n) {
        const auto [ink, outside] = ink_and_outside(page_of(scratch / "s.pdf", n, dpi), dpi, 14);
        CHECK(ink > 100);
        CHECK(outside == 0);
    }
}

TEST_CASE("equal requests make equal files") {
    const Scratch scratch;
    write_sheet(square_green(12), request_for(5), scratch / "a.pdf");
    write_sheet(square_green(12), request_for(5), scratch / "b.pdf");
    CHECK(content(scratch / "a.pdf") == content(scratch / "b.pdf"));
}

TEST_CASE("what cannot be printed is refused with a sentence, and the old file stays") {
    const Scratch scratch;
    const fs::path file = scratch / "s.pdf";
    std::ofstream(file) << "old";
    const Green green = square_green(12);
    SheetRequest request = request_for(2);
    request.kind = "poster";
    CHECK(holds(refusal([&] { write_sheet(green, request, file); }), "stations, pocket, lesson-card, holes"));
    CHECK(holds(refusal([&] { write_sheet(green, SheetRequest(), file); }), "no stations"));
    SheetRequest holes;
    holes.kind = "holes";
    CHECK(holds(refusal([&] { write_sheet(green, holes, file); }), "no hole positions"));
    CHECK(holds(refusal([&] { write_sheet(square_green(520), request_for(2), file); }), "does not fit"));
    CHECK(holds(refusal([&] { write_sheet(Green(), request_for(2), file); }), "no terrain"));
    CHECK(content(file) == "old");
    CHECK(holds(refusal([&] { write_sheet(green, request_for(2), scratch / "none" / "s.pdf"); }), "does not exist"));
    CHECK(std::distance(fs::directory_iterator(scratch.path()), fs::directory_iterator()) == 1);
}

TEST_CASE("a survey sheet gives the verdict, the errors of slope and aim, and what was noted at the import") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    SheetRequest request;
    request.kind = "survey";
    request.date = "2026-05-02";
    const SheetResult result = write_sheet(sample_green(), request, scratch / "s.pdf");
    CHECK(result.pages >= 1);
    const std::string words = words_in(scratch / "s.pdf");
    for (const char* wanted : {"Survey report", "Dunlarrick 4", "2026-05-02", "Good for: ", "height of cut", "points a m²", "3.0 mm a point", "Slope",
                               "Aim of a 3 m putt", "Noted at the import", "names no coordinate system"}) {
        CAPTURE(std::string(wanted));
        CHECK(holds(words, wanted));
    }
}
