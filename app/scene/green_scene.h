// The scene of an open green: ground, lines, ball, hole and the read. Pure: same input, same scene.
#pragma once

#include "app/document/document.h"
#include "app/read/ground_colour.h"
#include "app/read/ground_layers.h"
#include "app/scene/shapes.h"
#include "core/solve/putt.h"

#include <array>

namespace brae::app {

// What the user wants to see.
struct LayerChoice {
    GroundColour ground = GroundColour::slope;
    bool contours = true, fall_lines = true, marks = true, read = true;
    bool removed = false;                                 // points that cleaning took away, by reason
    std::array<bool, kRemovalReasons> removed_reasons{false, true, true, false, true, true, true, true};
    plugin::ScaleName scale = plugin::ScaleName::davos;   // of slope, break and launch speed
};

struct SceneInput {
    const DocumentValue& document;
    std::shared_ptr<const SurfaceMesh> surface;
    std::shared_ptr<const std::vector<Line>> outline;
    const GroundLayers* layers = nullptr;      // null until they are worked out
    const PuttAnswer* answer = nullptr;
    plugin::Units units = plugin::Units::metric;
    LayerChoice choice;
    const plugin::OverlayRaster* read_map = nullptr;   // where the choice is one; null until it is worked out
    bool read_map_gaps = false;                        // some of the green has none
};

Scene build_scene(const SceneInput& input);

// Where the aim marker stands: on the line through the hole square to the putt.
Vec2 aim_spot(Vec2 ball, Vec2 hole, double aim_offset_m);

// "aim 40 cm right", "aim straight".
std::string aim_words(const PuttRead& read, plugin::Units units);

}  // namespace brae::app
