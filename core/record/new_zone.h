// Zones that are drawn, typed or taken away: which kinds there are, and what a ring must be to be one.
#pragma once

#include "core/record/green.h"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace brae {

// What a kind means, in one sentence; whether it lies on the green, so that it needs ground of it and may hold until a day.
struct ZoneKind { const char *name, *means; bool on_green; };
inline constexpr std::array<ZoneKind, 6> kZoneKinds{{{"no hole", "Holes keep off it; stations may be putted over it.", true},
                                                     {"worn", "Holes and practice stations keep off it.", true},
                                                     {"closed", "Holes and practice stations keep off it.", true},
                                                     {"bunker", "It guards the edge: holes keep farther from the edge beside it.", false},
                                                     {"water", "It guards the edge: holes keep farther from the edge beside it.", false},
                                                     {"bank", "It guards the edge: holes keep farther from the edge beside it.", false}}};
// Null for a word that is none of them, as another program may have given it.
const ZoneKind* zone_kind(const std::string& name);

// How far beside the green what guards its edge may begin, m: as far as clicks reach. Own choice.
inline constexpr double kFarthestBesideM = 20;

// Why a ring can be no zone of this kind (a word that is none of kZoneKinds is taken as one on the green), and where; empty where
// it can. Local metres, either sense, three corners or more.
std::string zone_fault(const Outline& outline, const std::string& kind, const std::vector<Vec2>& ring);

// The zones of a green with this one added, or in place of `replaced` (an index). Its day is dropped where its kind holds for good.
// Throws Error for a ring with a fault, a name that is taken or longer than 40 letters, and a day that is none.
std::vector<Zone> with_zone(const Green& green, Zone zone, std::optional<std::size_t> replaced = {});

// "Zone 1", "Zone 2", ... whichever is free.
std::string free_zone_name(const std::vector<Zone>& zones);

}  // namespace brae
