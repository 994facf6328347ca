// The plugin object: one model, a panel that edits it and an overlay that draws it.
#pragma once

#include "plugins/api/plugin.h"
#include "plugins/hole_positions/holes_model.h"

namespace brae::hole_positions {

class HolesPlugin final : public plugin::Plugin {
public:
    explicit HolesPlugin(plugin::Services& services);
    void draw_panel() override;
    void draw_overlay(plugin::OverlayCanvas& canvas) override;
    void on_event(plugin::Event event) override;
    std::vector<plugin::Shortcut> shortcuts() override;
    HolesModel& model() { return model_; }

private:
    HolesModel model_;
};

}  // namespace brae::hole_positions
