// This file is long because rows are written and read in one place, so that each check stands once for both ways.
#include "core/record/lesson_file.h"

#include "core/base/error.h"
#include "core/base/safe_file.h"
#include "core/base/version.h"
#include "core/record/green_file.h"
#include "core/record/lesson_tables.h"
#include "core/survey/text_file.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstring>
#include <fmt/format.h>
#include <fstream>
#include <set>
#include <sqlite3.h>
#include <system_error>

namespace brae {
namespace fs = std::filesystem;
namespace {

// Values that may be unknown: NULL in the file.
void put(Statement& s, const std::optional<double>& v) {
    if (v) s.put(*v);
    else s.put_null();
}
void put(Statement& s, const char* word) {
    if (word) s.put(word);
    else s.put_null();
}
std::optional<double> number(Statement& s) {
    const double v = s.number_or_nan();
    return std::isnan(v) ? std::nullopt : std::optional(v);
}
template <class Words, class Value>
const char* word_of(const Words& words, const std::optional<Value>& v) {
    return v ? words[static_cast<std::size_t>(*v)] : nullptr;
}
template <class Value, class Words>
std::optional<Value> value_of(const Words& words, const std::string& text, const fs::path& file) {
    if (text.empty()) return std::nullopt;
    for (std::size_t k = 0; k < words.size(); ++k)
        if (text == words[k]) return static_cast<Value>(k);
    throw Error(fmt::format("{} is damaged: it holds the word {}, which is none of its own", file.string(), quote(text)));
}

void check_number(const std::optional<double>& v, double low, double high, const char* what, const char* unit) {
    if (v && !(*v >= low && *v <= high)) throw usage_error(fmt::format("{}: found {:g} {}, {:g} to {:g} are wanted", what, *v, unit, low, high));
}

void check_place(Vec2 p, const char* what) {
    if (!(std::abs(p.x) <= 1e7 && std::abs(p.y) <= 1e7)) throw usage_error(fmt::format("{}: found a place that is no number, x and y in metres are wanted", what));
}

// Names are one where they differ in spaces round them or in small and capital letters (of ASCII) alone.
bool same_name(const std::string& a, const std::string& b) { return lower_case(trimmed(a)) == lower_case(trimmed(b)); }

// The player without spaces round the name.
StoredPlayer checked(StoredPlayer p) {
    p.name = std::string(trimmed(p.name));
    if (p.name.empty()) throw usage_error("the player has no name; a name or a code is wanted");
    check_number(p.usual_speed_ft, kSlowestGreenFt, kFastestGreenFt, "the player's usual green speed", "ft");
    if (!p.hand.empty() && p.hand != "right" && p.hand != "left") throw usage_error(fmt::format("the player's hand: found {}, right or left is wanted", quote(p.hand)));
    return p;
}

int schema_of(Database& db) {
    Statement find(db, "SELECT value FROM brae_lesson_meta WHERE key = 'schema'");
    int value = 0;
    const std::string text = find.row() ? find.text() : "";
    const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (code != std::errc() || end != text.data() + text.size() || value < 1)
        throw Error(fmt::format("{} is damaged: its schema is {}", db.file().string(), quote(text)));
    return value;
}

bool is_database(const fs::path& file) {
    char magic[16] = {};
    std::ifstream(file, std::ios::binary).read(magic, sizeof magic);
    return std::memcmp(magic, "SQLite format 3", 16) == 0;
}

void put_station(Database& db, const std::string& lesson, const StoredLessonStation& s) {
    Statement add(db, "INSERT INTO lesson_stations (lesson, label, ball_x_m, ball_y_m, hole_x_m, hole_y_m, marker_x_m, marker_y_m, past_m, break_m, "
                      "aim_offset_m, side, distance_m, launch_mps) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    add.put(lesson).put(s.place.label).put(s.place.ball.x).put(s.place.ball.y).put(s.place.hole.x).put(s.place.hole.y);
    put(add, s.place.marker ? std::optional(s.place.marker->x) : std::nullopt);
    put(add, s.place.marker ? std::optional(s.place.marker->y) : std::nullopt);
    add.put(s.place.past_m);
    put(add, s.break_m), put(add, s.aim_offset_m);
    add.put(s.side);
    put(add, s.distance_m), put(add, s.launch_mps);
    add.go();
}

void check_station(const StoredLessonStation& s) {
    if (s.place.label.empty()) throw usage_error("a station of the lesson has no label, one such as A is wanted");
    check_place(s.place.ball, "the station's ball");
    check_place(s.place.hole, "the station's hole");
    if (s.place.marker) check_place(*s.place.marker, "the station's marker");
    check_number(s.place.past_m, 0, 5, "the station's pace", "m");
}

void check_putt(const SeenPutt& p) {
    check_number(p.own_read_m, -20, 20, "the player's own read", "m");
    check_number(p.own_read_sigma_m, 0, 5, "how well the read is known", "m");
    check_number(p.aim_sigma_deg, 0.01, 10, "how well the aim is seen", "degrees");
    if (p.stop) {
        check_place(p.stop->p, "where the ball stopped");
        check_number(p.stop->sigma_m, 0.001, 5, "how well the place of rest is known", "m");
    }
    if (p.stop && p.outcome == PuttOutcome::holed) throw usage_error("a holed putt: found a place where it stopped, none is wanted");
}

}  // namespace

LessonFile LessonFile::create(const fs::path& file) {
    std::error_code code;
    if (fs::exists(file, code)) throw Error(fmt::format("{} is there already; open it, or choose another name", file.string()));
    PartFile part(file);
    { std::ofstream empty(part.part(), std::ios::binary | std::ios::trunc); }
    {
        Database db(part.part(), Database::Access::write);
        Transaction transaction(db);
        create_lesson_tables(db, kLessonSchema);
        Statement meta(db, "INSERT INTO brae_lesson_meta VALUES (?, ?)");
        meta.put("id").put(new_uuid()).go();
        meta.put("model").put(model_version()).go();
        transaction.commit();
    }
    part.commit();
    return LessonFile(file);
}

LessonFile::LessonFile(const fs::path& file, Database::Access access) {
    std::error_code code;
    if (!fs::is_regular_file(file, code)) throw Error(fmt::format("cannot find the lesson file {}", file.string()));
    if (!is_database(file)) throw Error(fmt::format("{} is not a lesson file; one that brae lesson made is wanted", file.string()));
    // What a killed program left half done is rolled back, which a reader alone may not do.
    if (access == Database::Access::read && fs::exists(file.string() + "-journal", code)) {
        try {
            Database(file, Database::Access::write).has_table("brae_lesson_meta");
        } catch (const Error&) {
            // A file on a read-only disk: the reader says so itself where it matters.
        }
    }
    db_ = std::make_unique<Database>(file, access);
    if (!db_->has_table("brae_lesson_meta"))
        throw Error(fmt::format("{} is {} and not a lesson file; one that brae lesson made is wanted", file.string(),
                                db_->has_table("brae_meta") ? "a green file" : "another database"));
    const int schema = schema_of(*db_);
    if (schema > kLessonSchema)
        throw Error(fmt::format("{} was written by a newer brae (schema {}; this one reads up to {})", file.string(), schema, kLessonSchema));
    if (!db_->sound()) throw Error(fmt::format("{} is damaged: its pages do not hang together", file.string()));
    if (access == Database::Access::write) {
        // What is taken out is overwritten, here and in every later change.
        db_->run("PRAGMA secure_delete = ON");
        db_->run("PRAGMA foreign_keys = ON");
        if (schema < kLessonSchema) {
            Transaction transaction(*db_);
            migrate_lesson_file(*db_, schema_of(*db_), lesson_steps());
            transaction.commit();
        }
    }
}

std::string LessonFile::add_player(const StoredPlayer& player) {
    const StoredPlayer p = checked(player);
    const std::string id = new_uuid();
    Transaction transaction(*db_);
    check_name_free(p);
    Statement add(*db_, "INSERT INTO players (id, name, handicap, hand, usual_speed_ft, note) VALUES (?, ?, ?, ?, ?, ?)");
    add.put(id).put(p.name).put(p.handicap).put(p.hand);
    put(add, p.usual_speed_ft);
    add.put(p.note).go();
    transaction.commit();
    return id;
}

void LessonFile::check_name_free(const StoredPlayer& p) {
    for (const StoredPlayer& other : players())
        if (other.id != p.id && same_name(other.name, p.name)) throw usage_error(fmt::format("the player {} is there already; another name or code is wanted", quote(other.name)));
}

void LessonFile::change_player(const StoredPlayer& changed) {
    const StoredPlayer p = checked(changed);
    Transaction transaction(*db_);
    player(p.id);
    check_name_free(p);
    Statement change(*db_, "UPDATE players SET name = ?, handicap = ?, hand = ?, usual_speed_ft = ?, note = ? WHERE id = ?");
    change.put(p.name).put(p.handicap).put(p.hand);
    put(change, p.usual_speed_ft);
    change.put(p.note).put(p.id).go();
    transaction.commit();
}

std::vector<StoredPlayer> LessonFile::players() {
    std::vector<StoredPlayer> out;
    Statement rows(*db_, "SELECT id, name, handicap, hand, usual_speed_ft, note FROM players ORDER BY name");
    while (rows.row()) {
        StoredPlayer p;
        p.id = rows.text(), p.name = rows.text(), p.handicap = rows.text(), p.hand = rows.text();
        p.usual_speed_ft = number(rows);
        p.note = rows.text();
        out.push_back(std::move(p));
    }
    return out;
}

StoredPlayer LessonFile::player(const std::string& name_or_id) {
    std::string known;
    const std::vector<StoredPlayer> all = players();
    // As it is written first: older files may hold two names that differ in case or in a space alone.
    for (const StoredPlayer& p : all)
        if (p.id == name_or_id || p.name == name_or_id) return p;
    for (const StoredPlayer& p : all) {
        if (same_name(p.name, name_or_id)) return p;
        known += (known.empty() ? "" : ", ") + p.name;
    }
    throw usage_error(fmt::format("{} holds no player {}; {}", db_->file().string(), quote(name_or_id), known.empty() ? "it holds none yet" : "it holds " + known));
}

void LessonFile::erase_player(const std::string& id) {
    {
        Transaction transaction(*db_);
        player(id);
        const std::string mine = "(SELECT id FROM lessons WHERE player = ?)";
        for (const std::string& sql : {"DELETE FROM putt_marks WHERE putt IN (SELECT id FROM putts WHERE lesson IN " + mine + ")",
                                       "DELETE FROM putts WHERE lesson IN " + mine, "DELETE FROM lesson_stations WHERE lesson IN " + mine,
                                       std::string("DELETE FROM lessons WHERE player = ?"), std::string("DELETE FROM baseline_putts WHERE player = ?"),
                                       std::string("DELETE FROM putters WHERE player = ?"), std::string("DELETE FROM players WHERE id = ?")})
            Statement(*db_, sql).put(id).go();
        transaction.commit();
    }
    db_->run("VACUUM");
}

void LessonFile::add_baseline(const std::string& who, const std::vector<BaselinePutt>& putts, const std::string& source, const std::string& date) {
    Transaction transaction(*db_);
    player(who);
    Statement add(*db_, "INSERT INTO baseline_putts (player, date, source, aim_deg, face_deg, path_deg, start_deg, strike_mm, ball_speed_mps, distance_m) "
                        "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    for (const BaselinePutt& p : putts) {
        add.put(who).put(date).put(source);
        for (const auto& v : {p.aim_deg, p.face_deg, p.path_deg, p.start_deg, p.strike_mm, p.ball_speed_mps, p.distance_m}) put(add, v);
        add.go();
    }
    transaction.commit();
}

std::vector<StoredBaselinePutt> LessonFile::baseline(const std::string& who) {
    std::vector<StoredBaselinePutt> out;
    Statement rows(*db_, "SELECT date, source, aim_deg, face_deg, path_deg, start_deg, strike_mm, ball_speed_mps, distance_m FROM baseline_putts WHERE player = ? ORDER BY id");
    rows.put(who);
    while (rows.row()) {
        StoredBaselinePutt b;
        b.date = rows.text(), b.source = rows.text();
        for (auto* v : {&b.putt.aim_deg, &b.putt.face_deg, &b.putt.path_deg, &b.putt.start_deg, &b.putt.strike_mm, &b.putt.ball_speed_mps, &b.putt.distance_m}) *v = number(rows);
        out.push_back(b);
    }
    return out;
}

void LessonFile::add_putter(const std::string& who, const StoredPutter& p) {
    if (p.when != "before" && p.when != "after") throw usage_error(fmt::format("the putter's setting: found {}, before or after is wanted", quote(p.when)));
    check_number(p.loft_deg, -5, 15, "the putter's loft", "degrees");
    check_number(p.lie_deg, 45, 90, "the putter's lie", "degrees");
    check_number(p.length_m, 0.3, 1.6, "the putter's length", "m");
    Transaction transaction(*db_);
    player(who);
    Statement add(*db_, "INSERT INTO putters (player, date, moment, loft_deg, lie_deg, length_m, sight_line, note) VALUES (?, ?, ?, ?, ?, ?, ?, ?)");
    add.put(who).put(p.date).put(p.when);
    put(add, p.loft_deg), put(add, p.lie_deg), put(add, p.length_m);
    add.put(p.sight_line).put(p.note).go();
    transaction.commit();
}

std::vector<StoredPutter> LessonFile::putters(const std::string& who) {
    std::vector<StoredPutter> out;
    Statement rows(*db_, "SELECT date, moment, loft_deg, lie_deg, length_m, sight_line, note FROM putters WHERE player = ? ORDER BY id");
    rows.put(who);
    while (rows.row()) {
        StoredPutter p;
        p.date = rows.text(), p.when = rows.text();
        p.loft_deg = number(rows), p.lie_deg = number(rows), p.length_m = number(rows);
        p.sight_line = rows.text(), p.note = rows.text();
        out.push_back(std::move(p));
    }
    return out;
}

std::string LessonFile::start_lesson(const StoredLesson& l) {
    check_number(l.green_speed_ft, kSlowestGreenFt, kFastestGreenFt, "the green speed of the lesson", "ft");
    check_number(l.green_speed_sigma_ft, 0, 5, "how well the green speed is known", "ft");
    if (l.green_id.empty()) throw usage_error("the lesson names no green; the id of a green file is wanted");
    std::set<std::string> labels;
    for (const StoredLessonStation& s : l.stations) {
        check_station(s);
        if (!labels.insert(s.place.label).second) throw usage_error(fmt::format("two stations of the lesson are called {}, a label of its own is wanted for each", quote(s.place.label)));
    }
    const std::string id = new_uuid();
    Transaction transaction(*db_);
    player(l.player);
    Statement add(*db_, "INSERT INTO lessons (id, player, green_id, green_name, surface_revision, green_speed_ft, green_speed_sigma_ft, date, note, model) "
                        "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    add.put(id).put(l.player).put(l.green_id).put(l.green_name).put(l.surface_revision).put(l.green_speed_ft).put(l.green_speed_sigma_ft);
    add.put(l.date).put(l.note).put(model_version()).go();
    for (const StoredLessonStation& s : l.stations) put_station(*db_, id, s);
    transaction.commit();
    return id;
}

std::string LessonFile::add_station(const std::string& id, const StoredLessonStation& s) {
    check_station(s);
    Transaction transaction(*db_);
    for (const StoredLessonStation& other : lesson(id).stations)
        if (other.place.label == s.place.label) throw usage_error(fmt::format("the lesson has a station {} already, another label is wanted", quote(s.place.label)));
    put_station(*db_, id, s);
    transaction.commit();
    return s.place.label;
}

std::vector<StoredLesson> LessonFile::lessons(const std::string& who) {
    std::vector<StoredLesson> out;
    Statement rows(*db_, fmt::format("SELECT id, player, green_id, green_name, surface_revision, green_speed_ft, green_speed_sigma_ft, date, note, model "
                                     "FROM lessons {} ORDER BY number", who.empty() ? "" : "WHERE player = ?"));
    if (!who.empty()) rows.put(who);
    while (rows.row()) {
        StoredLesson l;
        l.id = rows.text(), l.player = rows.text(), l.green_id = rows.text(), l.green_name = rows.text();
        l.surface_revision = static_cast<int>(rows.integer());
        l.green_speed_ft = rows.number(), l.green_speed_sigma_ft = rows.number();
        l.date = rows.text(), l.note = rows.text(), l.model = rows.text();
        out.push_back(std::move(l));
    }
    for (StoredLesson& l : out) {
        Statement stations(*db_, "SELECT label, ball_x_m, ball_y_m, hole_x_m, hole_y_m, marker_x_m, marker_y_m, past_m, break_m, aim_offset_m, side, distance_m, "
                                 "launch_mps FROM lesson_stations WHERE lesson = ? ORDER BY id");
        stations.put(l.id);
        while (stations.row()) {
            StoredLessonStation s;
            s.place.label = stations.text();
            s.place.ball = {stations.number(), 0}, s.place.ball.y = stations.number();
            s.place.hole = {stations.number(), 0}, s.place.hole.y = stations.number();
            const auto x = number(stations), y = number(stations);
            if (x && y) s.place.marker = Vec2{*x, *y};
            s.place.past_m = stations.number();
            s.break_m = number(stations), s.aim_offset_m = number(stations);
            s.side = stations.text();
            s.distance_m = number(stations), s.launch_mps = number(stations);
            l.stations.push_back(std::move(s));
        }
    }
    return out;
}

StoredLesson LessonFile::lesson(const std::string& id) {
    for (StoredLesson& l : lessons())
        if (l.id == id) return l;
    throw usage_error(fmt::format("{} holds no lesson {}", db_->file().string(), quote(id)));
}

std::string LessonFile::add_putt(const std::string& lesson, const StoredPutt& putt) { return add_putts(lesson, {putt}).front(); }

std::vector<std::string> LessonFile::add_putts(const std::string& id, const std::vector<StoredPutt>& putts) {
    Transaction transaction(*db_);
    const std::vector<std::string> ids = put_putts(id, putts);
    transaction.commit();
    return ids;
}

std::vector<std::string> LessonFile::put_putts(const std::string& id, const std::vector<StoredPutt>& putts) {
    std::vector<std::string> ids;
    const StoredLesson l = lesson(id);
    Statement add(*db_, "INSERT INTO putts (id, lesson, station, outcome, phase, own_read_m, own_read_sigma_m, aim, aim_sigma_deg, gate, strike, marker_seen, "
                        "stop_x_m, stop_y_m, stop_source, stop_sigma_m, at, note) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
    for (const StoredPutt& stored : putts) {
        const SeenPutt& p = stored.seen;
        if (p.station < 0 || static_cast<std::size_t>(p.station) >= l.stations.size())
            throw usage_error(fmt::format("the putt is at station number {}, and the lesson has {}", p.station + 1, l.stations.size()));
        check_putt(p);
        const LessonStation& at = l.stations[static_cast<std::size_t>(p.station)].place;
        if (const double length = distance(at.ball, at.hole); p.own_read_m && std::abs(*p.own_read_m) > length)
            throw usage_error(fmt::format("the own read is {:.2f} m beside the hole, more than the {:.2f} m of the putt at station {}; less is wanted", *p.own_read_m, length, at.label));
        ids.push_back(stored.id.empty() ? new_uuid() : stored.id);
        add.put(ids.back()).put(id).put(l.stations[static_cast<std::size_t>(p.station)].place.label).put(kOutcomeWords[static_cast<std::size_t>(p.outcome)]);
        put(add, word_of(kPhaseWords, p.phase));
        put(add, p.own_read_m);
        put(add, p.own_read_m ? std::optional(p.own_read_sigma_m) : std::nullopt);
        put(add, word_of(kAimWords, p.aim));
        put(add, p.aim ? std::optional(p.aim_sigma_deg) : std::nullopt);
        put(add, word_of(kGateWords, p.gate));
        put(add, word_of(kStrikeWords, p.strike));
        if (p.marker_seen) add.put(*p.marker_seen);
        else add.put_null();
        put(add, p.stop ? std::optional(p.stop->p.x) : std::nullopt);
        put(add, p.stop ? std::optional(p.stop->p.y) : std::nullopt);
        put(add, p.stop ? word_of(kStopWords, p.stop->source) : nullptr);
        put(add, p.stop ? p.stop->sigma_m : std::nullopt);
        add.put(stored.at).put(stored.note).go();
    }
    return ids;
}

std::vector<StoredPutt> LessonFile::putts(const std::string& id, bool with_undone) {
    const StoredLesson l = lesson(id);
    std::vector<StoredPutt> out;
    Statement rows(*db_, "SELECT id, station, outcome, phase, own_read_m, own_read_sigma_m, aim, aim_sigma_deg, gate, strike, marker_seen, stop_x_m, stop_y_m, "
                         "stop_source, stop_sigma_m, at, note, (SELECT mark FROM putt_marks WHERE putt = putts.id ORDER BY number DESC LIMIT 1) "
                         "FROM putts WHERE lesson = ? ORDER BY number");
    rows.put(id);
    const fs::path& name = db_->file();
    while (rows.row()) {
        StoredPutt p;
        p.id = rows.text();
        const std::string label = rows.text();
        const auto at = std::find_if(l.stations.begin(), l.stations.end(), [&](const auto& s) { return s.place.label == label; });
        if (at == l.stations.end()) throw Error(fmt::format("{} is damaged: a putt is at the station {}, which its lesson has not", name.string(), quote(label)));
        p.seen.station = static_cast<int>(at - l.stations.begin());
        const auto outcome = value_of<PuttOutcome>(kOutcomeWords, rows.text(), name);
        if (!outcome) throw Error(fmt::format("{} is damaged: a putt has no outcome", name.string()));
        p.seen.outcome = *outcome;
        p.seen.phase = value_of<PuttPhase>(kPhaseWords, rows.text(), name);
        p.seen.own_read_m = number(rows);
        if (const auto sigma = number(rows)) p.seen.own_read_sigma_m = *sigma;
        p.seen.aim = value_of<SeenAim>(kAimWords, rows.text(), name);
        if (const auto sigma = number(rows)) p.seen.aim_sigma_deg = *sigma;
        p.seen.gate = value_of<GateSide>(kGateWords, rows.text(), name);
        p.seen.strike = value_of<StrikePlace>(kStrikeWords, rows.text(), name);
        if (const auto seen = number(rows)) p.seen.marker_seen = *seen != 0;
        const auto x = number(rows), y = number(rows);
        const auto source = value_of<StopSource>(kStopWords, rows.text(), name);
        const auto sigma = number(rows);
        if (x && y) p.seen.stop = StopPlace{{*x, *y}, source, sigma};
        p.at = rows.text(), p.note = rows.text();
        p.undone = rows.text() == "undone";
        if (with_undone || !p.undone) out.push_back(std::move(p));
    }
    return out;
}

void LessonFile::undo(const std::string& putt) {
    Transaction transaction(*db_);
    Statement find(*db_, "SELECT 1 FROM putts WHERE id = ?");
    if (!find.put(putt).row()) throw usage_error(fmt::format("{} holds no putt {}", db_->file().string(), quote(putt)));
    Statement(*db_, "INSERT INTO putt_marks (putt, mark) VALUES (?, 'undone')").put(putt).go();
    transaction.commit();
}

void LessonFile::restore(const std::string& putt) {
    Transaction transaction(*db_);
    Statement find(*db_, "SELECT 1 FROM putts WHERE id = ?");
    if (!find.put(putt).row()) throw usage_error(fmt::format("{} holds no putt {}", db_->file().string(), quote(putt)));
    Statement corrected(*db_, "SELECT 1 FROM putt_marks WHERE putt = ? AND mark = 'corrected'");
    if (corrected.put(putt).row()) throw usage_error("this putt was corrected and would count twice; correct the one in its place instead");
    Statement(*db_, "INSERT INTO putt_marks (putt, mark) VALUES (?, 'restored')").put(putt).go();
    transaction.commit();
}

std::string LessonFile::undo_last(const std::string& id) {
    Transaction transaction(*db_);
    const std::vector<StoredPutt> left = putts(id);
    if (left.empty()) return {};
    Statement(*db_, "INSERT INTO putt_marks (putt, mark) VALUES (?, 'undone')").put(left.back().id).go();
    transaction.commit();
    return left.back().id;
}

std::string LessonFile::correct_putt(const std::string& id, const std::string& putt, const StoredPutt& with) {
    Transaction transaction(*db_);
    Statement find(*db_, "SELECT 1 FROM putts WHERE id = ? AND lesson = ?");
    if (!find.put(putt).put(id).row()) throw usage_error(fmt::format("the lesson holds no putt {}", quote(putt)));
    Statement last(*db_, "SELECT mark FROM putt_marks WHERE putt = ? ORDER BY number DESC LIMIT 1");
    if (last.put(putt).row() && last.text() == "undone") throw usage_error("the putt to put right does not count any more, one that counts is wanted");
    for (const char* mark : {"corrected", "undone"}) Statement(*db_, "INSERT INTO putt_marks (putt, mark) VALUES (?, ?)").put(putt).put(mark).go();
    StoredPutt anew = with;
    anew.id.clear();
    const std::string fresh = put_putts(id, {anew}).front();
    // The new row takes the place of the old one in the order of the putts.
    const auto number = [&](const std::string& of) {
        Statement row(*db_, "SELECT number FROM putts WHERE id = ?");
        row.put(of).row();
        return row.integer();
    };
    const auto renumber = [&](const std::string& of, auto to) { Statement(*db_, "UPDATE putts SET number = ? WHERE id = ?").put(to).put(of).go(); };
    const auto place = number(putt), end = number(fresh);
    renumber(putt, -1);
    renumber(fresh, place);
    renumber(putt, end);
    transaction.commit();
    return fresh;
}

std::string check_green(const StoredLesson& lesson, const Green& green) {
    if (lesson.green_id != green.id)
        throw usage_error(fmt::format("the lesson was held on another green ({}, id {}), not on {} (id {})", lesson.green_name.empty() ? "without a name" : lesson.green_name,
                                      lesson.green_id, green.name, green.id));
    if (lesson.surface_revision == green.surface_revision) return {};
    return fmt::format("the lesson was held on surface revision {} of this green, which is now at {}: its stations are worked out anew, and their breaks may differ "
                       "from what was set out", lesson.surface_revision, green.surface_revision);
}

Lesson lesson_of(const StoredLesson& stored, const std::vector<StoredPutt>& putts) {
    Lesson out;
    out.green_speed_ft = stored.green_speed_ft;
    out.green_speed_sigma_ft = stored.green_speed_sigma_ft;
    for (const StoredLessonStation& s : stored.stations) out.stations.push_back(s.place);
    for (const StoredPutt& p : putts)
        if (!p.undone) out.putts.push_back(p.seen);
    return out;
}

}  // namespace brae
