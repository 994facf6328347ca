// One line of typing says where a hole was cut, as the person who cut it knows it; a file of such lines does a course.
#pragma once

#include "core/record/hole_history.h"

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace brae {

// "12 on, 4 left"            paces on from the front and from that side (m or yd after a number says another unit)
// "S1=6.42, S2=8.13, left"   tapes in metres from reference marks, a third one checks; a side tells the mirror image apart
// "14.2,9.7"  "map:X,Y"      local metres, or the coordinates of the survey
// "skipped frost"            no hole was cut
// "14,9 + 10 on, 3 left"     several holes at once, on a practice green
// and after semicolons, in any order: "speed 9.8", "by JM", "date 2026-05-02"; anything else is the remark.
struct CutLine {
    enum class Kind { paces, tapes, point, skipped } kind = Kind::paces;
    double on_m = 0, side_m = 0;
    GreenSide side = GreenSide::left;
    std::vector<std::pair<std::string, double>> tapes;   // mark, metres
    std::optional<TapeSide> tape_side;
    Vec2 point;
    bool map = false;
    std::string reason;
    std::string date, set_by, remark;                    // empty: not said
    std::optional<double> speed_ft;
    std::vector<CutLine> beside;                         // further places of the same day
};
// Throws Error(usage): what was found, what is wanted.
CutLine parse_cut_line(std::string_view text);

// Where that is on a green. Throws Error: paces on a green without a line of play, or that no or several places have; marks that
// the green has not; tapes that do not meet; a place off the green. `loose_m`: how far whole paces leave it open, 0 else. `understood`: a
// sentence where the side that was told is not the nearer one, by which places are named; empty else.
struct CutPlace { Vec2 p; double loose_m = 0; std::string understood = {}; };
CutPlace place_of(const CutLine& line, const Green& green);

// "NAME: LINE" for each green; "date: ...", "by: ..." and "speed: ..." hold for the lines below them; # begins a comment.
struct CourseLine { std::string green; CutLine line; std::size_t number = 0; };
// Throws Error(usage) naming the first bad line; a green twice for one date is one.
std::vector<CourseLine> parse_course_lines(std::string_view text, const std::string& name);

}  // namespace brae
