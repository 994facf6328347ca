// A lesson in the window: its file, the player, the putts as they are taken down, and what they tell. Every change is in the
// file before the key returns; what the file would not take is held, said, and tried again.
#pragma once

#include "core/base/error.h"
#include "plugins/api/services.h"
#include "plugins/practice_stations/lesson_work.h"
#include "plugins/practice_stations/putter_effect.h"
#include "plugins/practice_stations/putt_entry.h"

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace brae::practice_stations {

// What is typed of a new player.
struct PlayerForm { std::string name, hand, handicap, usual_speed; };

// One putt of a baseline as it is typed: degrees with right positive, mm towards the toe, m/s off the face.
struct BaselineForm { std::string aim, face, path, start, strike, speed; };

// A setting of the putter as it is typed: degrees, the length in cm or inches.
struct PutterForm { std::string when = "before", loft, lie, length, sight_line; };

// How long a key waits for another program that holds the file; then the putt is held and tried again, and the window goes on.
inline constexpr int kLockWaitMs = 100;

// About so many putts wear the ball's spot. Common practice.
inline constexpr int kPuttsASpot = 20;

class LessonModel {
public:
    explicit LessonModel(plugin::Services& services);

    // The file.
    void ask_open();
    void ask_new();
    void open_file(const std::filesystem::path& file);
    void make_file(const std::filesystem::path& file);
    void close_file();
    bool has_file() const { return file_ != nullptr; }
    std::string file_name() const { return file_ ? file_->file().filename().string() : ""; }

    // Players.
    const std::vector<StoredPlayer>& players() const { return players_; }
    const StoredPlayer* player() const;
    void choose_player(const std::string& id);
    void leave_player();
    PlayerForm form;
    bool add_player();                                // from the form; false with a message where it cannot be
    void erase_player();                              // the chosen one, for good

    // Lessons of the player on the open green, oldest first.
    const std::vector<StoredLesson>& lessons() const { return lessons_; }
    const StoredLesson* lesson() const { return lesson_ ? &*lesson_ : nullptr; }
    // Why none can be started now, one sentence; empty where one can.
    std::string why_no_start(std::size_t stations) const;
    void start(const std::vector<PracticeStation>& stations);
    void go_on(const std::string& id);
    void leave_lesson();
    // Stations of the list that the lesson has not: they join it, under the next free letter where theirs is taken.
    int missing(const std::vector<PracticeStation>& stations) const;
    void take_in(const std::vector<PracticeStation>& stations);

    // Keys and clicks, while the lesson is in hand.
    void take_in_hand();
    void pause();
    bool in_hand() const { return in_hand_ && services_.tools.in_hand(); }
    PuttEntry& entry() { return entry_; }
    const PuttEntry& entry() const { return entry_; }
    void act(EntryDo what);
    void undo();
    void redo();
    void go_to_suggested();

    // What counts: the putts of the file and those that it would not take.
    const std::vector<StoredPutt>& putts() const { return putts_; }
    int unsaved() const { return static_cast<int>(unsaved_.size()); }
    void save_again();
    void ask_elsewhere();                             // the lesson into another file, with what could not be saved
    void save_elsewhere(const std::filesystem::path& file);
    int putts_at(int station) const;

    // What they tell. The result may be of fewer putts than there are: then work is under way.
    const LessonResult* result() const { return result_ ? &*result_ : nullptr; }
    const LessonTables* tables() const { return tables_ ? &*tables_ : nullptr; }
    std::optional<double> working() const;
    // Lessons of the player on this green before this one: what they told is where this one begins. Lessons on other greens
    // are left out, since their ground is not at hand.
    struct Before { int lessons = 0, putts = 0, elsewhere = 0; };
    const Before& before() const { return before_; }
    bool up_to_date() const { return result_ && worked_out_ == version_; }
    const std::string& trouble() const { return trouble_; }   // of the work, one sentence
    std::string doubt() const { return entry_.step() == EntryStep::doubt ? doubt_ : std::string(); }
    // The player's figures for a chance to hole: from the lesson, else from the baseline; none: nothing is known of a player.
    std::optional<PlayerSpread> spread() const;

    // Baseline.
    void ask_baseline();
    void read_baseline_file(const std::filesystem::path& file);
    BaselineForm baseline_form;
    bool add_baseline();                              // from the form
    const std::vector<BaselinePutt>& baseline() const { return baseline_; }

    // The putter, and what its settings do at today's green speed; null until that is worked out.
    PutterForm putter_form;
    bool add_putter();                                // from the form
    const std::vector<StoredPutter>& putters() const { return putters_; }
    const PutterEffect* putter();

    const std::string& message() const { return message_; }
    void say(const std::string& sentence) { message_ = sentence; }
    std::string mark;                                 // the natural mark that was picked, in words; kept with its putts
    bool want_keyboard = false;                       // the first field of the panel takes it
    bool show_true = true;                            // the true line, once the own read is told
    bool hide_read = true;                            // the program's own read, until then
    std::string hides_read() const;                   // why it is hidden now, one sentence; empty: it is not
    bool erase_asked = false;

    // Of the plugin: the green was opened anew, or what lies on it changed; units.
    void green_opened();
    void green_changed();
    void units_changed();
    void set_pace(double metres);
    void set_usually_cups(bool cups);
    void ask_page(bool coach);          // the report on paper

private:
    void show_putt();   // ball, hole and pace of the station, in the window
    const plugin::Snapshot& now() const { return services_.document.snapshot(); }
    void load_players();
    void load_lessons();
    void load_baseline();
    void load_putters();
    void load_earlier();
    void load_putts();
    void store(const StoredPutt& putt, bool put_right);
    void flush();
    void question();
    void changed_putts();
    void start_tables();
    void start_earlier();
    void start_estimate();
    void say_prompt();
    // A failure becomes the message; true where it went well.
    template <class F>
    bool guarded(F&& work) {
        try {
            work();
            return true;
        } catch (const Error& e) {
            message_ = e.what();
            return false;
        }
    }
    // Keys of the work beside the window.
    static constexpr const char* kTables = "lesson tables";
    static constexpr const char* kEarlier = "earlier lessons";
    static constexpr const char* kEstimate = "lesson estimate";
    static constexpr const char* kPutter = "putter";

    plugin::Services& services_;
    std::unique_ptr<LessonFile> file_;
    std::vector<StoredPlayer> players_;
    std::string player_;
    std::vector<StoredLesson> lessons_;
    std::optional<StoredLesson> lesson_;
    std::vector<StoredPutt> putts_, unsaved_;         // putts_ ends with those unsaved
    std::vector<std::string> undone_;                 // for redo, the last one last
    std::vector<BaselinePutt> baseline_;
    std::vector<StoredPutter> putters_;
    std::optional<PutterEffect> putter_;
    std::optional<double> putter_speed_ft_;           // that the effect is of or is being worked out for
    PlayerPrior first_, prior_;                       // by the baseline; and after the earlier lessons, once they are worked out
    std::vector<EarlierLesson> earlier_;
    Before before_;
    bool earlier_in_ = true;                          // prior_ has them
    PuttEntry entry_;
    std::shared_ptr<const LessonTables> tables_;
    std::shared_ptr<const LessonResult> result_;
    std::uint64_t version_ = 0, worked_out_ = 0;      // of what an estimate is made from
    std::string message_, trouble_, doubt_;
    bool in_hand_ = false;
};

}  // namespace brae::practice_stations
