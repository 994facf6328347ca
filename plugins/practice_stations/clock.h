// The clock of this machine, as it goes into files.
#pragma once

#include <chrono>
#include <fmt/chrono.h>
#include <fmt/format.h>
#include <string>

namespace brae::practice_stations {

inline std::tm local_now() { return fmt::localtime(std::chrono::system_clock::to_time_t(std::chrono::system_clock::now())); }
inline std::string today() { return fmt::format("{:%Y-%m-%d}", local_now()); }              // 2026-05-02
inline std::string this_minute() { return fmt::format("{:%Y-%m-%dT%H:%M}", local_now()); }   // 2026-05-02T16:05

}  // namespace brae::practice_stations
