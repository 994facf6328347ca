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
// "2.3 m/s" or "7.5 ft/s".
std::string speed_text(double mps, bool feet);
// "28.3 cm left of the hole", "on the hole's centre" where it is under 5 mm; on two lines.
std::string aim_text(double aim_offset_m, bool feet);
// The cells "S1 6.42 m", "S2 8.13 m", "left of the line S1-S2", "S3 5.07 m", "± 1.5 cm" under tape_columns().
std::vector<std::string> tape_cells(const TapePlan& plan, bool feet);
// "N", "NE", ... for a bearing in degrees.
std::string compass_point(double bearing_deg);

// Notes are clauses with semicolons between. Those that every station has, where there are two stations or more; and a note
// without them.
std::vector<std::string> shared_notes(const std::vector<PracticeStation>& stations);
std::string note_without(const std::string& note, const std::vector<std::string>& shared);

}  // namespace brae
