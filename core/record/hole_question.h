// What a stored green tells the planners of holes: closed ground, guards, the way it is played, gates and history, by date.
#pragma once

#include "core/plan/course_greens.h"
#include "core/plan/hole_judge.h"
#include "core/record/green.h"

#include <optional>
#include <string>
#include <vector>

namespace brae {

// Zones of kind bunker, water and bank guard the edge; the others are closed until their day, the day itself open. The history is
// that of hole_history.h: a hole as it was cut counts, not the plan; each day that a hole was in use is one of `over.past`.
struct HoleQuestion {
    GreenAround around;                  // closed: the rings that are closed on the first day
    GreenAround whole_plan;              // closed: the rings that are closed on every day
    GreenOverDays over;                  // by hand: what people set or cut for the days of the plan; what a plan chose is left out
    std::vector<SkippedDay> skipped;     // days of the plan on which no hole is cut, by date; that of the first day also where days is 0
    std::vector<Vec2> recent;            // holes of the last 7 days, today's among them
    std::vector<std::string> warnings;   // history that lies outside the edge or off this green, zones whose day cannot be read
};
// "closed are 'new turf' (closed, until 2026-06-01) and 'wet' (no hole)": the zones that keep holes out for all of the days, empty
// without any. For the reason why a green has no place.
std::string closed_zones_words(const Green& green, const std::string& first_day, int days);

// days 0: today only, so that no hole counts as set by hand. `play`: the way it is played where it is not the green's own line of
// play. Throws Error(usage) where the first day is none, or lies before today's hole.
HoleQuestion hole_question(const Green& green, const std::string& first_day, int days, std::optional<Vec2> play = {});

}  // namespace brae
