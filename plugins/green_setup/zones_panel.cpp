#include "plugins/green_setup/setup_panel.h"

#include "core/base/units.h"
#include "core/survey/ring.h"
#include "plugins/api/panel_kit.h"

#include <cmath>
#include <fmt/format.h>

namespace brae::green_setup {

namespace kit = plugin::kit;

namespace {

std::string area_text(const std::vector<Vec2>& ring, plugin::Units units) {
    const double m2 = std::abs(signed_area(ring));
    return units == plugin::Units::metric ? kit::number(m2 < 10 ? "%.1f" : "%.0f", m2, "m\u00b2") : kit::number("%.0f", m2 / (kFoot * kFoot), "ft\u00b2");
}

void draw_list(SetupModel& model) {
    ZonesModel& zones = model.zones;
    if (zones.zones().empty()) return kit::remark("No zones. Ground that holes or stations keep off, and what lies beside the green: bunkers, water, banks.");
    if (!ImGui::BeginTable("zones", 4, ImGuiTableFlags_SizingStretchProp | ImGuiTableFlags_PadOuterX)) return;
    ImGui::TableSetupColumn("Zone", ImGuiTableColumnFlags_WidthStretch, 1.2f);
    ImGui::TableSetupColumn("Kind", ImGuiTableColumnFlags_WidthStretch, 0.9f);
    ImGui::TableSetupColumn("Until", ImGuiTableColumnFlags_WidthStretch, 1.2f);
    ImGui::TableSetupColumn("Area", ImGuiTableColumnFlags_WidthStretch, 0.8f);
    ImGui::TableHeadersRow();
    const auto at = zones.selected();
    for (std::size_t k = 0; k < zones.zones().size(); ++k) {
        const Zone& z = zones.zones()[k];
        ImGui::PushID(static_cast<int>(k));
        ImGui::TableNextRow();
        ImGui::TableNextColumn();
        if (ImGui::Selectable(z.name.empty() ? "unnamed" : z.name.c_str(), at == k, ImGuiSelectableFlags_SpanAllColumns)) zones.select(at == k ? std::nullopt : std::optional(k));
        ImGui::TableNextColumn();
        ImGui::TextUnformatted(z.kind.c_str());
        ImGui::TableNextColumn();
        ImGui::TextUnformatted(z.until.empty() ? "\u2013" : z.until.c_str());
        ImGui::TableNextColumn();
        ImGui::TextUnformatted(area_text(z.ring, model.now().units).c_str());
        ImGui::PopID();
    }
    ImGui::EndTable();
}

}  // namespace

void draw_zones_part(SetupModel& model) {
    ZonesModel& zones = model.zones;
    RingEditor& editor = zones.editor();
    kit::heading("Zones");
    draw_list(model);
    ImGui::Spacing();
    const auto at = zones.selected();
    if (!editor.busy() && ImGui::Button("Draw a zone", {-1, 0})) zones.draw_new();
    if (!at && !editor.busy()) {
        refusal(zones.message());
        kit::remark("Key: Z draws one.");
        return;
    }

    // What it is called, what it means, and until when.
    kit::heading(at ? zones.zones()[*at].name.c_str() : "A new zone");
    bool enter = field("Name", zones.form().name, "Zone 1");
    ImGui::AlignTextToFramePadding();
    ImGui::TextDisabled("Kind");
    ImGui::SameLine(86.0f / 15.0f * ImGui::GetFontSize());
    ImGui::SetNextItemWidth(-1);
    const int kind = zones.form().kind;
    const char* shown = kind >= 0 ? kZoneKinds[static_cast<std::size_t>(kind)].name : at ? zones.zones()[*at].kind.c_str() : "\u2013";
    if (ImGui::BeginCombo("##kind", shown)) {
        for (int k = 0; k < static_cast<int>(kZoneKinds.size()); ++k)
            if (ImGui::Selectable(kZoneKinds[static_cast<std::size_t>(k)].name, k == kind)) zones.form().kind = k;
        ImGui::EndCombo();
    }
    if (zones.on_green()) enter = field("Until", zones.form().until, "2026-05-02, or nothing") || enter;
    if (kind >= 0) kit::remark(kZoneKinds[static_cast<std::size_t>(kind)].means);

    // Its ring.
    if (editor.busy()) {
        kit::row("Corners", std::to_string(editor.ring().size()));
        kit::row("Encloses", editor.ring().size() >= 3 ? area_text(editor.ring(), model.now().units) : "\u2013");
        draw_ring_rows(model, editor, "Keep the zone", [&] { zones.take_tool(); }, [&](const std::string& text) { zones.use_typed(text); },
                       [&] { zones.store(); }, [&] { zones.leave(); });
    } else {
        const float half = half_width();
        if (ImGui::Button("Keep the changes", {half, 0}) || enter) zones.store();
        ImGui::SameLine();
        if (ImGui::Button("Change its ring", {half, 0})) zones.shape_selected();
        if (ImGui::Button("Take it away", {-1, 0})) zones.remove_selected();
    }
    const std::string fault = editor.mode() == RingEditor::Mode::shaping ? zones.fault() : "";
    refusal(!fault.empty() ? fault : zones.message());
}

}  // namespace brae::green_setup
