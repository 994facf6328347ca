#include "plugins/green_setup/setup_plugin.h"

#include "plugins/green_setup/setup_overlay.h"
#include "plugins/green_setup/setup_panel.h"

namespace brae::green_setup {

SetupPlugin::SetupPlugin(plugin::Services& services) : model_(services) {}
void SetupPlugin::draw_panel() { draw_setup_panel(model_); }
void SetupPlugin::draw_overlay(plugin::OverlayCanvas& canvas) { draw_setup(model_, canvas); }

void SetupPlugin::on_event(plugin::Event event) {
    if (event == plugin::Event::green_opened) model_.clear();
    if (event == plugin::Event::green_changed) model_.marks.refresh();
    if (event == plugin::Event::units_changed) model_.locate.follow_units();
}

std::vector<plugin::Shortcut> SetupPlugin::shortcuts() {
    return {{'E', false, false, "Change the edge of the green", [this] { model_.show(Part::outline); model_.outline.shape_present(); }},
            {'E', false, true, "Draw a new edge", [this] { model_.show(Part::outline); model_.outline.draw_new(); }},
            {'M', false, false, "Add a reference mark by a click", [this] { model_.show(Part::marks); model_.marks.click_to_add(); }},
            {'K', false, false, "Tape a hole or a ball", [this] { model_.show(Part::locate); model_.locate.want_keyboard = true; }},
            {'Z', false, false, "Draw a zone", [this] { model_.show(Part::zones); model_.zones.draw_new(); }}};
}

}  // namespace brae::green_setup
