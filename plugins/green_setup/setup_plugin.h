// The plugin object: one model, a panel that edits it and an overlay that draws it.
#pragma once

#include "plugins/api/plugin.h"
#include "plugins/green_setup/setup_model.h"

namespace brae::green_setup {

class SetupPlugin final : public plugin::Plugin {
public:
    explicit SetupPlugin(plugin::Services& services);
    void draw_panel() override;
    void draw_overlay(plugin::OverlayCanvas& canvas) override;
    void on_event(plugin::Event event) override;
    std::vector<plugin::Shortcut> shortcuts() override;
    SetupModel& model() { return model_; }

private:
    SetupModel model_;
};

}  // namespace brae::green_setup
