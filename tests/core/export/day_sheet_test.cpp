#include "core/export/day_sheet.h"

#include "core/base/error.h"
#include "core/base/vec.h"
#include "core/export/page.h"
#include "core/record/hole_history.h"
#include "tests/core/record/sample_green.h"
#include "tests/support/support.h"

#include "tests/support/printed.h"
#include "tests/support/refusal.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <functional>

using namespace brae;
using namespace brae::test;
namespace fs = std::filesystem;

namespace {

// A square green of `side` metres with its corner at 2, 2, played to the north, its hole 12 paces on and 4 from the left.
DayGreen square(const std::string& name, double side, double bearing = 0) {
    Green green = sample_green();
    auto t = std::make_shared<TerrainModel>(*green.terrain);
    t->outline = Outline({{2, 2}, {2 + side, 2}, {2 + side, 2 + side}, {2, 2 + side}}, OutlineSource::file);
    green.terrain = t;
    green.name = name;
    green.holes.clear();
    green.skipped.clear();
    green.line_of_play = line_of_play_towards(bearing);
    green.marks = {{"S1", "", {0, 0, 0}}, {"S2", "", {side, 0, 0}}, {"S3", "", {0, side, 0}}};
    green = with_hole_cut(green, {"2026-05-02", {2 + 4 * kPace, 2 + 12 * kPace}, "JM", "scar", 9.8}).green;
    return day_green(std::make_shared<const Green>(green), "2026-05-02");
}
std::vector<DayGreen> course(double side) {
    std::vector<DayGreen> out;
    for (int k = 1; k <= 18; ++k) out.push_back(square(std::to_string(k), side));
    out.push_back(square("Putting", side));
    return out;
}
DaySheetRequest request() {
    DaySheetRequest r;
    r.course = "Dunlarrick";
    r.date = "2026-05-02";
    return r;
}
// Rows of a page whose longest dark run is so many mm long.
int rows_of_length(const Picture& page, int dpi, double mm, double within, int from, int to) {
    int out = 0;
    for (int y = from; y < to; ++y) {
        const auto [a, b] = longest_run(page, y);
        out += std::abs((b - a + 1) * 25.4 / dpi - mm) < within;
    }
    return out;
}

}  // namespace

TEST_CASE("a course of eighteen greens and a practice green has its holes on one page in large type, on both papers") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    for (const Paper paper : {Paper::a4, Paper::letter}) {
        DaySheetRequest r = request();
        r.paper = paper;
        const SheetResult result = write_day_sheet(course(24), r, scratch / "d.pdf");
        CHECK(result.pages == pages_in(scratch / "d.pdf"));
        CHECK(result.scale >= kRoundScale);
        const std::string first = output_of("pdftotext -l 1 -layout " + (scratch / "d.pdf").string() + " -");
        std::size_t places = 0;
        for (std::size_t at = first.find("12 on, 4 left"); at != std::string::npos; at = first.find("12 on, 4 left", at + 1)) ++places;
        CHECK(places == 19);
        CHECK(holds(first, "Putting"));
        CHECK(holds(first, "2026-05-02"));
        CHECK(holds(first, "front edge down"));
        // Large type: the places are at least 14 points high on the page.
        const std::string boxes = output_of("pdftotext -l 1 -bbox " + (scratch / "d.pdf").string() + " -");
        const auto word = boxes.find(">left<"), line = boxes.rfind("<word", word);
        REQUIRE(word != std::string::npos);
        const auto number = [&](const char* key) { return std::atof(boxes.c_str() + boxes.find(key, line) + std::string(key).size() + 2); };
        CHECK(number("yMax") - number("yMin") > 14);

        const std::string words = words_in(scratch / "d.pdf");
        for (const char* wanted : {"Setting out by tapes", "S1 14.15 m", "left of the line", "As cut, where it differs", "re-entry time", "frosted", "local rules", "stop for each other",
                                   "9.8 ft", "as cut; scar", "The greenkeeper and the committee decide"}) {
            CAPTURE(std::string(wanted));
            CHECK(holds(words, wanted));
        }
        for (int n = 1; n <= result.pages; ++n) CHECK(ink_and_outside(page_of(scratch / "d.pdf", n, 60), 60, 14).second == 0);
    }
}

TEST_CASE("the small greens are drawn to their scale, the front edge down, with the hole where it is") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    const int dpi = 600;
    for (const double bearing : {0.0, 90.0}) {
        CAPTURE(bearing);
        const SheetResult result = write_day_sheet({square("7", 24, bearing)}, request(), scratch / "d.pdf");
        const Picture page = first_page(scratch / "d.pdf", dpi);
        const double mm = 24 * 1000.0 / result.scale, pixel = 25.4 / dpi;
        // Upper and lower edge: 24 m at the scale. Lines reach half their width farther.
        int top = 0, bottom = 0, left = 0, right = 0;
        for (int y = page.height / 10; y < page.height / 3; ++y) {
            const auto [a, b] = longest_run(page, y);
            if (std::abs((b - a + 1) * pixel - mm - 0.2) > 0.25) continue;
            if (!top) top = y, left = a, right = b;
            bottom = y;
        }
        REQUIRE(bottom > top);
        CHECK((bottom - top) * pixel == doctest::Approx(mm + 0.2).epsilon(0.01));
        // The hole: the only thing inside that is solid over 1 mm.
        std::vector<Vec2> spots;
        for (const Vec2& s : solid_spots(page, 8, top + 10, bottom - 10))
            if (s.x > left + 10 && s.x < right - 10) spots.push_back(s);
        REQUIRE(spots.size() == 1);
        // Found from its upper left: the disc reaches 1.7 points, the square of the test sits inside it.
        const double slack = 0.5;
        const double on = 12 * kPace, across = 4 * kPace;
        // Played to the north: 12 on, 4 from the left. To the east: x is what lies on, and the north edge is left.
        const double up_m = bearing == 0 ? on : across, left_m = bearing == 0 ? across : 24 - on;
        CHECK(std::abs((bottom - spots[0].y) * pixel - up_m * 1000 / result.scale) < slack);
        CHECK(std::abs((spots[0].x - left) * pixel - left_m * 1000 / result.scale) < slack);
    }
}

// Scale and page limits: interpretation of Rule 4.3a of the Rules of Golf, second-hand.
TEST_CASE("the card keeps the limits of what may be carried in a round: 1:480 or smaller on a page of 4 1/4 by 7 in at most") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    DaySheetRequest r = request();
    for (const int scale : {480, 500, 750}) {
        r.card_scale = scale;
        const SheetResult result = write_hole_card({square("7", 30)}, r, scratch / "c.pdf");
        CHECK(result.scale == scale);
        const int dpi = 300;
        const Picture page = first_page(scratch / "c.pdf", dpi);
        // 30 m print at most 62.5 mm long.
        const double mm = 30 * 1000.0 / scale;
        CHECK(mm <= 62.5);
        CHECK(rows_of_length(page, dpi, mm + 0.2, 0.3, page.height / 8, page.height * 4 / 5) >= 2);

        // The line to cut along: its columns reach farthest on both sides, its dashes from top to foot.
        const int from = static_cast<int>((15 + 54 / kPointsPerMm - 2) / 25.4 * dpi), to = page.height - static_cast<int>(30 / 25.4 * dpi);
        int left = page.width, right = 0, top = page.height, bottom = 0;
        for (int y = from; y < to; ++y)
            for (int x = 0; x < page.width; ++x)
                if (page.dark(x, y)) left = std::min(left, x), right = std::max(right, x), top = std::min(top, y), bottom = std::max(bottom, y);
        const double width = (right - left) * 25.4 / dpi, height = (bottom - top) * 25.4 / dpi;
        CHECK(width == doctest::Approx(88).epsilon(0.005));
        CHECK(height == doctest::Approx(175).epsilon(0.01));
        CHECK(width <= 107.95);
        CHECK(height <= 177.8);
    }
    r.card_scale = 479;
    CHECK(holds(refusal([&] { write_hole_card({square("7", 30)}, r, scratch / "no.pdf"); }), "1:480 or smaller is wanted"));
    CHECK_FALSE(fs::exists(scratch / "no.pdf"));
    r.card_scale = 480;
    CHECK(holds(refusal([&] { write_hole_card({square("7", 60)}, r, scratch / "no.pdf"); }), "does not fit on a card"));
}

TEST_CASE("a course has its card on one page of two cards, with paces, the words of the Rules and no line of play") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    const SheetResult result = write_hole_card(course(26), request(), scratch / "c.pdf");
    CHECK(result.pages == 1);
    CHECK(result.scale >= kRoundScale);
    const std::string words = words_in(scratch / "c.pdf");
    std::size_t places = 0;
    for (std::size_t at = words.find("12 on, 4 left"); at != std::string::npos; at = words.find("12 on, 4 left", at + 1)) ++places;
    CHECK(places == 19);
    for (const char* wanted : {"1:480 or smaller", "Model Local Rule G-11", "No line of play", "Dunlarrick", "2026-05-02"}) {
        CAPTURE(std::string(wanted));
        CHECK(holds(words, wanted));
    }
}

TEST_CASE("greens without line of play, marks or hole are printed as what they are, and names of any length stay inside") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    const std::string endless(200, 'W');
    Green bare = *square("8", 24).green;
    bare.line_of_play.reset();
    bare.marks.clear();
    Green none = *square(endless, 24).green;
    none.holes.clear();
    std::vector<DayGreen> greens{square("7 " + endless, 24), day_green(std::make_shared<const Green>(bare), "2026-05-02"), day_green(std::make_shared<const Green>(none), "2026-05-02")};
    DaySheetRequest r = request();
    r.course = endless;
    const SheetResult result = write_day_sheet(greens, r, scratch / "d.pdf");
    const std::string words = words_in(scratch / "d.pdf");
    CHECK(holds(words, "no line of play"));
    CHECK(holds(words, "no two marks cross well here"));
    CHECK(holds(words, "no hole"));
    for (int n = 1; n <= result.pages; ++n) CHECK(ink_and_outside(page_of(scratch / "d.pdf", n, 60), 60, 14).second == 0);
    const SheetResult card = write_hole_card(greens, r, scratch / "c.pdf");
    CHECK(ink_and_outside(page_of(scratch / "c.pdf", card.pages, 60), 60, 14).second == 0);
    CHECK(holds(refusal([&] { write_day_sheet({greens[2]}, r, scratch / "no.pdf"); }), "no green has a hole"));
    CHECK(holds(refusal([&] { write_day_sheet({}, r, scratch / "no.pdf"); }), "no greens"));
    // The same twice is the same file.
    write_day_sheet(greens, r, scratch / "e.pdf");
    CHECK(content(scratch / "d.pdf") == content(scratch / "e.pdf"));
}

TEST_CASE("the sheet of fair positions names each place by the line of play where there is one") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    Green green = *square("7", 24).green;
    SheetRequest holes;
    holes.kind = "holes";
    HolePosition p;
    p.p = {2 + 5 * kPace, 2 + 9 * kPace};
    p.fair = true;
    p.edge_m = 5 * kPace;
    p.why = "even ground";
    holes.positions = {p};
    write_sheet(green, holes, scratch / "h.pdf");
    CHECK(holds(words_in(scratch / "h.pdf"), "9 on, 5 left"));
    green.line_of_play.reset();
    write_sheet(green, holes, scratch / "h.pdf");
    CHECK_FALSE(holds(words_in(scratch / "h.pdf"), "9 on, 5 left"));
}

TEST_CASE("long names of nineteen greens are printed whole on the day sheet and on the card, on both papers") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    std::vector<DayGreen> greens;
    for (int k = 1; k <= 19; ++k) greens.push_back(square(fmt::format("Number {} by the old harbour wall", k), 24));
    for (const Paper paper : {Paper::a4, Paper::letter}) {
        DaySheetRequest r = request();
        r.paper = paper;
        write_day_sheet(greens, r, scratch / "d.pdf");
        write_hole_card(greens, r, scratch / "c.pdf");
        for (const char* sheet : {"d.pdf", "c.pdf"}) {
            const std::string raw = output_of("pdftotext -l 1 -raw " + (scratch / sheet).string() + " -");
            // Lines broken between words are one name.
            std::string text = raw;
            std::replace(text.begin(), text.end(), '\n', ' ');
            for (int k = 1; k <= 19; ++k) CHECK_MESSAGE(holds(text, fmt::format("Number {} by the old harbour wall", k)), sheet << " " << k);
            CHECK_FALSE(holds(text, "…"));
            CHECK(ink_and_outside(page_of(scratch / sheet, 1, 60), 60, 14).second == 0);
        }
    }
}

TEST_CASE("the day sheet tells the further holes of a practice green in paces, and the day of a speed that is older") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    Green green = *square("Putting", 24).green;
    green.speeds = {{9.8, 0.5, "2026-05-02", "ramp"}, {11.4, 0.5, "2026-05-20", "ramp"}};
    CutHole second{"2026-05-02", {2 + 9 * kPace, 2 + 5 * kPace}, "JM", "", {}};
    second.beside = true;
    green = with_hole_cut(green, second).green;
    write_day_sheet({day_green(std::make_shared<const Green>(green), "2026-05-04")}, [] { DaySheetRequest r = request(); r.date = "2026-05-04"; return r; }(), scratch / "d.pdf");
    const std::string first = output_of("pdftotext -l 1 -raw " + (scratch / "d.pdf").string() + " -");
    CHECK(holds(first, "12 on, 4 left"));
    CHECK(holds(first, "5 on, 9 left"));
    CHECK(holds(first, "ft on 2026-05-02"));
    CHECK_FALSE(holds(first, "11.4"));
}

TEST_CASE("a green without an outline of its own says on the day sheet that its paces count from the boundary of the data") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch scratch;
    Green bare = *square("8", 24).green;
    auto t = std::make_shared<TerrainModel>(*bare.terrain);
    t->outline = Outline(t->outline.ring(), OutlineSource::data_boundary);
    bare.terrain = t;
    std::vector<DayGreen> greens = course(24);
    greens[7] = day_green(std::make_shared<const Green>(bare), "2026-05-02");
    const SheetResult result = write_day_sheet(greens, request(), scratch / "d.pdf");
    std::string first = output_of("pdftotext -l 1 -raw " + (scratch / "d.pdf").string() + " -");
    std::replace(first.begin(), first.end(), '\n', ' ');
    CHECK(holds(first, "8 has no outline of its own: paces there count from the boundary of the survey's data"));
    for (int n = 1; n <= result.pages; ++n) CHECK(ink_and_outside(page_of(scratch / "d.pdf", n, 60), 60, 14).second == 0);
    write_day_sheet(course(24), request(), scratch / "d.pdf");
    CHECK_FALSE(holds(words_in(scratch / "d.pdf"), "no outline"));
}
