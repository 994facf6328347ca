// A green from a formula, for the window, the pictures and the plugins: an ellipse of 28 x 20 m with a gentle fall and
// a swale. Invented ground of an invented club.
#pragma once

#include "core/record/green.h"
#include "tests/support/greens.h"

namespace brae::test {

inline double demo_height(double x, double y) {
    return 0.018 * y + 0.006 * x + 0.12 * std::exp(-((x - 19) * (x - 19) + (y - 14) * (y - 14)) / 40.0);
}

inline Green demo_green() {
    Green green;
    green.id = "00000000-0000-4000-8000-000000000001";
    green.revision = 1;
    green.name = "Demo green, Dunlarrick";
    green.terrain = std::make_shared<const TerrainModel>(green_of(demo_height, ellipse({15, 11}, 14, 10)));
    green.marks = {{"S1", "sprinkler head, front left", {4, 6, demo_height(4, 6)}},
                   {"S2", "sprinkler head, right", {26, 12, demo_height(26, 12)}}};
    green.holes = {{"today", {15, 12}, "", "", true}};
    return green;
}

}  // namespace brae::test
