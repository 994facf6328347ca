// What is known about a survey besides its points: when, how, and in what state the turf was.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace brae {

// How the heights were taken; sets the prior of the noise where the data cannot tell.
enum class SurveyMethod { unknown, total_station, tripod_scan, rtk, drone, airborne_lidar, grid };

// "total-station", "tripod", "rtk", "drone", "lidar", "grid"; "" for unknown. The other way round: unknown for other words.
const char* to_text(SurveyMethod method);
SurveyMethod method_of(const std::string& text);

// Days are ISO 8601, "2026-05-02"; "" where not known.
struct SurveyFacts {
    SurveyMethod method = SurveyMethod::unknown;
    std::string date;
    bool date_of_file = false;              // the day is that on which the file was written: the survey is no younger
    std::optional<double> height_of_cut_m;
    std::string top_dressed;                // last top-dressing or other work that moved the surface
    friend bool operator==(const SurveyFacts&, const SurveyFacts&) = default;
};

// The day as it stands, checked. `what` starts the sentence, such as "--date". Throws a usage Error for anything but a day of
// the calendar as YYYY-MM-DD.
std::string checked_day(const std::string& text, const std::string& what);

// Sentences about a survey that may no longer be the green: from before the last top-dressing, or more than 12 months old on
// the day `today`. Turf rises and settles by millimetres a year (common practice; no published figure was checked).
std::vector<std::string> age_warnings(const SurveyFacts& facts, const std::string& today);

}  // namespace brae
