// The putts of a lesson: taken down, saved, undone, and worked out.
#include "plugins/practice_stations/lesson_model.h"

#include "core/survey/text_file.h"
#include "core/teach/side_doubt.h"
#include "plugins/practice_stations/clock.h"

#include <algorithm>
#include <fmt/format.h>
#include <imgui.h>
#include <utility>

namespace brae::practice_stations {

namespace fs = std::filesystem;

namespace {

// An arrow ends a putt: one that is held down must not end the next ones as well. The host repeats arrows for tools that nudge.
bool is_repeat(plugin::ToolKey key) {
    constexpr std::pair<plugin::ToolKey, ImGuiKey_> kArrows[] = {{plugin::ToolKey::up, ImGuiKey_UpArrow}, {plugin::ToolKey::down, ImGuiKey_DownArrow},
                                                                 {plugin::ToolKey::left, ImGuiKey_LeftArrow}, {plugin::ToolKey::right, ImGuiKey_RightArrow}};
    for (const auto& [tool, arrow] : kArrows) {
        if (key != tool) continue;
        const int index = ImGui::GetKeyIndex(arrow);
        return index >= 0 && ImGui::GetIO().KeysDownDuration[index] > 0;
    }
    return false;
}

}  // namespace

// ---- In hand.

void LessonModel::take_in_hand() {
    if (!lesson_) return;
    plugin::GroundTool tool;
    tool.press = [this](const plugin::Pointer& at) {
        const EntryDo what = entry_.click(at.p);
        act(what);
        return what != EntryDo::nothing;
    };
    tool.key = [this](plugin::ToolKey key, bool shift) {
        // Escape with a number half typed only takes that back; else it ends the tool, which is a pause.
        if (key == plugin::ToolKey::escape && entry_.typing() == TypedFor::nothing) return false;
        if (is_repeat(key)) return true;
        const EntryDo what = entry_.key(key, shift);
        act(what);
        return what != EntryDo::nothing;
    };
    tool.letter = [this](char letter) {
        const EntryDo what = entry_.letter(letter);
        act(what);
        return what != EntryDo::nothing;
    };
    tool.ended = [this] {
        in_hand_ = false;
        services_.document.redraw();
    };
    services_.tools.take(std::move(tool));
    in_hand_ = true;
    say_prompt();
}

void LessonModel::pause() {
    services_.tools.put_down();
    in_hand_ = false;
}

void LessonModel::say_prompt() {
    if (!in_hand() || !lesson_) return;
    // The panel has the whole sentence.
    static constexpr const char* kShort[] = {"click the player's own read", "click where it stopped, then how it ended", "click where it stopped, or Enter for the next putt", "which is it?"};
    services_.tools.say(fmt::format("Station {}: {}", lesson_->stations[static_cast<std::size_t>(entry_.station())].place.label, kShort[static_cast<std::size_t>(entry_.step())]));
}

void LessonModel::act(EntryDo what) {
    switch (what) {
        case EntryDo::nothing: return;
        case EntryDo::shown: break;
        case EntryDo::save:
        case EntryDo::put_right: {
            StoredPutt putt;
            putt.seen = entry_.seen();
            putt.at = this_minute();
            if (entry_.phase() == PuttPhase::mark) putt.note = std::string(trimmed(mark));
            store(putt, what == EntryDo::put_right);
            break;
        }
        case EntryDo::next: entry_.next(); break;
        case EntryDo::suggested: go_to_suggested(); break;
        case EntryDo::undo: undo(); break;
        case EntryDo::redo: redo(); break;
    }
    show_putt();
    say_prompt();
    services_.document.redraw();
}

// What the window tells of a putt, and where its views stand, is that of the station. Where it is that already nothing happens.
void LessonModel::show_putt() {
    if (!lesson_ || lesson_->stations.empty()) return;
    const LessonStation& place = lesson_->stations[static_cast<std::size_t>(entry_.station())].place;
    if (now().ball != place.ball || now().hole != place.hole || now().past_m != place.past_m) services_.edits.set_putt(place.ball, place.hole, place.past_m);
}

void LessonModel::go_to_suggested() {
    if (!up_to_date() || result_->next.empty()) {
        message_ = working() ? "the putts are still being worked out" : "nothing is suggested yet";
        return;
    }
    const NextPutt& next = result_->next.front();
    entry_.go_to(next.station, next.own_read ? PuttPhase::own_read : PuttPhase::marker);
}

// In the file at once; what it refuses is held and shown as not saved.
void LessonModel::store(const StoredPutt& putt, bool put_right) {
    message_.clear();
    undone_.clear();
    if (put_right && !unsaved_.empty()) {
        unsaved_.back() = putt;
        flush();
    } else if (put_right && !putts_.empty()) {
        if (!guarded([&] { file_->correct_putt(lesson_->id, putts_.back().id, putt); })) {
            message_ = "Not put right: " + message_;
            return;
        }
    } else {
        unsaved_.push_back(putt);
        flush();
    }
    load_putts();
    entry_.saved();
    question();
    changed_putts();
}

void LessonModel::flush() {
    if (unsaved_.empty() || !lesson_) return;
    // All or none: the order of the putts stays.
    if (guarded([&] { file_->add_putts(lesson_->id, unsaved_); })) {
        unsaved_.clear();
        return;
    }
    message_ = fmt::format("{} not in the file: {}. Go on; it is tried again with each putt.",
                           unsaved_.size() == 1 ? "The last putt is" : fmt::format("The last {} putts are", unsaved_.size()), message_);
}

void LessonModel::load_putts() {
    // What another program added to the lesson comes along.
    std::vector<StoredPutt> there;
    const std::string before = message_;
    if (!guarded([&] { there = file_->putts(lesson_->id); })) {
        // The file cannot be read now: go on with what is known.
        there.assign(putts_.begin(), putts_.end());
        std::erase_if(there, [](const StoredPutt& p) { return p.id.empty(); });
        if (!before.empty()) message_ = before;
    }
    putts_ = std::move(there);
    putts_.insert(putts_.end(), unsaved_.begin(), unsaved_.end());
}

void LessonModel::save_again() {
    message_.clear();
    flush();
    load_putts();
    if (unsaved_.empty() && message_.empty()) message_ = "All putts are in the file.";
}

void LessonModel::ask_elsewhere() {
    services_.files.ask_save("Go on in another lesson file", "lessons-2.brae-lesson", "brae-lesson", [this](fs::path file) { save_elsewhere(file); });
}

void LessonModel::save_elsewhere(const fs::path& file) {
    if (!file_ || !lesson_) return;
    message_.clear();
    std::unique_ptr<LessonFile> other;
    const bool went = guarded([&] {
        std::error_code code;
        if (fs::exists(file, code)) throw Error(fmt::format("{} is there already; another name is wanted", file.string()));
        fs::copy_file(file_->file(), file, code);
        if (code) {
            std::error_code ignored;
            fs::remove(file, ignored);
            throw Error(fmt::format("{} cannot be written: {}", file.string(), code.message()));
        }
        other = std::make_unique<LessonFile>(file);
        other->wait_at_most(kLockWaitMs);
        if (!unsaved_.empty()) other->add_putts(lesson_->id, unsaved_);
    });
    if (!went) return;
    file_ = std::move(other);
    unsaved_.clear();
    load_putts();
    message_ = fmt::format("The lesson goes on in {}; the old file stays as it was.", file_name());
}

void LessonModel::undo() {
    if (!lesson_) return;
    message_.clear();
    if (entry_.step() == EntryStep::doubt) entry_.next();
    if (!unsaved_.empty()) {
        unsaved_.pop_back();
        load_putts();
        message_ = "The last putt, which was not in the file, is taken back.";
    } else {
        std::string id;
        if (!guarded([&] { id = file_->undo_last(lesson_->id); })) return;
        if (id.empty()) {
            message_ = "This lesson has no putt to take back.";
            return;
        }
        undone_.push_back(id);
        load_putts();
        message_ = "The last putt is taken back; Ctrl+Y brings it again.";
    }
    entry_.next();
    changed_putts();
}

void LessonModel::redo() {
    if (!lesson_ || undone_.empty()) {
        message_ = "There is no putt to bring back.";
        return;
    }
    message_.clear();
    if (!guarded([&] { file_->restore(undone_.back()); })) return;
    undone_.pop_back();
    load_putts();
    entry_.next();
    changed_putts();
    message_ = "The putt is back.";
}

std::string LessonModel::hides_read() const {
    if (!lesson_ || !hide_read || lesson_->stations.empty()) return {};
    if (!show_true) return "The read is hidden in this lesson, as its true lines are.";
    const std::string& station = lesson_->stations[static_cast<std::size_t>(entry_.station())].place.label;
    if (entry_.own_line_waits()) return fmt::format("The read is hidden until the player's own read of putt {}, station {}, is told.", putts_.size() + 1, station);
    if (entry_.line_hidden()) return fmt::format("The read is hidden while putt {}, station {}, is hit with the marker hidden.", putts_.size() + 1, station);
    return {};
}

int LessonModel::putts_at(int station) const {
    return static_cast<int>(std::count_if(putts_.begin(), putts_.end(), [&](const StoredPutt& p) { return p.seen.station == station; }));
}

// Side and place against one another, by the station's rolls.
void LessonModel::question() {
    if (putts_.empty() || !tables_) return;
    const SeenPutt& seen = putts_.back().seen;
    const StationResponse* at = tables_->of(seen.station);
    if (!at) return;
    const auto doubt = side_doubt(*at, seen);
    if (!doubt) return;
    doubt_ = fmt::format("Putt {}: {}", putts_.size(), to_text(*doubt, *at, now().units == plugin::Units::feet));
    entry_.in_doubt(SeenPutt(seen), doubt->likelier);
}

// ---- The work beside the window.

std::optional<double> LessonModel::working() const {
    const double each = earlier_.empty() ? 1.0 / 2 : 1.0 / 3;
    if (const auto tables = services_.jobs.progress(kTables)) return each * *tables;
    if (const auto earlier = services_.jobs.progress(kEarlier)) return each * (1 + *earlier);
    if (const auto estimate = services_.jobs.progress(kEstimate)) return 1 - each + each * *estimate;
    return std::nullopt;
}

void LessonModel::changed_putts() {
    ++version_;
    start_estimate();
}

void LessonModel::start_tables() {
    if (!lesson_ || !now().green) return;
    services_.jobs.cancel(kEarlier);
    services_.jobs.cancel(kEstimate);
    tables_.reset();
    result_.reset();
    trouble_.clear();
    ++version_;
    plugin::Job job;
    job.key = kTables;
    job.title = "Rolling balls from the stations";
    job.work = [this, terrain = now().green->terrain, lesson = *lesson_](Progress& progress) -> std::function<void()> {
        auto made = std::make_shared<LessonTables>(table_stations(terrain, lesson, progress));
        return [this, made] {
            tables_ = made;
            for (const std::string& s : made->refused) trouble_ += (trouble_.empty() ? "" : "; ") + s;
            // Another surface tells something else of the earlier lessons too.
            earlier_in_ = earlier_.empty();
            start_estimate();
        };
    };
    job.failed = [this](const std::string& sentence) { trouble_ = sentence; };
    services_.jobs.start(std::move(job));
}

void LessonModel::start_earlier() {
    if (!lesson_ || !tables_) return;
    plugin::Job job;
    job.key = kEarlier;
    job.title = "Working out the earlier lessons";
    job.work = [this, terrain = tables_->terrain, earlier = earlier_, first = first_](Progress& progress) -> std::function<void()> {
        return [this, made = prior_of(terrain, earlier, first, progress)] {
            prior_ = made;
            earlier_in_ = true;
            start_estimate();
        };
    };
    // Without them, then: the putts of this lesson are told all the same.
    job.failed = [this](const std::string& sentence) {
        trouble_ = "the earlier lessons do not count: " + sentence;
        before_ = {};
        earlier_in_ = true;
        start_estimate();
    };
    services_.jobs.start(std::move(job));
}

void LessonModel::start_estimate() {
    if (!lesson_ || !tables_) return;
    // What came before comes first; the putts that were taken down meanwhile follow.
    if (!earlier_in_) {
        if (!services_.jobs.progress(kEarlier)) start_earlier();
        return;
    }
    // A newer one cancels the older.
    plugin::Job job;
    job.key = kEstimate;
    job.title = "Working out the putts";
    job.work = [this, tables = tables_, lesson = *lesson_, putts = putts_, prior = prior_, version = version_](Progress& progress) -> std::function<void()> {
        auto made = std::make_shared<LessonResult>(work_out(*tables, lesson, putts, prior, progress));
        return [this, made, version] {
            result_ = made;
            worked_out_ = version;
        };
    };
    job.failed = [this](const std::string& sentence) { trouble_ = sentence; };
    services_.jobs.start(std::move(job));
}

}  // namespace brae::practice_stations
