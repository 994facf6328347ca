// The lesson file: players, what was measured of them, lessons and putts. All personal data is here and nowhere else.
// A SQLite database that any such browser opens; docs/file-formats.md says its tables.
#pragma once

#include "core/record/geopackage.h"
#include "core/record/green.h"
#include "core/teach/baseline.h"
#include "core/teach/lesson.h"

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace brae {

inline constexpr int kLessonSchema = 1;
inline constexpr const char* kLessonEnding = ".brae-lesson";

struct StoredPlayer {
    std::string id;                        // UUID
    std::string name;                      // or a code, for minors
    std::string handicap, hand;            // band such as "10-18"; right, left or empty
    std::optional<double> usual_speed_ft;
    std::string note;
};

struct StoredBaselinePutt { BaselinePutt putt; std::string source, date; };   // source: by hand, a file's name, learned

// Putter as measured, before or after an adjustment; angles in degrees.
struct StoredPutter {
    std::string date, when;                // before, after
    std::optional<double> loft_deg, lie_deg, length_m;
    std::string sight_line, note;
};

// The station as it was in the lesson: a snapshot that outlives the green file.
struct StoredLessonStation {
    LessonStation place;
    std::optional<double> break_m, aim_offset_m, distance_m, launch_mps;
    std::string side;
};

struct StoredLesson {
    std::string id, player;                // UUIDs
    std::string green_id, green_name;
    int surface_revision = 0;
    double green_speed_ft = 10, green_speed_sigma_ft = kGreenSpeedSigmaFt;
    std::string date, note, model;
    std::vector<StoredLessonStation> stations;
};

struct StoredPutt {
    std::string id;                        // UUID
    SeenPutt seen;
    std::string at, note;                  // when; ISO 8601 or empty
    bool undone = false;
};

// One open lesson file. Each change is one transaction, synced to the disk before the call returns: a killed program, a
// full disk or a closed lid leave everything up to the last finished call. Two programs may hold one file; the second
// waits up to 2 s for a lock (or as wait_at_most says), and says so after that. Every failure is an Error with one sentence, and changes nothing.
class LessonFile {
public:
    // A new empty file. Throws Error where one stands there already.
    static LessonFile create(const std::filesystem::path& file);
    // Throws Error for a missing file, one of another kind, a newer schema, damage. Writing brings older schemas up.
    explicit LessonFile(const std::filesystem::path& file, Database::Access access = Database::Access::write);

    // Players. Names are kept without spaces round them, and two that differ in small and capital letters alone are one.
    // add_player gives the new id; throws Error(usage) for an empty name or one that is there.
    std::string add_player(const StoredPlayer& player);
    void change_player(const StoredPlayer& player);      // by id
    std::vector<StoredPlayer> players();
    StoredPlayer player(const std::string& name_or_id);  // throws Error(usage), listing the known ones
    // Takes the player out with lessons, putts, baseline and putters, overwrites what is freed (secure_delete) and
    // packs the file (VACUUM), so that no byte of them is left in it. What the disk keeps of freed blocks is beyond it.
    void erase_player(const std::string& id);

    void add_baseline(const std::string& player, const std::vector<BaselinePutt>& putts, const std::string& source, const std::string& date);
    std::vector<StoredBaselinePutt> baseline(const std::string& player);
    void add_putter(const std::string& player, const StoredPutter& putter);
    std::vector<StoredPutter> putters(const std::string& player);

    // Lessons. start_lesson gives the new id; throws Error(usage) for a speed outside 4 to 16 ft, no or equal station labels.
    std::string start_lesson(const StoredLesson& lesson);
    std::vector<StoredLesson> lessons(const std::string& player = {});   // of one player or all, oldest first
    StoredLesson lesson(const std::string& id);
    std::string add_station(const std::string& lesson, const StoredLessonStation& station);   // its label

    // Putts are added, never changed. Gives the new id. Throws Error(usage) for a station that is not there and numbers
    // without meaning.
    std::string add_putt(const std::string& lesson, const StoredPutt& putt);
    std::vector<std::string> add_putts(const std::string& lesson, const std::vector<StoredPutt>& putts);   // all or none
    // Marks; the row stays. Both throw Error(usage) for a putt that is not there. undo_last gives the id, "" where none is left.
    void undo(const std::string& putt);
    void restore(const std::string& putt);
    std::string undo_last(const std::string& lesson);
    std::vector<StoredPutt> putts(const std::string& lesson, bool with_undone = false);
    // A putt put right, in one transaction: the old row is marked as corrected and undone, the new one takes its
    // place in the order. Gives the new id. Throws Error(usage) for a putt that is not there or does not count any more.
    std::string correct_putt(const std::string& lesson, const std::string& putt, const StoredPutt& with);

    const std::filesystem::path& file() const { return db_->file(); }
    // For a window, which may not stand still and can try again: how long to wait for another program's lock.
    void wait_at_most(int ms) { db_->wait_at_most(ms); }

private:
    void check_name_free(const StoredPlayer& player);
    std::vector<std::string> put_putts(const std::string& lesson, const std::vector<StoredPutt>& putts);   // within a transaction
    std::unique_ptr<Database> db_;
};

// Throws Error(usage) unless the lesson was held on this green. Another surface revision is a sentence, not an error:
// the stations are worked out anew; "" where all fits.
std::string check_green(const StoredLesson& lesson, const Green& green);

// What the inference takes: stations and the putts that are not undone.
Lesson lesson_of(const StoredLesson& stored, const std::vector<StoredPutt>& putts);

// One line a putt with a header; JSON with everything of one player. Undone putts are named as such.
std::string putts_as_csv(LessonFile& file, const std::string& lesson);
std::string player_as_json(LessonFile& file, const std::string& player);

}  // namespace brae
