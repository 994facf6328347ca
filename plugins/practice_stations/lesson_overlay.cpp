#include "plugins/practice_stations/lesson_overlay.h"

#include "core/solve/hole_line.h"
#include "plugins/api/panel_kit.h"

#include <fmt/format.h>

namespace brae::practice_stations {

namespace {

namespace ink = plugin::ink;
namespace kit = plugin::kit;
using plugin::Dash;
using plugin::MarkerShape;

// One shape for each way to end, so that a picture reads in grey.
MarkerShape shape_of(PuttOutcome outcome) {
    switch (outcome) {
        case PuttOutcome::passed_high: return MarkerShape::triangle;
        case PuttOutcome::passed_low: return MarkerShape::square;
        case PuttOutcome::short_of: return MarkerShape::ring;
        case PuttOutcome::lip_out: return MarkerShape::diamond;
        default: return MarkerShape::cross;
    }
}

// Where a line that passes the hole at this offset ends, level with the hole.
Vec2 at_hole(const HoleLine& line, double offset) { return line.hole + offset * line.right; }

}  // namespace

void draw_lesson(const LessonModel& model, plugin::Units units, plugin::OverlayCanvas& canvas) {
    const StoredLesson& lesson = *model.lesson();
    const PuttEntry& entry = model.entry();

    // The other stations stay quiet.
    for (int k = 0; k < static_cast<int>(lesson.stations.size()); ++k) {
        const LessonStation& s = lesson.stations[static_cast<std::size_t>(k)].place;
        const bool here = k == entry.station();
        canvas.marker(s.ball, MarkerShape::dot, here ? ink::blue : ink::quiet, here ? 11.0f : 7.0f, s.label);
        if (!here) canvas.polyline({s.ball, s.hole}, {ink::quiet, 0.8f, Dash::dotted});
    }

    const StoredLessonStation& station = lesson.stations[static_cast<std::size_t>(entry.station())];
    const HoleLine line(station.place.ball, station.place.hole);
    // The true line only once the player has said the own one.
    if (model.show_true && !entry.line_hidden() && station.aim_offset_m) {
        const Vec2 aim = at_hole(line, *station.aim_offset_m);
        canvas.polyline({station.place.ball, aim}, {ink::blue, 1.8f, Dash::dashed}, "true line, " + side_text(*station.aim_offset_m, units));
        if (std::abs(*station.aim_offset_m) >= kHoleRadius) canvas.marker(aim, MarkerShape::diamond, ink::blue, 9.0f);
    } else {
        canvas.polyline({station.place.ball, line.hole}, {ink::quiet, 0.8f, Dash::dotted});
    }
    // The own read of this putt, else that of the last one here.
    std::optional<double> own = entry.seen().own_read_m;
    const std::vector<StoredPutt>& putts = model.putts();
    const StoredPutt* last = !putts.empty() && putts.back().seen.station == entry.station() ? &putts.back() : nullptr;
    if (!own && last && entry.step() != EntryStep::read) own = last->seen.own_read_m;
    if (own) canvas.polyline({station.place.ball, at_hole(line, *own)}, {ink::violet, 1.8f, Dash::dash_dot}, "own read, " + side_text(*own, units));

    // Where the putts of this lesson stopped: those of this station with their number, the last one with its way to the hole.
    int number = 0;   // in the lesson, as the panel and the reports count
    for (const StoredPutt& p : putts) {
        const bool at = p.seen.station == entry.station();
        ++number;
        if (!p.seen.stop) continue;
        const bool newest = &p == &putts.back();
        if (at && newest) canvas.polyline({line.hole, p.seen.stop->p}, {ink::dark, 1.2f, Dash::solid});
        canvas.marker(p.seen.stop->p, shape_of(p.seen.outcome), newest ? ink::blue : at ? ink::dark : ink::quiet, at ? 9.0f : 6.0f, at ? std::to_string(number) : "");
    }
    // One that is being taken down, before it is saved.
    if (entry.seen().stop && entry.step() == EntryStep::putt) {
        canvas.marker(entry.seen().stop->p, MarkerShape::cross, ink::violet, 10.0f, "stopped here");
        canvas.polyline({line.hole, entry.seen().stop->p}, {ink::violet, 1.0f, Dash::dotted});
    }
}

void draw_check(const CheckModel& model, plugin::Units units, plugin::OverlayCanvas& canvas) {
    if (const auto cross = model.cross()) {
        const bool from_start = model.step() != CheckStep::start;
        canvas.marker(*cross, MarkerShape::plus, ink::violet, 12.0f,
                      fmt::format("{:.1f}, {:.1f}", cross->x, cross->y) + (from_start ? "; " + kit::distance(distance(*cross, model.lines().back().start), units) + " from the start" : std::string()));
        if (from_start) canvas.polyline({model.lines().back().start, *cross}, {ink::violet, 0.8f, Dash::dotted});
    }
    std::size_t number = 0;
    for (const CheckLine& line : model.lines()) {
        canvas.marker(line.start, MarkerShape::dot, ink::blue, 10.0f, "start");
        if (!line.toward) continue;
        canvas.polyline({line.start, *line.toward}, {ink::quiet, 1.0f, Dash::dashed});
        canvas.marker(*line.toward, MarkerShape::plus, ink::quiet, 8.0f, "sent there");
        for (const Vec2 stop : line.stops) {
            canvas.marker(stop, MarkerShape::cross, ink::dark, 9.0f, std::to_string(number + 1));
            // Where the model has it, from how far off the ball lay.
            if (model.result() && number < model.result()->rolls.size()) {
                const RollResidual& r = model.result()->rolls[number];
                const Vec2 along = unit(stop - line.start);
                const Vec2 modelled = stop - r.along_m * along - r.across_m * right_of(along);
                canvas.polyline({stop, modelled}, {ink::violet, 1.2f, Dash::dotted});
                canvas.marker(modelled, MarkerShape::ring, ink::violet, 8.0f, number == 0 ? "as modelled" : "");
            }
            ++number;
        }
    }
}

}  // namespace brae::practice_stations
