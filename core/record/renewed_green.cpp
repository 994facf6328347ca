#include "core/base/error.h"
#include "core/record/green_file.h"
#include "core/survey/ring.h"

#include <algorithm>
#include <fmt/format.h>

namespace brae {

namespace {

constexpr double kFarthestRenewedM = 2;   // between the boxes of the two edges: a green does not move

}  // namespace

Green renewed_green(const Green& old, Green fresh) {
    if (!(old.terrain->frame.spec() == fresh.terrain->frame.spec()))
        throw Error(fmt::format("the new survey of '{}' is in another frame than the green", old.name));
    if (const double away = gap_between(old.terrain->outline.box(), fresh.terrain->outline.box()); away > kFarthestRenewedM)
        throw Error(fmt::format("the new survey lies {:.0f} m away from the green '{}': a survey of that green is wanted, or another file, or --replace to begin it anew", away, old.name));
    fresh.id = old.id;
    fresh.name = old.name;
    fresh.revision = old.revision + 1;
    fresh.surface_revision = old.surface_revision + 1;

    // The survey's own hole takes the place of the one surveyed before; a hole that was set by hand stays today's.
    std::vector<StoredHole> holes;
    for (const StoredHole& h : old.holes)
        if (h.name != "surveyed" || fresh.holes.empty()) holes.push_back(h);
    const bool has_today = std::any_of(holes.begin(), holes.end(), [](const StoredHole& h) { return h.today; });
    for (StoredHole h : fresh.holes) {
        h.today = h.today && !has_today;
        holes.push_back(h);
    }
    fresh.holes = std::move(holes);
    for (const ReferenceMark& m : old.marks)
        if (std::none_of(fresh.marks.begin(), fresh.marks.end(), [&](const ReferenceMark& n) { return n.name == m.name; }))
            fresh.marks.push_back(m);
    fresh.zones = old.zones;
    fresh.stations = old.stations;
    fresh.stations_told = old.stations_told;
    fresh.speeds = old.speeds;
    fresh.skipped = old.skipped;
    fresh.line_of_play = old.line_of_play;
    fresh.gates = old.gates;

    // What the new edge leaves outside is kept and named.
    auto terrain = std::make_shared<TerrainModel>(*fresh.terrain);
    for (const StoredHole& h : fresh.holes)
        if (!terrain->outline.contains(h.p))
            terrain->warnings.push_back(fmt::format("the hole '{}' now lies outside the green", h.name));
    for (const StoredStation& s : fresh.stations)
        if (!terrain->outline.contains(s.station.ball))
            terrain->warnings.push_back(fmt::format("the ball spot of station {} now lies outside the green", s.station.label));
    fresh.terrain = std::move(terrain);
    return fresh;
}

}  // namespace brae
