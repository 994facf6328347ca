#include "core/export/day_greens.h"

#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/record/green_queries.h"
#include "core/record/hole_history.h"
#include "core/survey/text_file.h"

#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <fmt/format.h>

namespace brae {

namespace {

// Points go to files of other programs, where a hard blank is a stranger.
std::string plain_blanks(std::string text) {
    for (std::size_t at; (at = text.find("\u00a0")) != std::string::npos;) text.replace(at, std::strlen("\u00a0"), " ");
    return text;
}

}  // namespace

DayGreen day_green(std::shared_ptr<const Green> green, const std::string& date) {
    const auto day = day_number(date);
    if (!date.empty() && !day) throw Error(fmt::format("the date is {}; a day such as 2026-05-02 is wanted", quote(date)));
    DayGreen out;
    out.green = std::move(green);
    const Green& g = *out.green;

    // The hole of that day itself.
    const StoredHole* hole = nullptr;
    const bool skipped = skipped_day(g, date) != nullptr;
    const auto rank = [](const StoredHole& h) { return 2 * h.as_cut + h.today; };
    if (day)   // of several cut or today's the first, of plans the last
        for (const StoredHole& h : g.holes)
            if (h.date == date && (h.as_cut || !skipped) && (!hole || rank(h) > rank(*hole) || (rank(h) == 0 && rank(*hole) == 0))) hole = &h;
    if (hole) {
        out.hole = hole->p;
        if (hole->as_cut || hole->today)
            for (const StoredHole& h : g.holes)
                if (&h != hole && h.date == date && h.as_cut == hole->as_cut && (h.as_cut || h.today)) out.others.push_back(h.p);
        out.state = hole->as_cut ? "as cut" : hole->by_plan ? "planned" : "set by hand";
        out.remark = hole->remark;
        out.speed_ft = hole->speed_ft;
        out.speed_date = date;
        out.speed_planned = out.speed_ft && !hole->as_cut;
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
        out.speed_date = today->date;
    }
    // What was told with a hole that was only planned is what it was planned for; a reading is what was measured.
    const auto reading = reading_of_day(g, date);
    if (reading && (!out.speed_ft || (hole && !hole->as_cut))) {
        out.speed_ft = reading->speed_ft;
        out.speed_planned = false;
        out.speed_date = day_number(reading->taken_at.substr(0, 10)) ? reading->taken_at.substr(0, 10) : "";
    }
    const auto paces_of = [&](Vec2 p) { return g.line_of_play ? place_by_paces(g.terrain->outline, *g.line_of_play, p) : std::nullopt; };
    if (out.hole) out.paces = paces_of(*out.hole);
    for (const Vec2& other : out.others) out.other_paces.push_back(paces_of(other));
    return out;
}

bool counted_before(const std::string& a, const std::string& b) {
    const auto x = parse_number(a), y = parse_number(b);
    if (x.has_value() != y.has_value()) return x.has_value();
    if (x && *x != *y) return *x < *y;
    // Equal words before a number: by that number.
    const auto digits = [](const std::string& s) { return s.find_first_of("0123456789"); };
    const std::size_t i = digits(a), j = digits(b);
    if (i != std::string::npos && i == j && a.compare(0, i, b, 0, j) == 0) {
        const long m = std::strtol(a.c_str() + i, nullptr, 10), n = std::strtol(b.c_str() + j, nullptr, 10);
        if (m != n) return m < n;
    }
    return a < b;
}

void sort_day_greens(std::vector<DayGreen>& greens) {
    std::stable_sort(greens.begin(), greens.end(), [](const DayGreen& a, const DayGreen& b) { return counted_before(a.green->name, b.green->name); });
}

std::string speed_words(const DayGreen& green, const std::string& date) {
    if (!green.speed_ft) return {};
    std::string out = fmt::format("{:.1f}\u00a0ft", *green.speed_ft);
    if (green.speed_planned) return "planned at " + out;
    if (!date.empty() && green.speed_date != date) out += green.speed_date.empty() ? ", undated" : " on " + green.speed_date;
    return out;
}

std::string other_words(const DayGreen& green) {
    std::string out;
    for (const auto& paces : green.other_paces) out += (out.empty() ? "+ " : "; + ") + (paces ? paces_text(*paces) : std::string("one more"));
    return out;
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
        if (g.speed_ft) words += "; " + plain_blanks(speed_words(g, date));
        if (!date.empty()) words += "; " + date;
        out.push_back({{g.green->name + " hole", "HOLE", words, *g.hole}, g.green->terrain});
        for (std::size_t k = 0; k < g.others.size(); ++k)
            out.push_back({{fmt::format("{} hole {}", g.green->name, k + 2), "HOLE",
                            (g.other_paces[k] ? paces_text(*g.other_paces[k]) + "; " : "") + g.state + (date.empty() ? "" : "; " + date), g.others[k]}, g.green->terrain});
    }
    return out;
}

}  // namespace brae
