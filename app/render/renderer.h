// Draws a Scene with OpenGL 3.3 core into the framebuffer that is bound. The only place, with its folder, that knows GL.
#pragma once

#include "app/scene/camera.h"
#include "app/scene/shapes.h"

#include <memory>

namespace brae::app::render {

class Renderer {
public:
    // Needs a current context for its whole life. Throws Error when it offers less than OpenGL 3.3.
    Renderer();
    ~Renderer();

    // framebuffer_height and viewport in framebuffer pixels, y down; scale: pixels of the framebuffer a point of
    // design (line widths). Clears the whole framebuffer with the background first.
    void draw(const Scene& scene, const Camera& camera, const Viewport& view, int framebuffer_width,
              int framebuffer_height, float scale);

private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

}  // namespace brae::app::render
