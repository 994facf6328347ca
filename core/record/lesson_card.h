// A lesson card that was filled in by hand beside the green and typed into a CSV: one line a putt.
#pragma once

#include "core/record/lesson_file.h"

#include <filesystem>
#include <vector>

namespace brae {

// The first line names the columns, in any order; station and outcome must be there. Others: phase, own_read_m or
// own_read_cm, own_read_sigma_m, aim, aim_sigma_deg, gate, strike, marker_seen (yes, no), stop_x_m and stop_y_m, or beyond_m and
// right_m (from the hole along the ball-hole line and to its right), stop_source, stop_sigma_m, at, note; of an exported lesson
// rows with undone = yes are passed over, and so is id. Words as in the lesson file, or their first letters where these are one word's alone.
// Throws Error, naming file, line, what was found and what is wanted; at most 1,000 putts.
std::vector<StoredPutt> read_lesson_card(const std::filesystem::path& file, const StoredLesson& lesson);

// One putt from words such as {"outcome", "passed-low"}; the same names and refusals. where: before the sentence.
using CardField = std::pair<std::string, std::string>;
StoredPutt putt_of_fields(const std::vector<CardField>& fields, const StoredLesson& lesson, const std::string& where, bool decimal_comma = false);

}  // namespace brae
