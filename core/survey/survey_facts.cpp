#include "core/survey/survey_facts.h"

#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/survey/text_file.h"

#include <array>
#include <chrono>
#include <fmt/format.h>
#include <utility>

namespace brae {

namespace {

constexpr std::array<std::pair<SurveyMethod, const char*>, 7> kMethods{{{SurveyMethod::unknown, ""},
                                                                        {SurveyMethod::total_station, "total-station"},
                                                                        {SurveyMethod::tripod_scan, "tripod"},
                                                                        {SurveyMethod::rtk, "rtk"},
                                                                        {SurveyMethod::drone, "drone"},
                                                                        {SurveyMethod::airborne_lidar, "lidar"},
                                                                        {SurveyMethod::grid, "grid"}}};

}  // namespace

const char* to_text(SurveyMethod method) {
    for (const auto& [kind, text] : kMethods)
        if (kind == method) return text;
    return "";
}

SurveyMethod method_of(const std::string& text) {
    for (const auto& [kind, word] : kMethods)
        if (text == word) return kind;
    return SurveyMethod::unknown;
}

std::string checked_day(const std::string& text, const std::string& what) {
    if (!day_of(text)) throw usage_error(fmt::format("{} is {}; a day such as 2026-05-02 is wanted", what, quote(text)));
    return text;
}

std::vector<std::string> age_warnings(const SurveyFacts& facts, const std::string& today) {
    std::vector<std::string> warnings;
    const auto surveyed = day_of(facts.date), dressed = day_of(facts.top_dressed), now = day_of(today);
    if (!surveyed) return warnings;
    const char* no_later = facts.date_of_file ? "is from " : "was made on ";
    const char* end = facts.date_of_file ? " or before" : "";
    if (dressed && *surveyed < *dressed)
        warnings.push_back(fmt::format("the survey {}{}{}, before the top-dressing of {}; the surface has changed since, so survey it again",
                                       no_later, facts.date, end, facts.top_dressed));
    // The same day a year on; 29 February becomes 1 March.
    if (now) {
        const auto year_on = std::chrono::sys_days(std::chrono::year_month_day(*surveyed) + std::chrono::months(12));
        if (*now > year_on)
            warnings.push_back(fmt::format("the survey {}{}{}, more than 12 months before {}; the surface may have changed since", no_later,
                                           facts.date, end, today));
    }
    return warnings;
}

}  // namespace brae
