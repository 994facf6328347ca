// The plugin object: one model, a panel that edits it and an overlay that draws it.
#pragma once

#include "plugins/api/plugin.h"
#include "plugins/practice_stations/stations_model.h"

namespace brae::practice_stations {

class StationsPlugin final : public plugin::Plugin {
public:
    explicit StationsPlugin(plugin::Services& services);
    void draw_panel() override;
    void draw_overlay(plugin::OverlayCanvas& canvas) override;
    void on_event(plugin::Event event) override;
    std::vector<plugin::Shortcut> shortcuts() override;
    StationsModel& model() { return model_; }

private:
    StationsModel model_;
};

}  // namespace brae::practice_stations
