// What one station answers to a launch: where the ball ends for each error of direction and pace, tabled from rolls; the
// launches that hole; and how the true aim hangs on green speed and survey.
#pragma once

#include "core/solve/hole_line.h"
#include "core/solve/putt.h"
#include "core/teach/lesson.h"
#include "core/terrain/terrain_model.h"

#include <vector>

namespace brae {

// Launches are told against the station's true read: turn (rad, positive to the player's right) and push =
// ln(launch / launch of the read).
struct ResponseAt {
    Vec2 stop;               // x: beyond the hole along the ball-hole line, y: to the player's right of it; m
    double crossing_m = 0;   // offset on the line through the hole square to that line, right positive; short: that of the stop
    double on_green = 1;     // 1 on it, 0 off it, between within a step of the table
};

// Launch interval that holes at one turn; dx the width of turn that it stands for.
struct HolingStrip { double turn = 0, dx = 0, low = 0, high = 0; };

class StationResponse {
public:
    // Rolls 1,125 balls forward to rest on the surface, the hole covered, plus those of holing_region: 0.1 to 0.2 s on a green
    // fitted to a scan.
    // Throws Error where this putt has no read that can be aimed at, naming the station; Error(usage) as solve_putt does.
    StationResponse(const HeightField& surface, const Outline& outline, const LessonStation& station, double green_speed_ft,
                    const ErrorModel* survey_error);

    ResponseAt at(double turn, double push) const;   // bicubic in the table, held at its ends
    double turn_limit() const { return turn_limit_; }
    static constexpr double kSoftest = -0.75, kHardest = 0.45;   // push

    const LessonStation& station() const { return station_; }
    const HoleLine& line() const { return line_; }
    double distance_m() const { return away_; }
    double true_aim() const { return true_aim_; }     // turn of the true read from the ball-hole line, rad, right positive
    double launch_mps() const { return launch_; }
    double marker_turn() const { return marker_; }    // direction of the marker less the true read's
    bool high_is_right() const { return true_aim_ > 0; }
    bool straight() const;                            // break under 5 mm
    // Turn, against the true read, of a line that passes the hole at this offset.
    double turn_of_offset(double offset_m) const;
    const std::vector<HolingStrip>& holing() const { return holing_; }

    // Linear answer of the true aim (rad, right positive): per ft of green speed, and weights of slope errors on the path.
    struct SlopeWeight { Vec2 p, w; };
    double aim_by_speed() const { return by_speed_; }
    const std::vector<SlopeWeight>& aim_by_slope() const { return by_slope_; }

private:
    void fill_table(const HeightField& surface, const Outline& outline, double level_decel, double base_angle);
    LessonStation station_;
    HoleLine line_;
    double away_ = 0, true_aim_ = 0, launch_ = 0, marker_ = 0, turn_limit_ = 0, by_speed_ = 0;
    std::vector<SlopeWeight> by_slope_;
    std::vector<HolingStrip> holing_;
    std::vector<ResponseAt> table_;   // push-major: table_[j * turns + i]
};

// Covariance of the errors of the true aims of several stations, from one green speed and one survey: rad^2, row-major.
std::vector<double> aim_error_covariance(const std::vector<StationResponse>& stations, double green_speed_sigma_ft,
                                         const ErrorModel* survey_error);

}  // namespace brae
