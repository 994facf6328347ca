// Calendar days as text such as 2026-05-02 and as numbers that can be counted with.
#pragma once

#include <charconv>
#include <chrono>
#include <cstdio>
#include <optional>
#include <string>
#include <string_view>

namespace brae {

// Days since 1970-01-01; empty where the text is no day of the years 1900 to 9999.
inline std::optional<int> day_number(std::string_view text) {
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') return std::nullopt;
    const auto number = [&](std::size_t at, std::size_t length) {
        unsigned value = 0;
        const char* end = text.data() + at + length;
        const auto [stop, failed] = std::from_chars(text.data() + at, end, value);
        return failed == std::errc() && stop == end ? value : 0;
    };
    const unsigned year = number(0, 4);
    const std::chrono::year_month_day day(std::chrono::year(static_cast<int>(year)), std::chrono::month(number(5, 2)), std::chrono::day(number(8, 2)));
    if (year < 1900 || !day.ok()) return std::nullopt;
    return static_cast<int>(std::chrono::sys_days(day).time_since_epoch().count());
}

inline std::string day_text(int number) {
    const std::chrono::year_month_day day{std::chrono::sys_days(std::chrono::days(number))};
    char text[16];
    std::snprintf(text, sizeof text, "%04d-%02u-%02u", static_cast<int>(day.year()) % 10000, static_cast<unsigned>(day.month()) % 100,
                  static_cast<unsigned>(day.day()) % 100);
    return text;
}

}  // namespace brae
