#include "core/export/wording.h"
#include "tests/support/support.h"

using namespace brae;

namespace {
// No-break spaces as plain ones.
std::string plain(const std::string& s) {
    std::string out;
    for (std::size_t k = 0; k < s.size(); ++k) {
        const bool no_break = s.compare(k, 2, "\u00a0") == 0;
        out += no_break ? ' ' : s[k];
        k += no_break;
    }
    return out;
}
}  // namespace

TEST_CASE("feet and inches carry: eleven and three quarters and a bit is the next foot") {
    CHECK(plain(feet_inches(0.3048 * 15)) == "15 ft 0 in");
    CHECK(plain(feet_inches(0.3048 * 15 - 0.001)) == "15 ft 0 in");
    CHECK(plain(feet_inches(0.0254 * 11.4)) == "11 in");
    CHECK(plain(feet_inches(0.0254 * 11.6)) == "1 ft 0 in");
    CHECK(plain(feet_inches(0.0254 * 0.25, true)) == "¼ in");
    CHECK(plain(feet_inches(0.0254 * (24 + 7.5), true)) == "2 ft 7½ in");
    CHECK(plain(feet_inches(0.0254 * 11.9, true)) == "1 ft 0 in");
}

TEST_CASE("tapes are rounded to centimetres and offsets name their side") {
    CHECK(plain(tape_length(6.4249, false)) == "6.42 m");
    CHECK(plain(aim_text(-0.2834, false)) == "28.3 cm left\nof the hole");
    CHECK(plain(aim_text(0.2834, true)) == "11.2 in right\nof the hole");
    CHECK(plain(aim_text(-2.151, false, 0.24)) == "215 cm left\nof the hole");
    CHECK(plain(aim_text(0.2834, false, 0.01)) == "28.3 cm right\nof the hole");
    CHECK(plain(aim_text(0.0049, false)) == "on the hole's\ncentre");
}

TEST_CASE("an error is told as the half-width of nine of ten, with no more digits than it leaves") {
    // The 95 % point of the standard normal distribution, 1.645 (tables of any textbook).
    CHECK(plain(nine_of_ten(0.017, false)) == "2.8 cm");
    CHECK(plain(nine_of_ten(0.017, true)) == "1.1 in");
    CHECK(plain(with_nine_of_ten(0.248, 0.017, false)) == "24.8 ± 2.8 cm");
    CHECK(plain(with_nine_of_ten(1.861, 0.22, false)) == "186 ± 36 cm");
    CHECK(plain(with_nine_of_ten(1.861, 0.22, true)) == "73 ± 14 in");
    CHECK(plain(with_nine_of_ten(0.01, 1e-5, false)) == "1.0 ± 0.1 cm");
    CHECK(plain(with_nine_of_ten(0.01, 0, false)) == "1.0 cm");
    CHECK(plain(pace_length(kUsualPastM, true)) == "12 in");
    CHECK(plain(pace_length(kUsualPastM, false)) == "0.30 m");
}

TEST_CASE("the lengths of a sentence take the units of its page, and nothing else of it changes") {
    const auto feet = [](const std::string& s) { return plain(in_units(s, true)); };
    CHECK(feet("downhill: a putt that misses runs 0.4 m (1.4 ft) past; one peg, 0.25 m from the hole") ==
          "downhill: a putt that misses runs 1 ft 4 in past; one peg, 10 in from the hole");
    CHECK(feet("a straight putt of 1.5 to 4 m, at 2, 3 and 4\u00a0m") == "a straight putt of 4 ft 11 in to 13 ft 1 in, at 6 ft 7 in, 9 ft 10 in and 13 ft 1 in");
    CHECK(feet("passed the hole 15 cm on the high side, uncertain by 3 cm, 62 mm wide") == "passed the hole 6 in on the high side, uncertain by 1.2 in, 2.4 in wide");
    // A figure and its error share a unit; what is small keeps its hundredths of an inch.
    CHECK(feet("dome +0.1 \u00b1 1.5 mm") == "dome +0.00 in \u00b1 0.06 in");
    // Names, speeds, areas, shares and counts stay.
    for (const char* same : {"mark S1 and hole 2", "at 10.0 ft, 9.5 to 10.5 ft", "2 lines hole this putt", "542 m² and 2.3 m/s", "about 20 putts, 60 %", "1:200, 3 marks"})
        CHECK(in_units(same, true) == same);
    // On a page in metres only what is told twice goes.
    CHECK(plain(in_units("runs 0.4 m (1.4 ft) past, 12 cm (4.7 in) off", false)) == "runs 0.4 m past, 12 cm off");
    CHECK(in_units("at 2 m (the near one), 10 ft (fast)", false) == "at 2 m (the near one), 10 ft (fast)");
    CHECK(in_units("", true).empty());
}

TEST_CASE("compass points go round and wrap") {
    CHECK(compass_point(0) == "N");
    CHECK(compass_point(44) == "NE");
    CHECK(compass_point(350) == "N");
    CHECK(compass_point(-90) == "W");
    CHECK(compass_point(180) == "S");
}

TEST_CASE("what every note says is taken out of each and told once") {
    std::vector<PracticeStation> stations(2);
    stations[0].note = "own read; no hole is cut here: lay a disc; downhill: runs 0.4 m past";
    stations[1].note = "no hole is cut here: lay a disc; own read, then marker";
    const auto shared = shared_notes(stations);
    CHECK(shared == std::vector<std::string>{"no hole is cut here: lay a disc"});
    CHECK(note_without(stations[0].note, shared) == "own read; downhill: runs 0.4 m past");
    CHECK(note_without(stations[1].note, shared) == "own read, then marker");
    CHECK(note_without("", shared).empty());
    // One station alone shares nothing.
    stations.pop_back();
    CHECK(shared_notes(stations).empty());
}
