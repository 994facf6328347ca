#include "app/scene/green_scene.h"

#include "app/scene/draping.h"
#include "core/base/units.h"
#include "plugins/api/panel_kit.h"

#include <cmath>

namespace brae::app {
namespace {

namespace kit = plugin::kit;
namespace ink = plugin::ink;
using plugin::Dash;
using plugin::TextAnchor;

constexpr Colour kPath{0.05f, 0.07f, 0.10f, 1};
constexpr float kCasing = 1.6f;

// Path, aim line, aim marker and the straight line, told apart by dash and label.
void add_read(Scene& scene, const TerrainModel& terrain, Vec2 ball, Vec2 hole, const PuttAnswer& answer,
              plugin::Units units) {
    scene.lines.push_back({drape(terrain, {ball, hole}), {ink::quiet, 1.2f, Dash::dotted}, 0.8f, 1, true});
    bool first = true;
    scene.ways = static_cast<int>(answer.solutions.size());
    for (const PuttRead& read : answer.solutions) {
        // Slower solutions come first; the others are drawn quietly.
        std::vector<Vec3> path;
        for (const RollSample& s : read.path.samples) path.push_back(s.p);
        if (path.size() >= 2)
            scene.lines.push_back({std::move(path), {first ? kPath : ink::quiet, first ? 2.6f : 1.3f,
                                   first ? Dash::solid : Dash::dash_dot}, first ? kCasing : 0.5f, 1, true});
        if (first && read.aim_offset_m && std::isfinite(*read.aim_offset_m)) {
            const Vec2 aim = aim_spot(ball, hole, *read.aim_offset_m);
            scene.lines.push_back({drape(terrain, {ball, aim}), {ink::blue, 1.8f, Dash::dashed}, kCasing, 1, true});
            scene.lines.push_back({drape(terrain, {hole, aim}), {ink::blue, 1.0f, Dash::solid}, 0.8f, 1, true});
            const Vec3 spot = drape(terrain, aim);
            scene.markers.push_back({spot, plugin::MarkerShape::diamond, ink::blue, 11});
            const bool right = *read.aim_offset_m >= 0;
            const bool screen_right = right == (hole.y >= ball.y);
            scene.labels.push_back({spot, aim_words(read, units), screen_right ? TextAnchor::right : TextAnchor::left,
                                    ink::blue, 9, 11, false, true});
        }
        first = false;
    }
}

}  // namespace

Vec2 aim_spot(Vec2 ball, Vec2 hole, double aim_offset_m) {
    return distance(ball, hole) > 0 ? hole + aim_offset_m * right_of(unit(hole - ball)) : hole;
}

std::string aim_words(const PuttRead& read, plugin::Units units) {
    if (!read.aim_offset_m || !std::isfinite(*read.aim_offset_m)) return "aim away from the hole";
    if (read.aim_side == AimSide::straight) return "aim straight";
    return "aim " + kit::offset(std::abs(*read.aim_offset_m), units) + " " + to_text(read.aim_side);
}

Scene build_scene(const SceneInput& in) {
    Scene scene;
    const DocumentValue& now = in.document;
    if (!now.green || !in.surface) return scene;
    const TerrainModel& terrain = *now.green->terrain;

    // Ground.
    scene.surface = in.surface;
    scene.outline = in.outline;
    scene.shade_slope = in.choice.ground == GroundColour::slope;
    if (in.read_map && is_read_map(in.choice.ground)) {
        scene.raster = *in.read_map;
        scene.raster_gaps = in.read_map_gaps;
        if (scene.raster->scale.name == plugin::ScaleName::davos) scene.raster->scale.name = in.choice.scale;
    }
    scene.slope_scale = {in.choice.scale, 0, 100 * in.surface->slope_top, "Slope", "%", true};
    if (in.layers) {
        if (in.choice.contours) {
            scene.contours = in.layers->contours;
            scene.labels = in.layers->contour_labels;
        }
        if (in.choice.fall_lines) scene.fall_lines = in.layers->fall_lines;
    }

    if (in.choice.removed) {
        scene.removed = now.green->removed;
        scene.removed_reasons = in.choice.removed_reasons;
    }

    // Marks that tapes are laid from.
    if (in.choice.marks)
        for (const ReferenceMark& mark : now.green->marks) {
            const Vec3 p = drape(terrain, Vec2{mark.p.x, mark.p.y});
            scene.markers.push_back({p, plugin::MarkerShape::square, ink::dark, 7});
            scene.labels.push_back({p, mark.name, TextAnchor::right, ink::dark, 3, 8, false, false});
        }

    // The read under ball and hole.
    if (in.choice.read && in.answer && now.ball && now.hole)
        add_read(scene, terrain, *now.ball, *now.hole, *in.answer, in.units);
    if (now.hole) {
        const SurfaceJet j = terrain.surface->jet(now.hole->x, now.hole->y);
        const double n = std::sqrt(1 + j.hx * j.hx + j.hy * j.hy);
        scene.hole = HoleSign{{now.hole->x, now.hole->y, j.h}, {-j.hx / n, -j.hy / n, 1 / n}};
    }
    if (now.ball) scene.ball = BallSign{drape(terrain, *now.ball)};
    return scene;
}

}  // namespace brae::app
