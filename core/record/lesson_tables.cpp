#include "core/record/lesson_tables.h"

#include <fmt/format.h>

namespace brae {

void create_lesson_tables(Database& db, int schema) {
    db.run(fmt::format("PRAGMA application_id = {}", kLessonApplication));
    for (const char* sql :
         {"CREATE TABLE brae_lesson_meta (key TEXT NOT NULL UNIQUE, value TEXT NOT NULL)",
          "CREATE TABLE players (id TEXT NOT NULL PRIMARY KEY, name TEXT NOT NULL UNIQUE, handicap TEXT, hand TEXT, usual_speed_ft REAL, note TEXT)",
          "CREATE TABLE baseline_putts (id INTEGER PRIMARY KEY, player TEXT NOT NULL REFERENCES players (id), date TEXT, source TEXT, aim_deg REAL, "
          "face_deg REAL, path_deg REAL, start_deg REAL, strike_mm REAL, ball_speed_mps REAL, distance_m REAL)",
          "CREATE TABLE putters (id INTEGER PRIMARY KEY, player TEXT NOT NULL REFERENCES players (id), date TEXT, moment TEXT NOT NULL, loft_deg REAL, "
          "lie_deg REAL, length_m REAL, sight_line TEXT, note TEXT)",
          "CREATE TABLE lessons (number INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, player TEXT NOT NULL REFERENCES players (id), green_id TEXT NOT NULL, "
          "green_name TEXT, surface_revision INTEGER NOT NULL, green_speed_ft REAL NOT NULL, green_speed_sigma_ft REAL NOT NULL, date TEXT, note TEXT, model TEXT)",
          "CREATE TABLE lesson_stations (id INTEGER PRIMARY KEY, lesson TEXT NOT NULL REFERENCES lessons (id), label TEXT NOT NULL, ball_x_m REAL NOT NULL, "
          "ball_y_m REAL NOT NULL, hole_x_m REAL NOT NULL, hole_y_m REAL NOT NULL, marker_x_m REAL, marker_y_m REAL, past_m REAL NOT NULL, break_m REAL, "
          "aim_offset_m REAL, side TEXT, distance_m REAL, launch_mps REAL, UNIQUE (lesson, label))",
          "CREATE TABLE putts (number INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, lesson TEXT NOT NULL REFERENCES lessons (id), station TEXT NOT NULL, "
          "outcome TEXT NOT NULL, phase TEXT, own_read_m REAL, own_read_sigma_m REAL, aim TEXT, aim_sigma_deg REAL, gate TEXT, strike TEXT, "
          "marker_seen INTEGER, stop_x_m REAL, stop_y_m REAL, stop_source TEXT, stop_sigma_m REAL, at TEXT, note TEXT)",
          "CREATE TABLE putt_marks (number INTEGER PRIMARY KEY, putt TEXT NOT NULL REFERENCES putts (id), mark TEXT NOT NULL)",
          "CREATE INDEX putts_of_lesson ON putts (lesson)", "CREATE INDEX marks_of_putt ON putt_marks (putt)"})
        db.run(sql);
    Statement(db, "INSERT INTO brae_lesson_meta VALUES ('schema', ?)").put(std::to_string(schema)).go();
}

const std::vector<LessonStep>& lesson_steps() {
    // Schema 1 is the first. A later one adds its step here and its columns above.
    static const std::vector<LessonStep> steps;
    return steps;
}

void migrate_lesson_file(Database& db, int from, const std::vector<LessonStep>& steps) {
    for (const LessonStep& step : steps) {
        if (step.to <= from) continue;
        for (const std::string& sql : step.sql) db.run(sql);
        Statement(db, "UPDATE brae_lesson_meta SET value = ? WHERE key = 'schema'").put(std::to_string(step.to)).go();
    }
}

}  // namespace brae
