// The map of the whole green in the window: it follows the hole, rests, and shows nothing where there is no read.
#include "app/read/green_map.h"
#include "core/base/units.h"
#include "tests/app/bare_imgui.h"

#include <algorithm>
#include <cmath>

using namespace brae;
using namespace brae::test;

namespace {

double at(const Raster& r, Vec2 p) {
    const int i = static_cast<int>((p.x - r.x0) / r.cell), j = static_cast<int>((p.y - r.y0) / r.cell);
    return r.values[static_cast<std::size_t>(j) * static_cast<std::size_t>(r.columns) + static_cast<std::size_t>(i)];
}
Vec2 centre_of_cell(const Raster& r, Vec2 p) {
    return {r.x0 + (std::floor((p.x - r.x0) / r.cell) + 0.5) * r.cell, r.y0 + (std::floor((p.y - r.y0) / r.cell) + 0.5) * r.cell};
}

}  // namespace

TEST_CASE("the chosen map is drawn on the ground and agrees with the read of its spot, in the units of the window") {
    Bench b;
    b.session->choice.ground = app::GroundColour::aim_offset;
    b.settle();
    REQUIRE(b.session->map.raster());
    CHECK(b.session->map.current());
    REQUIRE(b.bench->scene().raster);
    const Raster& map = *b.bench->scene().raster->values;
    CHECK(b.bench->scene().raster->scale.unit == "cm");
    CHECK(b.bench->scene().raster->scale.low == -b.bench->scene().raster->scale.high);

    const auto& now = b.session->document.now();
    const Vec2 spot = centre_of_cell(map, {12, 9});
    const PuttAnswer answer = solve_putt(*now.green->terrain->surface, now.green->terrain->outline, {spot, *now.hole, now.green_speed_ft, now.past_m});
    REQUIRE(!answer.solutions.empty());
    CHECK(at(map, spot) == doctest::Approx(100 * *answer.solutions.front().aim_offset_m).epsilon(0.01));
    CHECK(!std::isfinite(map.values.front()));   // a corner, far off the green

    b.session->units = plugin::Units::feet;
    b.settle();
    CHECK(b.bench->scene().raster->scale.unit == "in");
    CHECK(at(*b.bench->scene().raster->values, spot) == doctest::Approx(inches_from_metres(*answer.solutions.front().aim_offset_m)).epsilon(0.01));

    // Another quantity of the same map needs no work; back to the slope there is no raster.
    const auto taken = b.session->map.taken_in();
    b.session->choice.ground = app::GroundColour::launch;
    b.frame();
    CHECK(b.session->map.taken_in() == taken);
    CHECK(b.bench->scene().raster->scale.unit == "ft/s");
    b.session->choice.ground = app::GroundColour::slope;
    b.frame();
    CHECK(!b.bench->scene().raster);
}

TEST_CASE("a dragged hole never starves the map, and the last hole wins") {
    Bench b;
    b.session->choice.ground = app::GroundColour::break_size;
    b.settle();
    auto taken = b.session->map.taken_in();
    // A new hole in every frame, as in a drag; each map that is ready is taken in although the hole has moved on.
    std::uint64_t during = 0;
    b.session->document.begin_gesture();
    for (int k = 0; k < 40; ++k) {
        REQUIRE(b.session->document.put_hole({14 + 0.05 * k, 12}));
        b.frame();
        if (k % 4 == 3) {
            // Gives the work the time that a frame on the screen would.
            while (b.session->map.taken_in() == taken) b.frame();
            during += b.session->map.taken_in() - taken;
            taken = b.session->map.taken_in();
        }
    }
    b.session->document.end_gesture();
    CHECK(during >= 10);
    // A map that was under way for an older hole comes first, then that of the last one.
    for (int k = 0; k < 4; ++k) b.settle();
    CHECK(b.session->map.current());
    const Raster& map = *b.bench->scene().raster->values;
    const auto& now = b.session->document.now();
    const Vec2 spot = centre_of_cell(map, {11, 10});
    const PuttAnswer answer = solve_putt(*now.green->terrain->surface, now.green->terrain->outline, {spot, *now.hole, now.green_speed_ft, now.past_m});
    CHECK(at(map, spot) == doctest::Approx(100 * std::abs(*answer.solutions.front().aim_offset_m)).epsilon(0.01));
}

TEST_CASE("with a map on the ground drawing rests once nothing changes, and three frames draw") {
    Bench b;
    b.session->choice.ground = app::GroundColour::entry;
    for (int k = 0; k < 3; ++k) CHECK(b.frame() > 500);
    for (int k = 0; k < 4; ++k) b.settle();
    CHECK(b.session->map.complete());
    CHECK(!b.session->background.busy());
    const auto shown = b.bench->scene().raster->values;
    for (int k = 0; k < 10; ++k) b.frame();
    CHECK(!b.session->background.busy());
    CHECK(!b.bench->wants_frame());
    CHECK(b.bench->scene().raster->values == shown);
}

TEST_CASE("directions between spots go the short way round north") {
    GreenReads reads;
    reads.entry_bearing_deg.columns = 2;
    reads.entry_bearing_deg.rows = 1;
    reads.entry_bearing_deg.cell = 1;
    reads.entry_bearing_deg.values = {350, 10};
    reads.solutions = reads.entry_bearing_deg;
    reads.solutions.values = {1, 1};
    const auto picture = app::read_map_picture(reads, app::GroundColour::entry, plugin::Units::metric);
    for (double v : picture.values->values) CHECK((v >= 350 - 1e-9 || v <= 10 + 1e-9));
    CHECK(picture.scale.high == 360);
}

TEST_CASE("colours reach the edge of the green, and a spot on it without a read stays without") {
    GreenReads reads;
    reads.break_m.columns = 4;
    reads.break_m.rows = 1;
    reads.break_m.cell = 1;
    const double nan = std::nan("");
    reads.break_m.values = {nan, 0.2, nan, nan};
    reads.solutions = reads.break_m;
    reads.solutions.values = {nan, 1, 0, nan};   // off the green, read, no read, off the green
    const auto picture = app::read_map_picture(reads, app::GroundColour::break_size, plugin::Units::metric);
    CHECK(picture.values->values[0] == doctest::Approx(20));
    CHECK(picture.values->values[1] == doctest::Approx(20));
    CHECK(!std::isfinite(picture.values->values[2]));
    CHECK(!std::isfinite(picture.values->values[3]));
}

TEST_CASE("best pace, chance and the sides of the window follow the putt, and a change of the player alone asks no new read") {
    Bench b;
    for (int k = 0; k < 4; ++k) b.settle();
    REQUIRE(b.session->insight.best());
    REQUIRE(b.session->insight.best()->best);
    REQUIRE(b.session->insight.chance());
    const double chance = b.session->insight.chance()->hole.chance;
    CHECK(chance > 0.02);
    CHECK(chance < 1);
    const auto solved = b.session->reads.solved();
    b.session->player.start_line_deg = 0.3;
    b.frame();
    CHECK(!b.session->insight.chance());
    for (int k = 0; k < 3; ++k) b.settle();
    REQUIRE(b.session->insight.chance());
    CHECK(b.session->insight.chance()->hole.chance > chance);
    CHECK(b.session->reads.solved() == solved);

    // Another pace keeps the best pace, another ball does not.
    b.session->document.set_past(0.5);
    b.frame();
    CHECK(b.session->insight.best());
    b.session->document.put_ball({11, 9});
    b.frame();
    CHECK(!b.session->insight.best());
}

TEST_CASE("contours are round in the units of the window") {
    Bench b;
    b.settle();
    CHECK(b.session->layers()->contour_interval_m == doctest::Approx(app::contour_interval(b.session->surface()->z_range)));
    b.session->units = plugin::Units::feet;
    b.settle();
    const double inches = inches_from_metres(b.session->layers()->contour_interval_m);
    CHECK(std::abs(2 * inches - std::round(2 * inches)) < 1e-9);
    for (const auto& label : b.session->layers()->contour_labels) CHECK(label.text.find("ft") != std::string::npos);
}
