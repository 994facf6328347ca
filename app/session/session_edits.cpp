// How a session keeps edits of the green: into the file beside the window, shown once the file has them; undo and redo likewise.
#include "app/session/session.h"

#include "core/base/error.h"
#include "core/terrain/new_outline.h"

#include <chrono>
#include <optional>
#include <utility>

namespace brae::app {

namespace {

constexpr const char* kEditWaits = "the change before is still being kept; once more in a moment";
constexpr const char* kSurveyWaits = "the survey is being read again into this file; once more when that is done";
// What a frame may wait for a file on the disk; behind another program or on a slow network it goes on beside the window.
constexpr std::chrono::milliseconds kPatience{30};

}  // namespace

void Session::undo() { walk(true); }
void Session::redo() { walk(false); }

void Session::may_edit() const {
    if (background.progress("edit")) throw Error(kEditWaits);
    if (!document.stored()) return;
    if (background.progress("survey")) throw Error(kSurveyWaits);
    if (!document.read_only().empty()) throw Error(document.read_only());
}

void Session::walk(bool back) {
    const std::string not_done = back ? "Not undone" : "Not done again";
    try {
        const auto to = back ? document.green_before() : document.green_after(), now = document.now().green;
        // A step of ball, hole or speed goes into no file.
        if (!to || !now || to == now) return back ? document.undo() : document.redo();
        may_edit();
        EditWish wish{back ? "Undoing" : "Doing again", not_done, to->terrain != now->terrain, {}, {}};
        if (!wish.new_edge && !document.stored()) return back ? document.undo() : document.redo();
        wish.make = [to, revision = now->revision + 1] {
            // The same content under a new revision, since revisions of a file only go up.
            Green green = *to;
            green.revision = revision;
            return green;
        };
        wish.show = [this, back, to](std::shared_ptr<Green> kept) {
            // Steps of ball, hole and speed that came meanwhile lie over the one that the file has by now: they go back first, and
            // where they took away what was to be done again, the file's green is followed.
            while (back && document.can_undo() && document.green_before() != to) document.undo();
            if (back && document.can_undo()) document.undo(std::move(kept));
            else if (!back && document.green_after() == to) document.redo(std::move(kept));
            else document.follow(std::move(*kept));
        };
        const bool soon = !wish.new_edge;
        keep_edit(std::move(wish));
        if (soon) take_in_soon();
    } catch (const std::exception& e) {
        say(not_done + ": " + e.what());
    }
}

void Session::keep_edit(EditWish wish) {
    edit_answer_ = std::move(wish.answered);
    edit_in_file_ = false;
    const std::string title = wish.title, not_done = wish.not_done;
    background.start(
        "edit", title, true,
        [this, wish = std::move(wish), stored = document.stored(), file = document.file(), id = document.revision()](Progress& progress) -> Background::TakeIn {
            if (wish.new_edge) progress.step(0, "working out the ground within it");
            auto fresh = std::make_shared<Green>(wish.make());
            Ground ground;
            if (wish.new_edge) {
                progress.step(0.4, "building the picture");
                ground = ground_of(*fresh->terrain);
            }
            progress.step(0.7, "writing the file");
            Document::keep(*fresh, file, stored);
            // Who cancels from here on has the new file all the same, and is shown it.
            edit_in_file_ = stored;
            if (stored && progress.cancelled()) file_news_ = true;
            return [this, fresh, ground, show = wish.show, not_done = wish.not_done, id, file] {
                edit_in_file_ = false;
                if (document.revision() != id || document.file() != file) {
                    say(not_done + ": the green was changed meanwhile; do it once more");
                    return end_edit(false);
                }
                show(fresh);
                green_changed(false, ground);
                end_edit(true);
            };
        },
        [this, not_done](const std::string& sentence) {
            say(not_done + ": " + sentence);
            end_edit(false);
        });
}

// Only a window that is awake goes on without it.
void Session::take_in_soon() { background.take_in_soon("edit", wake_ ? std::optional(kPatience) : std::nullopt); }

void Session::end_edit(bool kept) {
    if (const auto answer = std::exchange(edit_answer_, {})) answer(kept);
}

void Session::cancel_edit() {
    background.cancel("edit");
    if (edit_in_file_) file_news_ = true;
    end_edit(false);
}

void Session::apply(const plugin::GreenEdit& edit) {
    // An edge past the surface wants the survey once more; the surface that is there stays until the new one is.
    const auto green = document.now().green;
    if (green && background.progress("edit")) throw Error(kEditWaits);
    if (!green || !edit.outline) return document.apply(edit);
    if (!needs_new_surface(*green->terrain, *edit.outline)) return apply_beside(edit, {});
    if (!document.read_only().empty()) throw Error(document.read_only());
    read_again(green, {green->record.put_back, edit.outline, "The green has its new edge; its survey was read again for it.", "The edge was not changed"});
}

// On the same ground, but mask, picture and file are not made in one frame, and a file may keep its writer waiting.
void Session::apply_beside(const plugin::GreenEdit& edit, std::function<void(bool)> answered) {
    const auto green = document.now().green;
    may_edit();
    if (edit.outline)
        if (const auto fault = outline_fault(*green->terrain, *edit.outline)) throw Error(to_text(*fault));
    // Nothing of a plugin's goes to another thread.
    plugin::GreenEdit own = edit;
    own.answered = {};
    const bool edge = edit.outline.has_value();
    keep_edit({edge ? "Keeping the edge" : "Keeping the change", edge ? "The edge was not changed" : "Not kept", edge,
               [green, own] { return Document::edited(*green, own); }, [this, own](std::shared_ptr<Green> kept) { document.show(std::move(*kept), own); },
               std::move(answered)});
}

void Session::confirm_edit(bool keep) {
    const plugin::GreenEdit* edit = host.proposed();
    if (!edit) return;
    if (keep) {
        try {
            const auto green = document.now().green;
            const bool edge = edit->outline.has_value();
            if (green && (edge ? !needs_new_surface(*green->terrain, *edit->outline) : document.stored())) {
                // The answer comes when the file has it.
                const auto number = std::make_shared<std::uint64_t>(0);
                apply_beside(*edit, [this, number](bool kept) { host.answer_deferred(*number, kept); });
                *number = host.defer();
                if (!edge) take_in_soon();
                return;
            }
            apply(*edit);
        } catch (const std::exception& e) {
            say(std::string("Not kept: ") + e.what());
            keep = false;
        }
    }
    host.answer(keep);
}

}  // namespace brae::app
