// A lesson file with lessons over some weeks on a plane green, by formulas: same putts every time.
#pragma once

#include "core/record/lesson_file.h"
#include "tests/support/greens.h"

#include <fmt/format.h>
#include <memory>

namespace brae::test {

inline Green lesson_green() {
    Green green;
    green.id = "11111111-1111-4222-8333-444444444444";
    green.revision = green.surface_revision = 1;
    green.name = "Dunlarrick practice green";
    green.terrain = std::make_shared<TerrainModel>(gentle_green());
    return green;
}

// Stations A and B, 3.6 m to either side below one hole, and C straight above it. The last lesson is `putts` long: by turns on
// an own read that is too low by 8 cm, and at the marker with a ball that starts 0.10 m right; what misses stops 0.4 m past.
inline StoredLesson keep_lesson(LessonFile& file, const std::string& player, const std::string& date, int putts, double low_m = 0.08) {
    StoredLesson l;
    l.player = player;
    l.green_id = lesson_green().id, l.green_name = lesson_green().name, l.surface_revision = 1;
    l.date = date;
    const Vec2 hole{14, 12};
    for (const auto& [label, ball] : {std::pair{"A", Vec2{12, 9}}, {"B", Vec2{16, 9}}, {"C", Vec2{12.2, 14.4}}}) {
        StoredLessonStation s;
        s.place.label = label, s.place.ball = ball, s.place.hole = hole;
        l.stations.push_back(s);
    }
    l.id = file.start_lesson(l);
    // True aims on this ground: about 0.36 m left at A, 0.11 m right at B.
    const double aims[] = {-0.36, 0.11, 0.0};
    std::vector<StoredPutt> all;
    for (int k = 0; k < putts; ++k) {
        StoredPutt p;
        p.seen.station = k % 3;
        const Vec2 ball = l.stations[static_cast<std::size_t>(k % 3)].place.ball, along = unit(hole - ball);
        const double aim = aims[k % 3], high = aim < 0 ? -1 : 1;
        const bool own = k % 2 == 0;
        p.seen.phase = own ? PuttPhase::own_read : PuttPhase::marker;
        if (own) p.seen.own_read_m = aim - high * low_m + 0.01 * (k % 5 - 2);
        const double off = (own ? -high * low_m : 0) + 0.10 + 0.02 * (k % 4 - 1.5);
        if (k % 6 == 5) p.seen.outcome = PuttOutcome::holed;
        else {
            p.seen.outcome = k % 3 == 2 ? (off > 0 ? PuttOutcome::passed_right : PuttOutcome::passed_left) : off * high > 0 ? PuttOutcome::passed_high : PuttOutcome::passed_low;
            p.seen.stop = StopPlace{hole + 0.4 * along + off * right_of(along), StopSource::tape};
        }
        if (k == 4) p.seen.strike = StrikePlace::toe;
        all.push_back(p);
    }
    if (!all.empty()) file.add_putts(l.id, all);
    return file.lesson(l.id);
}

}  // namespace brae::test
