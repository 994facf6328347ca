// One putt while it is taken down beside the green: a read, what was seen, where it stopped. Keys and clicks in, a putt out;
// no file, no window.
#pragma once

#include "core/record/lesson_file.h"
#include "plugins/api/services.h"

#include <optional>
#include <string>
#include <vector>

namespace brae::practice_stations {

// read: the player says the own line; putt: the ball is hit, and the outcome ends it; place: the putt is saved, and until the
// next one its place, outcome and details may still be told; doubt: side and place do not fit, which is it?
enum class EntryStep { read, putt, place, doubt };

// What the caller has to do after a key or a click.
enum class EntryDo {
    nothing,     // the key has no use here
    shown,       // used; only what is shown has changed
    save,        // the putt is complete: save it
    put_right,   // the putt that was saved last has changed: put it right in the file
    next,        // the next putt, at the same station
    suggested,   // the next putt, at the station that would tell most
    undo, redo,  // of the last putt
};

// A number that is being typed, and what it is of.
enum class TypedFor { nothing, read, tape, paces };

// A coach's pace where none was set. Common practice: an adult steps 0.75 to 0.95 m.
inline constexpr double kPaceM = 0.9;

class PuttEntry {
public:
    // Stations of the lesson; the entry starts at the first one, on the player's own read.
    void set_lesson(std::vector<StoredLessonStation> stations);
    void set_units(plugin::Units units) { units_ = units; }
    void set_pace(double metres) { pace_m_ = metres; }
    double pace_m() const { return pace_m_; }
    // How reads are typed where C does not say otherwise; C holds for one read.
    void set_usually_cups(bool cups) { cups_ = usually_cups_ = cups; }
    bool usually_cups() const { return usually_cups_; }

    EntryDo letter(char letter);
    EntryDo key(plugin::ToolKey key, bool shift);
    EntryDo click(Vec2 p);

    // What buttons do as well.
    EntryDo outcome(PuttOutcome what);
    void go_to(int station, std::optional<PuttPhase> phase = {});
    void next() { go_to(seen_.station); }
    // After the saving: the putt as it was saved stays to be put right, or the next one begins; see EntryStep.
    void saved();
    void in_doubt(const SeenPutt& saved, PuttOutcome likelier);   // of the one that was saved
    // The same read as last time at this station.
    EntryDo repeat_read();

    EntryStep step() const { return step_; }
    const SeenPutt& seen() const { return seen_; }       // with the outcome once it is told
    std::optional<PuttOutcome> noted() const { return outcome_; }
    int station() const { return seen_.station; }
    PuttPhase phase() const { return *seen_.phase; }
    // The player is to find the line without help: before the own read is told, and while a putt is hit with the marker hidden.
    bool line_hidden() const { return own_line_waits() || (step_ == EntryStep::putt && seen_.marker_seen == false); }
    bool own_line_waits() const { return own_line() && step_ == EntryStep::read; }
    bool own_line() const { return phase() == PuttPhase::own_read || phase() == PuttPhase::retest; }
    PuttOutcome likelier() const { return likelier_; }

    // For the screen.
    const std::string& typed() const { return typed_; }
    TypedFor typing() const { return typing_; }
    bool cups() const { return cups_; }                  // the read is typed in hole widths
    const char* typed_unit() const;
    std::string asks() const;                            // what comes now, one sentence
    const std::string& message() const { return message_; }
    std::string read_text() const;                       // "40 cm right"; empty: not told
    std::string stop_text() const;                       // "0.60 m past, 0.20 m left"

private:
    EntryDo key_pressed(plugin::ToolKey key, bool shift);
    bool looks_like_a_place() const;
    EntryDo typed_key(plugin::ToolKey key);
    EntryDo detail(int digit);
    EntryDo place_told();
    EntryDo say(const std::string& sentence) { message_ = sentence; return EntryDo::shown; }
    void clear_putt();
    void set_read(double offset_m, double sigma_m);
    std::optional<double> typed_number() const;
    const StoredLessonStation& at() const { return stations_[static_cast<std::size_t>(seen_.station)]; }

    std::vector<StoredLessonStation> stations_;
    std::vector<std::optional<double>> last_read_;       // by station
    SeenPutt seen_;
    std::optional<PuttOutcome> outcome_;
    EntryStep step_ = EntryStep::read;
    TypedFor typing_ = TypedFor::nothing;
    std::string typed_, message_;
    std::optional<double> beyond_m_, right_m_;           // while a place is measured
    bool cups_ = false, usually_cups_ = false;
    std::string digits_;                                 // details by digit, since the last other key
    bool moved_on_ = false;                              // by itself, once the place of the putt before was told
    plugin::Units units_ = plugin::Units::metric;
    double pace_m_ = kPaceM;
    PuttOutcome likelier_ = PuttOutcome::missed;
};

// "40 cm right" or "15.7 in right", "straight" at zero.
std::string side_text(double offset_m, plugin::Units units);

}  // namespace brae::practice_stations
