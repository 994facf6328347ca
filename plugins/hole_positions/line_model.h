// The line of play as it is turned and drawn in the panel, before it is kept with the green; and gates.
#pragma once

#include "core/plan/line_of_play.h"
#include "plugins/api/services.h"

#include <optional>
#include <string>
#include <vector>

namespace brae::hole_positions {

class LineModel {
public:
    explicit LineModel(plugin::Services& services) : services_(services) {}

    // What is shown: the one in hand, else the green's own.
    std::optional<LineOfPlay> line() const;
    bool in_hand() const { return line_.has_value(); }    // differs from what is kept until it is kept or dropped
    double bearing_deg() const;                            // 0 where there is none
    void set_bearing(double degrees);
    // Tools on the ground. Turn: drag where the players come from, arrow keys turn by 1 or, with Shift, 10 degrees. Draw: click the
    // approach from the players on, Backspace takes a point back. Enter keeps, Escape drops.
    void turn();
    void draw();
    const std::vector<Vec2>& points() const { return points_; }
    void keep();
    void drop();
    void add_gate();
    void remove_gates();

    const std::string& message() const { return message_; }
    void clear();

private:
    const plugin::Snapshot& now() const { return services_.document.snapshot(); }
    void towards(Vec2 direction);

    plugin::Services& services_;
    std::optional<LineOfPlay> line_;
    std::vector<Vec2> points_;
    std::string message_;
};

}  // namespace brae::hole_positions
