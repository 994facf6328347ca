// A GL context without any display (EGL surfaceless), and a framebuffer to draw into and read back.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <vector>

namespace brae::app::render {

// One at a time. Made current on the calling thread by the constructor; throws Error where the machine offers none.
class HeadlessContext {
public:
    HeadlessContext();
    ~HeadlessContext();
    HeadlessContext(const HeadlessContext&) = delete;
    HeadlessContext& operator=(const HeadlessContext&) = delete;

private:
    void* display_ = nullptr;
    void* context_ = nullptr;
};

// RGB rows from the top, 8 bits each.
struct Pixels {
    int width = 0, height = 0;
    std::vector<std::uint8_t> rgb;
};

// Colour and depth of the given size; bound while it lives. Needs a current context.
class Framebuffer {
public:
    Framebuffer(int width, int height);
    ~Framebuffer();
    Framebuffer(const Framebuffer&) = delete;
    Framebuffer& operator=(const Framebuffer&) = delete;

private:
    unsigned frame_ = 0, colour_ = 0, depth_ = 0;
};

// Reads the bound framebuffer.
Pixels read_pixels(int width, int height);

// Writes beside the file and renames, so that a failure leaves an old file as it was. Throws Error naming the file.
void write_png(const Pixels& pixels, const std::filesystem::path& file);
// Throws Error naming the file.
Pixels read_png(const std::filesystem::path& file);

}  // namespace brae::app::render
