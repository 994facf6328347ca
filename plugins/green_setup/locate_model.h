// A hole or ball that is really there, from tapes laid from reference marks: as typed, as drawn, and what comes of it.
#pragma once

#include "core/plan/taping.h"
#include "plugins/api/services.h"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace brae::green_setup {

struct TapeRow { std::string mark, reading; };

// What the rows as they stand mean. No number here is NaN.
struct Located {
    std::vector<TapeReading> tapes, checks;    // those that are typed and sound
    std::vector<Vec2> crossings;               // of the first two circles, the left one first
    std::optional<double> crossing_deg;        // at them
    std::optional<TapeFix> fix;
    std::optional<double> outside_m;           // of the fix, where it lies off the green
    std::string sentence;                      // what is wanted next, or why there is no place
    bool refused = false;                      // the sentence is a refusal, not a wish
};

class LocateModel {
public:
    explicit LocateModel(plugin::Services& services) : services_(services) {}

    std::array<TapeRow, 2>& tapes() { return tapes_; }
    std::array<TapeRow, 2>& checks() { return checks_; }
    std::optional<TapeSide> side() const { return side_; }
    void set_side(std::optional<TapeSide> side) { side_ = side; }
    std::vector<TapePoint> marks() const;
    void best_pair();                          // the two marks that cross best at the hole on show, and a third as check
    void keep_marks_sound();                   // marks that are gone leave the rows; empty rows take the best pair
    void follow_units();                       // typed readings keep their length where the window's units change

    const Located& located();                  // worked out once for the same rows
    void hole_is_here();
    void ball_is_here();
    void clear_readings();
    const std::string& message() const { return message_; }
    void clear();
    bool want_keyboard = false;                // the first reading takes it in the next frame

private:
    const plugin::Snapshot& now() const { return services_.document.snapshot(); }
    Located work_out() const;

    plugin::Services& services_;
    std::array<TapeRow, 2> tapes_, checks_;
    std::optional<TapeSide> side_;
    plugin::Units units_ = plugin::Units::metric;
    Located located_;
    std::string located_key_, message_;
};

}  // namespace brae::green_setup
