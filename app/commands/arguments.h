// What the verbs were asked to do, as plain values. The only file that knows the option parser is command_line.cpp.
#pragma once

#include "core/base/constants.h"

#include <optional>
#include <string>
#include <vector>

namespace brae::app {

// Every verb that reads a green: a green file, or any survey or elevation file read with default settings.
struct GreenArguments {
    std::string green;
    bool json = false;
};

struct SurveyArguments {
    std::vector<std::string> files;
    std::string out, crs, units, height_units, outline, clip, name, method, date, top_dressed;
    double cell_m = 0, height_of_cut_mm = 0;
    std::vector<std::string> put_back, put_back_boxes, remove_again;   // words of reasons; boxes; words, "boxes" or "all"
    bool replace = false;             // over a green file that holds people's work
    bool json = false;
};

struct SlopeArguments : GreenArguments {
    std::string out;               // folder for rasters and lines; empty: numbers only
    double contour_interval_m = 0.05, line_spacing_m = 1.0;
};

struct ExportArguments : GreenArguments {
    std::string out;               // its ending says the format
    double contour_interval_m = 0.05, spacing_m = 0;   // spacing 0: the model's own cell
};

struct LocateArguments : GreenArguments {
    std::vector<std::string> tapes, checks;  // "MARK=METRES"
    std::string side;
    bool store = false;            // keep the place as today's hole
};

struct RollArguments : GreenArguments {
    std::string ball, hole;
    double toward_deg = 0;
    std::optional<double> launch_mps, ball_speed_mps;   // one of the two
    std::optional<double> speed_ft;   // empty: the green's newest reading
    bool covered = false;
    std::string capture;              // rim or free-fall; empty: the default
    // Assumptions, off unless given.
    std::optional<double> loft_deg, skid_friction;      // of a ball that is struck
    std::optional<double> grain_bearing_deg, grain_strength, speed_exponent, outside_factor;
    std::string cut;                  // file with the ring outside which the ground is slower
};

struct PuttArguments : GreenArguments {
    std::string ball, hole;
    std::optional<double> speed_ft;   // empty: the green's newest reading
    double past_m = kUsualPastM, pace_error_m = 0.10;
    std::string capture;              // as in RollArguments
    bool best_pace = false;
    std::optional<double> start_line_sigma_deg, pace_sigma_pct, read_sigma_deg;   // of a player
    std::optional<double> loft_deg, lie_error_deg;                                // of the putter at impact
};

struct FinishedArguments : GreenArguments {
    std::string ball, hole, rest, left_at, marker, passed;
    std::optional<double> speed_ft;   // empty: the green's newest reading
    double past_m = kUsualPastM, aim_sigma_m = 0;
    std::optional<double> aim_m, rest_sigma_m;
    bool holed = false;
};

struct SpeedArguments : GreenArguments {
    std::string ramp, back;           // readings in feet, commas between
    std::string rolls;                // CSV
    bool map = false;                 // its places are in map coordinates
    std::optional<double> sigma_ft;   // of the ramp's answer, where the user knows better
    std::string date;
    bool store = false;
};

struct LessonArguments {
    std::string action, file;         // what to do in which lesson file
    std::string player, handicap, hand, note, date, green, lesson, csv, out;
    std::optional<double> usual_speed_ft, speed_ft;
    std::vector<std::string> fields;  // NAME=VALUE of one putt
    std::vector<std::string> columns, units;   // of a baseline's CSV
    std::string name, putt;           // a new name; a putt by its number in the lesson or its id
    std::string reader = "player", paper = "a4";   // of a printed report
    std::string moment, sight_line;   // of a putter's setting: before or after
    std::optional<double> loft_deg, lie_deg, length_m;
    bool left_is_positive = false, sure = false, history = false, feet = false, force = false, json = false;
};

struct ReadsArguments : GreenArguments {
    std::string hole, out;
    std::optional<double> speed_ft;   // empty: the green's newest reading
    double past_m = kUsualPastM, spacing_m = 0.25;
    bool errors = false;              // three more bands: the standard error of the aim
};

struct HolesArguments : GreenArguments {   // green: a file, or a folder of green files
    std::optional<double> speed_ft, forecast_ft, play_deg, spacing_m;
    int days = 0, most = 3, recovery_days = 14;
    std::string profile, limits, from, place, maps, by;
    bool by_speed = false, keep = false;      // keep the plan in the green files
    bool as_kept = false;                     // what an earlier plan chose for these days stands as well
};

struct LineArguments : GreenArguments {
    std::optional<double> bearing_deg;
    std::vector<std::string> points, gates;   // of the approach; where players walk on and off
    std::string place;                        // a line as brae cut takes it, to be told in paces and metres
    bool clear = false;
};

struct ZoneArguments : GreenArguments {
    std::string name, kind, until, file, take_away;   // file: of its ring
    std::vector<std::string> points;                  // or its corners
};

struct CutArguments : GreenArguments {
    std::string at, file, date, by, remark;   // one line; a file of lines; what a line may leave out
    std::string history, out;                 // CSV to take a history from, or to write it to
    std::string profile, limits;              // that the place is judged by
    std::optional<double> speed_ft;
    bool earlier = false, dry = false;
    bool planned = false, force = false;      // for a day ahead; a history that does not say whose it is
};

// Whose chances are meant: typed, or learned by a lesson file.
struct PlayerArguments {
    std::optional<double> start_line_sigma_deg, pace_sigma_pct, read_sigma_deg;
    std::string player_file, player;
};

struct StationsArguments : GreenArguments {
    PlayerArguments who;
    std::string hole, lesson = "ladder", lesson_file, out;
    std::optional<double> usual_speed_ft;
    std::optional<double> speed_ft;   // empty: the green's newest reading
    double past_m = kUsualPastM;
    bool store = false;
};

struct SheetArguments : GreenArguments {
    std::string kind, out, hole, paper = "a4", date, from, lesson_file;
    std::optional<double> usual_speed_ft;
    std::optional<std::string> lesson;      // empty: the stations kept in the green, else a ladder
    std::optional<double> speed_ft, past_m;
    int days = 0, card_scale = 0;           // 500 for 1:500; 0: as large as two cards take
    bool feet = false;
};

struct PictureArguments : GreenArguments {
    std::string out, size = "1280x800", view = "fit", ball, hole, ground = "slope";
    std::optional<double> speed_ft;   // empty: the green's newest reading, else 10
    double past_m = kUsualPastM, exaggeration = 5;
};

}  // namespace brae::app
