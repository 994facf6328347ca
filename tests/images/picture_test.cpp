#include "app/render/picture.h"
#include "core/base/error.h"
#include "tests/support/demo_green.h"
#include "tests/support/support.h"

#include <cstdlib>
#include <fstream>

using namespace brae;
using namespace brae::app;
using namespace brae::test;

namespace {

PictureOptions small_picture() {
    PictureOptions o;
    o.width = 640;
    o.height = 420;
    o.ball = Vec2{10, 9};
    o.hole = Vec2{15, 12};
    return o;
}

render::Pixels picture(const PictureOptions& options) {
    Progress progress;
    return picture_pixels(demo_green(), options, progress);
}

double mean_difference(const render::Pixels& a, const render::Pixels& b) {
    double sum = 0;
    for (std::size_t k = 0; k < a.rgb.size(); ++k) sum += std::abs(static_cast<int>(a.rgb[k]) - static_cast<int>(b.rgb[k]));
    return sum / static_cast<double>(a.rgb.size());
}

struct Rgb { int r, g, b; };
Rgb at(const render::Pixels& p, int x, int y) {
    const std::size_t k = 3 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(p.width) + static_cast<std::size_t>(x));
    return {p.rgb[k], p.rgb[k + 1], p.rgb[k + 2]};
}

}  // namespace

TEST_CASE("the picture of the demo green is the one that was looked at, within what drivers differ") {
    // Made by this test with BRAE_NEW_PICTURES=1, then looked at. Mesa 22.3.6 repeats it bit for bit; other drivers round
    // edges and text otherwise, so the mean difference is held, not the bytes.
    const fs::path golden = source_dir() / "tests" / "images" / "demo_green.png";
    const render::Pixels now = picture(small_picture());
    if (std::getenv("BRAE_NEW_PICTURES")) render::write_png(now, golden);
    const render::Pixels then = render::read_png(golden);
    REQUIRE(then.width == now.width);
    REQUIRE(then.height == now.height);
    CHECK(mean_difference(now, then) < 1.5);
}

TEST_CASE("the comparison of pictures notices a hole that moved, another scale and a missing layer") {
    const render::Pixels now = picture(small_picture());
    PictureOptions other = small_picture();
    other.choice.scale = plugin::ScaleName::cividis;
    CHECK(mean_difference(now, picture(other)) > 5);
    other = small_picture();
    other.choice.ground = app::GroundColour::plain;
    CHECK(mean_difference(now, picture(other)) > 5);
    other = small_picture();
    other.hole = Vec2{20, 8};
    CHECK(mean_difference(now, picture(other)) > 0.1);
}

TEST_CASE("a picture repeats bit for bit on one machine") {
    CHECK(picture(small_picture()).rgb == picture(small_picture()).rgb);
}

TEST_CASE("from above, the ground is painted by its slope: the scale's colour stands where the formula has that slope") {
    PictureOptions o = small_picture();
    o.view = ViewKind::above;
    o.caption = false;
    o.choice.contours = o.choice.fall_lines = o.choice.marks = o.choice.read = false;
    o.ball.reset();
    const render::Pixels p = picture(o);
    // Corners are background, the middle is not.
    const Rgb corner = at(p, 3, 3), middle = at(p, p.width / 2 - 40, p.height / 2 - 60);
    CHECK(corner.r > 235);
    CHECK(std::abs(corner.r - corner.b) < 6);
    CHECK(std::abs(middle.r - corner.r) + std::abs(middle.g - corner.g) + std::abs(middle.b - corner.b) > 40);
}

TEST_CASE("a picture that cannot be is refused with a sentence, and an old file stays") {
    const Scratch scratch;
    std::ofstream(scratch / "old.png") << "old";
    Progress progress;
    PictureOptions o = small_picture();
    o.ball = Vec2{0, 0};
    CHECK_THROWS_AS(render_picture(demo_green(), o, scratch / "old.png", progress), Error);
    o = small_picture();
    o.width = 10;
    CHECK_THROWS_AS(render_picture(demo_green(), o, scratch / "old.png", progress), Error);
    o = small_picture();
    o.view = ViewKind::behind_ball;
    o.ball.reset();
    CHECK_THROWS_AS(render_picture(demo_green(), o, scratch / "old.png", progress), Error);
    CHECK_THROWS_AS(render_picture(demo_green(), small_picture(), scratch.path() / "no folder" / "x.png", progress), Error);
    std::string text;
    std::ifstream(scratch / "old.png") >> text;
    CHECK(text == "old");
}
