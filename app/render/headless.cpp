#include "app/render/headless.h"

#include "core/base/error.h"

#include <algorithm>
#include <epoxy/egl.h>
#include <epoxy/gl.h>

namespace brae::app::render {

HeadlessContext::HeadlessContext() {
    // No window system at all; the same driver draws as under a window.
    const EGLDisplay display = eglGetPlatformDisplayEXT(EGL_PLATFORM_SURFACELESS_MESA, EGL_DEFAULT_DISPLAY, nullptr);
    if (display == EGL_NO_DISPLAY || !eglInitialize(display, nullptr, nullptr))
        throw Error("this machine offers no drawing without a display (EGL surfaceless); Mesa's libegl1 and libgl1-mesa-dri are wanted");
    display_ = display;
    eglBindAPI(EGL_OPENGL_API);
    const EGLint wanted[] = {EGL_SURFACE_TYPE, EGL_PBUFFER_BIT, EGL_RENDERABLE_TYPE, EGL_OPENGL_BIT, EGL_NONE};
    EGLConfig config = nullptr;
    EGLint count = 0;
    if (!eglChooseConfig(display, wanted, &config, 1, &count) || count == 0) config = nullptr;
    const EGLint attributes[] = {EGL_CONTEXT_MAJOR_VERSION, 3, EGL_CONTEXT_MINOR_VERSION, 3, EGL_CONTEXT_OPENGL_PROFILE_MASK,
                                 EGL_CONTEXT_OPENGL_CORE_PROFILE_BIT, EGL_NONE};
    const EGLContext context = eglCreateContext(display, config, EGL_NO_CONTEXT, attributes);
    if (context == EGL_NO_CONTEXT || !eglMakeCurrent(display, EGL_NO_SURFACE, EGL_NO_SURFACE, context)) {
        if (context != EGL_NO_CONTEXT) eglDestroyContext(display, context);
        eglTerminate(display);
        throw Error("the graphics driver gives no OpenGL 3.3 context without a display");
    }
    context_ = context;
}

HeadlessContext::~HeadlessContext() {
    eglMakeCurrent(display_, EGL_NO_SURFACE, EGL_NO_SURFACE, EGL_NO_CONTEXT);
    eglDestroyContext(display_, context_);
    eglTerminate(display_);
}

Framebuffer::Framebuffer(int width, int height) {
    glGenFramebuffers(1, &frame_);
    glBindFramebuffer(GL_FRAMEBUFFER, frame_);
    glGenRenderbuffers(1, &colour_);
    glBindRenderbuffer(GL_RENDERBUFFER, colour_);
    glRenderbufferStorage(GL_RENDERBUFFER, GL_RGBA8, width, height);
    glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_RENDERBUFFER, colour_);
    glGenRenderbuffers(1, &depth_);
    glBindRenderbuffer(GL_RENDERBUFFER, depth_);
    glRenderbufferStorage(GL_RENDERBUFFER, GL_DEPTH_COMPONENT24, width, height);
    glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_DEPTH_ATTACHMENT, GL_RENDERBUFFER, depth_);
    if (glCheckFramebufferStatus(GL_FRAMEBUFFER) != GL_FRAMEBUFFER_COMPLETE)
        throw Error("the graphics driver refuses a picture of " + std::to_string(width) + " x " + std::to_string(height) + " pixels");
}

Framebuffer::~Framebuffer() {
    glBindFramebuffer(GL_FRAMEBUFFER, 0);
    glDeleteFramebuffers(1, &frame_);
    glDeleteRenderbuffers(1, &colour_);
    glDeleteRenderbuffers(1, &depth_);
}

Pixels read_pixels(int width, int height) {
    Pixels out{width, height, std::vector<std::uint8_t>(static_cast<std::size_t>(width) * height * 3)};
    std::vector<std::uint8_t> rows(out.rgb.size());
    glPixelStorei(GL_PACK_ALIGNMENT, 1);
    glReadPixels(0, 0, width, height, GL_RGB, GL_UNSIGNED_BYTE, rows.data());
    // GL counts rows from below.
    const std::size_t row = static_cast<std::size_t>(width) * 3;
    for (int j = 0; j < height; ++j)
        std::copy_n(rows.begin() + static_cast<std::ptrdiff_t>(row * static_cast<std::size_t>(height - 1 - j)), row,
                    out.rgb.begin() + static_cast<std::ptrdiff_t>(row * static_cast<std::size_t>(j)));
    return out;
}

}  // namespace brae::app::render
