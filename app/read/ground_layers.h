// What is worked out once a green, beside the window: contours, fall lines and the slope's summary.
#pragma once

#include "app/scene/shapes.h"
#include "core/base/progress.h"
#include "core/terrain/terrain_model.h"
#include "plugins/api/services.h"

#include <memory>
#include <vector>

namespace brae::app {

struct GroundLayers {
    double contour_interval_m = 0.05;
    int index_every = 5;                                    // heavier, labelled lines
    std::shared_ptr<const std::vector<Line>> contours, fall_lines;
    std::vector<Label> contour_labels;
    SlopeSummary slope;
};

// Interval for a height range: about 16 lines, out of 1, 2, 5, 10, 20, 50 cm, or out of 1/2, 1, 2, 4, 6, 12 in.
double contour_interval(double z_range_m, plugin::Units units = plugin::Units::metric);

// Fit for a background thread. Throws Error(cancelled) only.
GroundLayers work_out_layers(const TerrainModel& terrain, double z_range_m, plugin::Units units, Progress& progress);

// The outline as one draped line.
std::shared_ptr<const std::vector<Line>> outline_line(const TerrainModel& terrain);

}  // namespace brae::app
