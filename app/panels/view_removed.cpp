#include "app/panels/view_removed.h"

#include "app/panels/theme.h"
#include "plugins/api/panel_kit.h"

#include <algorithm>
#include <cmath>

namespace brae::app {
namespace {

namespace kit = plugin::kit;

constexpr ImU32 kSignInk = IM_COL32(115, 51, 122, 255), kSignRim = IM_COL32(255, 255, 255, 200);

// 12345 -> "12,345".
std::string grouped(std::size_t n) {
    std::string digits = std::to_string(n);
    for (std::size_t at = digits.size(); at > 3;) digits.insert(at -= 3, ",");
    return digits;
}

struct Placed { ImVec2 at; const RemovedPoint* point; };

}  // namespace

void draw_removed_sign(ImDrawList& list, ImVec2 c, RemovalReason reason, float r) {
    // The rim first, then the ink; open shapes leave the ground to be seen.
    for (const auto& [ink, w] : {std::pair{kSignRim, 0.8f * r}, std::pair{kSignInk, 0.32f * r}}) switch (reason) {
            case above_turf: list.AddTriangle({c.x, c.y - r}, {c.x + 0.9f * r, c.y + 0.7f * r}, {c.x - 0.9f * r, c.y + 0.7f * r}, ink, w); break;
            case below_turf: list.AddTriangle({c.x, c.y + r}, {c.x + 0.9f * r, c.y - 0.7f * r}, {c.x - 0.9f * r, c.y - 0.7f * r}, ink, w); break;
            case outside_clip: list.AddLine({c.x - 0.9f * r, c.y}, {c.x + 0.9f * r, c.y}, ink, w); break;
            case sparse:
                list.AddLine({c.x - r, c.y}, {c.x + r, c.y}, ink, w);
                list.AddLine({c.x, c.y - r}, {c.x, c.y + r}, ink, w);
                break;
            case other_class: list.AddRect({c.x - 0.75f * r, c.y - 0.75f * r}, {c.x + 0.75f * r, c.y + 0.75f * r}, ink, 0, 0, w); break;
            case double_strip:
                list.AddLine({c.x - 0.8f * r, c.y - 0.4f * r}, {c.x + 0.8f * r, c.y - 0.4f * r}, ink, w);
                list.AddLine({c.x - 0.8f * r, c.y + 0.4f * r}, {c.x + 0.8f * r, c.y + 0.4f * r}, ink, w);
                break;
            case withheld:
            case kept:
                list.AddLine({c.x - 0.7f * r, c.y - 0.7f * r}, {c.x + 0.7f * r, c.y + 0.7f * r}, ink, w);
                list.AddLine({c.x - 0.7f * r, c.y + 0.7f * r}, {c.x + 0.7f * r, c.y - 0.7f * r}, ink, w);
                break;
        }
}

std::size_t draw_removed_points(ImDrawList& list, const MarksInput& in, const TerrainModel& terrain, std::optional<ImVec2> mouse) {
    if (!in.scene.removed || !in.scene.surface) return 0;
    const double x0 = in.view.x, y0 = in.view.y, x1 = x0 + in.view.width, y1 = y0 + in.view.height;
    const double z_ref = in.scene.surface->z_ref, factor = in.camera.exaggeration();
    list.PushClipRect({static_cast<float>(x0), static_cast<float>(y0)}, {static_cast<float>(x1), static_cast<float>(y1)}, true);
    std::size_t drawn = 0;
    const RemovedPoint* under = nullptr;
    float nearest = 9 * in.scale;
    std::vector<Placed> seen;
    const auto& points = in.scene.removed->points;
    for (std::size_t from = 0, to = 0; from < points.size(); from = to) {
        // The points of one reason stand together.
        const RemovalReason reason = points[from].reason;
        for (to = from; to < points.size() && points[to].reason == reason;) ++to;
        if (!in.scene.removed_reasons[reason]) continue;
        seen.clear();
        for (std::size_t k = from; k < to; ++k) {
            const Vec3& p = points[k].p;
            const auto at = in.camera.project({p.x, p.y, (p.z - z_ref) * factor}, in.view);
            if (at && at->x >= x0 && at->x < x1 && at->y >= y0 && at->y < y1)
                seen.push_back({{static_cast<float>(at->x), static_cast<float>(at->y)}, &points[k]});
        }
        const std::size_t every = (seen.size() + kMostSigns - 1) / std::max<std::size_t>(1, kMostSigns);
        for (std::size_t k = 0; k < seen.size(); k += std::max<std::size_t>(1, every)) {
            draw_removed_sign(list, seen[k].at, reason, 4 * in.scale);
            ++drawn;
            if (!mouse) continue;
            if (const float d = std::hypot(seen[k].at.x - mouse->x, seen[k].at.y - mouse->y); d < nearest) {
                nearest = d;
                under = seen[k].point;
            }
        }
    }
    // What lies under the mouse.
    if (under != nullptr) {
        const std::string words = words_on_removed(*under, terrain, in.units);
        const ImVec2 size = ImGui::CalcTextSize(words.c_str());
        const float pad = 6 * in.scale;
        ImVec2 low{mouse->x + 14 * in.scale, mouse->y - size.y - 14 * in.scale};
        low.x = std::min(low.x, static_cast<float>(x1) - size.x - 2 * pad);
        low.y = std::max(low.y, static_cast<float>(y0) + pad);
        list.AddRectFilled({low.x - pad, low.y - pad / 2}, {low.x + size.x + pad, low.y + size.y + pad / 2}, kPlate, 4 * in.scale);
        list.AddRect({low.x - pad, low.y - pad / 2}, {low.x + size.x + pad, low.y + size.y + pad / 2}, kHairline, 4 * in.scale);
        list.AddText({std::round(low.x), std::round(low.y)}, kInk, words.c_str());
    }
    list.PopClipRect();
    return drawn;
}

std::string words_on_removed(const RemovedPoint& point, const TerrainModel& terrain, plugin::Units units) {
    const Vec2 at{point.p.x, point.p.y};
    const std::string why = std::string("removed as ") + (point.reason == outside_clip || point.reason == withheld ? "" : "a point ") + to_text(point.reason);
    if (!terrain.outline.contains(at)) return kit::capital(why);
    const double over = point.p.z - terrain.surface->height(at.x, at.y);
    if (!std::isfinite(over)) return kit::capital(why);
    // Millimetres say nothing of what stands a metre high.
    return (std::abs(over) < 1 ? kit::height(std::abs(over), units) : kit::distance(std::abs(over), units)) + (over < 0 ? " under the turf, " : " over the turf, ") + why;
}

std::string words_on_counts(const ReasonCounts& counts) {
    std::vector<std::size_t> order;
    for (std::size_t k = 1; k < kRemovalReasons; ++k)
        if (counts[k] > 0) order.push_back(k);
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        if ((a == outside_clip) != (b == outside_clip)) return b == outside_clip;
        return counts[a] > counts[b];
    });
    std::string out;
    for (const std::size_t k : order) out += (out.empty() ? "" : ", ") + grouped(counts[k]) + " " + to_text(static_cast<RemovalReason>(k));
    return out;
}

}  // namespace brae::app
