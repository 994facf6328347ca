#include "app/render/headless.h"
#include "core/base/error.h"
#include "core/base/safe_file.h"

#include <png.h>

namespace brae::app::render {

void write_png(const Pixels& pixels, const std::filesystem::path& file) {
    // libpng's simple interface keeps setjmp out of here.
    png_image image{};
    image.version = PNG_IMAGE_VERSION;
    image.width = static_cast<png_uint_32>(pixels.width);
    image.height = static_cast<png_uint_32>(pixels.height);
    image.format = PNG_FORMAT_RGB;
    PartFile part(file);
    if (!png_image_write_to_file(&image, part.part().c_str(), 0, pixels.rgb.data(), 0, nullptr))
        throw Error(file.string() + " cannot be written: " + image.message);
    part.commit();
}

Pixels read_png(const std::filesystem::path& file) {
    png_image image{};
    image.version = PNG_IMAGE_VERSION;
    if (!png_image_begin_read_from_file(&image, file.c_str()))
        throw Error(file.string() + " cannot be read as PNG: " + image.message);
    image.format = PNG_FORMAT_RGB;
    Pixels out{static_cast<int>(image.width), static_cast<int>(image.height), {}};
    out.rgb.resize(PNG_IMAGE_SIZE(image));
    if (!png_image_finish_read(&image, nullptr, out.rgb.data(), 0, nullptr)) {
        png_image_free(&image);
        throw Error(file.string() + " cannot be read as PNG: " + image.message);
    }
    return out;
}

}  // namespace brae::app::render
