#include "app/panels/panels.h"

#include "app/panels/view_removed.h"
#include "core/base/interval.h"
#include "core/terrain/new_outline.h"
#include "plugins/api/panel_kit.h"

namespace brae::app {

namespace kit = plugin::kit;

void draw_green_panel(Session& session) {
    const Green& green = *session.document.now().green;
    const TerrainModel& terrain = *green.terrain;

    // Name and file.
    ImGui::PushFont(kit::title_font());
    ImGui::PushTextWrapPos(0);
    ImGui::TextUnformatted(green.name.empty() ? "Unnamed green" : green.name.c_str());
    ImGui::PopTextWrapPos();
    ImGui::PopFont();
    std::string where = session.document.file().filename().string();
    if (session.document.stored()) where += " \u00b7 revision " + std::to_string(green.revision) + (session.document.read_only().empty() ? "" : " \u00b7 read-only");
    else if (session.document.unsaved()) where += " \u00b7 has changes that no file holds";
    else where += " \u00b7 not saved as a green";
    kit::remark(where);
    ImGui::Spacing();

    // What the ground is like.
    const bool metric = session.units == plugin::Units::metric;
    const double area = terrain.outline.area_m2();
    kit::row("Area", metric ? kit::number("%.0f", area, "m\u00b2") : kit::number("%.0f", area / (kFoot * kFoot), "ft\u00b2"));
    if (const GroundLayers* layers = session.layers()) {
        kit::row("Slope, median", kit::number("%.2f", percent(layers->slope.median)) + " \u00b1 " +
                                      kit::number("%.2f", percent(layers->slope.median_se), "%"));
        kit::row("Steepest tenth over", kit::number("%.1f", percent(layers->slope.p90), "%"));
    } else {
        kit::row("Slope, median", "\u2026");
        kit::row("Steepest tenth over", "\u2026");
    }
    if (const SurfaceMesh* surface = session.surface()) kit::row("Height range", kit::height(surface->z_range, session.units));

    // How far to trust it.
    if (terrain.noise_m > 0)
        kit::row("Survey noise", (metric ? kit::number("%.1f", 1000 * terrain.noise_m, "mm")
                                         : kit::number("%.2f", inches_from_metres(terrain.noise_m), "in")) +
                                     (terrain.points_used > 0 ? ", " + std::to_string(terrain.points_used) + " points" : ""));
    // What lies outside the edge is no news; the View panel counts it.
    if (green.removed) {
        ReasonCounts counts = green.removed->counts;
        counts[outside_clip] = 0;
        if (const std::string words = words_on_counts(counts); !words.empty()) kit::remark("Removed: " + words);
    }
    kit::row("Edge", where_from(terrain.outline.source()));
    if (const SurveyQuality* quality = session.quality()) {
        kit::row("Good for", to_text(quality->verdict));
        if (quality->putts > 0) kit::row("Aim at 3 m, survey", "\u00b1 " + kit::offset(kZ90 * quality->aim_se_m, session.units) + " (90 %)");
        // Heights beside the survey that it was tested against.
        if (const CheckResult& c = quality->check; c.count > 0) {
            const auto small = [&](const char* inches, const char* mm, double m) {
                return metric ? kit::number(mm, 1000 * m, "mm") : kit::number(inches, inches_from_metres(m), "in");
            };
            kit::row("Check points", std::to_string(c.count) + ", RMS " + small("%.2f", "%.1f", c.rms_m));
            kit::row("Their mean", small("%+.2f", "%+.1f", c.mean_m));
            if (c.fitted)
                kit::row("Dome in them", (metric ? kit::number("%+.1f", 1000 * c.dome_m) : kit::number("%+.2f", inches_from_metres(c.dome_m))) + " \u00b1 " +
                                             small("%.2f", "%.1f", c.dome_se_m));
        }
        for (const QualityFact& fact : quality->facts)
            if (fact.limits && fact.name == "Put back") kit::remark("Put back: " + fact.value + "; " + fact.meaning + ".");
        // What limits it, and what would help.
        if (!quality->advice.empty() &&
            ImGui::TreeNodeEx("##advice", ImGuiTreeNodeFlags_NoTreePushOnOpen | ImGuiTreeNodeFlags_SpanAvailWidth, "To make it better"))
            for (const std::string& sentence : quality->advice) kit::remark(sentence);
    } else {
        kit::row("Good for", "\u2026");
    }
    if (!terrain.warnings.empty()) {
        const std::size_t n = terrain.warnings.size();
        const std::string words = n == 1 ? "1 note on the survey" : std::to_string(n) + " notes on the survey";
        if (ImGui::TreeNodeEx("##notes", ImGuiTreeNodeFlags_NoTreePushOnOpen | ImGuiTreeNodeFlags_SpanAvailWidth, "%s", words.c_str()))
            for (const std::string& w : terrain.warnings) kit::remark(w);
    }
}

}  // namespace brae::app
