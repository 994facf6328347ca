// What a zone of a green means for holes: closed ground until a day, or a guard beside the edge; and how it is told.
#pragma once

#include "core/record/green.h"

#include <string>
#include <vector>

namespace brae {

// Kinds bunker, water and bank guard the edge; every other kind closes its ground to holes.
enum class ZoneRole { closes, guards };
ZoneRole role_of(const Zone& zone);

// Closed up to the day before its own; without a day, or with one that cannot be read, for good. A guard closes nothing.
bool closed_on(const Zone& zone, int day);   // day_number()
// Those that are closed on a day at a place; a zone's edge belongs to it.
std::vector<const Zone*> closed_at(const Green& green, Vec2 p, int day);

// "zone 'Scar' (worn, until 2026-05-10)"; "bunker 'left'".
std::string zone_words(const Zone& zone);
// "worn, until 2026-05-10": kind and day, without what is not told or is in its name.
std::string about_zone(const Zone& zone);

// Where players walk on and off stands in `gates` alone. A zone of kind "gate", as older files and other programs have it,
// becomes a gate at its middle, unless one stands there already (within half a metre).
void take_gates_from_zones(Green& green);

}  // namespace brae
