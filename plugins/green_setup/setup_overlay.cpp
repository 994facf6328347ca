#include "plugins/green_setup/setup_overlay.h"

#include "plugins/api/panel_kit.h"

#include <fmt/format.h>

#include <algorithm>

namespace brae::green_setup {

namespace {

namespace ink = plugin::ink;
namespace kit = plugin::kit;
using plugin::Dash;
using plugin::MarkerShape;

// A ring that is drawn or shaped: corners, the selected one, and the side that would come next.
void draw_ring(const RingEditor& editor, std::optional<Vec2> pointer, plugin::OverlayCanvas& canvas) {
    if (!editor.busy()) return;
    const auto& ring = editor.ring();
    if (editor.mode() == RingEditor::Mode::drawing) {
        if (ring.size() >= 2) canvas.polyline(ring, {ink::blue, 1.8f, Dash::solid});
        if (!ring.empty() && pointer) {
            canvas.polyline({ring.back(), *pointer}, {ink::blue, 1.3f, Dash::dashed});
            if (ring.size() >= 2) canvas.polyline({*pointer, ring.front()}, {ink::quiet, 1.0f, Dash::dotted});
        }
    } else {
        canvas.polygon(ring, {0, 0, 0, 0}, {ink::blue, 1.8f, Dash::solid});
    }
    // Many corners are drawn small.
    const float size = ring.size() > 60 ? 5.0f : 7.0f;
    for (std::size_t k = 0; k < ring.size(); ++k) {
        const bool selected = editor.selected() == k;
        canvas.marker(ring[k], selected ? MarkerShape::square : MarkerShape::dot, ink::blue, selected ? 11.0f : size, selected ? std::to_string(k + 1) : "");
    }
}

void draw_zones(SetupModel& model, plugin::OverlayCanvas& canvas) {
    const auto& zones = model.zones.zones();
    const bool editing = model.zones.editor().busy();
    for (std::size_t k = 0; k < zones.size(); ++k) {
        const Zone& z = zones[k];
        const bool selected = model.part() == Part::zones && model.zones.selected() == k;
        if (selected && editing) continue;  // its ring is in work
        // Kinds by dash and by their word; the fill is faint. What lies beside the green has the quieter ink.
        const bool beside = std::any_of(kZoneKinds.begin(), kZoneKinds.end(), [&](const ZoneKind& kind) { return kind.name == z.kind && !kind.on_green; });
        const Dash dash = z.kind == "worn" || z.kind == "bank" ? Dash::dashed : z.kind == "closed" || z.kind == "water" ? Dash::dash_dot : beside ? Dash::solid : Dash::dotted;
        const plugin::Colour ink = beside ? ink::quiet : ink::violet, fill{ink.r, ink.g, ink.b, selected ? 0.16f : 0.08f};
        canvas.polygon(z.ring, fill, {ink, selected ? 2.0f : 1.4f, dash},
                       z.name + ", " + z.kind + (z.until.empty() ? "" : " until " + z.until));
    }
}

void draw_tapes(SetupModel& model, plugin::OverlayCanvas& canvas) {
    LocateModel& locate = model.locate;
    const Located& here = locate.located();
    const auto length = [&](double m) { return kit::distance(m, model.now().units); };

    // Circles: the two tapes dashed, checks dotted.
    for (std::size_t k = 0; k < here.tapes.size(); ++k)
        canvas.circle({here.tapes[k].from.p.x, here.tapes[k].from.p.y}, here.tapes[k].metres, {ink::blue, 1.2f, k == 0 ? Dash::dashed : Dash::dash_dot});
    for (const TapeReading& t : here.checks) canvas.circle(t.from.p, t.metres, {ink::quiet, 1.1f, Dash::dotted});

    // The place with its tapes, else both crossings.
    if (here.fix) {
        for (std::size_t k = 0; k < here.tapes.size(); ++k)
            canvas.polyline({here.tapes[k].from.p, 0.5 * (here.tapes[k].from.p + here.fix->p), here.fix->p}, {ink::blue, 1.6f, k == 0 ? Dash::dashed : Dash::dash_dot},
                            length(here.tapes[k].metres) + " from " + here.tapes[k].from.name);
        for (const TapeReading& t : here.checks)
            canvas.polyline({t.from.p, 0.5 * (t.from.p + here.fix->p), here.fix->p}, {ink::quiet, 1.2f, Dash::dotted}, "check " + length(t.metres) + " from " + t.from.name);
        canvas.marker(here.fix->p, here.outside_m ? MarkerShape::cross : MarkerShape::plus, ink::blue, 14, here.outside_m ? "outside the green" : "taped here");
        for (Vec2 p : here.crossings)
            if (distance(p, here.fix->p) > 0.1) canvas.marker(p, MarkerShape::cross, ink::quiet, 9, "mirror image");
    } else {
        // Both places, with the tapes to the one that lies on the green where only one does.
        const Outline& outline = model.now().green->terrain->outline;
        const bool alone = here.crossings.size() == 2 && outline.contains(here.crossings[0]) != outline.contains(here.crossings[1]);
        for (std::size_t k = 0; k < here.crossings.size(); ++k) {
            if (!alone || outline.contains(here.crossings[k]))
                for (std::size_t t = 0; t < here.tapes.size(); ++t) {
                    const Vec2 from = here.tapes[t].from.p;
                    canvas.polyline({from, 0.5 * (from + here.crossings[k]), here.crossings[k]}, {ink::quiet, 1.0f, t == 0 ? Dash::dashed : Dash::dash_dot},
                                    length(here.tapes[t].metres) + " from " + here.tapes[t].from.name);
                }
            canvas.marker(here.crossings[k], MarkerShape::cross, ink::blue, 11, here.crossings.size() < 2 ? "the tapes touch" : k == 0 ? "left" : "right");
        }
    }
}

}  // namespace

void draw_setup(SetupModel& model, plugin::OverlayCanvas& canvas) {
    if (!model.now().green) return;
    draw_zones(model, canvas);
    const auto pointer = model.services().tools.in_hand() ? model.now().pointer : std::nullopt;
    switch (model.part()) {
        case Part::outline:
            // How far an edge may go, while one is drawn.
            if (const auto& reach = model.now().green->terrain->reach; model.outline.editor().busy() && reach.size() >= 3) {
                canvas.polygon(reach, {0, 0, 0, 0}, {ink::quiet, 1.2f, Dash::dotted});
                const Vec2 south = *std::min_element(reach.begin(), reach.end(), [](Vec2 a, Vec2 b) { return a.y < b.y; });
                canvas.text(south, "the survey's data end here", plugin::TextAnchor::below, ink::quiet);
            }
            draw_ring(model.outline.editor(), pointer, canvas);
            if (const auto& fault = model.outline.fault(); fault && fault->where && model.outline.editor().mode() == RingEditor::Mode::shaping)
                canvas.marker(*fault->where, MarkerShape::cross, ink::dark, 13,
                              fault->kind == OutlineFault::Kind::crossing ? "crosses itself" : fault->kind == OutlineFault::Kind::beyond ? "beyond the survey" : "");
            break;
        case Part::marks:
            if (const auto at = model.marks.selected()) {
                const Vec3 p = model.marks.marks()[*at].p;
                canvas.marker({p.x, p.y}, MarkerShape::ring, ink::blue, 17);
            }
            if (const MarkGeometry* g = model.marks.geometry(); g && g->help) canvas.marker(*g->help, MarkerShape::plus, ink::quiet, 13, "a mark near here would help most");
            break;
        case Part::locate: draw_tapes(model, canvas); break;
        case Part::zones: draw_ring(model.zones.editor(), pointer, canvas); break;
    }
}

}  // namespace brae::green_setup
