#include "core/survey/raw_survey.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

double float32_step(double largest) {
    if (!(largest > 0) || !std::isfinite(largest)) return 0;
    // 24 bits of significand (IEEE 754).
    return std::ldexp(1.0, std::ilogb(largest) - 23);
}

void warn_of_steps(RawSurvey& raw, bool float_xy, bool float_z) {
    double xy = 0, z = 0;
    for (const Vec3& p : raw.points) {
        xy = std::max({xy, std::abs(p.x), std::abs(p.y)});
        z = std::max(z, std::abs(p.z));
    }
    const auto length = [](double step) {
        return step >= 0.1 ? fmt::format("{:.2g} m", step) : fmt::format("{:.2g} mm", 1000 * step);
    };
    // Coordinates are taken for metres here; in feet the step is a third of what is said.
    if (const double step = float32_step(xy); float_xy && step > 1e-3)
        raw.warnings.push_back(fmt::format("'{}' keeps positions near {:.0f} as 32-bit numbers, which step by {}; export it "
                                           "again with 64-bit numbers or with a local origin subtracted",
                                           raw.path.string(), xy, length(step)));
    if (const double step = float32_step(z); float_z && step > 1e-3)
        raw.warnings.push_back(fmt::format("'{}' keeps heights near {:.0f} as 32-bit numbers, which step by {}; export it "
                                           "again with 64-bit numbers or with a local origin subtracted",
                                           raw.path.string(), z, length(step)));
}

}  // namespace brae
