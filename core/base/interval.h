// Intervals as people are told them: every ± on a page or in a sentence holds the truth in nine of ten cases.
#pragma once

namespace brae {

// Half of that interval for a normal error, in standard errors: the 95 % point of the standard normal distribution.
inline constexpr double kZ90 = 1.6448536269514722;

}  // namespace brae
