// Where the hole of a green has been, day by day: as planned, as it was really cut, and the days on which none was.
#pragma once

#include "core/plan/course_plan.h"
#include "core/record/green.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

// A hole is in use from its date until the next one is cut; its plug is laid on that day. The hole of a date is the one as it was
// cut where that was told, else today's, else the last one planned; a practice green may have several cut or today's. A hole that
// was planned for a skipped day was not cut. A hole after which nothing is written down is taken to have stayed for at most kLongestStay days, then nothing is known.
inline constexpr int kLongestStay = 14;
struct HoleUse {
    Vec2 p;
    int first_day = 0, last_day = 0;          // day_number()
    bool as_cut = false;
    bool by_plan = false;                     // where it was not told as cut: a plan chose it, else people set it
    bool dated = true;                        // false: today's hole, of which no day is known
    std::optional<Vec2> planned;              // where it was to be, where that is written down beside where it was cut
    std::optional<double> speed_ft;
    std::string set_by, remark;
    std::vector<SkippedDay> skipped;          // days that it stayed for, with the reason
};
// Uses before `day`, in the order of time; today's hole is not among them where it was cut on `day`. A hole without a date is
// left out, but today's, which was then in use on the day before.
std::vector<HoleUse> hole_history(const Green& green, int day);
// What is written down for the days from `day` on.
std::vector<StoredHole> planned_from(const Green& green, int day);

// For the planner of a course: the place of every day in use in the last `days` days, the latest first.
std::vector<PastHole> past_holes(const Green& green, int day, int days = 60);
// Those in use in the last seven days, latest first, each once.
std::vector<HoleUse> holes_of_week(const Green& green, int day);
// Plugs that have not healed by `day`, the newest first. The hole that is still in use counts as plugged on `day`.
struct OpenPlug { Vec2 p; int plugged = 0, days_left = 0; };
std::vector<OpenPlug> open_plugs(const Green& green, int day, int healing_days);

// What was done on a day.
struct CutHole {
    std::string date;
    Vec2 p;
    std::string set_by, remark;
    std::optional<double> speed_ft;
    bool beside = false;                      // one of several of that day, on a practice green: those told before stay
};
struct HistoryEntry {
    Green green;                              // with it; the revision is the caller's
    std::vector<std::string> remarks;         // what was replaced, how far from the plan, an open plug nearby
};
// The hole as it was cut: becomes today's, and takes the place of what was told before as cut or skipped on that day. What was
// planned for it stays written down. The speed, where told, becomes the green's newest reading too.
// Throws Error for a date that is no day, for one before the newest hole that was told as cut unless `earlier` (which then puts it into the
// history and leaves today's hole), for a place off the green, and for a speed outside 4 to 16 ft.
HistoryEntry with_hole_cut(const Green& green, const CutHole& cut, bool earlier = false);
// No hole was cut: the one before stays today's. The same throws, and a reason is wanted.
HistoryEntry with_day_skipped(const Green& green, const SkippedDay& day, bool earlier = false);

// The day that is told as skipped, null where none is.
const SkippedDay* skipped_day(const Green& green, const std::string& date);
// Throws Error for a date that is no day, and for a place that is no number or farther than `slack_m` off the green.
int checked_hole_day(const std::string& date);   // day_number()
void check_hole_place(const Green& green, Vec2 p, double slack_m = 0);
// Keeps order by date, so that the file reads as a history; what has the same date stays in its order.
void sort_by_date(std::vector<StoredHole>& holes);

// The history as text (docs/file-formats.md) and back: it names the green it belongs to. Throws Error naming the line for a
// history of another green (by id), one that names none unless `unnamed` allows it, a place farther than kNearGreenM off this green, and dates
// that run backwards. A place that lies nearer outside, as after an edge was drawn smaller, is taken with a remark.
inline constexpr double kNearGreenM = 30;
std::string history_csv(const Green& green);
HistoryEntry with_history(const Green& green, const std::string& csv, const std::string& name, bool unnamed = false);
// "cut", "planned" (by a plan) or "by hand" (set by people for a day).
const char* state_word(bool as_cut, bool by_plan);

}  // namespace brae
