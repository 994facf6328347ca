#include "core/roll/resistance.h"

#include "core/base/constants.h"
#include "core/base/error.h"
#include "core/base/units.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {
constexpr double kConstantBelow = 0.1;   // m/s; so that a ball still stops on a slope
}

double resistance_factor(const ResistanceOptions& o, Vec2 p, Vec2 v, double speed3) noexcept {
    double factor = 1;
    if (o.grain_strength != 0 && dot(v, v) > 0)
        factor *= 1 - o.grain_strength * dot(unit(v), direction_of_bearing(o.grain_bearing_deg));
    if (o.speed_exponent != 0) {
        // The ramp's run is v0^2/a times the integral of u du / f(u), which must stay 1/2 (docs/physics.md).
        const double q = o.speed_exponent, m = kConstantBelow / kRampReleaseMps, rest = std::pow(m, 2 - q);
        const double scale = rest + 2 * (1 - rest) / (2 - q);
        factor *= scale * std::pow(std::max(speed3, kConstantBelow) / kRampReleaseMps, q);
    }
    if (o.cut && o.outside_factor != 1 && !o.cut->contains(p)) factor *= o.outside_factor;
    return factor;
}

void check_resistance(const ResistanceOptions& o) {
    if (!(o.grain_strength >= 0 && o.grain_strength <= 0.5) || !std::isfinite(o.grain_bearing_deg))
        throw usage_error(fmt::format("the grain's strength is {} towards {} degrees; 0 to 0.5 and a bearing are wanted",
                                      o.grain_strength, o.grain_bearing_deg));
    if (!(std::abs(o.speed_exponent) <= 0.5))
        throw usage_error(fmt::format("resistance follows speed to the power {}; -0.5 to 0.5 are wanted", o.speed_exponent));
    if (!(o.outside_factor >= 0.5 && o.outside_factor <= 10))
        throw usage_error(fmt::format("outside the cut resistance is {} times as large; 0.5 to 10 are wanted", o.outside_factor));
}

}  // namespace brae
