// What the host offers to a plugin: small named interfaces, reached through one struct of references.
// Everything here is called on the UI thread only, except where a comment says otherwise.
#pragma once

#include "core/base/progress.h"
#include "core/record/green.h"
#include "core/solve/putt.h"

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace brae::plugin {

enum class Units { metric, feet };

// The state of the program at the start of this frame. Cheap to copy; copies may go to other threads.
struct Snapshot {
    std::shared_ptr<const Green> green;         // null while no green is open; immutable
    std::uint64_t revision = 0;                 // of the document: goes up when `green` is another value, never down
    std::optional<Vec2> ball, hole;             // local metres, inside the outline
    double green_speed_ft = 10;                 // today's speed, 4 to 16
    double past_m = kUsualPastM;                // pace, 0 to 5
    Units units = Units::metric;
    std::optional<Vec2> cursor;                 // the point of the green under the mouse
    std::optional<Vec2> pointer;                // the same, also up to 20 m outside the edge; only while a tool is in hand
    std::shared_ptr<const PuttAnswer> read;     // the read of ball and hole as shown; null while there is none or a plugin hides it
};

class Document {
public:
    virtual ~Document() = default;
    // The same object during a whole frame.
    virtual const Snapshot& snapshot() const = 0;
    // Asks for one more frame, for a plugin whose own state changed outside an event or a job.
    virtual void redraw() = 0;
};

// Work in the background. `work` runs on another thread and must touch only what it captured by value; it calls
// progress.step() at least every 50 ms and returns a function that takes the result in, which runs on the UI thread at
// the start of a frame. The result is dropped, unseen, when the document's revision has changed meanwhile, when a
// newer job with the same key was started (the older is cancelled), or when the plugin is switched off.
struct Job {
    std::string key;                                            // "plan": unique inside the plugin
    std::string title;                                          // "Planning stations", beside the progress bar
    std::function<std::function<void()>(Progress&)> work;
    std::function<void(const std::string& sentence)> failed;    // (optional) else the sentence goes to the log
};
class Jobs {
public:
    virtual ~Jobs() = default;
    virtual void start(Job job) = 0;
    virtual void cancel(const std::string& key) = 0;
    // 0 to 1 while a job with this key runs, else empty.
    virtual std::optional<double> progress(const std::string& key) const = 0;
};

// A file that the plugin can write. The host lists it under Export and asks for the file's name.
struct Export {
    std::string title;                                          // "Setting-out sheet"
    std::string extension;                                      // "pdf"
    std::string file_name;                                      // proposed: "stations.pdf"
    std::function<bool()> ready;                                // (optional) false: shown greyed
    // Called on the UI thread once the name is known; captures what it needs and returns the writer, which runs in
    // the background and writes to exactly the path it is given. The host gives a path beside the target and renames
    // it when the writer returned, so a failure leaves the old file as it was.
    std::function<std::function<void(const std::filesystem::path& file, Progress&)>()> prepare;
};
class Exports {
public:
    virtual ~Exports() = default;
    // Once, in the constructor. Throws Error(usage) for a title that is taken.
    virtual void add(Export what) = 0;
    // Opens the file dialog for one of them, for a button in the panel.
    virtual void ask(const std::string& title) = 0;
};

// Text that is kept between runs, one file for all plugins in the user's configuration folder; keys are the plugin's
// own. Hold nothing personal here.
class Settings {
public:
    virtual ~Settings() = default;
    virtual std::string get(const std::string& key, const std::string& otherwise = {}) const = 0;
    virtual void set(const std::string& key, const std::string& value) = 0;
};

// Lines for the Plugins panel and standard error. Safe from any thread.
class Log {
public:
    virtual ~Log() = default;
    virtual void info(const std::string& sentence) = 0;
    virtual void warn(const std::string& sentence) = 0;
};

// A change of the green that the user confirms first: the host shows the sentence with two buttons, applies the whole
// of it as one step that can be undone, and stores it in the green file in one transaction. What is empty stays as it is.
struct GreenEdit {
    std::string sentence;                           // "Keep these 5 stations of the lesson 'ladder' with the green?"
    std::vector<StoredStation> add_stations;
    std::vector<StoredHole> add_holes;              // one with today = true takes that from the others
    bool replace_stations = false;                  // true: the stored stations are taken away first
    std::optional<std::vector<StoredHole>> holes;   // these in place of those that are there, before add_holes
    std::optional<std::vector<SkippedDay>> skipped;
    std::optional<std::optional<LineOfPlay>> line_of_play;   // empty inside: none
    std::optional<std::vector<Gate>> gates;
    std::optional<std::vector<ReferenceMark>> marks;   // likewise; names must differ
    std::optional<std::vector<Zone>> zones;
    std::vector<SpeedReading> add_speeds;           // the last of them becomes the green speed of the day
    // Another edge on the same ground, see core/terrain/new_outline.h; `answered` comes once it is kept, some frames later.
    // Holes, stations and zones stay as they are; ball and hole on show move onto the green where they lie outside. One that goes past the surface but stays on the survey's data
    // (needs_new_surface) has the survey read again in the background: a new surface, which undo does not take back. It comes
    // alone in its edit, and `answered` says only that it was asked for.
    std::optional<std::vector<Vec2>> outline;
    bool ask = true;                                // false: at once, where a button just pressed says what will happen
    std::function<void(bool kept)> answered;        // (optional)
};
class Edits {
public:
    virtual ~Edits() = default;
    virtual void propose(GreenEdit edit) = 0;
    // Puts ball, hole and pace as the user does by hand: at once, one step of undo; empty means leave as it is.
    // False (and nothing done) when no green is open or a point lies outside the outline.
    virtual bool set_putt(std::optional<Vec2> ball, std::optional<Vec2> hole, std::optional<double> past_m) = 0;
};

// Hands the next click on the green to the plugin; Escape or a second ask ends it.
class Picks {
public:
    virtual ~Picks() = default;
    // prompt: "Click where station C starts"
    virtual void ask(const std::string& prompt, std::function<void(Vec2)> picked) = 0;
};

// Keys that a tool may use; they come while no text field has the keyboard. Undo and redo are Ctrl+Z and Ctrl+Y.
enum class ToolKey { enter, escape, backspace, remove, insert, tab, left, right, up, down, undo, redo };
// By how much an arrow moves a place: 10 cm, with Shift 1 m. Nothing for another key.
inline std::optional<Vec2> arrow_step(ToolKey key, bool shift) {
    const double step = shift ? 1 : 0.1;
    switch (key) {
        case ToolKey::left: return Vec2{-step, 0};
        case ToolKey::right: return Vec2{step, 0};
        case ToolKey::up: return Vec2{0, step};
        case ToolKey::down: return Vec2{0, -step};
        default: return std::nullopt;
    }
}

struct Pointer {
    Vec2 p;                        // local metres; up to 20 m outside the edge
    double metres_per_pixel = 0;   // there, at scale 1
    bool twice = false;            // the second press of a double click
};

// What the left mouse button and some keys do on the green while a plugin draws or edits there. The wheel, the other
// buttons and Shift with the left one go on turning, moving and zooming the view.
struct GroundTool {
    std::string prompt;                                        // "Click round the edge": shown over the view
    std::function<bool(const Pointer&)> press;                 // true: drag and release follow; false: the view turns
    std::function<void(const Pointer&)> drag;                  // (optional)
    std::function<void()> release;                             // (optional)
    std::function<bool(ToolKey key, bool shift)> key;          // (optional) true where the key was used
    // (optional) A letter in capitals, a digit or a sign, as the keyboard writes it whatever its layout; a key that is held
    // down counts once. True where it was used: then it is none of the program's own keys.
    std::function<bool(char letter)> letter;
    std::function<void()> ended;                               // (optional) by Escape, another tool or put_down
};
class Tools {
public:
    virtual ~Tools() = default;
    // Takes the tool in hand, in place of any other; until put_down, an Escape that `key` had no use for, another green.
    virtual void take(GroundTool tool) = 0;
    virtual void put_down() = 0;
    virtual void say(const std::string& prompt) = 0;           // another prompt for the tool in hand
    virtual bool in_hand() const = 0;                          // one of this plugin's
};

// Asks the user for a file to read, or for the name of one to make.
class Files {
public:
    virtual ~Files() = default;
    // endings: of the files that are listed, in lower case with the dot; none: greens, surveys and tables.
    virtual void ask_open(const std::string& title, std::function<void(std::filesystem::path)> chosen,
                          const std::vector<std::string>& endings = {}) = 0;
    // file_name: proposed; extension: without the dot, added where the user leaves it out.
    virtual void ask_save(const std::string& title, const std::string& file_name, const std::string& extension,
                          std::function<void(std::filesystem::path)> chosen) = 0;
};

struct Services {
    Document& document;
    Jobs& jobs;
    Exports& exports;
    Settings& settings;
    Log& log;
    Edits& edits;
    Picks& picks;
    Tools& tools;
    Files& files;
};

}  // namespace brae::plugin
