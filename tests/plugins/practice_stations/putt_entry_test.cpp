#include "plugins/practice_stations/putt_entry.h"

#include "core/base/constants.h"
#include "tests/support/support.h"

using namespace brae;
using namespace brae::test;
using namespace brae::practice_stations;
using plugin::ToolKey;
using doctest::Approx;

namespace {

// Two stations that play east towards one hole: the player's right is south.
std::vector<StoredLessonStation> two() {
    std::vector<StoredLessonStation> out(2);
    out[0].place = {"A", {0, 0}, {3, 0}, Vec2{3, -0.3}, 0.3};
    out[0].aim_offset_m = 0.3;
    out[1].place = {"B", {1, 0}, {3, 0}, std::nullopt, 0.3};
    return out;
}
PuttEntry fresh(PuttPhase phase = PuttPhase::own_read) {
    PuttEntry e;
    e.set_lesson(two());
    e.go_to(0, phase);
    return e;
}
void type(PuttEntry& e, const std::string& text) {
    for (char c : text) e.letter(c);
}
bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("a read is told by a number and an arrow, in centimetres, inches or hole widths") {
    PuttEntry e = fresh();
    CHECK(e.step() == EntryStep::read);
    type(e, "40");
    CHECK(e.typed() == "40");
    CHECK(e.key(ToolKey::right, false) == EntryDo::shown);
    CHECK(e.step() == EntryStep::putt);
    CHECK(*e.seen().own_read_m == Approx(0.40));
    CHECK(e.read_text() == "40 cm right");
    // Left, with a point or a comma.
    for (const char* text : {"12.5", "12,5"}) {
        e.next();
        type(e, text);
        e.key(ToolKey::left, false);
        CHECK(*e.seen().own_read_m == Approx(-0.125));
    }
    // A hole and a half, of 4 1/4 inches each (Rules of Golf).
    e.next();
    e.letter('C');
    type(e, "1.5");
    e.key(ToolKey::left, false);
    CHECK(*e.seen().own_read_m == Approx(-1.5 * 4.25 * 0.0254));
    // For that read only, unless they are what is usual; then it is C that leaves them once.
    e.next();
    CHECK_FALSE(e.cups());
    e.set_usually_cups(true);
    e.next();
    CHECK(e.cups());
    e.letter('C');
    type(e, "12.5");
    e.key(ToolKey::left, false);
    CHECK(*e.seen().own_read_m == Approx(-0.125));
    e.set_usually_cups(false);
    e.next();
    e.set_units(plugin::Units::feet);
    type(e, "10");
    e.key(ToolKey::right, false);
    CHECK(*e.seen().own_read_m == Approx(0.254));
    // Straight at the hole, and the same as last time.
    e.next();
    type(e, "0");
    e.key(ToolKey::enter, false);
    CHECK(*e.seen().own_read_m == 0);
    CHECK(e.read_text() == "straight");
    e.next();
    CHECK(e.letter('R') == EntryDo::shown);
    CHECK(*e.seen().own_read_m == 0);
}

TEST_CASE("a read is told by a click anywhere on the line, and a click behind the ball is refused") {
    PuttEntry e = fresh();
    // Half-way, 15 cm to the right: 30 cm at the hole. Right is south here.
    CHECK(e.click({1.5, -0.15}) == EntryDo::shown);
    CHECK(*e.seen().own_read_m == Approx(0.30));
    CHECK(e.seen().own_read_sigma_m > 0.02);
    e.next();
    e.click({-1, 0.2});
    CHECK_FALSE(e.seen().own_read_m);
    CHECK(has(e.message(), "ahead of the ball"));
    CHECK(e.step() == EntryStep::read);
}

TEST_CASE("every outcome has one key, which saves the putt") {
    const std::pair<char, PuttOutcome> letters[] = {{'H', PuttOutcome::holed}, {'S', PuttOutcome::short_of}, {'X', PuttOutcome::missed}, {'I', PuttOutcome::lip_out}, {'O', PuttOutcome::off_green}};
    for (const auto& [letter, outcome] : letters) {
        PuttEntry e = fresh(PuttPhase::marker);
        CHECK(e.letter(letter) == EntryDo::save);
        CHECK(e.seen().outcome == outcome);
    }
    const std::pair<ToolKey, PuttOutcome> arrows[] = {{ToolKey::up, PuttOutcome::passed_high}, {ToolKey::down, PuttOutcome::passed_low}, {ToolKey::left, PuttOutcome::passed_left}, {ToolKey::right, PuttOutcome::passed_right}};
    for (const auto& [key, outcome] : arrows) {
        PuttEntry e = fresh(PuttPhase::marker);
        CHECK(e.key(key, false) == EntryDo::save);
        CHECK(e.seen().outcome == outcome);
        CHECK(e.seen().phase == PuttPhase::marker);
    }
}

TEST_CASE("the digits are three rows of three, and the same one again takes it back") {
    PuttEntry e = fresh(PuttPhase::marker);
    type(e, "357");
    CHECK(e.seen().gate == GateSide::right);
    CHECK(e.seen().aim == SeenAim::on);
    CHECK(e.seen().strike == StrikePlace::toe);
    type(e, "149");
    CHECK(e.seen().gate == GateSide::left);
    CHECK(e.seen().aim == SeenAim::left);
    CHECK(e.seen().strike == StrikePlace::heel);
    type(e, "268");
    CHECK(e.seen().gate == GateSide::middle);
    CHECK(e.seen().aim == SeenAim::right);
    CHECK(e.seen().strike == StrikePlace::centre);
    type(e, "268");
    CHECK_FALSE(e.seen().gate);
    CHECK_FALSE(e.seen().aim);
    CHECK_FALSE(e.seen().strike);
    e.letter('0');
    CHECK(e.seen().marker_seen == true);
    e.letter('0');
    CHECK(e.seen().marker_seen == false);
    e.letter('0');
    CHECK_FALSE(e.seen().marker_seen);
}

TEST_CASE("a place comes by click, tape or paces, before the outcome or after it") {
    PuttEntry e = fresh(PuttPhase::marker);
    e.click({3.6, 0.2});
    REQUIRE(e.seen().stop);
    CHECK(e.seen().stop->source == StopSource::click);
    CHECK(e.stop_text() == "0.60 m past, 0.20 m left");
    CHECK(e.key(ToolKey::up, false) == EntryDo::save);
    e.saved();
    CHECK(e.step() == EntryStep::putt);   // told whole: the next one
    CHECK_FALSE(e.seen().stop);

    // After it: the saved one is put right, and the next begins.
    CHECK(e.letter('S') == EntryDo::save);
    e.saved();
    CHECK(e.step() == EntryStep::place);
    e.letter('M');
    type(e, "50");
    e.key(ToolKey::down, false);
    type(e, "10");
    CHECK(e.key(ToolKey::right, false) == EntryDo::put_right);
    CHECK(e.seen().stop->source == StopSource::tape);
    CHECK(e.seen().stop->p.x == Approx(2.5));
    CHECK(e.seen().stop->p.y == Approx(-0.1));
    e.saved();
    CHECK(e.step() == EntryStep::putt);

    // Paces, one number only: on the line.
    e.set_pace(0.8);
    e.letter('P');
    type(e, "2");
    e.key(ToolKey::up, false);
    CHECK(e.key(ToolKey::enter, false) == EntryDo::shown);
    CHECK(e.seen().stop->source == StopSource::paces);
    CHECK(e.seen().stop->p.x == Approx(4.6));
    CHECK(e.seen().stop->p.y == Approx(0));
    // A holed putt has none.
    CHECK(e.letter('H') == EntryDo::save);
    CHECK_FALSE(e.seen().stop);
    CHECK(has(e.message(), "no place of rest"));
}

TEST_CASE("until the next putt another outcome or detail puts the saved one right") {
    PuttEntry e = fresh(PuttPhase::marker);
    e.letter('X');
    e.saved();
    CHECK(e.step() == EntryStep::place);
    CHECK(e.key(ToolKey::up, false) == EntryDo::put_right);
    CHECK(e.seen().outcome == PuttOutcome::passed_high);
    CHECK(e.letter('4') == EntryDo::put_right);
    CHECK(e.seen().aim == SeenAim::left);
    CHECK(e.key(ToolKey::enter, false) == EntryDo::next);
    e.next();
    CHECK_FALSE(e.noted());
    CHECK_FALSE(e.seen().aim);
}

TEST_CASE("the read comes first, and Enter goes on without it, which is said") {
    PuttEntry e = fresh();
    CHECK(e.letter('H') == EntryDo::shown);
    CHECK_FALSE(e.noted());
    CHECK(has(e.message(), "own read first"));
    e.key(ToolKey::enter, false);
    CHECK(has(e.message(), "will not come apart"));
    CHECK(e.letter('H') == EntryDo::save);
    CHECK_FALSE(e.seen().own_read_m);
    CHECK(e.seen().phase == PuttPhase::own_read);
}

TEST_CASE("an Enter that was meant for the putt before does not cost the next one its read") {
    PuttEntry e = fresh();
    type(e, "10");
    e.key(ToolKey::left, false);
    e.click({3.6, 0.2});
    CHECK(e.key(ToolKey::up, false) == EntryDo::save);
    e.saved();
    REQUIRE(e.step() == EntryStep::read);
    e.key(ToolKey::enter, false);
    CHECK(e.step() == EntryStep::read);
    CHECK(has(e.message(), "Enter once more"));
    e.key(ToolKey::enter, false);
    CHECK(e.step() == EntryStep::putt);
}

TEST_CASE("Tab goes through the stations, L through whose line it is, N asks for the suggested one") {
    PuttEntry e = fresh();
    e.key(ToolKey::tab, false);
    CHECK(e.station() == 1);
    e.key(ToolKey::tab, false);
    CHECK(e.station() == 0);
    e.key(ToolKey::tab, true);
    CHECK(e.station() == 1);
    for (const PuttPhase want : {PuttPhase::marker, PuttPhase::mark, PuttPhase::retest, PuttPhase::own_read}) {
        e.letter('L');
        CHECK(e.phase() == want);
        CHECK((e.step() == EntryStep::read) == e.own_line());
    }
    CHECK(e.letter('N') == EntryDo::suggested);
    CHECK(e.key(ToolKey::undo, false) == EntryDo::undo);
    CHECK(e.key(ToolKey::redo, false) == EntryDo::redo);
}

TEST_CASE("Backspace takes back digits, then the place, the details and the read, and Escape a half-typed number") {
    PuttEntry e = fresh();
    type(e, "45");
    e.key(ToolKey::backspace, false);
    CHECK(e.typed() == "4");
    e.key(ToolKey::backspace, false);
    CHECK(e.typing() == TypedFor::nothing);
    type(e, "45");
    e.key(ToolKey::escape, false);
    CHECK(e.typed().empty());
    type(e, "45");
    e.key(ToolKey::left, false);
    e.letter('5');
    e.click({3.2, 0});
    e.key(ToolKey::backspace, false);
    CHECK_FALSE(e.seen().stop);
    CHECK(e.seen().aim);
    e.key(ToolKey::backspace, false);
    CHECK_FALSE(e.seen().aim);
    e.key(ToolKey::backspace, false);
    CHECK(e.step() == EntryStep::read);
    CHECK_FALSE(e.seen().own_read_m);
}

TEST_CASE("keys that say nothing, and numbers that cannot be, give a sentence and change nothing") {
    PuttEntry e = fresh();
    CHECK(e.letter('Q') == EntryDo::shown);
    CHECK(has(e.message(), "the key Q says nothing here"));
    CHECK(e.letter('V') == EntryDo::nothing);   // a view of the program's
    type(e, "4.5.");
    CHECK(has(e.message(), "a point already"));
    type(e, "6");
    CHECK(e.typed() == "4.56");
    e.next();
    type(e, "1234567");
    CHECK(e.typed() == "123456");
    CHECK(has(e.message(), "more digits"));
    e.key(ToolKey::right, false);
    CHECK(has(e.message(), "at most 5 m"));
    CHECK_FALSE(e.seen().own_read_m);
    e.next();
    type(e, ".");
    e.key(ToolKey::right, false);
    CHECK(has(e.message(), "is no number"));
    e.next();
    type(e, "40");
    e.key(ToolKey::enter, false);
    CHECK(has(e.message(), "to which side"));
    CHECK(e.step() == EntryStep::read);
    e.next();
    CHECK(e.letter('R') == EntryDo::shown);
    CHECK(has(e.message(), "no read was told at this station yet"));
    // A place as far as no green is wide.
    PuttEntry m = fresh(PuttPhase::marker);
    m.letter('M');
    type(m, "9999");
    m.key(ToolKey::up, false);
    CHECK_MESSAGE(has(m.message(), "of this putt"), m.message());
    // By paces as by tape.
    m.key(ToolKey::escape, false);
    m.letter('P');
    type(m, "40");
    m.key(ToolKey::up, false);
    CHECK_MESSAGE(has(m.message(), "40 paces are"), m.message());
    m.key(ToolKey::escape, false);
    CHECK_FALSE(m.seen().stop);
    m.click({80, 0});
    CHECK_FALSE(m.seen().stop);
    // A place whose M was forgotten ends the putt as details and an arrow, and is said to; details in their order are not.
    PuttEntry f = fresh(PuttPhase::marker);
    type(f, "60");
    CHECK(f.key(ToolKey::up, false) == EntryDo::save);
    CHECK_MESSAGE(has(f.message(), "a place begins with M"), f.message());
    f.next();
    type(f, "258");
    CHECK(f.key(ToolKey::up, false) == EntryDo::save);
    CHECK(f.message().empty());
    // Without a station there is nothing to do, and nothing fails.
    PuttEntry none;
    none.set_lesson({});
    CHECK(none.letter('H') == EntryDo::nothing);
    CHECK(none.key(ToolKey::tab, false) == EntryDo::nothing);
    CHECK(none.click({0, 0}) == EntryDo::nothing);
    CHECK(has(none.asks(), "no stations"));
}

TEST_CASE("a doubt is answered by one key: the other word, no place, or as it is") {
    SeenPutt saved;
    saved.phase = PuttPhase::marker;
    saved.outcome = PuttOutcome::passed_high;
    saved.stop = StopPlace{{3.5, -0.2}, StopSource::click, {}};
    for (const char key : {'1', '2'}) {
        PuttEntry e = fresh(PuttPhase::marker);
        e.in_doubt(saved, PuttOutcome::passed_low);
        CHECK(has(e.asks(), "1: passed low"));
        CHECK(e.letter('H') == EntryDo::shown);   // not before it is answered
        CHECK(e.step() == EntryStep::doubt);
        CHECK(e.letter(key) == EntryDo::put_right);
        CHECK(e.seen().outcome == (key == '1' ? PuttOutcome::passed_low : PuttOutcome::passed_high));
        CHECK(e.seen().stop.has_value() == (key == '1'));
    }
    PuttEntry e = fresh(PuttPhase::marker);
    e.in_doubt(saved, PuttOutcome::passed_low);
    CHECK(e.key(ToolKey::enter, false) == EntryDo::shown);
    CHECK(e.step() == EntryStep::putt);
}
