#include "plugins/hole_positions/holes_plugin.h"

#include "plugins/hole_positions/holes_overlay.h"
#include "plugins/hole_positions/holes_panel.h"

#include <algorithm>

namespace brae::hole_positions {

HolesPlugin::HolesPlugin(plugin::Services& services) : parts_(services) {}
void HolesPlugin::draw_panel() { draw_holes_panel(parts_); }
void HolesPlugin::draw_overlay(plugin::OverlayCanvas& canvas) { draw_holes(parts_, canvas); }

void HolesPlugin::on_event(plugin::Event event) {
    if (event == plugin::Event::green_opened) parts_.clear();
}

std::vector<plugin::Shortcut> HolesPlugin::shortcuts() {
    Parts* p = &parts_;
    const auto today = [p](auto act) {
        return [p, act] { p->show(Part::today), act(p->holes); };
    };
    const auto plan = [p](auto act) {
        return [p, act] { p->show(Part::plan), act(p->plan); };
    };
    return {{'G', false, false, "Find fair hole positions", today([](HolesModel& m) { m.find(); })},
            {'N', false, false, "The next position or day", [p] { p->shown == Part::plan ? p->plan.select((p->plan.selected() + 1) % std::max<int>(1, static_cast<int>(p->plan.list().size()))) : p->holes.step_selected(1); }},
            {'N', false, true, "The position or day before", [p] {
                 const int count = std::max<int>(1, static_cast<int>(p->plan.list().size()));
                 p->shown == Part::plan ? p->plan.select((p->plan.selected() + count - 1) % count) : p->holes.step_selected(-1);
             }},
            {'W', false, false, "Why, why not under the mouse", today([](HolesModel& m) { m.set_judge_cursor(!m.judge_cursor()); })},
            {'D', false, false, "Move a hole and see its criteria", [p] { p->shown == Part::plan ? p->plan.move_selected() : (p->show(Part::today), p->holes.move_hole()); }},
            {'A', false, false, "Make the position today's hole", today([](HolesModel& m) { m.make_selected_todays(); })},
            {'R', false, false, "Plan the days", plan([](PlanModel& m) { m.plan(); })},
            {'O', false, false, "Lock the day's hole, or unlock it", plan([](PlanModel& m) {
                 if (m.selected() >= 0) m.lock(m.selected(), !m.list()[static_cast<std::size_t>(m.selected())].locked);
             })},
            {'U', false, false, "Step back in the plan", plan([](PlanModel& m) { m.undo(); })},
            {'A', true, true, "Keep the plan", plan([](PlanModel& m) { m.accept(); })},
            {'C', false, false, "Tell where the hole was cut", [p] { p->show(Part::cut), p->cut.want_keyboard = true; }},
            {'I', false, false, "Turn the line of play", [p] { p->show(Part::cut), p->line.turn(); }},
            {'Q', false, false, "Choose practice holes", [p] { p->show(Part::practice), p->practice.choose(); }}};
}

}  // namespace brae::hole_positions
