// The player's page: where the balls stopped, own reads beside the true break, what to practise, the next session.
#include "core/base/constants.h"
#include "core/base/interval.h"
#include "core/base/units.h"
#include "core/export/charts.h"
#include "core/export/green_plan.h"
#include "core/export/lesson_drawings.h"
#include "core/export/wording.h"
#include "core/teach/practice_advice.h"
#include "core/teach/tendency_words.h"
#include "core/terrain/build_terrain.h"

#include <algorithm>
#include <cairo.h>
#include <cmath>
#include <fmt/format.h>
#include <iterator>

namespace brae {
namespace {

constexpr double kLeading = 11.5;
constexpr double kFarStopM = 3.0;      // balls that rest farther from the hole than this do not set the scale of the drawing
// Rows of the table, and its text: as high and as large as one page allows.
constexpr double kRowHeights[] = {23, 20, 17};
constexpr double kTextSizes[] = {8.5, 8.0, 7.5};
constexpr double kStrip = 56;          // scale bar and legend under the drawing
constexpr double kLeastDrawing = 130;  // points; stations leave the table before the drawing gets lower
const std::vector<int>& scales() {
    static const std::vector<int> out{20, 25, 30, 40, 50, 75, 100, 125, 150, 200, 250, 300, 400, 500};
    return out;
}

bool was_played(const WorkedLesson& w, std::size_t station) { return station < w.estimate.station.size() && w.estimate.station[station].putts > 0; }
bool on_own_line(const SeenPutt& p) { return line_of(p) != LineKnown::marker; }

// What the drawing must hold, and at which scale it fits.
struct Window {
    Vec2 centre;
    int scale = 0;
};
Window window_of(const WorkedLesson& w, double width, double height) {
    Box box{1e300, 1e300, -1e300, -1e300};
    const auto include = [&](Vec2 p) { box = {std::min(box.x0, p.x), std::min(box.y0, p.y), std::max(box.x1, p.x), std::max(box.y1, p.y)}; };
    for (const StoredLessonStation& s : w.lesson.stations) include(s.place.ball), include(s.place.hole);
    for (const StoredPutt& p : w.putts)
        if (p.seen.stop && distance(p.seen.stop->p, w.lesson.stations[static_cast<std::size_t>(p.seen.station)].place.hole) <= kFarStopM) include(p.seen.stop->p);
    const double room = 0.3;
    const int scale = largest_scale(box.width() + 2 * room, box.height() + 2 * room, width, height, scales());
    return {{0.5 * (box.x0 + box.x1), 0.5 * (box.y0 + box.y1)}, scale > 0 ? scale : scales().back()};
}

void cross(Document& d, Vec2 at) {
    const double r = 1.9;
    d.line(at.x - r, at.y - r, at.x + r, at.y + r, 0.9);
    d.line(at.x - r, at.y + r, at.x + r, at.y - r, 0.9);
}

// A pin with its flag, which no ring has.
void flag(Document& d, Vec2 at) {
    cairo_t* cr = d.cairo();
    d.line(at.x, at.y, at.x, at.y - 10, 0.8);
    cairo_move_to(cr, at.x, at.y - 10);
    cairo_line_to(cr, at.x + 5, at.y - 8);
    cairo_line_to(cr, at.x, at.y - 6);
    cairo_close_path(cr);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_fill(cr);
}

// The ground to scale: contours, edge, the paths that drop, holes, ball spots, and where balls stopped. Rings on the own read,
// crosses at the marker. `labels`: the stations are named, else only what lies near the hole is wanted.
double draw_ground(Document& d, const Green& green, const WorkedLesson& w, const Rect& frame, const Window& window, bool labels) {
    cairo_t* cr = d.cairo();
    const PlanTransform transform{points_per_metre(window.scale), window.centre, {0.5 * (frame.x0 + frame.x1), 0.5 * (frame.y0 + frame.y1)}};
    PlanView view(d, transform, frame);
    cairo_save(cr);
    cairo_rectangle(cr, frame.x0, frame.y0, frame.x1 - frame.x0, frame.y1 - frame.y0);
    cairo_clip(cr);
    Progress progress;
    const double step = contour_step_m(slope_summary(*green.terrain), window.scale);
    if (labels)
        for (const ContourLine& c : contours(*green.terrain, step, progress)) view.contour(c.points, c.closed);
    view.polyline(green.terrain->outline.ring(), 1.0, {}, 0, true);
    // The line of a station that is still to be read is not given away.
    for (std::size_t k = 0; k < w.truth.size(); ++k)
        if (was_played(w, k)) view.polyline(w.truth[k].path, 0.5, {3, 2});
    std::vector<Vec2> holes;
    for (const StoredLessonStation& s : w.lesson.stations)
        if (std::find(holes.begin(), holes.end(), s.place.hole) == holes.end()) holes.push_back(s.place.hole);
    for (const Vec2& h : holes) {
        view.hole(h);
        flag(d, transform(h));
    }
    for (const StoredLessonStation& s : w.lesson.stations) {
        view.dot(s.place.ball, 1.9);
        if (labels) view.label(s.place.ball, s.place.label, true, 2.6);
    }
    for (const StoredPutt& p : w.putts) {
        if (!p.seen.stop) continue;
        if (on_own_line(p.seen)) view.ring(p.seen.stop->p, 2.2, 0.9);
        else cross(d, transform(p.seen.stop->p));
    }
    cairo_restore(cr);
    view.write_labels();
    cairo_rectangle(cr, frame.x0, frame.y0, frame.x1 - frame.x0, frame.y1 - frame.y0);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_set_line_width(cr, 0.3);
    cairo_stroke(cr);
    return step;
}

// The whole of it, with its scale and what the signs are.
void draw_misses(Document& d, const Green& green, const WorkedLesson& w, const Rect& frame, const Window& window, bool feet) {
    cairo_t* cr = d.cairo();
    const double step = draw_ground(d, green, w, frame, window, true);
    double y = frame.y1 + 7;
    const double bar = scale_bar(d, frame.x0 + 3, y, window.scale, feet);
    d.text(kSmall, frame.x0 + bar + 22, y + 4, fmt::format("1:{}", window.scale));
    north_arrow(d, frame.x1 - 8, y - 3, green.terrain->frame.has_crs());
    y += 27;
    double x = frame.x0 + 4;
    const auto sign = [&](const char* what, auto&& draw) {
        draw(x, y - 2.6);
        d.text(kSmall, x + 9, y, what);
        x += 9 + d.text_width(kSmall, what) + 12;
    };
    PlanView legend(d, {1, {0, 0}, {0, 0}}, {});
    sign("stopped here, own read", [&](double cx, double cy) { legend.ring({cx, -cy}, 2.2, 0.9); });
    sign("with the marker", [&](double cx, double cy) { cross(d, {cx, cy}); });
    sign("ball spot", [&](double cx, double cy) { legend.dot({cx, -cy}, 1.9); });
    sign("hole", [&](double cx, double cy) { flag(d, {cx, cy + 4}); });
    x = frame.x0, y += 10.5;
    const double dashes[] = {3, 2};
    cairo_set_dash(cr, dashes, 2, 0);
    d.line(x, y - 2.6, x + 18, y - 2.6, 0.6);
    cairo_set_dash(cr, nullptr, 0, 0);
    d.text(kSmall, x + 22, y, fmt::format("the path that drops; thin lines: contours every {}", feet ? small_length(step, true) : fmt::format("{:.0f}\u00a0cm", 100 * step)));
}

// The surroundings of the hole that was played most, enlarged, where balls crowd; nothing where there is no room for it.
void draw_round_hole(Document& d, const Green& green, const WorkedLesson& w, double x, double y, double bottom, int whole_scale) {
    const double height = bottom - y - 22, width = d.right() - x;
    if (height < 70) return;
    std::vector<Vec2> stops;
    Vec2 hole;
    std::size_t most = 0;
    for (const StoredLessonStation& s : w.lesson.stations) {
        std::vector<Vec2> here;
        for (const StoredPutt& p : w.putts)
            if (p.seen.stop && w.lesson.stations[static_cast<std::size_t>(p.seen.station)].place.hole == s.place.hole && distance(p.seen.stop->p, s.place.hole) <= 1.5)
                here.push_back(p.seen.stop->p);
        if (here.size() > most) most = here.size(), hole = s.place.hole, stops = here;
    }
    if (stops.empty()) return;
    Box box{hole.x, hole.y, hole.x, hole.y};
    for (const Vec2& p : stops) box = {std::min(box.x0, p.x), std::min(box.y0, p.y), std::max(box.x1, p.x), std::max(box.y1, p.y)};
    const int scale = largest_scale(box.width() + 0.3, box.height() + 0.3, width, height, {10, 15, 20, 25, 30, 40, 50});
    if (scale == 0 || 3 * scale > 2 * whole_scale) return;
    const Rect frame{x, y + 10, d.right(), y + 10 + height};
    draw_ground(d, green, w, frame, {{0.5 * (box.x0 + box.x1), 0.5 * (box.y0 + box.y1)}, scale}, false);
    d.text(kSmall, x, frame.y1 + 10, fmt::format("Round the hole, 1:{}", scale));
}

// How many balls that did not drop are not in the drawing, and why; "" where all are.
std::string not_drawn(const WorkedLesson& w, const Rect& frame, const Window& window) {
    int placeless = 0, outside = 0;
    const double k = points_per_metre(window.scale), half_x = 0.5 * (frame.x1 - frame.x0) / k, half_y = 0.5 * (frame.y1 - frame.y0) / k;
    for (const StoredPutt& p : w.putts) {
        if (p.seen.outcome == PuttOutcome::holed) continue;
        if (!p.seen.stop) ++placeless;
        else if (std::abs(p.seen.stop->p.x - window.centre.x) > half_x || std::abs(p.seen.stop->p.y - window.centre.y) > half_y) ++outside;
    }
    std::string out;
    if (placeless > 0) out += fmt::format("{} missed putt{} no place on record. ", placeless, placeless == 1 ? " has" : "s have");
    if (outside > 0) out += fmt::format("{} ball{} stopped outside the drawing. ", outside, outside == 1 ? "" : "s");
    return out;
}

struct Reads { std::vector<double> first, retest; };
// "4 in right (2)"
std::string mean_read(const std::vector<double>& reads, bool feet) {
    double sum = 0;
    for (const double r : reads) sum += r;
    return fmt::format("{} ({})", cross_text(sum / static_cast<double>(reads.size()), feet), reads.size());
}
Reads reads_at(const WorkedLesson& w, std::size_t station) {
    Reads out;
    for (const StoredPutt& p : w.putts)
        if (static_cast<std::size_t>(p.seen.station) == station && line_of(p.seen) == LineKnown::own_told)
            (p.seen.phase == PuttPhase::retest ? out.retest : out.first).push_back(*p.seen.own_read_m);
    return out;
}

// The table of stations: which ones stand in it, and how high its rows are.
struct Rows { std::vector<std::size_t> stations; double height = kRowHeights[0]; std::size_t left_out = 0; };
double table_height(const Rows& r) { return r.stations.empty() ? 0 : 25 + 22 + r.height * static_cast<double>(r.stations.size()) + 14; }

// As many rows as `room` takes, in the order of the lesson; where some have to go, those with the fewest putts.
Rows rows_that_fit(const WorkedLesson& w, double room) {
    Rows out;
    for (std::size_t k = 0; k < w.truth.size(); ++k)
        if (w.estimate.station[k].putts > 0) out.stations.push_back(k);
    for (const double height : kRowHeights) {
        out.height = height;
        if (table_height(out) <= room) return out;
    }
    while (out.stations.size() > 1 && table_height(out) > room) {
        const auto fewest = std::min_element(out.stations.rbegin(), out.stations.rend(),
                                             [&](std::size_t a, std::size_t b) { return w.estimate.station[a].putts < w.estimate.station[b].putts; });
        out.stations.erase(std::next(fewest).base());
        ++out.left_out;
    }
    return out;
}

// Own read beside true break, a line a station that was played.
void draw_stations(Document& d, const WorkedLesson& w, const Rows& rows, bool feet) {
    const double at[] = {0, 42, 106, 190, 268, 320};
    double reach = 3 * kHoleRadius;
    bool retest = false;
    const std::vector<std::size_t>& played = rows.stations;
    for (const std::size_t k : played) {
        reach = std::max(reach, std::abs(w.truth[k].offset_m) + 2 * w.truth[k].se_m);
        const Reads reads = reads_at(w, k);
        for (const auto* list : {&reads.first, &reads.retest})
            for (double r : *list) reach = std::max(reach, std::abs(r));
        retest = retest || !reads.retest.empty();
    }
    if (played.empty()) return;
    d.heading("Your read beside the true line", 0);
    const CrossLine line{d.left() + at[5], d.right() - 6, 1.08 * reach};
    const TextStyle head{7.5, true, 0.25};
    const char* const titles[] = {"Station", "Length", "Start it at", "You read (putts)", "Holed"};
    const auto draw_head = [&] {
        for (int k = 0; k < 5; ++k) d.text(head, d.left() + at[k], d.y + 17, titles[k]);
        d.text(kSmall, line.x0, d.y + 7, "left");
        d.text(kSmall, 0.5 * (line.x0 + line.x1), d.y + 7, fmt::format("{} beside the hole's centre", feet ? "inches" : "cm"), Align::centre);
        d.text(kSmall, line.x1, d.y + 7, "right", Align::right);
        cross_axis(d, line, d.y + 22, feet);
        d.line(d.left(), d.y + 22, line.x0 - 8, d.y + 22, 0.6);
        d.y += 22;
    };
    draw_head();
    for (const std::size_t k : played) {
        const StationTold& s = w.estimate.station[k];
        const StationTruth& t = w.truth[k];
        const Reads reads = reads_at(w, k);
        const std::size_t n = reads.first.size() + reads.retest.size();
        const double base = d.y + 0.5 * rows.height + 3;
        d.text({kBody.size, true, 0}, d.left() + at[0], base, d.fitted(kBody, w.lesson.stations[k].place.label, at[1] - 6));
        d.text(kBody, d.left() + at[1], base, tape_length(t.distance_m, feet));
        const double error = kZ90 * t.se_m / (feet ? kInch : 0.01);
        d.text(kBody, d.left() + at[2], base, fmt::format("{} ± {:.0f}", cross_text(t.offset_m, feet), std::max(1.0, error)));
        // What was read before the marker and after it are two things.
        const bool both = !reads.first.empty() && !reads.retest.empty();
        const TextStyle read_style = both ? kSmall : kBody;
        if (!reads.first.empty()) d.text(read_style, d.left() + at[3], both ? base - 4.5 : base, mean_read(reads.first, feet));
        if (!reads.retest.empty()) d.text(read_style, d.left() + at[3], both ? base + 4.5 : base, "retest " + mean_read(reads.retest, feet));
        if (n == 0) d.text(kBody, d.left() + at[3], base, "not told");
        d.text(kBody, d.left() + at[4], base, fmt::format("{} of {}", s.holed, s.putts));
        cross_row(d, line, d.y + 0.5 * rows.height, t.offset_m, t.se_m, reads.first, reads.retest);
        d.y += rows.height;
        d.line(d.left(), d.y, d.right(), d.y, 0.25, 0.6);
    }
    d.y += 9;
    d.text(kSmall, d.left(), d.y, fmt::format("Upright: the line that drops; shaded: where it may truly lie; grey bar: the hole. Rings: your reads{}.{}", retest ? "; dots: at the retest" : "",
                                         rows.left_out > 0 ? fmt::format(" {} more station{} in the coach's report.", rows.left_out, rows.left_out == 1 ? " is" : "s are") : ""));
    d.y += 3;
}

// What stands beside the drawing, most important first. Single putts that are noted on a side where the ball cannot have rested are
// the coach's to put right.
std::vector<std::string> told_sentences(const WorkedLesson& w, bool feet) {
    if (w.estimate.putts == 0) return {"No putt is on record yet."};
    std::vector<std::string> out;
    for (const std::string& s : tendency_sentences(w.estimate, false)) out.push_back(as_sentence(in_units(s, feet)));
    if (const std::size_t n = w.estimate.doubts.size(); n > 0)
        out.push_back(n == 1 ? std::string("One putt is noted on a side where its ball cannot have come to rest; your coach can put it right.")
                             : fmt::format("{} putts are noted on a side where their balls cannot have come to rest; your coach can put them right.", n));
    return out;
}

// Sentences in a column of so much room, in the largest type that takes them all, else in the smallest as many as it takes. The last
// one always stands. Returns where the next text would begin.
double draw_column(Document& d, double x, double y, double bottom, const std::vector<std::string>& sentences, const std::string& last) {
    const double width = d.right() - x;
    for (const double size : kTextSizes) {
        const TextStyle style{size, false, 0};
        const double leading = 1.35 * size, gap = 0.45 * size;
        std::vector<std::vector<std::string>> laid;
        double height = 0;
        const auto add = [&](const std::string& s) { laid.push_back(d.wrapped(style, s, width)), height += leading * static_cast<double>(laid.back().size()) + gap; };
        const auto drop = [&] { height -= leading * static_cast<double>(laid.back().size()) + gap, laid.pop_back(); };
        for (const std::string& s : sentences) add(s);
        add(last);
        if (y + height - gap > bottom) {
            if (size > *std::rbegin(kTextSizes)) continue;
            // The last ones go, and the page says that there were more.
            std::size_t kept = sentences.size();
            while (kept > 0 && y + height - gap > bottom) {
                laid.clear(), height = 0, --kept;
                for (std::size_t k = 0; k < kept; ++k) add(sentences[k]);
                add("More stands in the coach's report.");
                add(last);
            }
            while (laid.size() > 1 && y + height - gap > bottom) drop();
        }
        for (const auto& lines : laid) {
            for (const std::string& l : lines) d.text(style, x, y, l), y += leading;
            y += gap;
        }
        return y;
    }
    return y;
}

}  // namespace

// One page always: the drawing gives way first, then the height of the rows, the size of the text beside the drawing, and last the
// stations with the fewest putts.
DrawnSheet draw_player_sheet(const Green& green, const WorkedLesson& w, const LessonSheetRequest& request) {
    const bool feet = request.feet_and_inches;
    const LessonEstimate& e = w.estimate;
    int scale = 0;
    const auto draw = [&](int total_pages) {
        Document d(request.paper,
                   {"Your lesson", w.player.name + ", on " + green.name,
                    {w.lesson.date, fmt::format("{} putt{}, {} holed", e.putts, e.putts == 1 ? "" : "s", e.sides.holed),
                     "Green speed " + speed_with_error(w.lesson.green_speed_ft, w.lesson.green_speed_sigma_ft, "±")},
                    sheet_foot(green), "Personal. For practice, not for use during a round."},
                   total_pages);
        if (!request.note.empty()) {
            for (const std::string& l : d.wrapped(kBody, "Note: " + as_sentence(in_units(request.note, feet)), d.width(), 3)) d.text(kBody, d.left(), d.y + 8.5, l), d.y += kLeading;
            d.y += 3;
        }

        // What stands at the foot of the page takes what it needs.
        std::vector<std::vector<std::string>> lines;
        double below = 2 * 25;
        for (const PracticeAdvice& p : practice_advice(e)) {
            lines.push_back(d.wrapped(kBody, p.sentence + " Ready lesson: " + p.lesson + ".", d.width() - 14, 3));
            below += kLeading * static_cast<double>(lines.back().size()) + 2;
        }
        // The line of a station that was played stands above.
        const std::string beside = !w.next.empty() && w.next.front().own_read && was_played(w, static_cast<std::size_t>(w.next.front().station)) ? " Take a new ball spot a pace beside it, since its line stands on this page." : "";
        const auto next = d.wrapped(kBody, next_session(w) + beside, d.width(), 4), cautions = d.wrapped(kSmall, short_cautions(), d.width(), 3);
        below += kLeading * static_cast<double>(next.size()) + 9.5 * static_cast<double>(cautions.size()) + 12;
        const Rows rows = rows_that_fit(w, d.room() - below - kLeastDrawing - kStrip);
        below += table_height(rows);

        // The drawing at the left, what the putts tell beside it.
        const double side = 0.56 * d.width(), height = std::clamp(d.room() - below - kStrip, kLeastDrawing, 410.0);
        const Rect frame{d.left(), d.y + 2, d.left() + side, d.y + 2 + height};
        const Window window = window_of(w, frame.x1 - frame.x0 - 12, height - 12);
        scale = window.scale;
        draw_misses(d, green, w, frame, window, feet);
        const double x = frame.x1 + 16, bottom = frame.y1 + kStrip - 16;
        double y = d.y + 10;
        d.text(kHeading, x, y, "What the putts tell");
        std::vector<std::string> sentences = told_sentences(w, feet);
        const std::string gone = not_drawn(w, frame, window);
        if (!gone.empty()) sentences.push_back(gone);
        y = draw_column(d, x, y + 15, bottom, sentences, "\u00b1 and spans hold the truth in nine of ten cases.");
        draw_round_hole(d, green, w, x, y, bottom + 2, window.scale);
        d.y = frame.y1 + kStrip - 12;

        draw_stations(d, w, rows, feet);
        d.heading("What to practise", 0);
        for (std::size_t k = 0; k < lines.size(); ++k) {
            d.text(kBody, d.left(), d.y + 8.5, fmt::format("{}", k + 1));
            for (const std::string& l : lines[k]) d.text(kBody, d.left() + 14, d.y + 8.5, l), d.y += kLeading;
            d.y += 2;
        }
        d.heading("Next session", 0);
        for (const std::string& l : next) d.text(kBody, d.left(), d.y + 8.5, l), d.y += kLeading;

        // The cautions stand at the foot of the page.
        d.y = d.bottom() - 9.5 * static_cast<double>(cautions.size());
        for (const std::string& l : cautions) d.text(kSmall, d.left(), d.y + 7, l), d.y += 9.5;
        const int pages = d.pages();
        return DrawnSheet{d.finish(), {pages, scale}};
    };
    return draw(draw(0).result.pages);
}

}  // namespace brae
