#include "core/export/lesson_sheets.h"

#include "core/base/error.h"
#include "tests/support/kept_lessons.h"
#include "tests/support/printed.h"
#include "tests/support/process.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

// One player, so many lessons of so many putts; the last one worked out.
WorkedLesson worked(const Scratch& folder, const std::vector<int>& putts, const std::string& name = "code 7") {
    LessonFile file = LessonFile::create(folder / "a.brae-lesson");
    StoredPlayer player;
    player.name = name;
    const std::string id = file.add_player(player);
    StoredLesson last;
    for (std::size_t k = 0; k < putts.size(); ++k) last = keep_lesson(file, id, fmt::format("2026-05-{:02}", 2 + 7 * k), putts[k]);
    Progress progress;
    return work_out_lesson(file, last, lesson_green(), true, progress);
}

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> out;
    std::istringstream in(text);
    for (std::string l; std::getline(in, l);) out.push_back(l);
    return out;
}

}  // namespace

TEST_CASE("the player's page is one page: reads beside the true line, what to practise, the next session") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch folder;
    const WorkedLesson w = worked(folder, {18});
    for (const Paper paper : {Paper::a4, Paper::letter})
        for (const bool feet : {false, true}) {
            LessonSheetRequest request;
            request.paper = paper, request.feet_and_inches = feet;
            const SheetResult result = write_lesson_sheet(lesson_green(), w, request, folder / "p.pdf");
            CHECK(result.pages == 1);
            CHECK(pages_in(folder / "p.pdf") == 1);
            const std::string words = words_in(folder / "p.pdf");
            for (const char* wanted : {"Your lesson", "code 7", "2026-05-02", "18 putts, 3 holed", "What the putts tell", "What to practise", "Next session", "You read (putts)", "(3)", "of 6",
                                       "not for use during a round", "nine of ten cases", "One putt was struck off the centre"}) {
                CAPTURE(std::string(wanted));
                CHECK(holds(words, wanted));
            }
            CHECK(holds(words, cross_text(w.truth[0].offset_m, feet).substr(0, 2)));
            CHECK(holds(words, feet ? "11 ft 10" : "3.61 m"));
            CHECK_FALSE(holds(words, "nan"));
            CHECK(holds(words, "1:" + std::to_string(result.scale)));
        }
}

TEST_CASE("the player's page is one page and in one system of units, whatever the lesson holds") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch folder;
    WorkedLesson w = worked(folder, {12, 12, 30});
    // What makes it long: questioned putts, five and twelve stations, and a note from elsewhere.
    for (int k = 1; k <= 30; ++k) w.estimate.doubts.push_back(fmt::format("putt {} at station A: noted as passed low, but a ball that rests there passed the hole 15 cm on the high side: which is it?", k));
    w.estimate.aims_seen = w.estimate.putts;
    for (int k = 0; k < 6; ++k) w.estimate.notes.push_back(fmt::format("a long remark of the record, the {}th of them, which says of 3.5 m of putts that this and that cannot be told apart", k));
    WorkedLesson five = w;
    const auto widen = [](WorkedLesson& l, std::size_t stations) {
        while (l.lesson.stations.size() < stations) {
            StoredLessonStation s = l.lesson.stations.front();
            s.place.label = std::string(1, static_cast<char>('A' + l.lesson.stations.size()));
            s.place.ball.x += 0.3 * static_cast<double>(l.lesson.stations.size());
            l.lesson.stations.push_back(s), l.truth.push_back(l.truth.front()), l.estimate.station.push_back(l.estimate.station.front());
        }
    };
    WorkedLesson twelve = w, forty = w;
    widen(five, 5), widen(twelve, 12), widen(forty, 40);
    LessonSheetRequest request;
    for (const WorkedLesson* lesson : {&five, &twelve, &forty})
        for (const Paper paper : {Paper::a4, Paper::letter})
            for (const bool feet : {false, true})
                for (const std::string& note : {std::string(), "the lesson was held on surface revision 1 of this green, which is now at 3: its stations are worked out anew, up to 3.5 m, and " + std::string(80, 'x')}) {
                    request.paper = paper, request.feet_and_inches = feet, request.note = note;
                    CAPTURE(lesson->truth.size());
                    CHECK(write_lesson_sheet(lesson_green(), *lesson, request, folder / "p.pdf").pages == 1);
                    CHECK(pages_in(folder / "p.pdf") == 1);
                    CHECK(ink_and_outside(page_of(folder / "p.pdf", 1, 60), 60, 14).second == 0);
                    const std::string words = words_in(folder / "p.pdf");
                    for (const std::string& found : strange_units(words, feet)) CHECK_MESSAGE(found.empty(), found);
                    for (const char* wanted : {"Next session", "What to practise", "nine of ten cases", "greenkeeper", "not for use during a round"}) CHECK_MESSAGE(holds(words, wanted), wanted);
                    CHECK_FALSE(holds(words, "?."));
                    if (lesson == &forty) CHECK(holds(words, "more stations are in the coach's report"));
                }
    // The coach reads every question, and the same ±.
    request.reader = LessonReader::coach;
    for (const bool feet : {false, true}) {
        request.feet_and_inches = feet;
        write_lesson_sheet(lesson_green(), five, request, folder / "c.pdf");
        const std::string words = words_in(folder / "c.pdf");
        for (const std::string& found : strange_units(words, feet)) CHECK_MESSAGE(found.empty(), found);
        CHECK(holds(words, "Putt 30 at station A"));
        for (const char* wanted : {"nine of ten cases", "greenkeeper", "not for use during a round"}) CHECK_MESSAGE(holds(words, wanted), wanted);
        for (const char* other : {"1 sigma", "standard error", "?."}) CHECK_MESSAGE(!holds(words, other), other);
    }
}

TEST_CASE("a ± of the same station is the same on the player's page and the coach's, and holds nine of ten") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch folder;
    WorkedLesson w = worked(folder, {12});
    w.truth[0].se_m = 0.05;
    const std::string wanted = cross_text(w.truth[0].offset_m, false);
    for (const LessonReader reader : {LessonReader::player, LessonReader::coach}) {
        LessonSheetRequest request;
        request.reader = reader;
        write_lesson_sheet(lesson_green(), w, request, folder / "p.pdf");
        std::string plain = wanted;
        if (const auto at = plain.find("\u00a0"); at != std::string::npos) plain.replace(at, 2, " ");
        CHECK(holds(words_in(folder / "p.pdf"), plain + " ± 8"));   // 1.645 of 5 cm
    }
}

TEST_CASE("ball spots on the player's page lie apart by their distance at its scale") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch folder;
    const WorkedLesson w = worked(folder, {6});
    const SheetResult result = write_lesson_sheet(lesson_green(), w, {}, folder / "p.pdf");
    const int dpi = 300;
    const Picture page = first_page(folder / "p.pdf", dpi);
    // A and B lie 4 m apart on one northing, C 5.4 m above: discs of 1.9 points.
    std::vector<Vec2> spots = solid_spots(page, 5, page.height / 12, page.height * 2 / 3);
    double best = 1e9, measured = 0;
    for (std::size_t i = 0; i < spots.size(); ++i)
        for (std::size_t k = 0; k < i; ++k) {
            const double mm = distance(spots[i], spots[k]) * 25.4 / dpi, wanted = 4000.0 / result.scale;
            if (std::abs(spots[i].y - spots[k].y) <= 1 && std::abs(mm - wanted) < best) best = std::abs(mm - wanted), measured = mm / wanted;
        }
    CHECK(measured == doctest::Approx(1).epsilon(4e-3));
}

TEST_CASE("the coach's report has the plots of every figure, each lesson, each station and each putt") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch folder;
    const WorkedLesson w = worked(folder, {12, 12, 18});
    LessonSheetRequest request;
    request.reader = LessonReader::coach;
    const SheetResult result = write_lesson_sheet(lesson_green(), w, request, folder / "c.pdf");
    CHECK(result.pages == pages_in(folder / "c.pdf"));
    const std::string words = words_in(folder / "c.pdf");
    for (const char* wanted : {"Lessons over time", "3 lessons, 42 putts", "Own read, degrees to the low side", "Start line, degrees", "Pace, % of launch speed", "Spread of the pace",
                               "2026-05-02", "2026-05-09", "2026-05-16", "Putt by putt", "off the centre", "Personal data"}) {
        CAPTURE(std::string(wanted));
        CHECK(holds(words, wanted));
    }
    CHECK_FALSE(holds(words, "nan"));
    CHECK_FALSE(holds(words, "One lesson is no trend"));
    for (int n = 1; n <= result.pages; ++n) CHECK(ink_and_outside(page_of(folder / "c.pdf", n, 60), 60, 14).second == 0);
}

TEST_CASE("long names, one lesson and no putts are printed too, inside the margins") {
    if (!have_poppler()) BRAE_SKIP("poppler-utils is not installed");
    const Scratch folder;
    const WorkedLesson w = worked(folder, {0}, std::string(200, 'W') + " \xff\xfe");
    for (const LessonReader reader : {LessonReader::player, LessonReader::coach}) {
        LessonSheetRequest request;
        request.reader = reader;
        request.note = std::string(400, 'm');
        const SheetResult result = write_lesson_sheet(lesson_green(), w, request, folder / "p.pdf");
        for (int n = 1; n <= result.pages; ++n) {
            const auto [ink, outside] = ink_and_outside(page_of(folder / "p.pdf", n, 60), 60, 14);
            CHECK(ink > 100);
            CHECK(outside == 0);
        }
        CHECK(holds(words_in(folder / "p.pdf"), reader == LessonReader::player ? "No putt is on record yet" : "One lesson is no trend"));
    }
}

TEST_CASE("the tables hold a line a putt and a line a lesson, with intervals, and the same report is the same file") {
    const Scratch folder;
    const WorkedLesson w = worked(folder, {6, 12});
    const auto putts = lines_of(told_putts_as_csv(w)), lessons = lines_of(history_as_csv(w));
    REQUIRE(putts.size() == 13);
    REQUIRE(lessons.size() == 3);
    const auto commas = [](const std::string& s) { return std::count(s.begin(), s.end(), ','); };
    for (const auto& table : {putts, lessons})
        for (const std::string& l : table) CHECK(commas(l) == commas(table[0]));
    CHECK(putts[1].find("1,A,own-read,") == 0);
    CHECK(lessons[2].find(w.lesson.id + ",2026-05-09,10.0,12,2,") == 0);
    write_lesson_sheet(lesson_green(), w, {}, folder / "a.pdf");
    write_lesson_sheet(lesson_green(), w, {}, folder / "b.pdf");
    CHECK(content(folder / "a.pdf") == content(folder / "b.pdf"));
    WorkedLesson none = w;
    none.truth.clear();
    CHECK_THROWS_AS(write_lesson_sheet(lesson_green(), none, {}, folder / "a.pdf"), Error);
}

TEST_CASE("a place beside the hole is told in the hand's units") {
    CHECK(cross_text(0.284, false) == "28\u00a0cm right");
    CHECK(cross_text(-0.284, true) == "11\u00a0in left");
    CHECK(cross_text(0.004, false) == "centre");
}
