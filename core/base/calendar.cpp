#include "core/base/calendar.h"

#include <charconv>
#include <cstdlib>
#include <fmt/chrono.h>
#include <fmt/format.h>

namespace brae {

std::optional<std::chrono::sys_days> day_of(const std::string& iso) {
    if (iso.size() != 10 || iso[4] != '-' || iso[7] != '-') return std::nullopt;
    const auto number = [&](std::size_t at, std::size_t length) {
        unsigned value = 0;
        const char* end = iso.data() + at + length;
        const auto [stop, failed] = std::from_chars(iso.data() + at, end, value);
        return failed == std::errc() && stop == end ? value : 0u;
    };
    const std::chrono::year_month_day date(std::chrono::year(static_cast<int>(number(0, 4))), std::chrono::month(number(5, 2)),
                                           std::chrono::day(number(8, 2)));
    if (!date.ok() || date.year() < std::chrono::year(1900)) return std::nullopt;
    return std::chrono::sys_days(date);
}

std::string to_text(std::chrono::sys_days day) {
    const std::chrono::year_month_day date(day);
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()), static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
}

std::string today() {
    if (const char* given = std::getenv("BRAE_TODAY"); given && day_number(given)) return given;
    return fmt::format("{:%Y-%m-%d}", fmt::localtime(std::chrono::system_clock::to_time_t(std::chrono::system_clock::now())));
}

std::string date_after(const std::string& iso, int days) {
    const auto day = day_of(iso);
    return day ? to_text(*day + std::chrono::days(days)) : std::string();
}

std::optional<int> day_number(const std::string& iso) {
    const auto day = day_of(iso);
    return day ? std::optional(static_cast<int>(day->time_since_epoch().count())) : std::nullopt;
}

std::string day_text(int number) { return to_text(std::chrono::sys_days(std::chrono::days(number))); }

std::optional<int> days_between(const std::string& from, const std::string& to) {
    const auto first = day_of(from), last = day_of(to);
    if (!first || !last) return std::nullopt;
    return static_cast<int>((*last - *first).count());
}

std::string utc_text(std::int64_t seconds) {
    const std::chrono::sys_seconds when{std::chrono::seconds(seconds)};
    const auto day = std::chrono::floor<std::chrono::days>(when);
    const std::chrono::hh_mm_ss time(when - day);
    return fmt::format("{}T{:02}:{:02}:{:02}Z", to_text(day), time.hours().count(), time.minutes().count(), time.seconds().count());
}

}  // namespace brae
