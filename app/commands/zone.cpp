// brae zone: ground that holes or stations keep off, and what guards the edge.
#include "app/commands/plans.h"
#include "app/commands/points.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/record/green_file.h"
#include "core/record/green_zones.h"
#include "core/record/new_zone.h"
#include "core/survey/read_outline.h"
#include "core/survey/ring.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

namespace {

std::optional<std::size_t> named(const Green& green, const std::string& name) {
    for (std::size_t k = 0; k < green.zones.size(); ++k)
        if (green.zones[k].name == name) return k;
    return std::nullopt;
}

std::vector<Vec2> ring_of(const ZoneArguments& a, const Green& green, std::vector<std::string>& warnings) {
    std::vector<Vec2> ring;
    const Frame& frame = green.terrain->frame;
    if (a.file.empty()) {
        for (const std::string& text : a.points) ring.push_back(parse_point(text, "--point", frame));
        return ring;
    }
    // What guards the edge lies beside the green.
    Box near = green.terrain->outline.box();
    near = {near.x0 - kFarthestBesideM, near.y0 - kFarthestBesideM, near.x1 + kFarthestBesideM, near.y1 + kFarthestBesideM};
    return read_outline(a.file, frame, near, warnings).ring();
}

// Adds the zone, or changes what is told of the one of that name.
std::vector<Zone> put(const ZoneArguments& a, const Green& green, std::vector<std::string>& warnings) {
    const auto at = named(green, a.name);
    Zone zone = at ? green.zones[*at] : Zone{};
    zone.name = a.name;
    if (!a.kind.empty()) {
        if (!zone_kind(a.kind)) {
            std::string all;
            for (const ZoneKind& k : kZoneKinds) all += (all.empty() ? "" : ", ") + std::string(k.name);
            throw usage_error(fmt::format("--kind: found '{}', one of {} is wanted", a.kind, all));
        }
        zone.kind = a.kind;
    }
    if (zone.kind.empty()) throw usage_error("--kind: nothing found; a new zone wants it, such as worn");
    if (const ZoneKind* kind = zone_kind(zone.kind); !a.until.empty() && kind && !kind->on_green)
        throw usage_error(fmt::format("--until: found {} of a {}, which stays; it belongs to 'no hole', worn and closed", a.until, zone.kind));
    if (!a.until.empty()) zone.until = a.until == "none" ? "" : a.until;
    if (!a.points.empty() || !a.file.empty()) zone.ring = ring_of(a, green, warnings);
    else if (!at) throw usage_error("--point: nothing found; a new zone wants three corners or more, or --file");
    return with_zone(green, zone, at);
}

}  // namespace

int run_zone(const ZoneArguments& a) {
    const bool told = !a.kind.empty() || !a.until.empty() || !a.points.empty() || !a.file.empty();
    if (told && a.name.empty()) throw usage_error("--name: nothing found; what is told of a zone wants its name");
    if (!a.name.empty() && !a.take_away.empty()) throw usage_error("--take-away: found beside --name; one of the two is wanted");
    if (!a.name.empty() && !told) throw usage_error("--name: found alone; --kind, --until and a ring by --point or --file say what changes");
    TerminalProgress terminal;
    Green green = open_for_verb(a.green, a.json, terminal.progress());
    const bool sets = !a.name.empty() || !a.take_away.empty();
    if (sets && green.revision == 0) throw usage_error(fmt::format("{} is a survey, not a green file; make one with brae survey", a.green));
    std::vector<std::string> warnings;
    if (!a.name.empty()) green.zones = put(a, green, warnings);
    if (!a.take_away.empty()) {
        const auto at = named(green, a.take_away);
        if (!at) {
            std::string all;
            for (const Zone& z : green.zones) all += (all.empty() ? "" : ", ") + z.name;
            throw usage_error(fmt::format("--take-away: found '{}', {} is wanted", a.take_away, all.empty() ? "a green with zones" : "one of " + all));
        }
        green.zones.erase(green.zones.begin() + static_cast<std::ptrdiff_t>(*at));
    }
    if (sets) {
        ++green.revision;
        update_green_file(green, a.green);
    }
    terminal.finish();
    if (a.json) {
        nlohmann::ordered_json out{{"zones", nlohmann::ordered_json::array()}, {"warnings", warnings}};
        for (const Zone& z : green.zones) {
            nlohmann::ordered_json ring = nlohmann::ordered_json::array();
            for (const Vec2& p : z.ring) ring.push_back({tidy(p.x), tidy(p.y)});
            const ZoneKind* kind = zone_kind(z.kind);
            out["zones"].push_back({{"name", z.name}, {"kind", z.kind}, {"until", z.until}, {"ring", ring}, {"area_m2", tidy(std::abs(signed_area(z.ring)))},
                                    {"means", kind ? kind->means : kZoneKinds[2].means}});
        }
        print_json(out);
        return 0;
    }
    print_warnings(warnings);
    if (green.zones.empty()) fmt::print("no zones; add one with --name, --kind and --point or --file\n");
    for (const Zone& z : green.zones) {
        const ZoneKind* kind = zone_kind(z.kind);
        const bool open = !z.until.empty() && z.until <= today() && (!kind || kind->on_green);
        fmt::print("{}, {:.1f} m2. {}\n", zone_words(z), std::abs(signed_area(z.ring)), open ? "Its ground is open again." : kind ? kind->means : kZoneKinds[2].means);
    }
    return 0;
}

}  // namespace brae::app
