#include "core/roll/capture_sensitivity.h"

namespace brae {

CaptureSensitivity capture_sensitivity(const HoleApproach& approach, RimSettings settings) {
    CaptureSensitivity out;
    for (std::size_t i = 0; i < kSensitivityRestitutions.size(); ++i) {
        settings.restitution = kSensitivityRestitutions[i];
        const RimEnd end = meet_hole(approach, settings).end;
        out.drops[i] = end == RimEnd::captured;
        if (end == RimEnd::undecided || out.drops[i] != out.drops[0]) out.uncertain = true;
    }
    return out;
}

}  // namespace brae
