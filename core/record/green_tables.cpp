#include "core/record/green_tables.h"

#include "core/base/error.h"
#include "core/base/safe_file.h"
#include "core/base/version.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <set>

namespace brae {

const char* const kMarkColumns = "name, description, x_m, y_m, z_m";
const char* const kHoleColumns = "name, date, set_by, today, x_m, y_m, as_cut, speed_ft, remark, by_plan";
const char* const kZoneColumns = "name, kind, until, ring_m";
const char* const kStationColumns =
    "label, ball_x_m, ball_y_m, marker_x_m, marker_y_m, hole_x_m, hole_y_m, past_m, green_speed_ft, break_m, "
    "break_se_m, break_slower_m, break_faster_m, aim_offset_m, side, distance_m, launch_mps, ball_speed_mps, "
    "window_left_deg, window_right_deg, window_slow_mps, window_fast_mps, slope_along_pct, line_0_3_x_m, "
    "line_0_3_y_m, line_1_x_m, line_1_y_m, note, tape_ball, tape_marker, path_m, surface_revision, model, lesson";
const char* const kSpeedColumns = "speed_ft, sigma_ft, taken_at, method";

namespace {

struct Layer { const char *table, *geometry, *description, *columns; int since = 1; };
// The types of the columns named above. An empty geometry: attributes only.
constexpr Layer kLayers[] = {
    {"outline", "POLYGON", "Edge of the putting surface",
     "source TEXT NOT NULL, area_m2 DOUBLE NOT NULL, ring_m BLOB NOT NULL"},
    {"outline_gaps", "POLYGON", "Places inside the outline that are no green: without data, or cut out of it", "ring_m BLOB NOT NULL, cut_out BOOLEAN DEFAULT 0"},
    {"reference_marks", "POINT", "Fixed points that tapes are laid from",
     "name TEXT NOT NULL, description TEXT, x_m DOUBLE NOT NULL, y_m DOUBLE NOT NULL, z_m DOUBLE NOT NULL"},
    {"holes", "POINT", "Holes, past, planned and today's",
     "name TEXT, date TEXT, set_by TEXT, today BOOLEAN NOT NULL, x_m DOUBLE NOT NULL, y_m DOUBLE NOT NULL, "
     "as_cut BOOLEAN DEFAULT 0, speed_ft DOUBLE DEFAULT NULL, remark TEXT DEFAULT '', by_plan BOOLEAN DEFAULT 0"},
    {"zones", "POLYGON", "Where no hole or no play is wanted", "name TEXT, kind TEXT, until TEXT, ring_m BLOB NOT NULL"},
    {"stations", "POINT", "Practice stations: the ball spot, and the aim marker's place",
     "label TEXT NOT NULL, ball_x_m DOUBLE NOT NULL, ball_y_m DOUBLE NOT NULL, marker_x_m DOUBLE NOT NULL, "
     "marker_y_m DOUBLE NOT NULL, hole_x_m DOUBLE NOT NULL, hole_y_m DOUBLE NOT NULL, past_m DOUBLE NOT NULL, "
     "green_speed_ft DOUBLE NOT NULL, break_m DOUBLE NOT NULL, break_se_m DOUBLE, break_slower_m DOUBLE, "
     "break_faster_m DOUBLE, aim_offset_m DOUBLE NOT NULL, side TEXT NOT NULL, distance_m DOUBLE NOT NULL, "
     "launch_mps DOUBLE NOT NULL, ball_speed_mps DOUBLE NOT NULL, window_left_deg DOUBLE NOT NULL, "
     "window_right_deg DOUBLE NOT NULL, window_slow_mps DOUBLE NOT NULL, window_fast_mps DOUBLE NOT NULL, "
     "slope_along_pct DOUBLE NOT NULL, line_0_3_x_m DOUBLE NOT NULL, line_0_3_y_m DOUBLE NOT NULL, "
     "line_1_x_m DOUBLE NOT NULL, line_1_y_m DOUBLE NOT NULL, note TEXT, tape_ball TEXT, tape_marker TEXT, "
     "path_m BLOB NOT NULL, surface_revision INTEGER NOT NULL, model TEXT, lesson TEXT DEFAULT ''"},
    {"speed_readings", "", "Green-speed readings",
     "speed_ft DOUBLE NOT NULL, sigma_ft DOUBLE NOT NULL, taken_at TEXT, method TEXT"},
    {"brae_meta", "", "What this green file is", "key TEXT NOT NULL UNIQUE, value TEXT NOT NULL"},
    {"brae_surface", "", "The surface itself: coefficients of a uniform bicubic B-spline, doubles, south row first",
     "columns INTEGER NOT NULL, rows INTEGER NOT NULL, x0_m DOUBLE NOT NULL, y0_m DOUBLE NOT NULL, "
     "cell_m DOUBLE NOT NULL, coefficients BLOB NOT NULL, checksum TEXT NOT NULL, smoothing DOUBLE NOT NULL, "
     "noise_m DOUBLE NOT NULL, smooth_se_m DOUBLE NOT NULL, smooth_length_m DOUBLE NOT NULL, "
     "correlated_se_m DOUBLE NOT NULL, correlated_length_m DOUBLE NOT NULL"},
    {"brae_grids", "", "The display rasters in full precision, south row first; the mask is one byte a cell",
     "name TEXT NOT NULL UNIQUE, columns INTEGER NOT NULL, rows INTEGER NOT NULL, x0_m DOUBLE NOT NULL, "
     "y0_m DOUBLE NOT NULL, cell_m DOUBLE NOT NULL, cell_values BLOB NOT NULL, checksum TEXT NOT NULL"},
    {"removed_points", "POINT", "Points of the survey that are no turf, and why; thinned to 20,000 a reason",
     "reason TEXT NOT NULL, x_m DOUBLE NOT NULL, y_m DOUBLE NOT NULL, z_m DOUBLE NOT NULL", 3},
    {"survey_sources", "", "The files that the survey came from, as they were when they were read",
     "role TEXT NOT NULL, path TEXT NOT NULL, size_bytes INTEGER NOT NULL, modified TEXT NOT NULL", 3},
    {"data_reach", "POLYGON", "How far the survey's data reach; the edge may be drawn anew within", "ring_m BLOB NOT NULL", 4},
    {"check_points", "POINT", "Heights that are no part of the surface and test it",
     "x_m DOUBLE NOT NULL, y_m DOUBLE NOT NULL, z_m DOUBLE NOT NULL, over_m DOUBLE NOT NULL", 4},
    {"skipped_days", "", "Days on which no hole was cut: the one before stayed", "date TEXT NOT NULL, reason TEXT, set_by TEXT", 5},
    {"line_of_play", "LINESTRING", "The way the green is played, over it",
     "direction_x DOUBLE NOT NULL, direction_y DOUBLE NOT NULL, approach_m BLOB NOT NULL", 5},
    {"gates", "POINT", "Where players walk on and off", "name TEXT, x_m DOUBLE NOT NULL, y_m DOUBLE NOT NULL", 5}};

// An INSERT with as many places as the list of columns has names.
std::string insert_into(const char* table, const std::string& columns) {
    const auto count = 1 + std::count(columns.begin(), columns.end(), ',');
    std::string places = "?";
    for (long k = 1; k < count; ++k) places += ", ?";
    return fmt::format("INSERT INTO {} ({}) VALUES ({})", table, columns, places);
}

// A double that may be unknown: NaN inside, NULL in the file.
void put_known(Statement& s, double value) {
    if (std::isnan(value)) s.put_null();
    else s.put(value);
}

void put_tapes(Statement& s, const std::optional<TapePlan>& tapes) {
    if (tapes) s.put(tapes_to_json(*tapes));
    else s.put_null();
}

std::vector<Vec2> in_file(const std::vector<Vec2>& ring, const FileFrame& frame) {
    std::vector<Vec2> out;
    for (const Vec2& p : ring) out.push_back(frame.to_file(p));
    return out;
}

}  // namespace

void set_extent(Database& db, const char* table, const std::vector<Vec2>& points) {
    if (points.empty()) {
        db.run(fmt::format("UPDATE gpkg_contents SET min_x = NULL, min_y = NULL, max_x = NULL, max_y = NULL "
                           "WHERE table_name = '{}'", table));
        return;
    }
    Vec2 low = points.front(), high = low;
    for (const Vec2& p : points) {
        low = {std::min(low.x, p.x), std::min(low.y, p.y)};
        high = {std::max(high.x, p.x), std::max(high.y, p.y)};
    }
    Statement set(db, "UPDATE gpkg_contents SET min_x = ?, min_y = ?, max_x = ?, max_y = ? WHERE table_name = ?");
    set.put(low.x).put(low.y).put(high.x).put(high.y).put(table).go();
}

void check_storable(const Green& green) {
    if (!green.terrain || !green.terrain->surface || green.terrain->grid.height.empty() ||
        green.terrain->outline.empty())
        throw Error(fmt::format("the green '{}' has no terrain yet and cannot be stored", green.name));
    const ElevationModel& g = green.terrain->grid;
    const auto cells = g.height.values.size();
    if (g.mask.size() != cells || g.height_se.values.size() != cells || g.slope_se.values.size() != cells)
        throw Error(fmt::format("the rasters of the green '{}' differ in size and cannot be stored", green.name));
    std::set<std::string> names;
    for (const ReferenceMark& m : green.marks)
        if (!names.insert(m.name).second)
            throw Error(fmt::format("two reference marks are called '{}'; each needs a name of its own", m.name));
    for (const Zone& z : green.zones)
        if (z.ring.size() < 3)
            throw Error(fmt::format("the zone '{}' has {} corners; at least 3 are wanted", z.name, z.ring.size()));
}

void create_tables(Database& db, const FileFrame& frame, int after) {
    Statement contents(db, "INSERT INTO gpkg_contents (table_name, data_type, identifier, description, last_change, "
                           "srs_id) VALUES (?, ?, ?, ?, ?, ?)");
    Statement geometry(db, "INSERT INTO gpkg_geometry_columns (table_name, column_name, geometry_type_name, srs_id, "
                           "z, m) VALUES (?, 'geom', ?, ?, 0, 0)");
    for (const Layer& layer : kLayers) {
        if (layer.since <= after) continue;
        const std::string kind = layer.geometry;
        db.run(fmt::format("CREATE TABLE {} (fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, {}{})", layer.table,
                           kind.empty() ? "" : "geom " + kind + ", ", layer.columns));
        contents.put(layer.table).put(kind.empty() ? "attributes" : "features").put(layer.table)
            .put(layer.description).put(kUnchangingDate);
        if (kind.empty()) contents.put_null();
        else contents.put(frame.srs);
        contents.go();
        if (!kind.empty()) geometry.put(layer.table).put(kind).put(frame.srs).go();
    }
}

namespace {

// The outline and its gaps.
void write_outline(Database& db, const TerrainModel& terrain, const FileFrame& frame) {
    const std::vector<Vec2> ring = in_file(terrain.outline.ring(), frame);
    std::vector<std::vector<Vec2>> gaps;
    std::vector<Vec2> corners;
    Statement gap(db, "INSERT INTO outline_gaps (geom, ring_m, cut_out) VALUES (?, ?, ?)");
    for (const auto& g : terrain.outline.gaps()) {
        const bool cut_out = gaps.size() < terrain.outline.cut_outs().size();
        gaps.push_back(in_file(g, frame));
        corners.insert(corners.end(), gaps.back().begin(), gaps.back().end());
        gap.put(polygon_geometry(gaps.back(), {}, frame.srs)).put(bytes_of(g)).put(cut_out).go();
    }
    Statement outline(db, "INSERT INTO outline (geom, source, area_m2, ring_m) VALUES (?, ?, ?, ?)");
    outline.put(polygon_geometry(ring, gaps, frame.srs)).put(to_text(terrain.outline.source()))
        .put(terrain.outline.area_m2()).put(bytes_of(terrain.outline.ring())).go();
    set_extent(db, "outline", ring);
    set_extent(db, "outline_gaps", corners);
}

}  // namespace

void write_surface(Database& db, const TerrainModel& terrain, const FileFrame& frame) {
    write_outline(db, terrain, frame);

    // The coefficients.
    const SplineGrid& s = terrain.surface->grid();
    const Bytes coefficients = bytes_of(s.coefficients);
    Statement surface(db, insert_into("brae_surface", "columns, rows, x0_m, y0_m, cell_m, coefficients, checksum, "
                                      "smoothing, noise_m, smooth_se_m, smooth_length_m, correlated_se_m, "
                                      "correlated_length_m"));
    surface.put(s.columns).put(s.rows).put(s.x0).put(s.y0).put(s.cell).put(coefficients).put(checksum(coefficients))
        .put(terrain.smoothing).put(terrain.noise_m).put(terrain.error.smooth_se_m)
        .put(terrain.error.smooth_length_m).put(terrain.error.correlated_se_m)
        .put(terrain.error.correlated_length_m).go();

    // The rasters.
    const ElevationModel& g = terrain.grid;
    Statement grid(db, insert_into("brae_grids", "name, columns, rows, x0_m, y0_m, cell_m, cell_values, checksum"));
    const auto put_grid = [&](const char* name, const Raster& r, const Bytes& values) {
        grid.put(name).put(r.columns).put(r.rows).put(r.x0).put(r.y0).put(r.cell).put(values).put(checksum(values)).go();
    };
    put_grid("height_m", g.height, bytes_of(g.height.values));
    put_grid("mask", g.height, Bytes(g.mask.begin(), g.mask.end()));
    put_grid("height_se_m", g.height_se, bytes_of(g.height_se.values));
    put_grid("slope_se", g.slope_se, bytes_of(g.slope_se.values));
}

void renew_outline(Database& db, const TerrainModel& terrain, const FileFrame& frame) {
    // Nothing is touched where the file has this very outline, gaps included.
    std::vector<Bytes> there, wanted{bytes_of(terrain.outline.ring())};
    for (const auto& gap : terrain.outline.gaps()) wanted.push_back(bytes_of(gap));
    std::size_t cut_outs = 0;
    {
        Statement rows(db, "SELECT ring_m FROM outline");
        while (rows.row()) there.push_back(rows.bytes());
        Statement gaps(db, "SELECT ring_m, cut_out FROM outline_gaps ORDER BY fid");
        while (gaps.row()) {
            there.push_back(gaps.bytes());
            cut_outs += gaps.truth();
        }
    }
    if (there == wanted && cut_outs == terrain.outline.cut_outs().size()) return;
    for (const char* table : {"outline", "outline_gaps"}) db.run(fmt::format("DELETE FROM {}", table));
    write_outline(db, terrain, frame);

    // What the outline lets through of the rasters.
    const ElevationModel& g = terrain.grid;
    Statement grid(db, "UPDATE brae_grids SET cell_values = ?, checksum = ? WHERE name = ? AND columns = ? AND rows = ?");
    const auto put_grid = [&](const char* name, const Bytes& values) {
        grid.put(values).put(checksum(values)).put(name).put(g.height.columns).put(g.height.rows).go();
    };
    put_grid("height_m", bytes_of(g.height.values));
    put_grid("mask", Bytes(g.mask.begin(), g.mask.end()));

    // What other programs see of them. A link to the file is followed, as SQLite did.
    const PartFile part(std::filesystem::canonical(db.file()));
    std::filesystem::remove(part.part());
    on_part(part.part(), db.file(), [&] {
        write_coverages(terrain, frame, part.part());
        Database fresh(part.part(), Database::Access::read);
        copy_coverages(fresh, db);
    });
}

void write_vectors(Database& db, const Green& green, const FileFrame& frame) {
    for (const char* table : {"reference_marks", "holes", "zones", "stations", "speed_readings"})
        db.run(fmt::format("DELETE FROM {}", table));
    const auto insert = [](const char* table, const char* columns) {
        return insert_into(table, std::string("geom, ") + columns);
    };

    // Marks.
    std::vector<Vec2> places;
    Statement mark(db, insert("reference_marks", kMarkColumns));
    for (const ReferenceMark& m : green.marks) {
        places.push_back(frame.to_file({m.p.x, m.p.y}));
        mark.put(point_geometry(places.back(), frame.srs)).put(m.name).put(m.description)
            .put(m.p.x).put(m.p.y).put(m.p.z).go();
    }
    set_extent(db, "reference_marks", places);

    // Holes.
    places.clear();
    Statement hole(db, insert("holes", kHoleColumns));
    for (const StoredHole& h : green.holes) {
        places.push_back(frame.to_file(h.p));
        hole.put(point_geometry(places.back(), frame.srs)).put(h.name).put(h.date).put(h.set_by).put(h.today)
            .put(h.p.x).put(h.p.y).put(h.as_cut);
        if (h.speed_ft) hole.put(*h.speed_ft);
        else hole.put_null();
        hole.put(h.remark).put(h.by_plan).go();
    }
    set_extent(db, "holes", places);
    write_play(db, green, frame);

    // Zones.
    places.clear();
    Statement zone(db, insert("zones", kZoneColumns));
    for (const Zone& z : green.zones) {
        const std::vector<Vec2> ring = in_file(z.ring, frame);
        places.insert(places.end(), ring.begin(), ring.end());
        zone.put(polygon_geometry(ring, {}, frame.srs)).put(z.name).put(z.kind).put(z.until).put(bytes_of(z.ring)).go();
    }
    set_extent(db, "zones", places);

    // Stations.
    places.clear();
    Statement station(db, insert("stations", kStationColumns));
    for (const StoredStation& stored : green.stations) {
        const PracticeStation& s = stored.station;
        places.push_back(frame.to_file(s.ball));
        station.put(point_geometry(places.back(), frame.srs)).put(s.label)
            .put(s.ball.x).put(s.ball.y).put(s.marker.x).put(s.marker.y).put(s.hole.x).put(s.hole.y)
            .put(s.past_m).put(s.green_speed_ft).put(s.break_m);
        put_known(station, s.break_se_m);
        put_known(station, s.break_slower_m);
        put_known(station, s.break_faster_m);
        station.put(s.aim_offset_m).put(to_text(s.side)).put(s.distance_m).put(s.launch_mps).put(s.ball_speed_mps)
            .put(s.window.left_deg).put(s.window.right_deg).put(s.window.slow_mps).put(s.window.fast_mps)
            .put(s.slope_along_pct).put(s.start_line_at_0_3m.x).put(s.start_line_at_0_3m.y)
            .put(s.start_line_at_1m.x).put(s.start_line_at_1m.y).put(s.note);
        put_tapes(station, s.tape_ball);
        put_tapes(station, s.tape_marker);
        station.put(bytes_of(s.path)).put(stored.surface_revision).put(stored.model).put(s.lesson).go();
    }
    set_extent(db, "stations", places);

    // Speed readings.
    Statement speed(db, insert_into("speed_readings", kSpeedColumns));
    for (const SpeedReading& r : green.speeds)
        speed.put(r.speed_ft).put(r.sigma_ft).put(r.taken_at).put(r.method).go();
}

void write_meta(Database& db, const Green& green) {
    const TerrainModel& t = *green.terrain;
    Statement put(db, "INSERT INTO brae_meta (key, value) VALUES (?, ?) "
                      "ON CONFLICT (key) DO UPDATE SET value = excluded.value");
    put.put("schema").put(std::to_string(kGreenSchema)).go();
    put.put("id").put(green.id).go();
    put.put("revision").put(std::to_string(green.revision)).go();
    put.put("surface_revision").put(std::to_string(green.surface_revision)).go();
    put.put("name").put(green.name).go();
    put.put("frame").put(frame_to_json(t.frame.spec())).go();
    put.put("model").put(model_version()).go();
    put.put("points_read").put(std::to_string(t.points_read)).go();
    put.put("points_used").put(std::to_string(t.points_used)).go();
    put.put("warnings").put(list_to_json(t.warnings)).go();
    put.put("survey_method").put(to_text(green.survey.method)).go();
    put.put("survey_date").put(green.survey.date).go();
    put.put("survey_date_of").put(green.survey.date_of_file ? "file" : "survey").go();
    put.put("height_of_cut_m").put(green.survey.height_of_cut_m ? fmt::format("{}", *green.survey.height_of_cut_m) : "").go();
    put.put("top_dressed").put(green.survey.top_dressed).go();
    put.put("stations_usual_speed_ft").put(green.stations_told.usual_speed_ft ? fmt::format("{}", *green.stations_told.usual_speed_ft) : "").go();
    put.put("stations_missing").put(green.stations_told.missing).go();
    put.put("survey_options").put(options_to_json(green.record)).go();
    put.put("put_back").put(put_back_to_json(green.record.put_back)).go();
    put.put("put_back_share").put(put_back_share_to_json(t.put_back)).go();
    if (green.removed) put.put("removed_counts").put(counts_to_json(green.removed->counts)).go();
}

}  // namespace brae
