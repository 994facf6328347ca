#include "plugins/green_setup/setup_panel.h"

#include "plugins/api/panel_kit.h"

#include <cmath>
#include <fmt/format.h>

namespace brae::green_setup {

namespace kit = plugin::kit;

namespace {

// How good they are for taping, and what would make them better.
void draw_geometry(SetupModel& model) {
    const std::size_t count = model.marks.marks().size();
    if (count < kFewestMarks)
        kit::wrapped(fmt::format("{} At least three are wanted: two to tape from and one to check.", count == 0 ? "No reference marks yet." : count == 1 ? "One reference mark." : "Two reference marks."));
    const MarkGeometry* g = model.marks.geometry();
    if (!g) return kit::remark("Judging the marks\u2026");
    if (count >= 2) {
        kit::row("Can be taped", kit::number("%.0f", 100 * g->taped, "% of the green"));
        kit::row("and checked by a third", kit::number("%.0f", 100 * g->checked, "%"));
        if (std::isfinite(g->se_m)) {
            kit::row("Usual error", "\u00b1 " + (model.now().units == plugin::Units::metric ? kit::number("%.1f", 100 * g->se_m, "cm") : kit::offset(g->se_m, model.now().units)));
            kit::row("Flattest crossing", kit::number("%.0f\u00b0", g->worst_crossing_deg));
        }
    }
    if (g->help)
        kit::remark(fmt::format("A further mark near ({:.1f}, {:.1f}) would help most: {:.0f} % could then be taped and {:.0f} % checked. Look there for a sprinkler head, a drain cover or a place for a nail.",
                                g->help->x, g->help->y, 100 * g->taped_with_help, 100 * g->checked_with_help));
}

void draw_list(SetupModel& model) {
    MarksModel& marks = model.marks;
    if (marks.marks().empty()) return;
    if (!ImGui::BeginTable("marks", 3, ImGuiTableFlags_SizingStretchProp | ImGuiTableFlags_PadOuterX)) return;
    ImGui::TableSetupColumn("Mark", ImGuiTableColumnFlags_WidthStretch, 0.8f);
    ImGui::TableSetupColumn("Place, m", ImGuiTableColumnFlags_WidthStretch, 1.7f);
    ImGui::TableSetupColumn("Height, m", ImGuiTableColumnFlags_WidthStretch, 1.1f);
    ImGui::TableHeadersRow();
    const auto at = marks.selected();
    for (std::size_t k = 0; k < marks.marks().size(); ++k) {
        const ReferenceMark& m = marks.marks()[k];
        ImGui::PushID(static_cast<int>(k));
        ImGui::TableNextRow();
        ImGui::TableNextColumn();
        if (ImGui::Selectable(m.name.c_str(), at == k, ImGuiSelectableFlags_SpanAllColumns)) marks.select(at == k ? std::nullopt : std::optional(k));
        if (ImGui::IsItemHovered() && !m.description.empty()) ImGui::SetTooltip("%s", m.description.c_str());
        ImGui::PushFont(kit::number_font());
        ImGui::TableNextColumn();
        ImGui::Text("%.2f, %.2f", m.p.x, m.p.y);
        ImGui::TableNextColumn();
        ImGui::Text("%.3f", m.p.z);
        ImGui::PopFont();
        ImGui::PopID();
    }
    ImGui::EndTable();
}

}  // namespace

void draw_marks_part(SetupModel& model) {
    MarksModel& marks = model.marks;
    kit::heading("Reference marks");
    draw_geometry(model);
    ImGui::Spacing();
    draw_list(model);

    // The form: of the selected mark, or of a new one.
    const auto at = marks.selected();
    kit::heading(at ? ("Mark " + marks.marks()[*at].name).c_str() : "A new mark");
    bool enter = field("Code", marks.form().name, "short: S1");
    enter = field("What it is", marks.form().description, "sprinkler head, front left") || enter;
    enter = field("Place", marks.form().place, "X, Y  or  map:X,Y") || enter;
    enter = field("Height, m", marks.form().height, "of the ground there") || enter;
    if (at) {
        const ReferenceMark& m = marks.marks()[*at];
        const Vec2 map = model.now().green->terrain->frame.to_map({m.p.x, m.p.y});
        kit::row("In the survey's system", fmt::format("{:.2f}, {:.2f}", map.x, map.y));
    }
    const float half = half_width();
    if (ImGui::Button(at ? "Keep the changes" : "Add it", {half, 0}) || enter) marks.store_form();
    ImGui::SameLine();
    if (ImGui::Button(at ? "Move by a click" : "Place by a click", {half, 0})) {
        if (at) marks.click_to_move();
        else marks.click_to_add();
    }
    if (at) {
        if (ImGui::Button("Take it away", {half, 0})) marks.remove_selected();
        ImGui::SameLine();
        if (ImGui::Button("A new mark", {half, 0})) marks.select(std::nullopt);
    }
    refusal(marks.message());
    ImGui::Spacing();
    if (ImGui::Button("From a list (CSV)\u2026", {-1, 0})) marks.import_file();
    kit::remark("Fixed things that can be found again: sprinkler heads, drain covers, nails. Local metres count from the survey's origin, x to the east and y to the north. Key: M places one by a click.");
}

}  // namespace brae::green_setup
