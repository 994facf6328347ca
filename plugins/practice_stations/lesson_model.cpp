#include "plugins/practice_stations/lesson_model.h"

#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/base/safe_file.h"
#include "core/base/units.h"
#include "core/export/lesson_sheets.h"
#include "core/record/green_queries.h"
#include "core/survey/text_file.h"

#include <algorithm>
#include <cstdlib>
#include <fmt/format.h>
#include <utility>

namespace brae::practice_stations {

namespace fs = std::filesystem;

namespace {

constexpr const char* kPuttsCsv = "Putts of the lesson (CSV)";
constexpr const char* kPlayerJson = "All of the player (JSON)";
constexpr const char* kPlayerPage = "Player's page (PDF)";
constexpr const char* kCoachReport = "Coach's report (PDF)";

StoredLessonStation stored(const PracticeStation& p) {
    StoredLessonStation out;
    out.place = {p.label, p.ball, p.hole, p.marker, p.past_m};
    out.break_m = p.break_m, out.aim_offset_m = p.aim_offset_m, out.distance_m = p.distance_m, out.launch_mps = p.launch_mps, out.side = to_text(p.side);
    return out;
}

bool same_place(const StoredLessonStation& a, const PracticeStation& b) {
    return distance(a.place.ball, b.ball) < 0.005 && distance(a.place.hole, b.hole) < 0.005 && std::abs(a.place.past_m - b.past_m) < 1e-9;
}

}  // namespace

LessonModel::LessonModel(plugin::Services& services) : services_(services) {
    if (const double pace = std::atof(services_.settings.get("pace").c_str()); pace >= 0.5 && pace <= 1.3) entry_.set_pace(pace);
    entry_.set_usually_cups(services_.settings.get("reads") == "hole widths");
    units_changed();

    // Out of the file again, for the player.
    const auto offer = [&](const char* title, const char* ending, std::function<bool()> ready, auto words) {
        plugin::Export e;
        e.title = title, e.extension = ending, e.file_name = std::string("lesson.") + ending, e.ready = std::move(ready);
        e.prepare = [this, words] {
            return [from = file_->file(), lesson = lesson_ ? lesson_->id : "", player = player_, words](const fs::path& to, Progress& progress) {
                progress.step(0.1, "writing");
                LessonFile read(from, Database::Access::read);
                write_file_safely(to, words(read, lesson, player));
            };
        };
        services_.exports.add(std::move(e));
    };
    offer(kPuttsCsv, "csv", [this] { return file_ && lesson_; }, [](LessonFile& f, const std::string& lesson, const std::string&) { return putts_as_csv(f, lesson); });
    // On paper, worked out anew from the file; the coach's with the lessons before.
    for (const bool coach : {false, true}) {
        plugin::Export e;
        e.title = coach ? kCoachReport : kPlayerPage, e.extension = "pdf", e.file_name = coach ? "coach.pdf" : "player.pdf";
        e.ready = [this] { return file_ && lesson_ && now().green && !putts_.empty(); };
        e.prepare = [this, coach] {
            return [from = file_->file(), id = lesson_->id, green = now().green, feet = now().units == plugin::Units::feet, coach](const fs::path& to, Progress& progress) {
                LessonFile read(from, Database::Access::read);
                const StoredLesson lesson = read.lesson(id);
                LessonSheetRequest request;
                request.reader = coach ? LessonReader::coach : LessonReader::player;
                request.feet_and_inches = feet;
                request.note = check_green(lesson, *green);
                write_lesson_sheet(*green, work_out_lesson(read, lesson, *green, coach, progress), request, to);
            };
        };
        services_.exports.add(std::move(e));
    }
    offer(kPlayerJson, "json", [this] { return file_ && !player_.empty(); }, [](LessonFile& f, const std::string&, const std::string& player) { return player_as_json(f, player); });
}

void LessonModel::ask_page(bool coach) { services_.exports.ask(coach ? kCoachReport : kPlayerPage); }

// ---- The file.

void LessonModel::ask_open() {
    services_.files.ask_open("Open a lesson file", [this](fs::path file) { open_file(file); }, {kLessonEnding});
}
void LessonModel::ask_new() {
    services_.files.ask_save("Make a lesson file", "lessons.brae-lesson", "brae-lesson", [this](fs::path file) { make_file(file); });
}

void LessonModel::open_file(const fs::path& file) {
    message_.clear();
    guarded([&] {
        auto opened = std::make_unique<LessonFile>(file);
        opened->wait_at_most(kLockWaitMs);
        opened->players();
        close_file();
        file_ = std::move(opened);
        load_players();
        // With one player there is nothing to choose.
        if (players_.size() == 1) choose_player(players_.front().id);
    });
    services_.document.redraw();
}

void LessonModel::make_file(const fs::path& file) {
    message_.clear();
    guarded([&] {
        auto made = std::make_unique<LessonFile>(LessonFile::create(file));
        made->wait_at_most(kLockWaitMs);
        close_file();
        file_ = std::move(made);
        load_players();
        want_keyboard = true;
    });
    services_.document.redraw();
}

void LessonModel::close_file() {
    leave_player();
    file_.reset();
    players_.clear();
}

// ---- Players.

void LessonModel::load_players() { players_ = file_->players(); }

const StoredPlayer* LessonModel::player() const {
    const auto found = std::find_if(players_.begin(), players_.end(), [&](const StoredPlayer& p) { return p.id == player_; });
    return found == players_.end() ? nullptr : &*found;
}

void LessonModel::choose_player(const std::string& id) {
    leave_player();
    player_ = id;
    guarded([&] {
        load_baseline();
        load_putters();
        load_lessons();
    });
}

void LessonModel::leave_player() {
    leave_lesson();
    player_.clear();
    lessons_.clear();
    baseline_.clear();
    putters_.clear();
    putter_.reset();
    putter_speed_ft_.reset();
    services_.jobs.cancel(kPutter);
    first_ = prior_ = {};
    erase_asked = false;
}

bool LessonModel::add_player() {
    if (!file_) return false;
    message_.clear();
    return guarded([&] {
        StoredPlayer p;
        p.name = std::string(trimmed(form.name));
        if (p.name.empty()) throw usage_error("the player has no name yet; a name or a code is wanted, a code for minors");
        p.hand = form.hand, p.handicap = std::string(trimmed(form.handicap));
        if (const std::string_view text = trimmed(form.usual_speed); !text.empty()) {
            const auto feet = parse_number(text);
            if (!feet || !(*feet >= kSlowestGreenFt && *feet <= kFastestGreenFt))
                throw usage_error(fmt::format("usual green speed: found {}, a number of {:g} to {:g} ft is wanted, or nothing", quote(text), kSlowestGreenFt, kFastestGreenFt));
            p.usual_speed_ft = *feet;
        }
        const std::string id = file_->add_player(p);
        load_players();
        form = {};
        choose_player(id);
    });
}

void LessonModel::erase_player() {
    erase_asked = false;
    const StoredPlayer* who = player();
    if (!file_ || !who) return;
    const std::string name = who->name;
    if (!guarded([&] { file_->erase_player(player_); })) return;
    leave_player();
    guarded([&] { load_players(); });
    message_ = name + " is erased, with lessons, putts and baseline.";
}

void LessonModel::load_baseline() {
    baseline_.clear();
    for (const StoredBaselinePutt& b : file_->baseline(player_)) baseline_.push_back(b.putt);
    services_.jobs.cancel(kEarlier);
    first_ = prior_ = prior_with_baseline({}, baseline_);
    earlier_in_ = earlier_.empty();
}

void LessonModel::ask_baseline() {
    services_.files.ask_open("Baseline from a table (CSV)", [this](fs::path file) { read_baseline_file(file); }, {".csv", ".txt", ".tsv"});
}

void LessonModel::read_baseline_file(const fs::path& file) {
    if (!file_ || player_.empty()) return;
    message_.clear();
    guarded([&] {
        const std::vector<BaselinePutt> putts = read_baseline(file, {});
        file_->add_baseline(player_, putts, file.filename().string(), today());
        load_baseline();
        message_ = fmt::format("{} putts of the baseline are kept.", putts.size());
        changed_putts();
    });
    services_.document.redraw();
}

bool LessonModel::add_baseline() {
    if (!file_ || player_.empty()) return false;
    message_.clear();
    return guarded([&] {
        const auto figure = [](const std::string& text, const char* what, double most, const char* unit) -> std::optional<double> {
            const std::string_view t = trimmed(text);
            if (t.empty()) return std::nullopt;
            const auto value = parse_number(t.starts_with('+') ? t.substr(1) : t);
            if (!value || !(std::abs(*value) <= most)) throw usage_error(fmt::format("{}: found {}, a number of at most {:g} {} is wanted, or nothing", what, quote(t), most, unit));
            return value;
        };
        const BaselineForm& f = baseline_form;
        BaselinePutt putt;
        putt.aim_deg = figure(f.aim, "face at address", 45, "degrees");
        putt.face_deg = figure(f.face, "face at impact", 45, "degrees");
        putt.path_deg = figure(f.path, "path", 45, "degrees");
        putt.start_deg = figure(f.start, "start line", 45, "degrees");
        putt.strike_mm = figure(f.strike, "strike", 60, "mm");
        putt.ball_speed_mps = figure(f.speed, "ball speed", 20, "m/s");
        if (putt.ball_speed_mps && *putt.ball_speed_mps < 0.05) throw usage_error("ball speed: found less than 0.05 m/s, 0.05 to 20 m/s are wanted");
        if (!putt.aim_deg && !putt.face_deg && !putt.path_deg && !putt.start_deg && !putt.strike_mm && !putt.ball_speed_mps)
            throw usage_error("nothing of this putt is filled in; one figure at least is wanted");
        file_->add_baseline(player_, {putt}, "by hand", today());
        baseline_form = {};
        load_baseline();
        changed_putts();
    });
}

// ---- The putter.

void LessonModel::load_putters() {
    putters_ = file_->putters(player_);
    putter_.reset();
    putter_speed_ft_.reset();
}

bool LessonModel::add_putter() {
    if (!file_ || player_.empty()) return false;
    message_.clear();
    return guarded([&] {
        const bool metric = now().units == plugin::Units::metric;
        const auto figure = [](const std::string& text, const char* what, const char* unit) -> std::optional<double> {
            const std::string_view t = trimmed(text);
            if (t.empty()) return std::nullopt;
            const auto value = parse_number(t);
            if (!value) throw usage_error(fmt::format("the putter's {}: found {}, a number in {} is wanted, or nothing", what, quote(t), unit));
            return value;
        };
        const PutterForm& f = putter_form;
        StoredPutter p;
        p.date = today(), p.when = f.when, p.sight_line = std::string(trimmed(f.sight_line));
        p.loft_deg = figure(f.loft, "loft", "degrees");
        p.lie_deg = figure(f.lie, "lie", "degrees");
        if (const auto length = figure(f.length, "length", metric ? "cm" : "inches")) p.length_m = *length * (metric ? 0.01 : kInch);
        if (!p.loft_deg && !p.lie_deg && !p.length_m && p.sight_line.empty())
            throw usage_error("nothing of the putter is filled in; loft, lie, length or sight line is wanted");
        file_->add_putter(player_, p);
        putter_form = {};
        putter_form.when = "after";
        load_putters();
    });
}

const PutterEffect* LessonModel::putter() {
    if (putters_.empty()) return nullptr;
    // The same question is asked once.
    const double speed = now().green_speed_ft;
    if (putter_speed_ft_ != speed) {
        putter_speed_ft_ = speed;
        plugin::Job job;
        job.key = kPutter;
        job.title = "Skid and face of the putter";
        job.work = [this, putters = putters_, speed](Progress& progress) -> std::function<void()> {
            progress.step(0.1);
            return [this, made = putter_effect(putters, speed)] { putter_ = made; };
        };
        job.failed = [this](const std::string& sentence) { message_ = sentence; };
        services_.jobs.start(std::move(job));
    }
    return putter_ ? &*putter_ : nullptr;
}

std::optional<PlayerSpread> LessonModel::spread() const {
    if (result_ && result_->estimate.putts >= 6) return spread_of(prior_after(result_->estimate, first_));
    if (!baseline_.empty()) return spread_of(first_);
    return std::nullopt;
}

// ---- Lessons.

void LessonModel::load_lessons() {
    lessons_.clear();
    if (!file_ || player_.empty() || !now().green) return;
    for (StoredLesson& l : file_->lessons(player_))
        if (l.green_id == now().green->id) lessons_.push_back(std::move(l));
}

std::string LessonModel::why_no_start(std::size_t stations) const {
    if (!now().green) return "Open a green first.";
    if (now().green->revision == 0) return "Save the green as a green file first: a lesson names its green by that file.";
    if (stations == 0) return "Plan stations first, or add some: they are those of the lesson.";
    return {};
}

void LessonModel::start(const std::vector<PracticeStation>& stations) {
    if (!file_ || player_.empty()) return;
    message_ = why_no_start(stations.size());
    if (!message_.empty()) return;
    guarded([&] {
        const Green& green = *now().green;
        const SpeedOfDay speed = speed_of_day(green, now().green_speed_ft);
        StoredLesson l;
        l.player = player_;
        l.green_id = green.id, l.green_name = green.name, l.surface_revision = green.surface_revision;
        l.green_speed_ft = speed.speed_ft, l.green_speed_sigma_ft = speed.sigma_ft;
        l.date = today();
        for (const PracticeStation& s : stations) l.stations.push_back(stored(s));
        const std::string id = file_->start_lesson(l);
        load_lessons();
        go_on(id);
    });
}

void LessonModel::go_on(const std::string& id) {
    message_.clear();
    guarded([&] {
        StoredLesson l = file_->lesson(id);
        const std::string moved = now().green ? check_green(l, *now().green) : "";
        leave_lesson();
        lesson_ = std::move(l);
        load_putts();
        load_earlier();
        entry_.set_lesson(lesson_->stations);
        entry_.go_to(putts_.empty() ? 0 : putts_.back().seen.station, PuttPhase::own_read);
        message_ = moved;
        show_putt();
        start_tables();
        take_in_hand();
    });
    services_.document.redraw();
}

void LessonModel::leave_lesson() {
    if (in_hand_) services_.tools.put_down();
    services_.jobs.cancel(kTables);
    services_.jobs.cancel(kEarlier);
    services_.jobs.cancel(kEstimate);
    lesson_.reset();
    earlier_.clear();
    before_ = {};
    prior_ = first_;
    earlier_in_ = true;
    putts_.clear();
    unsaved_.clear();
    undone_.clear();
    tables_.reset();
    result_.reset();
    trouble_.clear();
    doubt_.clear();
}

// Each putt counts once: those of the lessons before this one here, those of this one in its own estimate.
void LessonModel::load_earlier() {
    earlier_.clear();
    before_ = {};
    for (const StoredLesson& l : file_->lessons(player_)) {
        if (l.id == lesson_->id) break;
        std::vector<StoredPutt> putts = file_->putts(l.id);
        if (putts.empty()) continue;
        if (l.green_id != lesson_->green_id) {
            ++before_.elsewhere;
            continue;
        }
        ++before_.lessons;
        before_.putts += static_cast<int>(putts.size());
        earlier_.push_back({l, std::move(putts)});
    }
    prior_ = first_;
    earlier_in_ = earlier_.empty();
}

int LessonModel::missing(const std::vector<PracticeStation>& stations) const {
    if (!lesson_) return 0;
    return static_cast<int>(std::count_if(stations.begin(), stations.end(), [&](const PracticeStation& s) {
        return std::none_of(lesson_->stations.begin(), lesson_->stations.end(), [&](const StoredLessonStation& l) { return same_place(l, s); });
    }));
}

void LessonModel::take_in(const std::vector<PracticeStation>& stations) {
    if (!lesson_) return;
    message_.clear();
    guarded([&] {
        for (const PracticeStation& s : stations) {
            if (missing({s}) == 0) continue;
            StoredLessonStation fresh = stored(s);
            const auto taken = [&](const std::string& label) {
                return std::any_of(lesson_->stations.begin(), lesson_->stations.end(), [&](const auto& l) { return l.place.label == label; });
            };
            for (char c = 'A'; taken(fresh.place.label) && c <= 'Z'; ++c) fresh.place.label = std::string(1, c);
            file_->add_station(lesson_->id, fresh);
            lesson_ = file_->lesson(lesson_->id);
        }
    });
    entry_.set_lesson(lesson_->stations);
    start_tables();
}

// ---- Events.

void LessonModel::green_opened() {
    // The file stays open; its lessons on the new green are others.
    const std::string who = player_;
    leave_lesson();
    if (file_ && !who.empty()) guarded([&] { load_lessons(); });
}

void LessonModel::green_changed() {
    // Work on the old revision is dropped by the host; the ground is the same unless the edge moved.
    if (!lesson_ || !now().green) return;
    if (tables_ && tables_->terrain == now().green->terrain) {
        if (!earlier_in_) start_earlier();
        else if (!up_to_date()) start_estimate();
    } else {
        start_tables();
    }
}

void LessonModel::units_changed() { entry_.set_units(now().units); }

void LessonModel::set_usually_cups(bool cups) {
    entry_.set_usually_cups(cups);
    services_.settings.set("reads", cups ? "hole widths" : "lengths");
}

void LessonModel::set_pace(double metres) {
    entry_.set_pace(std::clamp(metres, 0.5, 1.3));
    services_.settings.set("pace", fmt::format("{:.2f}", entry_.pace_m()));
}

}  // namespace brae::practice_stations
