// The tables about play in a green file: skipped days, the line of play, gates.
#include "core/base/error.h"
#include "core/record/green_tables.h"
#include "core/survey/ring.h"

#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

// What a GIS shows: the approach, or where there is none a line through the middle of the green.
std::vector<Vec2> drawn_line(const LineOfPlay& line, const Outline& outline) {
    std::vector<Vec2> out = line.approach;
    if (out.empty()) {
        const Vec2 middle = outline.centroid();
        const double half = 0.5 * std::hypot(outline.box().width(), outline.box().height());
        out = {middle - half * line.direction, middle + half * line.direction};
    }
    return out;
}

}  // namespace

void write_play(Database& db, const Green& green, const FileFrame& frame) {
    for (const char* table : {"skipped_days", "line_of_play", "gates"}) db.run(fmt::format("DELETE FROM {}", table));
    Statement day(db, "INSERT INTO skipped_days (date, reason, set_by) VALUES (?, ?, ?)");
    for (const SkippedDay& d : green.skipped) day.put(d.date).put(d.reason).put(d.set_by).go();

    std::vector<Vec2> places;
    if (green.line_of_play) {
        const LineOfPlay& line = *green.line_of_play;
        for (const Vec2& p : drawn_line(line, green.terrain->outline)) places.push_back(frame.to_file(p));
        Statement row(db, "INSERT INTO line_of_play (geom, direction_x, direction_y, approach_m) VALUES (?, ?, ?, ?)");
        row.put(line_geometry(places, frame.srs)).put(line.direction.x).put(line.direction.y).put(bytes_of(line.approach)).go();
    }
    set_extent(db, "line_of_play", places);

    places.clear();
    Statement gate(db, "INSERT INTO gates (geom, name, x_m, y_m) VALUES (?, ?, ?, ?)");
    for (const Gate& g : green.gates) {
        places.push_back(frame.to_file(g.p));
        gate.put(point_geometry(places.back(), frame.srs)).put(g.name).put(g.p.x).put(g.p.y).go();
    }
    set_extent(db, "gates", places);
}

void read_play(Database& db, Green& green) {
    Statement day(db, "SELECT date, reason, set_by FROM skipped_days ORDER BY fid");
    while (day.row()) {
        SkippedDay d;
        d.date = day.text(), d.reason = day.text(), d.set_by = day.text();
        green.skipped.push_back(d);
    }
    Statement line(db, "SELECT direction_x, direction_y, approach_m FROM line_of_play ORDER BY fid");
    if (line.row()) {
        LineOfPlay l;
        l.direction.x = line.number();
        l.direction.y = line.number();
        const auto approach = points_of(line.bytes());
        if (!approach || std::abs(norm(l.direction) - 1) > 1e-6)
            throw Error(fmt::format("{} is damaged: its line of play has no direction", db.file().string()));
        l.approach = *approach;
        green.line_of_play = std::move(l);
    }
    Statement gate(db, "SELECT name, x_m, y_m FROM gates ORDER BY fid");
    while (gate.row()) {
        Gate g;
        g.name = gate.text();
        g.p.x = gate.number();
        g.p.y = gate.number();
        green.gates.push_back(g);
    }
}

}  // namespace brae
