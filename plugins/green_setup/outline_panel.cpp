#include "plugins/green_setup/setup_panel.h"

#include "core/base/units.h"
#include "plugins/api/panel_kit.h"

namespace brae::green_setup {

namespace kit = plugin::kit;

namespace {

std::string area_text(double m2, plugin::Units units) {
    return units == plugin::Units::metric ? kit::number("%.0f", m2, "m\u00b2") : kit::number("%.0f", m2 / (kFoot * kFoot), "ft\u00b2");
}

}  // namespace

void draw_outline_part(SetupModel& model) {
    OutlineModel& outline = model.outline;
    RingEditor& editor = outline.editor();
    const TerrainModel& terrain = *model.now().green->terrain;
    kit::heading("Edge of the green");
    kit::row("Today's edge", where_from(terrain.outline.source()));
    kit::row("Corners", std::to_string(terrain.outline.ring().size()));
    kit::row("Encloses", area_text(terrain.outline.area_m2(), model.now().units));
    ImGui::Spacing();

    if (!editor.busy()) {
        const float half = half_width();
        if (ImGui::Button("Change it", {half, 0})) outline.shape_present();
        ImGui::SameLine();
        if (ImGui::Button("Draw a new one", {half, 0})) outline.draw_new();
        if (ImGui::Button("Read one from a file\u2026", {-1, 0})) outline.read_from_file();
        refusal(outline.message());
        kit::remark("Keys: E changes it, Shift+E draws a new one. Within the surface only the edge moves; area, slopes and quality follow it. Past the "
                    "surface the survey is read again for it, as far as its data reach.");
        return;
    }

    // What the drawing would mean, while it grows.
    kit::heading(editor.mode() == RingEditor::Mode::drawing ? "New edge" : "Edge as drawn");
    kit::row("Corners", std::to_string(editor.ring().size()));
    kit::row("Encloses", outline.area_m2() > 0 ? area_text(outline.area_m2(), model.now().units) : "\u2013");
    ImGui::Spacing();
    draw_ring_rows(model, editor, "Make it the edge\u2026", [&] { outline.take_tool(); }, [&](const std::string& text) { outline.use_typed(text); },
                   [&] { outline.keep(); }, [&] { outline.leave(); });
    const bool feet = model.now().units == plugin::Units::feet;
    if (const auto& fault = outline.fault(); fault && editor.mode() == RingEditor::Mode::shaping) refusal(to_text(*fault, feet));
    else refusal(outline.message());
    if (outline.past_surface() && editor.mode() == RingEditor::Mode::shaping)
        kit::remark("It takes in ground past the surface that is there. The survey has data on it and is read again when this becomes the edge.");
    if (const std::string outside = outline.left_outside(); !outside.empty() && !outline.fault() && editor.mode() == RingEditor::Mode::shaping)
        kit::remark("Outside it: " + outside + ".");
}

}  // namespace brae::green_setup
