#include "core/record/green_zones.h"

#include "core/base/calendar.h"
#include "core/survey/ring.h"

#include <algorithm>
#include <fmt/format.h>

namespace brae {

namespace {

constexpr double kSameGateM = 0.5;

}  // namespace

ZoneRole role_of(const Zone& z) { return z.kind == "bunker" || z.kind == "water" || z.kind == "bank" ? ZoneRole::guards : ZoneRole::closes; }

bool closed_on(const Zone& z, int day) {
    if (role_of(z) == ZoneRole::guards) return false;
    const auto opens = day_number(z.until);
    return !opens || day < *opens;
}

std::vector<const Zone*> closed_at(const Green& green, Vec2 p, int day) {
    std::vector<const Zone*> out;
    for (const Zone& z : green.zones)
        if (closed_on(z, day) && side_of_ring(z.ring, p) >= 0) out.push_back(&z);
    return out;
}

std::string about_zone(const Zone& z) {
    const std::string kind = z.kind == z.name ? "" : z.kind, until = z.until.empty() ? "" : "until " + z.until;
    return kind + (kind.empty() || until.empty() ? "" : ", ") + until;
}

std::string zone_words(const Zone& z) {
    if (role_of(z) == ZoneRole::guards) return z.kind + (z.name.empty() || z.name == z.kind ? "" : fmt::format(" '{}'", z.name));
    const std::string about = about_zone(z);
    return (z.name.empty() ? std::string("zone") : fmt::format("zone '{}'", z.name)) + (about.empty() ? "" : " (" + about + ")");
}

void take_gates_from_zones(Green& green) {
    for (const Zone& z : green.zones) {
        if (z.kind != "gate" || z.ring.empty()) continue;
        const Vec2 middle = ring_centroid(z.ring);
        if (std::none_of(green.gates.begin(), green.gates.end(), [&](const Gate& g) { return distance(g.p, middle) < kSameGateM; }))
            green.gates.push_back({z.name, middle});
    }
    std::erase_if(green.zones, [](const Zone& z) { return z.kind == "gate"; });
}

}  // namespace brae
