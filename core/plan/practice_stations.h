// Practice stations: ball spots with known break for one hole, and the spot of the aim marker for each.
#pragma once

#include "core/base/constants.h"
#include "core/base/progress.h"
#include "core/plan/station_wish.h"
#include "core/plan/taping.h"
#include "core/solve/player_spread.h"
#include "core/solve/putt.h"

#include <string>
#include <vector>

namespace brae {

// A lesson: what is practised, and what the stations must be. Ready ones are below; a coach's own comes from a file
// (core/record/lesson_kind_file.h).
struct LessonKind {
    std::string name;       // "ladder"
    std::string teaches;    // one sentence for the player
    std::string wants;      // one sentence: the stations asked for
    std::vector<StationWish> wishes;   // empty: a chooser of its own knows (core/plan/lesson_search.h)
};
// fall-line, ladder, both-hands, three-paces, ring, downhill-pace, two-tier, start-gate, even-chance, own-read.
const std::vector<LessonKind>& lesson_kinds();

struct PracticeStation {
    std::string label;                 // "A", "B", ...
    std::string lesson;                // name of its lesson; empty where the coach placed it by hand
    Vec2 ball, marker, hole;           // marker: on the start line, level with the hole
    double past_m = kUsualPastM;
    double green_speed_ft = 10;
    double break_m = 0, break_se_m = 0;
    double aim_offset_m = 0;           // signed, positive right
    PuttSide side = PuttSide::straight;
    double distance_m = 0;             // ball to hole, horizontal
    double launch_mps = 0, ball_speed_mps = 0;
    HolingWindow window;
    // At 0.5 ft less and more; NaN where that green speed has no putt that can be aimed or lies outside 4 to 16 ft.
    double break_slower_m = 0, break_faster_m = 0;
    double slope_along_pct = 0;        // of the straight line, positive uphill
    Vec2 start_line_at_0_3m, start_line_at_1m;
    std::string note;                  // what to look at; empty where plain
    std::optional<TapePlan> tape_ball, tape_marker;
    std::vector<Vec2> path;            // of the ball, for drawing
    // An aim inside the hole wants no peg: the player aims at that part of the hole.
    bool wants_marker() const { return side != PuttSide::straight && break_m >= kHoleRadius; }
};

struct StationRequest {
    Vec2 hole;
    double green_speed_ft = 10;
    double past_m = kUsualPastM;
    std::string lesson = "ladder";
    std::vector<TapePoint> known;      // reference marks; the hole is added as "hole"
    std::vector<std::vector<Vec2>> closed_zones;
    std::vector<Vec2> other_holes = {};   // in play on the same green: balls keep a metre away and roll clear of them
    bool hole_is_cut = true;           // false: nobody cut a hole there, so a flat disc is the target and the notes say so
    PlayerSpread player = assumed_player();   // for lessons that ask for a chance to hole
    std::optional<LessonKind> own = {};   // a coach's own lesson, in place of the ready one
};

// One point that the start lines of several stations of a ring share: one peg serves them all.
struct SharedAim {
    Vec2 p;
    std::vector<std::string> labels;   // of the stations, at least three
    double apart_m = 0;                // the line that passes farthest from it passes so near
};

struct StationPlan {
    std::vector<PracticeStation> stations;
    std::string missing;               // one sentence on what part of the lesson this green cannot give, else empty
    std::optional<SharedAim> shared_aim;
};

// The point within 2 m of the hole that most start lines pass within 3 cm of, ahead of the ball by half of its distance or
// more; empty where fewer than three do.
std::optional<SharedAim> shared_aim(const std::vector<PracticeStation>& stations);

// "one peg serves stations A, C and D".
std::string shared_aim_words(const SharedAim& aim);

// Searches ball spots round the hole from the whole-green family of reads. Deterministic. Throws Error(usage) for an
// unknown lesson (listing the known ones), a hole outside the green, or a green speed or pace out of range.
StationPlan plan_stations(const TerrainModel& terrain, const StationRequest& request, Progress& progress);

// One station at a ball spot that the coach chose. Throws Error when that putt has no solution.
PracticeStation station_at(const TerrainModel& terrain, const StationRequest& request, Vec2 ball,
                           const std::string& label);

}  // namespace brae
