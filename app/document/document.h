// What is open: an immutable value, and a stack of such values for undo. No window, no GL.
#pragma once

#include "app/document/edit_rights.h"
#include "core/base/constants.h"
#include "core/record/green.h"
#include "plugins/api/services.h"

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <vector>

namespace brae::app {

// One state of the document. Cheap to copy.
struct DocumentValue {
    std::shared_ptr<const Green> green;
    std::optional<Vec2> ball, hole;
    double green_speed_ft = 10;
    double past_m = kUsualPastM;
};

// Every change goes through a function here, so that each is one step of undo. Not for several threads.
class Document {
public:
    const DocumentValue& now() const { return now_; }
    // Goes up whenever `green` is another value (open, edit, undo of an edit).
    std::uint64_t revision() const { return revision_; }
    const std::filesystem::path& file() const { return file_; }
    // Whether the green lives in a green file, so that edits are written to it at once.
    bool stored() const { return stored_; }
    // Whether there are edits of the green that no file holds.
    bool unsaved() const { return green_edited_ && !stored_; }
    // Why edits cannot be kept in the file, as a sentence; empty where they can.
    const std::string& read_only() const { return rights_.read_only; }
    const EditRights& rights() const { return rights_; }

    // Takes a green that was read; forgets the undo stack. Ball and hole are put where a first read makes sense:
    // today's hole, else the middle of the green; the ball 3 m from it where there is most room.
    // `rights` are those to the file of a stored green.
    void open(Green green, std::filesystem::path file, bool stored, EditRights rights = {});
    // The same green in a newer state: ball, hole, speed and pace stay where they still lie on it; undo is forgotten.
    void follow(Green green);
    // Other rights to the same file, such as those of a lock that has become free.
    void set_rights(EditRights rights) { rights_ = std::move(rights); }

    // False, and nothing changed, when no green is open or the point lies off the green.
    bool put_ball(Vec2 p);
    bool put_hole(Vec2 p);
    // False when any of them cannot be; then none is changed.
    bool set_putt(std::optional<Vec2> ball, std::optional<Vec2> hole, std::optional<double> past_m);
    void set_green_speed(double feet);  // clamped to 4-16
    void set_past(double metres);       // clamped to 0-5

    // Changes between the two are one step of undo, such as a drag.
    void begin_gesture();
    void end_gesture();
    bool in_gesture() const { return in_gesture_; }

    // A confirmed edit of the green. Writes the green file at once where the green is stored; throws Error, with
    // nothing changed, when that fails.
    void apply(const plugin::GreenEdit& edit);
    // The same in three parts, for an edit that takes longer than a frame: the green that it makes, and its way into the file,
    // both from any thread; then it is shown, once the file has it.
    static Green edited(const Green& now, const plugin::GreenEdit& edit);
    static void keep(const Green& green, const std::filesystem::path& file, bool stored);
    void show(Green edited, const plugin::GreenEdit& edit);
    // Writes the whole green to a new file and goes on with that one.
    void save_as(const std::filesystem::path& file);
    // The second half of it, where the file was written elsewhere.
    void saved_as(const std::filesystem::path& file, EditRights rights);

    bool can_undo() const { return !undo_.empty(); }
    bool can_redo() const { return !redo_.empty(); }
    // Undo of an edit of the green writes the inverse as a new revision. Throws Error when that cannot be written.
    void undo();
    void redo();
    // The green that undo or redo would bring, null where there is none; and the walk to it once the file has it as `kept`.
    std::shared_ptr<const Green> green_before() const { return undo_.empty() ? nullptr : undo_.back().green; }
    std::shared_ptr<const Green> green_after() const { return redo_.empty() ? nullptr : redo_.back().green; }
    void undo(std::shared_ptr<const Green> kept);
    void redo(std::shared_ptr<const Green> kept);

private:
    void write(const Green& green) const;
    void step();                                           // remembers the present before a change
    static void settle_putt(DocumentValue& value);         // ball and hole onto the green where they are not on it
    std::shared_ptr<const Green> restored(const std::shared_ptr<const Green>& old) const;
    void swap_with(std::vector<DocumentValue>& from, std::vector<DocumentValue>& to, std::shared_ptr<const Green> kept = {});

    DocumentValue now_;
    std::vector<DocumentValue> undo_, redo_;
    std::filesystem::path file_;
    EditRights rights_;
    std::uint64_t revision_ = 0;
    bool stored_ = false, green_edited_ = false, in_gesture_ = false, gesture_stepped_ = false;
};

// Where a first ball stands for a hole: 3 m away (less on a small green), in the direction with most room.
Vec2 first_ball(const Outline& outline, Vec2 hole);

}  // namespace brae::app
