// The reference marks of the green: listed, added, changed, judged for taping.
#pragma once

#include "core/plan/mark_geometry.h"
#include "plugins/api/services.h"

#include <optional>
#include <string>
#include <vector>

namespace brae::green_setup {

// What the form holds, as typed.
struct MarkForm { std::string name, description, place, height; };

class MarksModel {
public:
    explicit MarksModel(plugin::Services& services) : services_(services) {}

    const std::vector<ReferenceMark>& marks() const;
    std::optional<std::size_t> selected() const;
    void select(std::optional<std::size_t> mark);   // fills the form with it; empty: a new mark
    MarkForm& form() { return form_; }

    // Each change is one step of undo, stored at once. A refusal leaves the form as it is and says why.
    void store_form();                 // adds a mark, or changes the selected one
    void remove_selected();
    void click_to_add();               // the next click on the ground, or beside it, puts a place into the form of a new mark
    void click_to_move();              // and the selected one there
    void import_file();

    // How good the marks are for taping; null while it is worked out. Starts the work where marks or outline changed.
    const MarkGeometry* geometry();
    const std::string& message() const { return message_; }
    void refresh();                    // after the list changed: the form shows the selected mark as it is now
    void clear();

private:
    const plugin::Snapshot& now() const { return services_.document.snapshot(); }
    void propose(std::vector<ReferenceMark> marks, std::string sentence, const std::string& select_name, std::string done);
    void ask_click(bool move);
    void take_over(const std::vector<ReferenceMark>& read, const std::string& file);
    double ground_height(Vec2 p) const;

    plugin::Services& services_;
    std::string selected_;             // by name, since the list may change under it
    MarkForm form_;
    std::string message_;
    std::optional<MarkGeometry> geometry_;
    std::uint64_t judged_revision_ = 0;
};

}  // namespace brae::green_setup
