#include "app/scene/camera.h"
#include "app/scene/canvas.h"
#include "app/scene/colour_scale.h"
#include "app/scene/draping.h"
#include "app/scene/green_scene.h"
#include "app/scene/picking.h"
#include "app/scene/surface_mesh.h"
#include "core/base/random.h"
#include "tests/support/demo_green.h"
#include "tests/support/support.h"

using namespace brae;
using namespace brae::app;
using namespace brae::test;

namespace {

const Viewport kView{280, 46, 800, 820};

}  // namespace

TEST_CASE("a ray through the projection of a ground point comes back to that point, in every view") {
    const Green green = demo_green();
    const TerrainModel& terrain = *green.terrain;
    const auto mesh = build_surface_mesh(terrain, 0.2);
    Random random(5);
    for (int view = 0; view < 3; ++view) {
        Camera camera;
        camera.set_exaggeration(6);
        if (view == 0) camera.fit(points_to_fit(terrain, *mesh, {}), kView);
        if (view == 1) camera.look_from_above(points_to_fit(terrain, *mesh, {}), kView);
        if (view == 2) camera.look_from_behind({8, 8}, terrain.surface->height(8, 8) - mesh->z_ref, {20, 13}, terrain.surface->height(20, 13) - mesh->z_ref);
        int tried = 0;
        for (int k = 0; k < 300; ++k) {
            const Vec2 p{random.uniform(2, 28), random.uniform(2, 20)};
            if (terrain.outline.signed_distance(p) < 0.1) continue;
            const auto px = camera.project({p.x, p.y, (terrain.surface->height(p.x, p.y) - mesh->z_ref) * camera.exaggeration()}, kView);
            if (!px || px->x < kView.x || px->y < kView.y || px->x > kView.x + kView.width || px->y > kView.y + kView.height) continue;
            const auto hit = pick(terrain, mesh->z_ref, mesh->z_range, camera.exaggeration(), camera.ray(px->x, px->y, kView));
            REQUIRE(hit);
            // The nearest crossing is the point itself unless the ground hides it; this green hides nothing.
            CHECK(distance(*hit, p) < 1e-4);
            ++tried;
        }
        CHECK(tried > 50);
    }
}

TEST_CASE("a ray beside the green or toward the sky hits nothing") {
    const Green green = demo_green();
    const TerrainModel& terrain = *green.terrain;
    CHECK(!pick(terrain, 0, 1, 1, {{15, 11, 50}, {0, 0, 1}}));
    CHECK(!pick(terrain, 0, 1, 1, {{1.2, 1.2, 50}, {0, 0, -1}}));
    REQUIRE(pick(terrain, 0, 1, 1, {{15, 11, 50}, {0, 0, -1}}));
    CHECK(distance(*pick(terrain, 0, 1, 1, {{15, 11, 50}, {0, 0, -1}}), {15, 11}) < 1e-9);
}

TEST_CASE("the mesh lies on the surface, covers the outline, and knows its own height range") {
    const Green green = demo_green();
    const auto mesh = build_surface_mesh(*green.terrain, 0.25);
    REQUIRE(mesh->indices.size() > 1000);
    double area = 0;
    for (std::size_t k = 0; k < mesh->indices.size(); k += 3) {
        const auto &a = mesh->vertices[mesh->indices[k]], &b = mesh->vertices[mesh->indices[k + 1]], &c = mesh->vertices[mesh->indices[k + 2]];
        if (a.edge >= 0 && b.edge >= 0 && c.edge >= 0) area += 0.5 * std::abs((b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y));
        CHECK(std::abs(a.z + mesh->z_ref - green.terrain->surface->height(static_cast<double>(a.x), static_cast<double>(a.y))) < 1e-5);
    }
    CHECK(area > 0.95 * green.terrain->outline.area_m2());
    CHECK(area < green.terrain->outline.area_m2());
    CHECK(mesh->z_range > 0.3);
    CHECK(mesh->z_range < 0.6);
}

TEST_CASE("fit shows every point of the outline and fills most of the view") {
    const Green green = demo_green();
    const auto mesh = build_surface_mesh(*green.terrain, 0.25);
    Camera camera;
    for (int view = 0; view < 2; ++view) {
        if (view == 0) camera.fit(points_to_fit(*green.terrain, *mesh, green.marks), kView);
        else camera.look_from_above(points_to_fit(*green.terrain, *mesh, green.marks), kView);
        double x0 = 1e9, x1 = -1e9;
        for (Vec3 p : points_to_fit(*green.terrain, *mesh, green.marks)) {
            const auto at = camera.project({p.x, p.y, p.z * camera.exaggeration()}, kView);
            REQUIRE(at);
            x0 = std::min(x0, at->x);
            x1 = std::max(x1, at->x);
            CHECK(at->y > kView.y);
            CHECK(at->y < kView.y + kView.height);
        }
        CHECK(x0 > kView.x);
        CHECK(x1 < kView.x + kView.width);
        CHECK(x1 - x0 > 0.8 * kView.width);
    }
}

TEST_CASE("the scene of a read holds path, aim line, aim marker and its words") {
    const Green green = demo_green();
    DocumentValue document;
    document.green = std::make_shared<const Green>(green);
    document.ball = Vec2{10, 9};
    document.hole = Vec2{15, 12};
    const auto mesh = build_surface_mesh(*green.terrain, 0.25);
    PuttOptions options;
    options.window = false;
    const PuttAnswer answer = solve_putt(*green.terrain->surface, green.terrain->outline, {*document.ball, *document.hole, 10, 0.3}, options);
    REQUIRE(!answer.solutions.empty());
    const Scene scene = build_scene({document, mesh, outline_line(*green.terrain), nullptr, &answer, plugin::Units::feet, {}});
    REQUIRE(scene.ball);
    REQUIRE(scene.hole);
    CHECK(scene.lines.size() >= 4);
    REQUIRE(!scene.labels.empty());
    bool words = false;
    for (const Label& l : scene.labels) words = words || l.text == aim_words(answer.solutions.front(), plugin::Units::feet);
    CHECK(words);
    // The marker stands square to the putt, level with the hole, on the side that the offset says.
    const double offset = *answer.solutions.front().aim_offset_m;
    const Vec2 aim = aim_spot(*document.ball, *document.hole, offset);
    CHECK(std::abs(dot(aim - *document.hole, *document.hole - *document.ball)) < 1e-12);
    CHECK(cross(*document.hole - *document.ball, aim - *document.hole) * offset < 0);
    // Both marks are named.
    CHECK(scene.markers.size() == green.marks.size() + 1);
}

TEST_CASE("the canvas leaves out what is not finite and drapes the rest on the ground") {
    const Green green = demo_green();
    Scene scene;
    SceneCanvas canvas(scene, *green.terrain, true);
    canvas.polyline({{10, 10}, {std::nan(""), 3}, {12, 10}}, {}, "line");
    canvas.marker({std::nan(""), 1}, plugin::MarkerShape::dot, plugin::ink::dark, 9, "no");
    canvas.disc({12, 12}, -1, plugin::ink::dark);
    canvas.polygon({{10, 10}, {12, 10}, {12, 12}, {10, 12}}, {0, 0, 0, 0.2f}, {}, "area");
    REQUIRE(scene.lines.size() == 2);
    CHECK(scene.markers.empty());
    REQUIRE(scene.fills.size() == 1);
    for (const Vec3& p : scene.lines.front().points) CHECK(std::abs(p.z - green.terrain->surface->height(p.x, p.y)) < 1e-12);
    double area = 0;
    const auto& t = scene.fills.front().triangles;
    for (std::size_t k = 0; k + 2 < t.size(); k += 3) area += 0.5 * std::abs((t[k + 1].x - t[k].x) * (t[k + 2].y - t[k].y) - (t[k + 2].x - t[k].x) * (t[k + 1].y - t[k].y));
    CHECK(area == doctest::Approx(4).epsilon(1e-9));
}

TEST_CASE("the colour scales hold the published end colours and grow lighter or darker all the way") {
    // Ends as in the published tables (cividis 0,34,78 to 254,232,56; viridis 68,1,84 to 253,231,37).
    const auto same = [](plugin::Colour c, int r, int g, int b) { return std::lround(255 * c.r) == r && std::lround(255 * c.g) == g && std::lround(255 * c.b) == b; };
    CHECK(same(colour_at(plugin::ScaleName::cividis, 0), 0, 34, 78));
    CHECK(same(colour_at(plugin::ScaleName::cividis, 1), 254, 232, 56));
    CHECK(same(colour_at(plugin::ScaleName::viridis, 0), 68, 1, 84));
    CHECK(same(colour_at(plugin::ScaleName::viridis, 1), 253, 231, 37));
    for (auto name : {plugin::ScaleName::cividis, plugin::ScaleName::viridis, plugin::ScaleName::davos, plugin::ScaleName::lapaz}) {
        double last = -1;
        for (int k = 0; k <= 32; ++k) {
            const auto c = colour_at(name, k / 32.0);
            // Luma of ITU-R BT.709, good enough to prove an order.
            const double luma = 0.2126 * static_cast<double>(c.r) + 0.7152 * static_cast<double>(c.g) + 0.0722 * static_cast<double>(c.b);
            CHECK(luma > last - 0.004);
            last = luma;
        }
    }
    CHECK(colour_at(plugin::ScaleName::cividis, std::nan("")).a == 0);
}
