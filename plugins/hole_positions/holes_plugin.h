// The plugin object: the parts, a panel that edits them and an overlay that draws them.
#pragma once

#include "plugins/api/plugin.h"
#include "plugins/hole_positions/parts.h"

namespace brae::hole_positions {

class HolesPlugin final : public plugin::Plugin {
public:
    explicit HolesPlugin(plugin::Services& services);
    void draw_panel() override;
    void draw_overlay(plugin::OverlayCanvas& canvas) override;
    void on_event(plugin::Event event) override;
    std::vector<plugin::Shortcut> shortcuts() override;
    Parts& parts() { return parts_; }
    HolesModel& model() { return parts_.holes; }

private:
    Parts parts_;
};

}  // namespace brae::hole_positions
