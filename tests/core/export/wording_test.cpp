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
    CHECK(plain(aim_text(0.0049, false)) == "on the hole's\ncentre");
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
