// Days of the calendar and moments in the one form that files, sheets and options use: ISO 8601, "2026-05-02".
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>

namespace brae {

// Exactly ten characters, a day that exists, not before 1900; otherwise empty.
std::optional<std::chrono::sys_days> day_of(const std::string& iso);
std::string to_text(std::chrono::sys_days day);

// By the clock and the time zone of this machine; the day that BRAE_TODAY names (2026-05-02) where that is set, so that a run can be
// repeated. Not SOURCE_DATE_EPOCH: fonts' caches go by that one too, and are then built anew at each start.
std::string today();

// A day some days later (negative: earlier); empty where the text is no day.
std::string date_after(const std::string& iso, int days);
// The same days as numbers that can be counted with: days since the start of 1970.
std::optional<int> day_number(const std::string& iso);
std::string day_text(int number);

// From one day to another, positive where the second is later; empty where one is no day.
std::optional<int> days_between(const std::string& from, const std::string& to);

// The moment so many seconds after the start of 1970, "2026-05-02T07:30:00Z".
std::string utc_text(std::int64_t seconds);

}  // namespace brae
