// Printed sheets through Cairo: drawn to a stated scale, with numbers, units and cautions. Ink on white, no colour needed.
// They are documents for practice and maintenance, at scales larger than the Rules of Golf allow for printed images of
// a green in a round (interpretation of Rule 4.3a: 1:480 or smaller), and each page says that it is not for a round.
#pragma once

#include "core/record/green.h"
#include "core/plan/hole_positions.h"
#include "core/plan/station_speeds.h"

#include <filesystem>
#include <string>
#include <vector>

namespace brae {

enum class Paper { a4, letter };

struct SheetResult { int pages = 0; int scale = 0; };  // scale: 100 means 1:100

// Kinds of sheet: "stations" (setting-out sheet with tapes and cautions), "pocket" (the same stations as a card), "lesson-card"
// (to fill in beside the green), "holes" (fair positions of one green), "day" and "card" (a day's holes of a course, made by
// day_sheet.h), "survey" (how far the survey can be trusted).
struct SheetKind { std::string name, what; };
const std::vector<SheetKind>& sheet_kinds();

struct SheetRequest {
    std::string kind = "stations";
    Paper paper = Paper::a4;
    double green_speed_ft = 10;
    std::string date;                            // printed as given
    bool feet_and_inches = false;
    std::vector<PracticeStation> stations;
    // By station, from breaks_for_sheet; empty: what the stations themselves keep.
    std::vector<std::vector<BreakAtSpeed>> speeds = {};
    std::string missing = {};                    // one sentence on what of the lesson this green cannot give
    std::vector<std::string> warnings = {};      // sentences that whoever carries the sheet must know, printed first
    std::vector<HolePosition> positions;
};

// Writes a part beside FILE and renames; an existing file stays as it was when the work fails.
// The drawing's scale is the largest of 1:50, 1:75, 1:100, 1:125, 1:150, 1:200, 1:250, 1:300, 1:400, 1:500 that fits.
SheetResult write_sheet(const Green& green, const SheetRequest& request, const std::filesystem::path& file);

}  // namespace brae
