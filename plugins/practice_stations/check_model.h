// Checking the green with rolled balls: where they started, where they were sent, where they stopped. The speed of the day
// comes out of it, and whether the survey still fits.
#pragma once

#include "core/roll/speed_calibration.h"
#include "plugins/api/services.h"

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace brae::practice_stations {

// How the balls were let go. ramp: a green-speed ramp, whose release is known; same_push: any ramp or device that sends them
// all off alike, by how much is worked out too.
enum class LetGo { ramp, same_push };
enum class CheckStep { start, toward, balls };

struct CheckLine { Vec2 start; std::optional<Vec2> toward; std::vector<Vec2> stops; };

class CheckModel {
public:
    // kept: called once a speed was made that of the day.
    CheckModel(plugin::Services& services, std::function<void()> kept) : services_(services), kept_(std::move(kept)) {}

    void take_in_hand();                 // clicks on the green: start, where to, then where each ball stopped
    void pause();
    bool in_hand() const { return in_hand_ && services_.tools.in_hand(); }
    CheckStep step() const;
    std::string asks() const;
    void click(Vec2 p);
    // The same by keys: arrows move a cross (10 cm, with Shift 1 m), Enter clicks there. Empty until an arrow is pressed.
    std::optional<Vec2> cross() const { return cross_; }
    void new_line();
    void take_back();                    // the last click
    void clear();

    const std::vector<CheckLine>& lines() const { return lines_; }
    int balls() const;
    LetGo let_go() const { return let_go_; }
    void set_let_go(LetGo how);

    bool working() const { return services_.jobs.progress("check").has_value(); }
    const std::optional<SpeedCalibration>& result() const { return result_; }
    // Why it cannot be the speed of the day; empty where it can.
    std::string why_not() const;
    void keep();
    const std::string& message() const { return message_; }
    void green_opened();
    void green_changed();                // the answer again, on the new revision

private:
    const plugin::Snapshot& now() const { return services_.document.snapshot(); }
    std::vector<RolledBall> rolls() const;
    void work_out();

    plugin::Services& services_;
    std::function<void()> kept_;
    std::vector<CheckLine> lines_;
    void move_cross(Vec2 by);
    Vec2 last_place() const;
    std::optional<Vec2> cross_;
    LetGo let_go_ = LetGo::ramp;
    std::optional<SpeedCalibration> result_;
    std::string message_;
    bool in_hand_ = false, begun_ = false;   // begun: another line, whose start is not clicked yet
};

}  // namespace brae::practice_stations
