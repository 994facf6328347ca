// The moment of a putt, by the clock and the time zone of this machine.
#pragma once

#include "core/base/calendar.h"

#include <chrono>
#include <fmt/chrono.h>
#include <fmt/format.h>
#include <string>

namespace brae::practice_stations {

// "2026-05-02T16:05"
inline std::string this_minute() {
    return fmt::format("{:%Y-%m-%dT%H:%M}", fmt::localtime(std::chrono::system_clock::to_time_t(std::chrono::system_clock::now())));
}

}  // namespace brae::practice_stations
