// The plugin object: the coach's three models, panels that edit them and an overlay that draws them.
#pragma once

#include "plugins/api/plugin.h"
#include "plugins/practice_stations/coach.h"

namespace brae::practice_stations {

class StationsPlugin final : public plugin::Plugin {
public:
    explicit StationsPlugin(plugin::Services& services);
    void draw_panel() override;
    void draw_overlay(plugin::OverlayCanvas& canvas) override;
    void on_event(plugin::Event event) override;
    std::string hides_read() override;
    std::vector<plugin::Shortcut> shortcuts() override;
    StationsModel& model() { return coach_.stations; }
    Coach& coach() { return coach_; }

private:
    Coach coach_;
};

}  // namespace brae::practice_stations
