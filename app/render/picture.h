// A picture of a green with no display: the same drawing as in the window, with legend and labels.
#pragma once

#include "app/scene/camera.h"
#include "app/scene/green_scene.h"
#include "app/render/headless.h"
#include "core/base/progress.h"
#include "core/record/green.h"

#include <filesystem>
#include <optional>
#include <string>

namespace brae::app {

struct PictureOptions {
    int width = 1280, height = 800;              // 200 to 8192
    ViewKind view = ViewKind::orbit;             // orbit is fitted; behind_ball needs ball and hole
    double exaggeration = 5;                     // 1 to 20; behind the ball always 1
    std::optional<Vec2> ball, hole;              // hole: today's where none is given; a read is drawn with both
    double green_speed_ft = 10, past_m = kUsualPastM;
    plugin::Units units = plugin::Units::metric;
    LayerChoice choice;
    bool caption = true;                         // name, speed and the read in the upper left corner
    float scale = 1;                             // of text and lines
};

// "fit", "above" or "behind" to a view; empty where it is none of them.
std::optional<ViewKind> view_of_words(const std::string& words);

// Throws Error: no EGL, a size out of range, behind the ball without a ball, a ball or hole off the green, or the
// file cannot be written (an old file stays as it was).
void render_picture(const Green& green, const PictureOptions& options, const std::filesystem::path& file, Progress& progress);
render::Pixels picture_pixels(const Green& green, const PictureOptions& options, Progress& progress);

}  // namespace brae::app
