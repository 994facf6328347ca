// What is to be drawn, with no word of how: shapes in local metres that render/ turns into pixels.
#pragma once

#include "core/base/vec.h"
#include "core/survey/outline.h"
#include "core/survey/removed_points.h"
#include "plugins/api/overlay.h"

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace brae::app {

using plugin::Colour;

// The ground as triangles. Heights are metres over z_ref; `edge` is the signed distance to the outline (positive
// inside), by which the renderer cuts the edge cleanly; gradient for slope shading.
struct SurfaceMesh {
    struct Vertex { float x, y, z, hx, hy, edge; };
    std::vector<Vertex> vertices;
    std::vector<std::uint32_t> indices;
    // The side wall under the edge: pairs of points along the ring, top height over z_ref, bottom common.
    std::vector<Vertex> skirt;       // triangle strip; edge = 1 at the top, 0 at the bottom
    double z_ref = 0;                // local z of display height 0: the lowest point of the green
    double z_range = 0;              // highest minus lowest
    Box box;
    double slope_top = 0.06;         // upper end of the slope scale, ratio
    bool steeper = false;            // some of the green is steeper than that
};

// A line through points on or over the ground. Dash lengths follow the screen.
struct Line {
    std::vector<Vec3> points;        // local z
    plugin::Stroke stroke;
    float casing_px = 0;             // a light rim on both sides, so that dark lines read on dark ground
    float taper = 1;                 // width at the last point over width at the first
    bool on_ground = true;           // false: not hidden by the ground
};

// Filled triangles on the ground: discs, areas.
struct Fill {
    std::vector<Vec3> triangles;     // three points each
    Colour colour;
};

struct Marker {
    Vec3 p;
    plugin::MarkerShape shape = plugin::MarkerShape::dot;
    Colour colour;
    float size_px = 9;
};

struct Label {
    Vec3 p;
    std::string text;
    plugin::TextAnchor anchor = plugin::TextAnchor::right;
    Colour colour;
    int priority = 0;                // higher ones are placed first
    float gap_px = 8;
    bool number = false;             // set in the number font
    bool plate = false;              // on a light plate
};

struct BallSign { Vec3 p; };
struct HoleSign { Vec3 p; Vec3 normal; };

// Everything of one frame. Shared pointers are things that stay the same for many frames.
struct Scene {
    std::shared_ptr<const SurfaceMesh> surface;
    std::shared_ptr<const std::vector<Line>> contours, fall_lines, outline;
    std::vector<Line> lines;
    std::vector<Fill> fills;
    std::vector<Marker> markers;
    std::vector<Label> labels;
    std::optional<BallSign> ball;
    std::optional<HoleSign> hole;
    std::optional<plugin::OverlayRaster> raster;
    std::shared_ptr<const RemovedPoints> removed;      // what cleaning took away; null where it is not shown
    std::array<bool, kRemovalReasons> removed_reasons{};
    int ways = 0;                     // solutions of the read that is drawn; the legend tells their lines apart
    bool raster_gaps = false;         // some of the ground has no value, and the legend says what that means
    plugin::ColourScale slope_scale;  // what the surface is shaded by where there is no raster
    bool shade_slope = true;
};

}  // namespace brae::app
