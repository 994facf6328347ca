// The example's panel: height, slope and fall direction at the cursor, and a tilt line drawn on the green.
#pragma once

#include "plugins/api/plugin.h"

namespace brae::example {

class SlopePanel final : public plugin::Plugin {
public:
    explicit SlopePanel(plugin::Services& services);
    void draw_panel() override;
    void draw_overlay(plugin::OverlayCanvas& canvas) override;

private:
    // The spot that is looked at: the pinned one, else the cursor.
    std::optional<Vec2> spot() const;

    plugin::Services& services_;
    std::optional<Vec2> pinned_;
    float length_m_ = 1.0f;
};

}  // namespace brae::example
