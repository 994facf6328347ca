// Intervals as people are told them: every ± on a page or in a sentence holds the truth in nine of ten cases.
#pragma once

#include <fmt/format.h>
#include <string>

namespace brae {

// Half of that interval for a normal error, in standard errors: the 95 % point of the standard normal distribution.
inline constexpr double kZ90 = 1.6448536269514722;

// "9.5 ± 0.8 ft" of a green speed in feet and its standard error, with as many places as the error needs; sign: "±" or "+/-".
inline std::string speed_with_error(double feet, double sigma_ft, const char* sign) {
    const double half = kZ90 * sigma_ft;
    if (half < 0.005) return fmt::format("{:.1f} ft, taken as exact", feet);
    return fmt::format("{:.{}f} {} {:.{}f} ft", feet, half < 0.05 ? 2 : 1, sign, half, half < 0.05 ? 2 : 1);
}

}  // namespace brae
