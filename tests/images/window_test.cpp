// The window itself, in a virtual screen, driven by recorded input.
#include "app/render/headless.h"
#include "core/record/green_file.h"
#include "tests/support/demo_green.h"
#include "tests/support/process.h"

#include <cstdlib>

using namespace brae;
using namespace brae::test;
using app::render::Pixels;

namespace {

const char* kScreen = "timeout 120 env BRAE_TIMING=1 BRAE_PLUGIN_PATH= xvfb-run -a -s '-screen 0 1440x900x24 -noreset' ";

bool has_xvfb() { return std::system("command -v xvfb-run >/dev/null 2>&1") == 0; }

double mean_difference(const Pixels& a, const Pixels& b) {
    double sum = 0;
    for (std::size_t k = 0; k < a.rgb.size(); ++k) sum += std::abs(static_cast<int>(a.rgb[k]) - static_cast<int>(b.rgb[k]));
    return sum / static_cast<double>(a.rgb.size());
}

// Every third pixel each way, which is enough to compare and small enough to keep.
Pixels third(const Pixels& p) {
    Pixels out{p.width / 3, p.height / 3, {}};
    for (int y = 0; y < out.height; ++y)
        for (int x = 0; x < out.width; ++x)
            for (int c = 0; c < 3; ++c) {
                int sum = 0;
                for (int j = 0; j < 3; ++j)
                    for (int i = 0; i < 3; ++i)
                        sum += p.rgb[3 * (static_cast<std::size_t>(3 * y + j) * static_cast<std::size_t>(p.width) + static_cast<std::size_t>(3 * x + i)) + static_cast<std::size_t>(c)];
                out.rgb.push_back(static_cast<std::uint8_t>(sum / 9));
            }
    return out;
}

// The left column and the view: what does not depend on which plugins are built.
Pixels without_plugins(Pixels p) {
    for (int y = 0; y < p.height; ++y)
        for (int x = 1095; x < p.width; ++x)
            for (int c = 0; c < 3; ++c) p.rgb[3 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(p.width) + static_cast<std::size_t>(x)) + static_cast<std::size_t>(c)] = 255;
    return p;
}

}  // namespace

TEST_CASE("the window opens a green file, plays recorded input and looks as it was looked at") {
    if (!has_xvfb()) BRAE_SKIP("there is no xvfb-run here to open a window in");
    const Scratch scratch;
    Progress progress;
    write_green_file(demo_green(), scratch / "demo.gpkg", progress);
    // The mouse rests on the status bar, so that no plugin draws what is under it.
    write_file(scratch / "input.txt", "move 700 890\nidle\nkey T\nwait 2\n");
    const Outcome first = run_brae({(scratch / "demo.gpkg").string(), "--size", "1440x900", "--screenshot", (scratch / "a.png").string(), "--input", (scratch / "input.txt").string()}, kScreen);
    REQUIRE_MESSAGE(first.code == 0, first.error);
    CHECK(first.error.find("first drawn frame") != std::string::npos);
    const Pixels a = third(without_plugins(app::render::read_png(scratch / "a.png")));
    const fs::path golden = source_dir() / "tests" / "images" / "window.png";
    if (std::getenv("BRAE_NEW_PICTURES")) app::render::write_png(a, golden);
    const Pixels then = app::render::read_png(golden);
    REQUIRE(then.rgb.size() == a.rgb.size());
    CHECK(mean_difference(a, then) < 2.0);

    // H and a click put the hole elsewhere: path, aim and numbers follow.
    write_file(scratch / "put.txt", "move 700 890\nidle\nkey T\nwait 2\nkey H\nmove 600 330\nwait 2\npress left\nwait 1\nrelease left\nmove 700 890\nidle\nwait 2\n");
    const Outcome second = run_brae({(scratch / "demo.gpkg").string(), "--size", "1440x900", "--screenshot", (scratch / "b.png").string(), "--input", (scratch / "put.txt").string()}, kScreen);
    REQUIRE_MESSAGE(second.code == 0, second.error);
    const Pixels b = third(without_plugins(app::render::read_png(scratch / "b.png")));
    CHECK(mean_difference(a, b) > 0.1);
}

TEST_CASE("recorded clicks and keys draw a new edge in the window, and the file has it") {
    if (!has_xvfb()) BRAE_SKIP("there is no xvfb-run here to open a window in");
    const Scratch scratch;
    Progress progress;
    const fs::path file = scratch / "demo.gpkg";
    write_green_file(demo_green(), file, progress);
    // Shift+E draws; three clicks and a double click; Enter asks, Enter keeps.
    write_file(scratch / "edge.txt", "move 700 890\nidle\nkey T\nwait 2\nkey E shift\nwait 1\n"
                                     "move 560 330\npress left\nrelease left\nmove 820 330\npress left\nrelease left\nmove 820 560\npress left\nrelease left\n"
                                     "move 560 560\ndouble left\nwait 2\nkey Enter\nwait 3\nkey Enter\nwait 2\nmove 700 890\nidle\nwait 2\n");
    const Outcome drawn = run_brae({file.string(), "--size", "1440x900", "--screenshot", (scratch / "c.png").string(), "--input", (scratch / "edge.txt").string()}, kScreen);
    REQUIRE_MESSAGE(drawn.code == 0, drawn.error);
    const Green green = read_green_file(file);
    CHECK(green.revision == 2);
    CHECK(green.terrain->outline.source() == OutlineSource::drawn);
    REQUIRE(green.terrain->outline.ring().size() == 4);
    // The corners make the rectangle that was clicked, seen from above: 260 by 230 pixels.
    const auto& r = green.terrain->outline.ring();
    const double a = distance(r[0], r[1]), b = distance(r[1], r[2]);
    CHECK(std::max(a, b) / std::min(a, b) == doctest::Approx(260.0 / 230.0).epsilon(0.02));
}

TEST_CASE("without a display the window says so in one sentence") {
    const Outcome none = run_brae({}, "timeout 60 env -u DISPLAY -u WAYLAND_DISPLAY ");
    CHECK(none.code == 1);
    CHECK(none.error.find("no window can be opened") != std::string::npos);
}

TEST_CASE("a file that cannot be opened ends a window that was to end by itself with exit code 1 and the file's name") {
    if (!has_xvfb()) BRAE_SKIP("there is no xvfb-run here to open a window in");
    const Scratch scratch;
    write_file(scratch / "bad.gpkg", "this is no green");
    const Outcome bad = run_brae({(scratch / "bad.gpkg").string(), "--frames", "3"}, kScreen);
    CHECK(bad.code == 1);
    CHECK(bad.error.find("bad.gpkg") != std::string::npos);
}
