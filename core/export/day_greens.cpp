#include "core/export/day_greens.h"

#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/record/hole_history.h"
#include "core/survey/text_file.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

DayGreen day_green(std::shared_ptr<const Green> green, const std::string& date) {
    const auto day = day_number(date);
    if (!date.empty() && !day) throw Error(fmt::format("the date is {}; a day such as 2026-05-02 is wanted", quote(date)));
    DayGreen out;
    out.green = std::move(green);
    const Green& g = *out.green;

    // The hole of that day itself.
    const StoredHole* hole = nullptr;
    const bool skipped = std::any_of(g.skipped.begin(), g.skipped.end(), [&](const SkippedDay& s) { return s.date == date; });
    if (day)
        for (const StoredHole& h : g.holes)
            if (h.date == date && (h.as_cut || !skipped) && (!hole || 2 * h.as_cut + h.today >= 2 * hole->as_cut + hole->today)) hole = &h;
    if (hole) {
        out.hole = hole->p;
        if (hole->as_cut || hole->today)
            for (const StoredHole& h : g.holes)
                if (&h != hole && h.date == date && h.as_cut == hole->as_cut && (h.as_cut || h.today)) out.others.push_back(h.p);
        out.state = hole->as_cut ? "as cut" : "planned";
        out.remark = hole->remark;
        out.speed_ft = hole->speed_ft;
    } else if (day) {
        // The one that has stayed.
        if (const auto uses = hole_history(g, *day + 1); !uses.empty() && uses.back().last_day >= *day) {
            const HoleUse& use = uses.back();
            out.hole = use.p;
            for (const HoleUse& other : uses)
                if (&other != &use && other.first_day == use.first_day) out.others.push_back(other.p);
            out.state = use.dated ? fmt::format("stayed since {}", day_text(use.first_day)) : "today's, no date is known";
            if (!use.skipped.empty()) out.state += ": " + use.skipped.back().reason;
            out.remark = use.remark;
        }
    }
    if (const StoredHole* today = g.todays_hole(); !out.hole && today && (!day || today->date.empty())) {
        out.hole = today->p;
        for (const StoredHole& h : g.holes)
            if (h.today && &h != today) out.others.push_back(h.p);
        out.state = today->as_cut ? fmt::format("as cut on {}", today->date) : today->date.empty() ? "today's" : fmt::format("planned for {}", today->date);
        out.remark = today->remark;
        out.speed_ft = today->speed_ft;
    }
    if (!out.speed_ft && !g.speeds.empty()) out.speed_ft = g.speeds.back().speed_ft;
    if (out.hole && g.line_of_play) out.paces = place_by_paces(g.terrain->outline, *g.line_of_play, *out.hole);
    return out;
}

void sort_day_greens(std::vector<DayGreen>& greens) {
    const auto number = [](const DayGreen& g) { return parse_number(g.green->name).value_or(1e9); };
    std::stable_sort(greens.begin(), greens.end(), [&](const DayGreen& a, const DayGreen& b) {
        const double x = number(a), y = number(b);
        return x != y ? x < y : a.green->name < b.green->name;
    });
}

std::string place_words(const DayGreen& green) {
    if (!green.hole) return "no hole";
    const std::string more = green.others.empty() ? "" : fmt::format(" + {} more", green.others.size());
    if (green.paces) return paces_text(*green.paces) + more;
    return (green.green->line_of_play ? "off the green" : "no line of play") + more;
}

std::vector<PointOfGreen> day_points(const std::vector<DayGreen>& greens, const std::string& date) {
    std::vector<PointOfGreen> out;
    for (const DayGreen& g : greens) {
        if (!g.hole) continue;
        std::string words = place_words(g) + "; " + g.state;
        if (g.speed_ft) words += fmt::format("; {:.1f} ft", *g.speed_ft);
        if (!date.empty()) words += "; " + date;
        out.push_back({{g.green->name + " hole", "HOLE", words, *g.hole}, g.green->terrain});
        for (std::size_t k = 0; k < g.others.size(); ++k)
            out.push_back({{fmt::format("{} hole {}", g.green->name, k + 2), "HOLE", g.state + (date.empty() ? "" : "; " + date), g.others[k]}, g.green->terrain});
    }
    return out;
}

}  // namespace brae
