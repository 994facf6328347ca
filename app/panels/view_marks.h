// What is written over the view: labels that do not collide, markers, rings round ball and hole, the legend, a scale
// bar and a north mark. The same for the window and for pictures.
#pragma once

#include "app/scene/camera.h"
#include "app/scene/shapes.h"
#include "plugins/api/services.h"

#include <imgui.h>
#include <string>
#include <vector>

namespace brae::app {

struct MarksInput {
    const Scene& scene;
    const Camera& camera;
    Viewport view;
    float scale = 1;
    plugin::Units units = plugin::Units::metric;
    double contour_interval_m = 0;   // 0: no contours shown
    bool fall_lines = false;
};

// Places of labels after the collision rule, for drawing and for tests.
struct PlacedLabel { ImVec2 low, high; const Label* label = nullptr; };
std::vector<PlacedLabel> place_labels(const MarksInput& input);

void draw_view_marks(ImDrawList& list, const MarksInput& input);

}  // namespace brae::app
