#include "core/teach/tendency_words.h"

#include "core/base/units.h"

#include <doctest/doctest.h>

using namespace brae;

namespace {

const Tendency kLine{"start line", "degrees", "left", "right", 0.25, 1};
Told90 interval(double low, double high) { return {0.5 * (low + high), (high - low) / 3.29, low, high}; }
bool says(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("words follow the interval: both sides is open, one side leans with few putts and tells with enough") {
    CHECK(verdict_on(interval(-0.4, 0.9), 30, 0.25) == Verdict::open);
    CHECK(verdict_on(interval(0.3, 0.9), 6, 0.25) == Verdict::leans);
    CHECK(verdict_on(interval(0.3, 0.9), 30, 0.25) == Verdict::tells);
    CHECK(verdict_on(interval(-0.2, 0.1), 30, 0.25) == Verdict::small);
    CHECK(verdict_on(interval(-0.2, 0.1), 6, 0.25) == Verdict::open);
    CHECK(verdict_on(interval(0.3, 0.9), 0, 0.25) == Verdict::nothing);
}

TEST_CASE("no verdict from six putts, however clear they look") {
    for (int putts = 1; putts <= 6; ++putts) {
        const std::string text = sentence_on(kLine, interval(2.0, 2.1), putts);
        CHECK(says(text, "too few for a verdict"));
    }
}

TEST_CASE("a sentence tells side, interval and number of putts") {
    CHECK(sentence_on(kLine, interval(0.3, 0.9), 30) == "start line: right, by 0.3 to 0.9 degrees (90 %, 30 putts)");
    CHECK(sentence_on(kLine, interval(-0.9, -0.3), 30) == "start line: left, by 0.3 to 0.9 degrees (90 %, 30 putts)");
    CHECK(sentence_on(kLine, interval(-0.4, 0.9), 30) == "start line: 30 putts do not show it yet, it may be anything from 0.4 degrees left to 0.9 right");
    CHECK(sentence_on({"pace", "%", "soft", "hard", 1.5, 0}, interval(-2, 5), 8) == "pace: 8 putts do not show it yet, it may be anything from 2 % soft to 5 % hard");
    CHECK(sentence_on(kLine, interval(-0.2, 0.1), 30) == "start line: no bias that matters, within 0.2 degrees (30 putts)");
    CHECK(sentence_on(kLine, interval(0.3, 0.9), 1) == "start line: leans right, by 0.3 to 0.9 degrees; 1 putt is too few for a verdict");
    CHECK(sentence_on(kLine, interval(0, 0), 0) == "start line: nothing told yet");
}

TEST_CASE("a lesson's sentences tell only what the record can tell") {
    LessonEstimate e;
    e.putts = 20;
    e.own_reads = 10;
    e.start_line = interval(radians(0.5), radians(1.5));
    e.figure[kPaceBias] = interval(-0.09, -0.03);
    e.notes = {"of 10 putts on the player's own line 10 have no read recorded: there read and start line cannot be told apart"};
    auto all = tendency_sentences(e);
    for (const std::string& s : all) CHECK_FALSE(says(s, "own read:"));
    CHECK(says(all[0], "start line"));
    CHECK(says(all[1], "pace, by launch speed: soft, by 3 to 9 %"));
    CHECK(says(all.back(), "cannot be told apart"));
    // Read told: towards the low side, and by the break.
    e.read_apart = true;
    e.own_reads_told = 10;
    e.read_low = interval(radians(0.4), radians(1.2));
    e.figure[kReadShare] = interval(-0.4, -0.1);
    all = tendency_sentences(e);
    CHECK(says(all[0], "own read: leans low, by 0.4 to 1.2 degrees"));
    CHECK(says(all[1], "leans too little, by 10 to 40 % of the break"));
    // Sides: chance is named as such.
    e.sides.low = 8, e.sides.high = 5;
    e.sides.low_from = 0.4, e.sides.low_to = 0.8;
    CHECK(says(tendency_sentences(e)[4], "8 of 13 that passed went by on the low side, which may be chance"));
}

TEST_CASE("one putt in one line, with what is known of it") {
    PuttErrors p;
    p.told = true;
    p.read = Told90{radians(-1.2), radians(0.4), radians(-1.9), radians(-0.6)};
    p.start_line = Told90{radians(0.4), radians(0.7), radians(-0.7), radians(1.6)};
    p.direction = Told90{radians(-0.8), radians(0.6), radians(-1.8), radians(0.2)};
    p.pace = Told90{-0.06, 0.02, -0.09, -0.03};
    // The +/- is the farther end of the interval: so much to either side holds all of it.
    CHECK(putt_sentence(p) == "read 1.2 degrees left +/- 0.7, start line 0.4 degrees right +/- 1.2, pace 6 % soft +/- 3 (90 %)");
    p.pace_counted = false;
    CHECK(says(putt_sentence(p), "pace not counted: struck off the centre"));
    p.read.reset(), p.start_line.reset();
    CHECK(says(putt_sentence(p), "start against the true aim 0.8 degrees left"));
    p.told = false;
    p.why = "no launch ends there";
    CHECK(putt_sentence(p) == "no launch ends there");
}
