// The sheet that a coach carries onto the practice green to lay out the stations.
#include "core/base/error.h"
#include "core/base/units.h"
#include "core/export/green_plan.h"
#include "core/export/sheet_kinds.h"
#include "core/export/wording.h"
#include "core/plan/station_facts.h"
#include "core/plan/station_speeds.h"
#include "core/record/green_queries.h"

#include <algorithm>
#include <cairo.h>
#include <cmath>
#include <fmt/format.h>

namespace brae {
namespace {

const std::vector<std::string>& cautions() {
    static const std::vector<std::string> sentences{
        "Ask the greenkeeper before anything is laid out or marked, and keep to the club's rules and signs.",
        "Pegs, strings, coins and markers trip people and damage mowers: count them out and count them in. "
        "Out:\u00a0______\u00a0\u00a0In:\u00a0______",
        "No string across a line where people walk. Take every string up before you leave the green.",
        "Move the ball spot after about 20 putts, so that the turf is not worn.",
        "Watch for balls in play and give way to players. Stop and take shelter for lightning; follow the club's signal.",
        "For practice only: markers, lines and this sheet are not for use during a round "
        "(Rules of Golf; the committee's local rules decide).",
        "The numbers hold for the green speed and the surface named above; ± holds the truth in nine of ten cases. "
        "Measure the green speed on the day."};
    return sentences;
}

// The holes that the stations belong to, each once.
std::vector<Vec2> holes_of(const std::vector<PracticeStation>& stations) {
    std::vector<Vec2> out;
    for (const PracticeStation& s : stations)
        if (std::find(out.begin(), out.end(), s.hole) == out.end()) out.push_back(s.hole);
    return out;
}

// The lesson's name where all stations belong to one.
std::string lesson_of(const std::vector<PracticeStation>& stations) {
    for (const PracticeStation& s : stations)
        if (s.lesson != stations.front().lesson) return "";
    return stations.front().lesson;
}

std::string title_of(const std::vector<PracticeStation>& stations) {
    const std::string lesson = lesson_of(stations);
    return lesson.empty() ? "Practice stations" : "Practice stations: " + lesson;
}

// What the player is to learn, in the lesson's own words.
std::string purpose_of(const std::vector<PracticeStation>& stations) {
    for (const LessonKind& kind : lesson_kinds())
        if (kind.name == lesson_of(stations)) return kind.teaches;
    return "";
}

std::vector<std::string> station_row(const PracticeStation& s, const std::vector<BreakAtSpeed>& at, bool feet) {
    // The break at other green speeds, two on a line; the station's own stands in the column before.
    std::string speeds, usual;
    int told = 0;
    for (const BreakAtSpeed& b : at) {
        const std::string size = !b.break_m ? std::string("no line") : break_figure(*b.break_m, feet);
        const std::string text = fmt::format("{:.1f}\u00a0ft:\u00a0{}", b.green_speed_ft, size);
        if (b.usual) usual = text + "\u00a0usual\n";
        else if (std::abs(b.green_speed_ft - s.green_speed_ft) > 1e-6) {
            // Words take a line of their own.
            if (!b.break_m) told += told % 2;
            speeds += (speeds.empty() ? "" : told % 2 ? "  " : "\n") + text;
            told += b.break_m ? 1 : 2;
        }
    }
    speeds = usual + speeds;
    const std::string slope = std::abs(s.slope_along_pct) < 0.05
                                  ? std::string("level")
                                  : fmt::format("{:.1f}\u00a0% {}", std::abs(s.slope_along_pct),
                                                s.slope_along_pct > 0 ? "uphill" : "downhill");
    const std::string launch = fmt::format("{}\n{} off the face", slope, speed_text(s.ball_speed_mps, feet));
    // Inside the hole there is no peg: the player aims at that part of it.
    std::string aim = aim_text(s.aim_offset_m, feet, s.break_se_m);
    if (!s.wants_marker() && std::abs(s.aim_offset_m) < 0.005) aim = "no peg: the\nhole's centre";
    else if (!s.wants_marker())
        aim = fmt::format("no peg: {}\n{} of the centre", small_length(s.break_m, feet), s.aim_offset_m > 0 ? "right" : "left");
    return {s.label,
            tape_length(s.distance_m, feet),
            aim,
            with_nine_of_ten(s.break_m, s.break_se_m, feet) + "\n" + to_text(s.side),
            pace_length(s.past_m, feet) + "\npast",
            speeds,
            launch};
}

// Gate, string and what a slip does: all along the start line.
std::vector<std::string> line_row(const PracticeStation& s, bool feet) {
    const StartGate gate = start_gate(s);
    const BreakWidths widths = break_widths(s);
    const StringSetting string = string_setting(s, s.marker);
    const auto turn = turning_point(s);
    const SlipEffect slip = slip_effect(s);
    const auto from_line = [&](double out_m, bool right) { return fmt::format("{} {}", small_length(out_m, feet), right ? "right" : "left"); };
    std::string breaks = fmt::format("{:.1f} holes, {:.1f} balls", widths.holes, widths.balls);
    if (widths.edge_m > 0) breaks += fmt::format("\nfrom edge {:.1f}, {:.1f}", widths.edge_holes, widths.edge_balls);
    std::string passes = "straight";
    if (turn) {
        const StringSetting at = string_setting(s, turn->p);
        passes = fmt::format("{} on,\n{}", tape_length(at.along_m, feet), from_line(at.out_m, at.right));
    }
    return {s.label, breaks,
            fmt::format("{:+.1f}° to {:+.1f}°", s.window.left_deg, s.window.right_deg),
            fmt::format("{} on,\n{} wide", tape_length(gate.ahead_m, feet), feet ? small_length(gate.width_m, true) : fmt::format("{:.0f}\u00a0mm", 1000 * gate.width_m)),
            s.wants_marker() ? fmt::format("{} on,\n{}", tape_length(string.along_m, feet), from_line(string.out_m, string.right)) : "no peg",
            passes,
            fmt::format("{:.1f}°: {}", std::max(slip.marker_deg, slip.ball_deg), slip.still_holes ? "still holes" : "may miss")};
}

// Words in place of tapes where no two marks cross well.
std::string no_tapes(Vec2 from, Vec2 to, const char* name, bool feet) {
    return fmt::format("no two marks cross well here: {} from the {}, bearing {:.0f}° from grid north "
                       "(a compass can be 5–10° off)", tape_length(distance(from, to), feet), name, bearing_deg(to - from));
}

// The hole comes first: the stations hold for a hole cut here and nowhere else.
std::vector<std::string> hole_row(const std::optional<TapePlan>& tapes, bool feet) {
    std::vector<std::string> row{"Hole", "hole's centre"};
    if (tapes)
        for (const std::string& cell : tape_cells(*tapes, feet)) row.push_back(cell);
    else
        row.push_back("no two reference marks cross well here; the plan shows where it lies");
    return row;
}

// The point where the start lines of a ring meet: a peg that serves several stations at once.
std::optional<SharedAim> shared_peg(const std::vector<PracticeStation>& stations) {
    return lesson_of(stations) == "ring" ? shared_aim(stations) : std::nullopt;
}

std::string labels_of(const SharedAim& aim) {
    std::string out;
    for (const std::string& l : aim.labels) out += (out.empty() ? "" : ", ") + l;
    return out;
}

// By string from the first station that it serves: how far along, and how far out.
std::string by_string(const SharedAim& aim, const std::vector<PracticeStation>& stations, bool feet) {
    for (const PracticeStation& s : stations) {
        if (s.label != aim.labels.front()) continue;
        const StringSetting at = string_setting(s, aim.p);
        return fmt::format("from ball spot {} {} along the string over the hole, then {} to its {}", s.label, tape_length(at.along_m, feet),
                           small_length(at.out_m, feet), at.right ? "right" : "left");
    }
    return "";
}

// The shared peg comes behind the stations: they are set out first.
std::vector<std::string> shared_row(const std::optional<TapePlan>& tapes, const SharedAim& aim, const std::vector<PracticeStation>& stations, bool feet) {
    std::vector<std::string> row{labels_of(aim), "shared peg"};
    if (tapes)
        for (const std::string& cell : tape_cells(*tapes, feet)) row.push_back(cell);
    else
        row.push_back(by_string(aim, stations, feet));
    return row;
}

// The ball's row carries the label; the marker's stands under it.
std::vector<std::string> tape_row(const PracticeStation& s, bool ball, bool feet) {
    std::vector<std::string> row{ball ? s.label : "", ball ? "ball spot" : "aim marker"};
    const std::optional<TapePlan>& tapes = ball ? s.tape_ball : s.tape_marker;
    if (tapes) {
        for (const std::string& cell : tape_cells(*tapes, feet)) row.push_back(cell);
    } else if (ball) {
        row.push_back(no_tapes(s.hole, s.ball, "hole", feet));
    } else {
        row.push_back("by string and square, see below");
    }
    return row;
}

// What stands close to the hole, enlarged, and how to find the marker with a string. Takes what is left of the page, where
// that is enough.
void hole_detail(Document& d, const std::vector<PracticeStation>& stations, Vec2 hole, const std::optional<SharedAim>& peg) {
    const double most = 62 * kPointsPerMm, least = 32 * kPointsPerMm, left = d.room() - 44;
    const double side = left >= least ? std::min(left, most) : most;
    double reach = 0.15;
    std::vector<const PracticeStation*> here;
    for (const PracticeStation& s : stations)
        if (s.hole == hole) {
            here.push_back(&s);
            reach = std::max(reach, distance(s.marker, hole) + 0.10);
        }
    if (peg) reach = std::max(reach, distance(peg->p, hole) + 0.10);
    const int scale = largest_scale(2 * reach, 2 * reach, side - 8, side - 8, {5, 10, 15, 20, 25, 50, 75, 100});
    d.heading("Setting out by string", side + 16);
    const double top = d.y;

    // The picture, clipped to its frame.
    if (scale > 0) {
        const Vec2 centre{d.left() + side / 2, top + side / 2};
        const Rect frame{d.left(), top, d.left() + side, top + side};
        PlanView view(d, {points_per_metre(scale), hole, centre}, frame);
        cairo_t* cr = d.cairo();
        cairo_save(cr);
        cairo_rectangle(cr, frame.x0, frame.y0, side, side);
        cairo_clip(cr);
        for (const PracticeStation* s : here) {
            // Only the last stretch of each line is seen; beyond the frame nothing is drawn.
            const double shown = 2 * side / points_per_metre(scale);
            const auto cut = [&](Vec2 from, Vec2 to) {
                const double length = distance(from, to);
                return length > shown ? to + (shown / length) * (from - to) : from;
            };
            view.polyline({cut(s->ball, s->hole), s->hole}, 0.35, {0.8, 1.6});
            view.polyline({cut(s->ball, s->marker), s->marker}, 0.5, {3, 2});
            view.polyline({s->hole, s->marker}, 0.35);
        }
        view.ring(hole, kHoleRadius * points_per_metre(scale), 0.9);
        for (const PracticeStation* s : here)
            if (s->wants_marker()) view.diamond(s->marker, 2.6);
        if (peg) view.peg(peg->p, 2.6);
        for (const PracticeStation* s : here) view.label(s->marker, s->label, true, 3.2);
        cairo_restore(cr);
        view.write_labels();
        cairo_rectangle(cr, frame.x0, frame.y0, side, side);
        cairo_set_source_rgb(cr, 0, 0, 0);
        cairo_set_line_width(cr, 0.3);
        cairo_stroke(cr);
        d.text(kSmall, frame.x0, frame.y1 + 10, fmt::format("Round the hole, 1:{}; dotted: strings{}", scale, peg ? "; black: shared peg" : ""));
    }

    // The steps beside it.
    const double x = scale > 0 ? d.left() + side + 18 : d.left();
    double baseline = top + 8;
    int step = 1;
    for (const char* sentence :
         {"Lay a string from the ball spot tight over the centre of the hole and a little beyond.",
          "Put a square on the string at the hole's centre.",
          "Measure the aim marker's offset along the square, to the side that the table names as one looks from the "
          "ball to the hole. Set the marker there: it stands level with the hole.",
          "Turn the string about the ball spot until it runs over the marker: that is the start line. Putt along it at "
          "the pace in the table, and take the string up again."}) {
        d.text(kBody, x, baseline, fmt::format("{}", step++));
        for (const std::string& l : d.wrapped(kBody, sentence, d.right() - x - 14))
            d.text(kBody, x + 14, baseline, l), baseline += 11.5;
        baseline += 4;
    }
    d.y = std::max(top + (scale > 0 ? side + 16 : 0), baseline);
}

}  // namespace

DrawnSheet draw_stations_sheet(const Green& green, const SheetRequest& request) {
    const std::vector<PracticeStation>& stations = request.stations;
    if (stations.empty()) throw usage_error("there are no stations to print; plan some first");
    const bool feet = request.feet_and_inches;

    // What has to be on the plan.
    std::vector<Vec2> points;
    std::vector<std::string> needed;
    bool tapes = false;
    for (const PracticeStation& s : stations) {
        points.insert(points.end(), {s.ball, s.marker, s.hole});
        for (const auto* plan : {&s.tape_ball, &s.tape_marker})
            if (*plan) {
                tapes = true;
                needed.push_back((*plan)->first.from.name);
                needed.push_back((*plan)->second.from.name);
            }
    }
    const std::vector<Vec2> holes = holes_of(stations);
    const std::optional<SharedAim> peg = shared_peg(stations);
    std::vector<std::optional<TapePlan>> hole_tapes;
    for (const Vec2& h : holes) {
        hole_tapes.push_back(plan_tapes(tape_points(green), h));
        if (!hole_tapes.back()) continue;
        tapes = true;
        needed.push_back(hole_tapes.back()->first.from.name);
        needed.push_back(hole_tapes.back()->second.from.name);
    }
    std::optional<TapePlan> peg_tapes;
    if (peg) {
        std::vector<TapePoint> known = tape_points(green);
        known.push_back({"hole", stations.front().hole});
        peg_tapes = plan_tapes(known, peg->p);
    }
    if (peg_tapes) needed.insert(needed.end(), {peg_tapes->first.from.name, peg_tapes->second.from.name});
    const GreenPlan plan = fit_plan(green, points, needed, request);

    // A marker that the hole's own sign would cover is left to the enlarged drawing.
    const auto crowded = [&](const PracticeStation& s) {
        const double k = points_per_metre(plan.scale);
        return distance(s.marker, s.hole) * k < std::max(kHoleRadius * k, 1.6) + 2.8;
    };
    const bool some_crowded = std::any_of(stations.begin(), stations.end(), [&](const PracticeStation& s) { return s.wants_marker() && crowded(s); });

    const auto draw = [&](int total_pages) {
        Document d(request.paper,
                   {title_of(stations), green.name,
                    {request.date, fmt::format("Green speed {:.1f} ft", request.green_speed_ft)},
                    sheet_foot(green), "For practice. Not for use during a round.", fmt::format("Plan 1:{}", plan.scale)},
                   total_pages);

        // The plan.
        draw_plan(d, green, plan,
                  {{"dot", "ball spot"}, {"diamond", some_crowded ? "aim marker (close to the hole: see the drawing round the hole)" : "aim marker"}, {"dashed", "start line"},
                   {"solid", "ball's path"}, {"hole", "hole"}},
                  [&](PlanView& view) {
                      for (const PracticeStation& s : stations) {
                          view.polyline({s.ball, s.marker}, 0.5, {3, 2});
                          view.polyline(s.path, 0.6);
                      }
                      for (const Vec2& h : holes) view.hole(h);
                      for (const PracticeStation& s : stations)
                          if (s.wants_marker() && !crowded(s)) view.diamond(s.marker, 2.0);
                      for (const PracticeStation& s : stations) view.dot(s.ball, 1.9);
                      for (const PracticeStation& s : stations) view.label(s.ball, s.label, true, 2.4);
                  });

        // The cautions come first where the page has room for them under the plan.
        const bool cautions_first = d.numbered_box_height(cautions()) + 8 <= d.room();
        if (cautions_first) d.numbered_box("Before, during and after", cautions());

        for (const std::string& sentence : request.warnings) d.paragraph("Note: " + as_sentence(in_units(sentence, feet)));
        if (!request.missing.empty()) d.paragraph("Not to be had here: " + in_units(request.missing, feet) + ".");

        // What each station is; what all notes say is said once.
        const std::vector<std::string> shared = shared_notes(stations);
        std::vector<std::vector<std::string>> rows;
        for (std::size_t k = 0; k < stations.size(); ++k) {
            rows.push_back(station_row(stations[k], k < request.speeds.size() ? request.speeds[k] : kept_breaks(stations[k]), feet));
            if (const std::string note = note_without(stations[k].note, shared); !note.empty()) rows.push_back({"", in_units(note, feet)});
        }
        if (const std::string purpose = purpose_of(stations); !purpose.empty()) d.paragraph(purpose);
        std::string at_each;
        for (const std::string& note : shared) at_each += (at_each.empty() ? "" : "; ") + note;
        if (!at_each.empty()) d.paragraph("At each station: " + in_units(at_each, feet) + ".");
        d.table("Stations", {{"Station", 40, true}, {"Distance", 62}, {"Aim marker", 88}, {"Break", 74}, {"Pace", 42},
                 {std::string("At other speeds, ") + (feet ? "in" : "cm"), 98}, {"Launch", 104}}, rows);

        // How the start line is set and checked.
        rows.clear();
        for (const PracticeStation& s : stations) rows.push_back(line_row(s, feet));
        d.table("On the start line", {{"Station", 40, true}, {"Break in widths", 98}, {"Line that holes", 70}, {"Start gate", 66},
                 {"Marker by string", 78}, {"Ball's turn: do not aim here", 82}, {"Slip of " + std::string(feet ? "\u00be\u00a0in" : "2\u00a0cm"), 84}}, rows);

        // Where each lies: by tapes, or from the hole alone where no marks serve.
        rows.clear();
        if (!tapes) {
            d.paragraph("No pair of reference marks crosses well enough for tapes on this green: the plan shows where the hole lies, and each ball lies "
                        "from the hole at the bearing below (a compass can be 5–10° off; the plan is surer). Two or three marks round the green "
                        "(sprinkler heads, drain covers) would let the spots be found again.");
            for (const PracticeStation& s : stations)
                rows.push_back({s.label, tape_length(s.distance_m, feet), fmt::format("{:.0f}° from grid north ({})", bearing_deg(s.ball - s.hole), compass_point(bearing_deg(s.ball - s.hole))),
                                s.wants_marker() ? "by string and square, see below" : "no peg"});
            if (peg) rows.push_back({labels_of(*peg), "shared peg: " + by_string(*peg, stations, feet)});
            d.table("Setting out from the hole", {{"Station", 56, true}, {"Ball from the hole", 90}, {"Bearing", 150}, {"Aim marker", 190}}, rows);
        } else {
            for (std::size_t h = 0; h < holes.size(); ++h) {
                rows.push_back(hole_row(hole_tapes[h], feet));
                for (const PracticeStation& s : stations) {
                    if (s.hole != holes[h]) continue;
                    rows.push_back(tape_row(s, true, feet));
                    if (s.wants_marker()) rows.push_back(tape_row(s, false, feet));
                }
            }
            if (peg) rows.push_back(shared_row(peg_tapes, *peg, stations, feet));
            std::vector<TableColumn> columns{{"Station", 42, true}, {"Spot", 66}};
            for (const TableColumn& c : tape_columns()) columns.push_back(c);
            d.table("Setting out by tapes held level", columns, rows);
        }

        for (const Vec2& h : holes) hole_detail(d, stations, h, peg);
        if (!cautions_first) d.numbered_box("Before, during and after", cautions());
        const int pages = d.pages();
        return DrawnSheet{d.finish(), {pages, plan.scale}};
    };
    // Once to count the pages, once to print them.
    return draw(draw(0).result.pages);
}

}  // namespace brae
