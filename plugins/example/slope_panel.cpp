#include "plugins/example/slope_panel.h"

#include "core/base/units.h"
#include "core/terrain/slope.h"
#include "plugins/api/panel_kit.h"

#include <algorithm>
#include <cstdlib>

namespace brae::example {

namespace kit = plugin::kit;

SlopePanel::SlopePanel(plugin::Services& services) : services_(services) {
    length_m_ = std::clamp(std::strtof(services_.settings.get("length_m", "1").c_str(), nullptr), 0.5f, 3.0f);
}

std::optional<Vec2> SlopePanel::spot() const {
    return pinned_ ? pinned_ : services_.document.snapshot().cursor;
}

void SlopePanel::draw_panel() {
    const plugin::Snapshot& now = services_.document.snapshot();
    if (!now.green) {
        kit::remark("Open a green to see its slope under the mouse.");
        return;
    }

    // What the ground does at the spot.
    const auto p = spot();
    if (p) {
        const SurfaceJet j = now.green->terrain->surface->jet(p->x, p->y);
        kit::row("Slope", kit::slope(slope_ratio(j)));
        kit::row("Falls toward", kit::number("%.0f\u00b0", bearing_deg({-j.hx, -j.hy})));
        kit::row("Fall over the length", kit::height(slope_ratio(j) * length_m_, now.units));
    } else {
        kit::remark("Move the mouse over the green.");
    }

    // How long a line is drawn, and a spot that stays.
    ImGui::SetNextItemWidth(-1);
    const float unit = now.units == plugin::Units::metric ? 1.0f : static_cast<float>(kFoot);
    float length = length_m_ / unit;
    if (ImGui::SliderFloat("##length", &length, 0.5f / unit, 3.0f / unit, now.units == plugin::Units::metric ? "line %.1f m" : "line %.1f ft")) {
        length_m_ = length * unit;
        services_.settings.set("length_m", std::to_string(length_m_));
    }
    if (ImGui::Button("Pin a spot")) services_.picks.ask("Click the spot to watch", [this](Vec2 at) { pinned_ = at; });
    ImGui::SameLine();
    if (ImGui::Button("Follow the mouse")) pinned_.reset();
}

void SlopePanel::draw_overlay(plugin::OverlayCanvas& canvas) {
    const plugin::Snapshot& now = services_.document.snapshot();
    const auto p = spot();
    if (!now.green || !p) return;

    // A line straight down the slope, from its middle on the spot.
    const SurfaceJet j = now.green->terrain->surface->jet(p->x, p->y);
    const double slope = slope_ratio(j);
    if (slope < 1e-4) return;
    const Vec2 down = Vec2{-j.hx, -j.hy} / slope;
    const Vec2 a = *p - 0.5 * length_m_ * down, b = *p + 0.5 * length_m_ * down;
    canvas.polyline({a, b}, {plugin::ink::dark, 1.5f, plugin::Dash::dashed}, kit::slope(slope));
    canvas.marker(b, plugin::MarkerShape::dot, plugin::ink::dark, 6);
}

}  // namespace brae::example
