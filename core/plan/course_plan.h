// Which hole on which day, for a whole course at once: kept apart, balanced over the course and over the days, wear spread.
#pragma once

#include "core/base/progress.h"
#include "core/base/vec.h"

#include <array>
#include <string>
#include <vector>

namespace brae {

// A fair place on one green, as the planner of hole positions judged it.
struct CourseCandidate {
    Vec2 p;
    double score = 0;         // 0 to 1, how fair
    double difficulty = 0;    // in any measure; its third among all candidates of the course makes it easy, medium or hard
    int along = 0;            // 0 front, 1 middle, 2 back, along the line of play
    int across = 0;           // 0 left, 1 centre, 2 right
    double wear = 0;          // 0 fresh to 1 worn, on the first day
    int from_day = 0;         // not before this day of the plan (turf under repair until then)
};

struct PastHole { Vec2 p; int days_before = 1; };          // the first day of the plan; 0 and less: it stays for a day that is skipped
struct PickByHand { int day = 0, candidate = 0; };         // kept as it is

struct CourseGreen {
    std::string name;
    std::vector<CourseCandidate> candidates;
    std::vector<PastHole> past;
    std::vector<PickByHand> by_hand;
    std::vector<int> skipped;  // days on which no hole is cut: the one before stays, and is in use so much longer
    bool counts = true;       // in the balance of the course; a practice green does not
};

// Settings; the defaults are common practice where they are no choice of ours.
struct CourseRules {
    double apart_m = 3;       // from the holes of the last `apart_days` days
    int apart_days = 7;
    double plug_m = 1;        // from plugs younger than `healing_days`
    int healing_days = 14;
    double gap = 0.05;        // of the search: how far from the best the plan may be
    int most_nodes = 400;
};

struct CoursePlan {
    std::vector<std::vector<int>> picks;   // by green, by day; -1 where no place keeps the rules and on skipped days
    double gap = 0;                        // proven: the plan costs at most this share more than the best
    int nodes = 0;
    std::vector<std::string> without;      // by green: why it has no hole on so many days, empty where it has one on every day
    std::vector<std::string> remarks;      // what else could not be kept, in words
};

// Hard: the distances; picks made by hand are kept even so, with a remark. Soft, in this order of weight: a hole every day; no
// more than two holes in a row of one difficulty; six front, middle and back and six easy, medium and hard over 18 (thirds
// of any number); left against right; no third of a green used more or less than its share over the days; fair and fresh places. A
// course of fewer than three greens has no balance over greens; the share of each third over the days then weighs as much.
// A third of a green that gets no hole over three days or more is told with the reason.
// Deterministic. At most 40 candidates a green are meant (prune with `diverse`); 19 greens x 14 days x 40 take seconds.
// Throws Error(usage) for days outside 1-14, a pick by hand that does not exist, two for one day, one on a skipped day; Error(cancelled).
CoursePlan plan_course(const std::vector<CourseGreen>& greens, int days, const CourseRules& rules, Progress& progress);

// What a plan is worth, whoever made it.
struct CourseWorth {
    int broken = 0;           // hard rules: pairs of holes too near, and days without a hole
    double third_off = 0;     // mean over the days: by how many holes front, middle and back miss their even share, summed
    double difficulty_off = 0;
    double side_off = 0;      // left against right
    int rows_of_three = 0;    // three alike in difficulty in a row, over all days
    double wear = 0;          // mean of the places' wear, and of neighbours within 3 m used before in the plan
    double score = 0;         // mean
};
CourseWorth judge_course(const std::vector<CourseGreen>& greens, const std::vector<std::vector<int>>& picks, const CourseRules& rules);

// Third (0 easy, 1 medium, 2 hard) of every candidate, by green.
std::vector<std::vector<int>> difficulty_thirds(const std::vector<CourseGreen>& greens);

// At most `most` of the places (indices, rising): the best, then again and again the one that adds most, by score and by the
// distance to those that were taken.
std::vector<int> diverse(const std::vector<CourseCandidate>& candidates, int most);

}  // namespace brae
