#include "core/solve/hole_line.h"

#include "core/roll/run_roll.h"

#include <cmath>
#include <vector>

namespace brae {

RollState state_after(const HeightField& surface, RollState start, double level_decel, double time_s) {
    if (!(time_s > 0)) return start;
    RollRun run;
    run.time_limit_s = time_s;
    return run_roll(surface, Outline(), start, level_decel, run, nullptr).at;
}

std::optional<Crossing> first_crossing(const HeightField& surface, const Outline& outline, RollState start,
                                       double level_decel, const HoleLine& line) {
    // Between which samples it crosses; they are closer than any path bends back.
    RollRun run;
    run.sample_step_m = 0.05;
    std::vector<RollSample> samples;
    run_roll(surface, outline, start, level_decel, run, &samples);
    const auto beyond = [&](const RollSample& s) { return line.beyond({s.p.x, s.p.y}); };
    std::size_t k = 1;
    while (k < samples.size() && !(beyond(samples[k - 1]) < 0 && beyond(samples[k]) >= 0)) ++k;
    if (k >= samples.size()) return std::nullopt;

    // Newton on the time from the sample before, kept between the two by halving.
    const RollState from = state_after(surface, start, level_decel, samples[k - 1].t);
    double low = 0, high = samples[k].t - samples[k - 1].t, t = 0.5 * high;
    RollState at = from;
    for (int n = 0; n < 60; ++n) {
        at = state_after(surface, from, level_decel, t);
        const double gap = line.beyond(at.p), rate = dot(at.v, line.along);
        if (std::abs(gap) < 1e-11 || high - low < 1e-12) break;
        (gap < 0 ? low : high) = t;
        const double next = rate > 0 ? t - gap / rate : low;
        t = next > low && next < high ? next : 0.5 * (low + high);
    }
    return Crossing{samples[k - 1].t + t, line.offset(at.p), surface_speed(surface.jet(at.p.x, at.p.y), at.v), at};
}

}  // namespace brae
