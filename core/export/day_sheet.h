// The hole positions of a day on paper: one page for the whole course in large type, setting out by tape behind it; and a card
// that may be carried in a round.
#pragma once

#include "core/export/day_greens.h"
#include "core/export/sheets.h"

namespace brae {

struct DaySheetRequest {
    Paper paper = Paper::a4;
    std::string course;          // printed below the title
    std::string date;            // printed as given
    bool feet_and_inches = false;
    int card_scale = 0;          // of the card, 500 for 1:500; 0: the largest at which it has at most two cards
};

// What a printed image of a green may be that is used in a round (interpretation of Rule 4.3a of the Rules of Golf, since 2019;
// second-hand): 3/8 in to 5 yards, 1:480, or smaller, on pages of at most 4 1/4 x 7 in, with no line of play recommended.
inline constexpr int kRoundScale = 480;
inline constexpr double kRoundPageWidthM = 0.10795, kRoundPageHeightM = 0.1778;
inline constexpr double kCardWidthM = 0.088, kCardHeightM = 0.175;

// The first page has up to 20 greens in two columns: name, paces on and from the nearer side, the thirds it lies in, green speed,
// how that is known, and the green to one scale for all. Behind it the tapes from two reference marks with a check, room for
// what was really cut, and the cautions. The scale that comes back is that of the small greens, never larger than 1:480.
SheetResult write_day_sheet(const std::vector<DayGreen>& greens, const DaySheetRequest& request, const std::filesystem::path& file);

// Cards of 88 x 175 mm, two on a page. Throws Error(usage) for a scale larger than 1:480 and one at which a green does not fit.
SheetResult write_hole_card(const std::vector<DayGreen>& greens, const DaySheetRequest& request, const std::filesystem::path& file);

}  // namespace brae
