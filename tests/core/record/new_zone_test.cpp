#include "core/record/new_zone.h"

#include "tests/core/record/sample_green.h"
#include "tests/support/refusal.h"
#include "tests/support/support.h"

#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

std::vector<Vec2> square(Vec2 corner, double side) { return {corner, corner + Vec2{side, 0}, corner + Vec2{side, side}, corner + Vec2{0, side}}; }

}  // namespace

TEST_CASE("a ring can be a zone of its kind or is told why not, and where") {
    const Green green = sample_green();
    const Outline& outline = green.terrain->outline;
    const Box& box = outline.box();
    const Vec2 middle = outline.centroid();
    CHECK(zone_fault(outline, "worn", square(middle, 1)).empty());
    // Partly outside is enough for ground of the green; what guards lies beside it.
    CHECK(zone_fault(outline, "no hole", square({box.x0 - 5, middle.y}, 8)).empty());
    CHECK(holds(zone_fault(outline, "no hole", square({box.x1 + 5, middle.y}, 2)), "wholly outside the green"));
    CHECK(zone_fault(outline, "bunker", square({box.x1 + 5, middle.y}, 2)).empty());
    CHECK(holds(zone_fault(outline, "bunker", square({box.x1 + 45, middle.y}, 2)), "at most 20 m are wanted"));
    CHECK(holds(zone_fault(outline, "worn", {middle, middle + Vec2{1, 0}}), "has 2 corners"));
    CHECK(holds(zone_fault(outline, "worn", {middle, middle + Vec2{1, 1}, middle + Vec2{1, 0}, middle + Vec2{0, 1}}), "crosses itself"));
    CHECK(holds(zone_fault(outline, "worn", square(middle, 0.1)), "encloses 0.01 m"));
    CHECK(holds(zone_fault(outline, "worn", {middle, {std::nan(""), 0}, middle + Vec2{1, 0}}), "no place"));
    // A word of another program is taken as ground of the green.
    CHECK(holds(zone_fault(outline, "pond life", square({box.x1 + 5, middle.y}, 2)), "wholly outside"));
}

TEST_CASE("a zone is added or changed with a name of its own and a day of the calendar") {
    Green green = sample_green();
    green.zones.clear();
    const Vec2 middle = green.terrain->outline.centroid();
    green.zones = with_zone(green, {"scar", "worn", square(middle, 1), "2026-05-20"});
    green.zones = with_zone(green, {"", "no hole", square(middle, 2), ""});
    REQUIRE(green.zones.size() == 2);
    CHECK(green.zones[1].name == "Zone 1");
    CHECK(holds(refusal([&] { with_zone(green, {"scar", "closed", square(middle, 1), ""}); }), "there is a zone 'scar' already"));
    CHECK(holds(refusal([&] { with_zone(green, {"b", "closed", square(middle, 1), "2026-02-30"}); }), "no day of the calendar"));
    CHECK(holds(refusal([&] { with_zone(green, {std::string(41, 'x'), "closed", square(middle, 1), ""}); }), "has 41 letters"));
    // In place of the one of that place in the list; what is dug in has no day.
    const auto changed = with_zone(green, {"scar", "bunker", square(middle, 1), "2026-05-20"}, 0);
    REQUIRE(changed.size() == 2);
    CHECK(changed[0].kind == "bunker");
    CHECK(changed[0].until.empty());
    // A zone of another program that lies elsewhere can be renamed, and not moved to another such place.
    green.zones.push_back({"far", "odd", square({900, 900}, 1), ""});
    CHECK(with_zone(green, {"farther", "odd", square({900, 900}, 1), ""}, 2)[2].name == "farther");
    CHECK(holds(refusal([&] { with_zone(green, {"far", "odd", square({901, 900}, 1), ""}, 2); }), "wholly outside"));
}
