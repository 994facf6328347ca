// A lesson card that was filled in by hand beside the green and typed into a CSV: one line a putt.
#pragma once

#include "core/record/lesson_file.h"

#include <array>
#include <filesystem>
#include <vector>

namespace brae {

// What the printed card asks for (core/export/card_sheet.cpp), in the order of its columns, and the codes that are ringed or
// written on it; they are read wherever the words are. lo, le: passed low, passed left; k: a mark; x: missed, nobody saw how.
inline constexpr std::array kPrintedColumns{"station", "phase", "own_read_cm", "aim", "gate", "strike", "outcome", "beyond_m", "right_m"};
inline constexpr std::array kPrintedColumnsInFeet{"station", "phase", "own_read_in", "aim", "gate", "strike", "outcome", "beyond_ft", "right_ft"};
inline constexpr std::array kOutcomeCodes{"h", "hi", "lo", "le", "ri", "s", "lip", "off", "x"};
inline constexpr std::array kPhaseCodes{"o", "m", "k", "r"};
inline constexpr std::array kAimCodes{"l", "o", "r"};
inline constexpr std::array kGateCodes{"l", "m", "r"};
inline constexpr std::array kStrikeCodes{"t", "c", "he"};
inline constexpr std::array kStopCodes{"c", "t", "p"};
static_assert(kOutcomeCodes.size() == kOutcomeWords.size() && kPhaseCodes.size() == kPhaseWords.size() && kAimCodes.size() == kAimWords.size() &&
              kGateCodes.size() == kGateWords.size() && kStrikeCodes.size() == kStrikeWords.size() && kStopCodes.size() == kStopWords.size());

// The first line names the columns, in any order; station and outcome must be there. Others: phase, own_read_m or
// own_read_cm or own_read_in, own_read_sigma_m, aim, aim_sigma_deg, gate, strike, marker_seen (yes, no), stop_x_m and stop_y_m, or
// beyond_m and right_m, or beyond_ft and right_ft (from the hole along the ball-hole line and to its right), stop_source (click,
// tape, paces; where it is not told the place has the noise of a click, 5 cm + 2 %), stop_sigma_m, at, note; of an exported lesson
// rows with undone = yes are passed over, and so is id. Words as in the lesson file, the codes above, or
// first letters where these are one word's alone.
// Throws Error, naming file, line, what was found and what is wanted; at most 1,000 putts.
std::vector<StoredPutt> read_lesson_card(const std::filesystem::path& file, const StoredLesson& lesson);

// One putt from words such as {"outcome", "passed-low"}; the same names and refusals. where: before the sentence.
using CardField = std::pair<std::string, std::string>;
StoredPutt putt_of_fields(const std::vector<CardField>& fields, const StoredLesson& lesson, const std::string& where, bool decimal_comma = false);

// What is known of a kept putt as such fields, with other ones over it; an empty value makes it unknown. Places and reads that
// are told in another way take the place of those that were.
std::vector<CardField> fields_with(const StoredPutt& putt, const StoredLesson& lesson, const std::vector<CardField>& over);

}  // namespace brae
