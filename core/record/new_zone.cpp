#include "core/record/new_zone.h"

#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/survey/ring.h"
#include "core/terrain/new_outline.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

constexpr double kSmallestZoneM2 = 0.05;
constexpr std::size_t kLongestName = 40;

std::string text_of(Vec2 p) { return fmt::format("{:.2f}, {:.2f}", p.x, p.y); }

// Do ring and green share ground? Looked at every 20 cm along both.
bool touches(const std::vector<Vec2>& ring, const Outline& outline) {
    const auto along = [](const std::vector<Vec2>& sides, const auto& inside) {
        for (std::size_t k = 0; k < sides.size(); ++k) {
            const Vec2 a = sides[k], b = sides[(k + 1) % sides.size()];
            const int steps = static_cast<int>(std::min(distance(a, b) / 0.2, 5000.0)) + 1;
            for (int s = 0; s < steps; ++s)
                if (inside(a + (static_cast<double>(s) / steps) * (b - a))) return true;
        }
        return false;
    };
    return along(ring, [&](Vec2 p) { return outline.contains(p); }) || along(outline.ring(), [&](Vec2 p) { return side_of_ring(ring, p) >= 0; });
}

}  // namespace

const ZoneKind* zone_kind(const std::string& name) {
    const auto kind = std::find_if(kZoneKinds.begin(), kZoneKinds.end(), [&](const ZoneKind& k) { return k.name == name; });
    return kind == kZoneKinds.end() ? nullptr : &*kind;
}

std::string zone_fault(const Outline& outline, const std::string& kind, const std::vector<Vec2>& ring) {
    if (ring.size() < 3) return fmt::format("the zone has {} corners; at least 3 are wanted", ring.size());
    if (!std::all_of(ring.begin(), ring.end(), [](Vec2 p) { return std::isfinite(p.x) && std::isfinite(p.y); })) return "a corner of the zone is no place; numbers are wanted";
    if (const auto sides = first_crossing(ring))
        return fmt::format("the zone crosses itself where the sides after its corners {} and {} meet, near ({}); move or take away one of them", sides->first + 1,
                           sides->second + 1, text_of(ring[sides->second]));
    if (const double area = std::abs(signed_area(ring)); area < kSmallestZoneM2 || area > kLargestGreenM2)
        return fmt::format("the zone encloses {:.2f} m\u00b2; between {:.2f} and {:.0f} is wanted", area, kSmallestZoneM2, kLargestGreenM2);
    if (touches(ring, outline)) return {};
    const ZoneKind* known = zone_kind(kind);
    if (!known || known->on_green)
        return fmt::format("the zone lies wholly outside the green, round ({}); a part of the green is wanted", text_of(ring_centroid(ring)));
    // The nearest of its sides to the edge.
    double away = 1e9;
    for (std::size_t k = 0; k < ring.size(); ++k)
        for (int s = 0; s < 20; ++s) away = std::min(away, -outline.signed_distance(ring[k] + (s / 20.0) * (ring[(k + 1) % ring.size()] - ring[k])));
    return away > kFarthestBesideM ? fmt::format("the {} lies {:.0f} m from the edge of the green; at most {:.0f} m are wanted", kind, away, kFarthestBesideM) : std::string();
}

std::string free_zone_name(const std::vector<Zone>& zones) {
    for (int n = 1;; ++n) {
        const std::string name = fmt::format("Zone {}", n);
        if (std::none_of(zones.begin(), zones.end(), [&](const Zone& z) { return z.name == name; })) return name;
    }
}

std::vector<Zone> with_zone(const Green& green, Zone zone, std::optional<std::size_t> replaced) {
    std::vector<Zone> all = green.zones;
    // One that another program drew may be renamed as it is.
    const Zone* old = replaced && *replaced < all.size() ? &all[*replaced] : nullptr;
    if (!old || old->ring != zone.ring || old->kind != zone.kind)
        if (const std::string fault = zone_fault(green.terrain->outline, zone.kind, zone.ring); !fault.empty()) throw Error(fault);
    if (zone.name.empty()) zone.name = free_zone_name(all);
    if (zone.name.size() > kLongestName) throw Error(fmt::format("the name of the zone has {} letters; at most {} are wanted", zone.name.size(), kLongestName));
    for (std::size_t k = 0; k < all.size(); ++k)
        if (k != replaced && all[k].name == zone.name) throw Error(fmt::format("there is a zone '{}' already; another name is wanted", zone.name));
    const ZoneKind* kind = zone_kind(zone.kind);
    if (kind && !kind->on_green) zone.until.clear();   // what is dug in stays
    if (!zone.until.empty() && !day_of(zone.until)) throw Error(fmt::format("'{}' is no day of the calendar; one such as 2026-05-02 is wanted, or nothing", zone.until));
    if (old) all[*replaced] = std::move(zone);
    else all.push_back(std::move(zone));
    return all;
}

}  // namespace brae
