#include "plugins/hole_positions/holes_plugin.h"

#include "plugins/hole_positions/holes_overlay.h"
#include "plugins/hole_positions/holes_panel.h"

namespace brae::hole_positions {

HolesPlugin::HolesPlugin(plugin::Services& services) : model_(services) {}
void HolesPlugin::draw_panel() { draw_holes_panel(model_); }
void HolesPlugin::draw_overlay(plugin::OverlayCanvas& canvas) { draw_holes(model_, canvas); }

void HolesPlugin::on_event(plugin::Event event) {
    if (event == plugin::Event::green_opened) model_.clear();
}

std::vector<plugin::Shortcut> HolesPlugin::shortcuts() {
    return {{'G', false, false, "Find fair hole positions", [this] { model_.plan(); }}};
}

}  // namespace brae::hole_positions
