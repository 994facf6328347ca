// What planners ask of a stored green; one answer for the verbs, the panels and the sheets.
#pragma once

#include "core/record/green.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

// Holes to keep clear of: today's first, then the latest by date; holes without a date count as old ones, in the order
// of the file.
inline constexpr std::size_t kRecentHoles = 7;
std::vector<Vec2> recent_holes(const Green& green, std::size_t count = kRecentHoles);

// Rings of the zones that a hole may not lie in: all of them; and of those that stations keep off: worn and closed ground,
// while a "no hole" zone may be putted over.
std::vector<std::vector<Vec2>> closed_to_holes(const Green& green);
std::vector<std::vector<Vec2>> closed_to_stations(const Green& green);

// The holes once today's is really at p, taped there: one within 30 cm of it is the same hole and goes, unless it is the
// history of another day; the one that was today's stays as a past one, to be kept clear of.
std::vector<StoredHole> holes_with_today_at(const Green& green, Vec2 p, const std::string& date, const std::string& set_by);

// The reference marks, as points to lay tapes from.
std::vector<TapePoint> tape_points(const Green& green);

// The question that a lesson at a hole asks of this green: marks, closed zones, and whether a hole is really cut there
// (within 5 cm of one of today's; else a flat disc is the target); today's other holes are kept clear of.
StationRequest station_request(const Green& green, Vec2 hole, double green_speed_ft, double past_m, const std::string& lesson);

// Green speed of the day: what is asked for, else the newest reading kept in the green. sigma is the reading's own where
// that reading is what is used, else half a foot. Throws Error(usage) without either.
struct SpeedOfDay { double speed_ft = 0, sigma_ft = kGreenSpeedSigmaFt; };
SpeedOfDay speed_of_day(const Green& green, std::optional<double> asked_ft);

// The last reading on or before a day, by the day it was taken on (of one day the later in the file); where none is, the newest of those
// without a day. Without a date the newest. Empty where the file has none of these.
std::optional<SpeedReading> reading_of_day(const Green& green, const std::string& date);

// Sentences on kept stations that no longer fit: another surface, a hole that is not today's, or a green speed more than a quarter of a
// foot from the last reading. Empty where all fit.
std::vector<std::string> stale_stations(const Green& green);

}  // namespace brae
