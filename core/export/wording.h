// Numbers as people on a green want them: metres or feet and inches, sides, tapes, compass points. A number and its unit
// are held together by a no-break space.
#pragma once

#include "core/plan/practice_stations.h"

#include <string>
#include <vector>

namespace brae {

// "15 ft 0 in": feet and inches to the nearest quarter inch (fractions only where asked for).
std::string feet_inches(double metres, bool quarters = false);
// "6.42 m" or "21 ft 0¾ in": a length to be taped, to the centimetre or the quarter inch.
std::string tape_length(double metres, bool feet);
// "28.3 cm" or "11.1 in".
std::string small_length(double metres, bool feet);
// A pace past the hole: "0.30 m" or "12 in"; nobody hits one closer than that.
std::string pace_length(double past_m, bool feet);
// The figure of a break in cm or in, for lists that name the unit once: "22", "8.7".
std::string break_figure(double metres, bool feet);
// Half of the interval that holds the truth in nine of ten cases, of a place that is off by se_m: "2.8 cm", "4 cm", "1.1 in"; a
// millimetre or a twentieth of an inch at least.
std::string nine_of_ten(double se_m, bool feet);
// "24.8 ± 2.8 cm": the ± as above, both with the digits that it leaves; without it where se_m is 0 or unknown.
std::string with_nine_of_ten(double metres, double se_m, bool feet);
// "2.3 m/s" or "7.5 ft/s".
std::string speed_text(double mps, bool feet);
// "28.3 cm left of the hole", "on the hole's centre" where it is under 5 mm; on two lines. No tenths where one standard error says
// that they mean nothing.
std::string aim_text(double aim_offset_m, bool feet, double se_m = 0);
// The cells "S1 6.42 m", "S2 8.13 m", "left of the line S1-S2", "S3 5.07 m", "± 1.5 cm" under tape_columns().
std::vector<std::string> tape_cells(const TapePlan& plan, bool feet);
// "N", "NE", ... for a bearing in degrees.
std::string compass_point(double bearing_deg);

// A sentence whose lengths were written in metres ("0.4 m", "3 to 8 m", "12 cm", "62 mm"), for a page in feet and inches; what
// stands behind one in brackets in the other system goes, on either page.
std::string in_units(const std::string& sentence, bool feet);

// With a capital at its head and one full stop at its end, unless it ends in a sign of its own.
std::string as_sentence(std::string text);

// What everybody has to know who stands on a green with a marker or a line, in four short sentences: for pages without the box of
// cautions.
std::string short_cautions();

// Notes are clauses with semicolons between. Those that every station has, where there are two stations or more; and a note
// without them.
std::vector<std::string> shared_notes(const std::vector<PracticeStation>& stations);
std::string note_without(const std::string& note, const std::vector<std::string>& shared);

}  // namespace brae
