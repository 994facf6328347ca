#include "core/base/error.h"
#include "core/base/units.h"
#include "core/export/sheets.h"
#include "tests/core/record/sample_green.h"
#include "tests/support/support.h"

#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <sstream>

using namespace brae;
using brae::test::sample_green;
using brae::test::Scratch;
namespace fs = std::filesystem;

namespace {

std::string content(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

// Output of a command; empty where it cannot be run.
std::string output_of(const std::string& command) {
    std::string out;
    FILE* pipe = popen((command + " 2>/dev/null").c_str(), "r");
    if (pipe == nullptr) return out;
    std::array<char, 4096> buffer{};
    for (std::size_t n = 0; (n = fread(buffer.data(), 1, buffer.size(), pipe)) > 0;) out.append(buffer.data(), n);
    pclose(pipe);
    return out;
}
bool have_poppler() { return !output_of("which pdftoppm").empty() && !output_of("which pdfinfo").empty(); }

int pages_in(const fs::path& pdf) {
    const std::string info = output_of("pdfinfo " + pdf.string());
    const auto at = info.find("Pages:");
    return at == std::string::npos ? -1 : std::atoi(info.c_str() + at + 6);
}
std::string words_in(const fs::path& pdf) {
    // No-break spaces and line ends count as spaces.
    std::string raw = output_of("pdftotext -layout " + pdf.string() + " -"), out;
    for (std::size_t k = 0; k < raw.size(); ++k) {
        const bool no_break = k + 1 < raw.size() && static_cast<unsigned char>(raw[k]) == 0xc2 &&
                              static_cast<unsigned char>(raw[k + 1]) == 0xa0;
        if (no_break) ++k;
        const char c = no_break || raw[k] == '\n' || raw[k] == '\f' ? ' ' : raw[k];
        if (c != ' ' || out.empty() || out.back() != ' ') out += c;
    }
    return out;
}

// Page 1 in grey as pdftoppm draws it.
struct Picture {
    int width = 0, height = 0;
    std::string pixels;
    bool dark(int x, int y) const {
        return x >= 0 && y >= 0 && x < width && y < height &&
               static_cast<unsigned char>(pixels[static_cast<std::size_t>(y) * width + x]) < 140;
    }
};
Picture first_page(const fs::path& pdf, int dpi) {
    const std::string raw = output_of("pdftoppm -gray -f 1 -l 1 -r " + std::to_string(dpi) + " " + pdf.string());
    Picture p;
    std::istringstream in(raw);
    std::string magic;
    int most = 0;
    in >> magic >> p.width >> p.height >> most;
    in.get();
    p.pixels.assign(std::istreambuf_iterator<char>(in), {});
    REQUIRE(p.pixels.size() == static_cast<std::size_t>(p.width) * p.height);
    return p;
}
// First and last pixel of the longest dark run in a row.
std::pair<int, int> longest_run(const Picture& p, int y) {
    std::pair<int, int> best{0, -1};
    for (int x = 0; x < p.width; ++x) {
        if (!p.dark(x, y)) continue;
        int end = x;
        while (p.dark(end + 1, y)) ++end;
        if (end - x > best.second - best.first) best = {x, end};
        x = end;
    }
    return best;
}

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

std::string refusal(const std::function<void()>& work) {
    try {
        work();
    } catch (const Error& e) {
        return e.what();
    }
    return {};
}
bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

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

    // Filled discs of 1.9 points: dark squares of 9 pixels at 300 dpi whose centre row is the widest.
    const int dpi = 300;
    const Picture page = first_page(scratch / "s.pdf", dpi);
    std::vector<Vec2> spots;
    const auto solid = [&](int x, int y) {
        for (int dy = -5; dy <= 5; ++dy)
            for (int dx = -5; dx <= 5; ++dx)
                if (!page.dark(x + dx, y + dy)) return false;
        return true;
    };
    for (int y = page.height / 6; y < page.height * 3 / 5; ++y)
        for (int x = 0; x < page.width; ++x)
            if (solid(x, y)) {
                bool seen = false;
                for (Vec2& s : spots) seen = seen || distance(s, {double(x), double(y)}) < 30;
                if (!seen) spots.push_back({double(x), double(y)});
            }
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
                               "3.00 m", "9 ft 10 in", "28.3 cm left", "28.3 ± 2.1 cm", "left-to-right", "0.30 m",
                               "9.5 ft: 25", "10.5 ft: 31", "At other speeds, cm", "watch the last metre", "S1 6.93 m", "S2 13.40 m",
                               "left of the line S1–S2", "S3 13.67 m", "± 1.5 cm", "by string and square",
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
        // Eight stations a card: the ninth has a page of its own.
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
        const std::string raw = output_of("pdftoppm -gray -r 60 -f " + std::to_string(n) + " -l " + std::to_string(n) +
                                          " " + (scratch / "s.pdf").string());
        std::istringstream in(raw);
        std::string magic;
        int width = 0, height = 0, most = 0;
        in >> magic >> width >> height >> most;
        in.get();
        const std::string pixels(std::istreambuf_iterator<char>(in), {});
        const int margin = static_cast<int>(14 / 25.4 * dpi);
        int ink = 0, outside = 0;
        for (int y = 0; y < height; ++y)
            for (int x = 0; x < width; ++x)
                if (static_cast<unsigned char>(pixels[static_cast<std::size_t>(y) * width + x]) < 200) {
                    ++ink;
                    outside += x < margin || y < margin || x >= width - margin || y >= height - margin;
                }
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
    CHECK(holds(refusal([&] { write_sheet(green, request, file); }), "stations, pocket, holes"));
    CHECK(holds(refusal([&] { write_sheet(green, SheetRequest(), file); }), "no stations"));
    SheetRequest holes;
    holes.kind = "holes";
    CHECK(holds(refusal([&] { write_sheet(green, holes, file); }), "no hole positions"));
    CHECK(holds(refusal([&] { write_sheet(square_green(130), request_for(2), file); }), "does not fit"));
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
    for (const char* wanted : {"Survey report", "Dunlarrick 4", "2026-05-02", "Good for: ", "points a m²", "3.0 mm a point", "Slope",
                               "Aim of a 3 m putt", "Noted at the import", "names no coordinate system"}) {
        CAPTURE(std::string(wanted));
        CHECK(holds(words, wanted));
    }
}
