// The limits of hole positions as settings: names for files and panels, ranges, sources, and ready profiles.
#pragma once

#include "core/plan/hole_positions.h"

#include <string>
#include <vector>

namespace brae {

// One number of HoleLimits. In files and on screens the value stands in `unit`; inside it is SI: inside = shown * scale.
struct HoleSetting {
    const char* key;            // "edge_paces": the name in a club's file
    const char* what;           // "distance from the edge"
    const char* unit;
    double scale;
    double low, high;           // shown values
    const char* source;
    double HoleLimits::* member;
};
const std::vector<HoleSetting>& hole_settings();

double shown(const HoleLimits& limits, const HoleSetting& setting);
// Throws Error(usage), naming key, value and range, where the value is outside; and for a key that is none.
void set_shown(HoleLimits& limits, const std::string& key, double value);
// The player behind expected putts: start line and read in degrees, launch in percent. Throws Error(usage) as the spread does.
void set_player(HoleLimits& limits, double start_line_deg, double launch_pct, double read_deg);

// "everyday": the defaults. "competition": the field ceiling for slope (39/S %, Lemons 2008) and the rest as published.
// Throws Error(usage), naming the profiles, for any other.
const std::vector<std::string>& hole_profile_names();
HoleLimits hole_profile(const std::string& name);

// Throws Error(usage) for a limit out of its range.
void check_hole_limits(const HoleLimits& limits);

// Names of all criteria, in the order in which a judgement lists them, each with its source.
struct HoleCriterionName { const char* name; const char* source; bool by_motion; };
const std::vector<HoleCriterionName>& hole_criterion_names();

}  // namespace brae
