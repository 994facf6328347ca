#include "core/plan/station_wish.h"

#include "core/base/error.h"
#include "core/base/units.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

constexpr double kEndM = 0.5, kStepM = 2.0, kRiseM = 0.15, kSteeper = 0.03, kSampleM = 0.1;

}  // namespace

bool climbs_tier(const HeightField& surface, Vec2 from, Vec2 to) {
    const double length = distance(from, to);
    if (length < 2 * kEndM + kStepM / 2) return false;
    const Vec2 along = unit(to - from);
    const auto height = [&](double s) {
        const Vec2 p = from + s * along;
        return surface.height(p.x, p.y);
    };
    const auto slope = [&](double a, double b) { return (height(b) - height(a)) / (b - a); };
    const double ends[] = {slope(0, kEndM), slope(length - kEndM, length)};
    // A window of 2 m, or what lies between the ends on a short line, moved along.
    const double window = std::min(kStepM, length - 2 * kEndM);
    const int places = static_cast<int>(std::floor((length - 2 * kEndM - window) / kSampleM)) + 1;
    for (int k = 0; k < places; ++k) {
        const double s = kEndM + k * kSampleM, here = slope(s, s + window);
        const double way = here < 0 ? -1 : 1;
        if (std::abs(here) * window < kRiseM) continue;
        if (way * here - way * ends[0] >= kSteeper && way * here - way * ends[1] >= kSteeper) return true;
    }
    return false;
}

void check_wishes(const std::vector<StationWish>& wishes) {
    if (wishes.empty()) throw usage_error("the lesson wants no station; at least one is wanted");
    if (wishes.size() > 12) throw usage_error(fmt::format("the lesson wants {} stations; at most 12 can be set out", wishes.size()));
    for (std::size_t k = 0; k < wishes.size(); ++k) {
        const StationWish& w = wishes[k];
        const auto refuse = [&](const std::string& what) { throw usage_error(fmt::format("station {} of the lesson: {}", k + 1, what)); };
        const auto span = [&](const Span& s, double low, double high, double scale, const char* what, const char* unit) {
            if (!std::isfinite(s.low) || !std::isfinite(s.high) || s.low > s.high || s.low < low || s.high > high)
                refuse(fmt::format("{} {:g} to {:g} {}; a low end under the high one, within {:g} to {:g} {}, is wanted", what, scale * s.low,
                                   scale * s.high, unit, scale * low, scale * high, unit));
        };
        span(w.distance_m, 0.3, 20, 1, "a distance of", "m");
        if (w.break_m) span(*w.break_m, 0, 10, 100, "a break of", "cm");
        if (w.slope_along) span(*w.slope_along, -0.3, 0.3, 100, "a slope of", "%");
        if (w.chance) span(*w.chance, 0, 1, 1, "a chance of", "to hole");
        if (w.past_m && !(*w.past_m >= 0 && *w.past_m <= 5)) refuse(fmt::format("a pace of {} m; 0 to 5 m past the hole is wanted", *w.past_m));
        if (w.side == PuttSide::straight && w.break_m && w.break_m->low > kStraightAimM)
            refuse(fmt::format("a straight putt with a break of {:.0f} cm or more; one of the two is wanted", 100 * w.break_m->low));
        if (w.like && *w.like >= k) refuse(fmt::format("it is to be like station {}; an earlier one is wanted", *w.like + 1));
        if (w.like && w.side) {
            const StationWish& other = wishes[*w.like];
            if (other.side && *other.side != *w.side)
                refuse(fmt::format("it is to be like station {} and of the other hand; one of the two is wanted", *w.like + 1));
        }
    }
}

}  // namespace brae
