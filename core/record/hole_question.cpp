#include "core/record/hole_question.h"

#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/record/green_zones.h"
#include "core/record/hole_history.h"
#include "core/survey/text_file.h"

#include <algorithm>
#include <fmt/format.h>

namespace brae {

namespace {

constexpr double kOffGreen = 1.0;      // m; history farther out than this is left aside

bool guards(const Zone& z) { return role_of(z) == ZoneRole::guards; }

}  // namespace

HoleQuestion hole_question(const Green& green, const std::string& first_day, int days, std::optional<Vec2> play) {
    const auto first = day_number(first_day);
    if (!first) throw usage_error(fmt::format("the first day is {}; a day such as 2026-05-02 is wanted", quote(first_day)));
    HoleQuestion out;
    const Outline& outline = green.terrain->outline;
    out.over.name = green.name;
    if (!play && green.line_of_play) play = green.line_of_play->direction;
    out.around.play = out.whole_plan.play = play;
    for (const Gate& g : green.gates) out.over.gates.push_back(g.p);

    for (const Zone& z : green.zones) {
        if (guards(z)) {
            out.around.guards.push_back(z.ring);
            out.whole_plan.guards.push_back(z.ring);
            continue;
        }
        // "Until" a day: on that day it is open again. Without a day, or with none that can be read, it stays closed.
        const std::optional<int> opens = days_between(first_day, z.until);
        if (!z.until.empty() && !opens)
            out.warnings.push_back(fmt::format("the zone '{}' is closed until '{}', which is no day: it is taken as closed throughout", z.name, z.until));
        if (opens && *opens <= 0) continue;
        const auto close = [&](GreenAround& around) {
            around.closed.push_back(z.ring);
            around.closed_words.push_back(zone_words(z));
        };
        close(out.around);
        if (!opens || *opens >= std::max(days, 1)) close(out.whole_plan);
        out.over.zones.push_back({z.ring, opens});
    }

    // What lies elsewhere is no history of this green.
    Green here = green;
    here.holes.clear();
    bool near = false;
    for (const StoredHole& h : green.holes) {
        if (outline.signed_distance(h.p) >= -kOffGreen) {
            here.holes.push_back(h);
            const auto day = day_number(h.date);
            if (h.today && day && *day > *first)
                throw usage_error(fmt::format("the first day {} lies before today's hole, which was cut on {}; that day or a later one is wanted", first_day, h.date));
            continue;
        }
        // Near by, the edge is another one than it was; far off, the green is.
        const double off = -outline.signed_distance(h.p);
        near = near || off <= kNearGreenM;
        out.warnings.push_back(fmt::format("the hole '{}'{} lies {:.1f} m {} and is left aside{}", h.name, h.date.empty() ? "" : " of " + h.date, off,
                                           off <= kNearGreenM ? "outside the edge as it is now" : "off this green",
                                           off <= kNearGreenM ? ": the edge was wider when it was cut, or its place is wrong" : ": it belongs to another green"));
    }
    if (here.holes.empty() && !green.holes.empty() && !near)
        out.warnings.push_back("none of the holes kept in this file lies on its green: its history is that of another");

    // Where it has been.
    for (const PastHole& h : past_holes(here, *first)) out.over.past.push_back({h.p, -h.days_before});
    for (const HoleUse& use : holes_of_week(here, *first)) out.recent.push_back(use.p);
    // One without a date that is not today's is as old as counts.
    constexpr int kWeek = 7;
    for (const StoredHole& h : here.holes)
        if (!day_number(h.date) && !h.today) {
            out.over.past.push_back({h.p, -kWeek});
            out.recent.push_back(h.p);
        }

    // On a skipped day the hole before stays, from before the plan too.
    for (const SkippedDay& s : green.skipped)
        if (const auto day = days_between(first_day, s.date); day && *day >= 0 && *day < std::max(days, 1)) {
            out.over.skipped.push_back(*day);
            out.skipped.push_back(s);
        }
    std::sort(out.over.skipped.begin(), out.over.skipped.end());
    std::sort(out.skipped.begin(), out.skipped.end(), [](const SkippedDay& a, const SkippedDay& b) { return a.date < b.date; });
    if (!out.over.past.empty() && out.over.past.front().day == -1) {
        const std::size_t in_use = out.over.past.size();
        for (int day = 0; std::binary_search(out.over.skipped.begin(), out.over.skipped.end(), day); ++day)
            for (std::size_t k = 0; k < in_use; ++k)
                if (out.over.past[k].day == -1) out.over.past.push_back({out.over.past[k].p, day});
    }

    // What people set or cut for the days ahead stands: as cut before set, of two set the later in the file, none for a day
    // that is skipped. What a plan chose is chosen anew.
    std::vector<std::optional<DatedHole>> ahead(static_cast<std::size_t>(std::max(days, 1)));
    std::vector<char> cut(ahead.size(), 0);
    for (const StoredHole& h : here.holes) {
        const auto day = day_number(h.date);
        if (!day || *day < *first) continue;
        const int at = *day - *first;
        if (at >= static_cast<int>(ahead.size())) {
            if (days > 0 && !(h.by_plan && !h.as_cut)) out.warnings.push_back(fmt::format("the hole '{}' of {} lies beyond the days planned and is left aside", h.name, h.date));
            continue;
        }
        const auto k = static_cast<std::size_t>(at);
        if (h.by_plan && !h.as_cut) continue;
        if (cut[k] && !h.as_cut) continue;
        if (!h.as_cut && skipped_day(green, h.date)) continue;
        ahead[k] = DatedHole{h.p, at};
        cut[k] = h.as_cut;
    }
    if (ahead[0]) out.recent.push_back(ahead[0]->p);
    if (days > 0)
        for (const auto& h : ahead)
            if (h) out.over.by_hand.push_back(*h);
    return out;
}

std::string closed_zones_words(const Green& green, const std::string& first_day, int days) {
    std::vector<std::string> names;
    for (const Zone& z : green.zones) {
        if (guards(z)) continue;
        const std::optional<int> opens = days_between(first_day, z.until);
        if (opens && *opens < std::max(days, 1)) continue;
        const std::string about = about_zone(z);
        names.push_back(fmt::format("'{}'{}", z.name.empty() ? z.kind : z.name, about.empty() ? "" : " (" + about + ")"));
    }
    std::string out;
    for (std::size_t k = 0; k < names.size(); ++k) out += (k == 0 ? "" : k + 1 == names.size() ? " and " : ", ") + names[k];
    return out.empty() ? out : (names.size() == 1 ? "closed is " : "closed are ") + out;
}

}  // namespace brae
