// Zones of the green: ground where no hole is wanted, worn or closed ground, with a day until which it holds; and what lies
// beside the green and matters for holes: bunkers, water, banks. Gates are places and no zones (brae line --gate).
#pragma once

#include "core/record/new_zone.h"
#include "plugins/api/services.h"
#include "plugins/green_setup/ring_editor.h"

#include <optional>
#include <string>
#include <vector>

namespace brae::green_setup {

// kind: of kZoneKinds; -1 for one that another program gave, which then stays.
struct ZoneForm { std::string name; int kind = 0; std::string until; };

class ZonesModel {
public:
    explicit ZonesModel(plugin::Services& services) : services_(services) {}

    const std::vector<Zone>& zones() const;
    std::optional<std::size_t> selected() const;
    void select(std::optional<std::size_t> zone);
    ZoneForm& form() { return form_; }
    RingEditor& editor() { return editor_; }

    void draw_new();
    void shape_selected();
    void take_tool();
    void leave();
    void use_typed(const std::string& place);
    bool on_green() const;             // whether the form's kind lies on the green
    void store();                      // the new zone, or the changed one; a refusal keeps drawing and form
    void remove_selected();
    std::string fault();               // of the ring as drawn; empty where it is fine or not closed yet
    const std::string& message() const { return message_; }
    void say(std::string sentence) { message_ = std::move(sentence); }
    void clear();

private:
    const plugin::Snapshot& now() const { return services_.document.snapshot(); }
    std::string kind() const;          // the form's, or that of the zone that another program gave
    void propose(std::vector<Zone> zones, const std::string& sentence, const std::string& done);

    plugin::Services& services_;
    std::optional<std::size_t> selected_;
    std::string selected_name_;        // an index alone could mean another zone after an undo
    ZoneForm form_;
    RingEditor editor_;
    std::string message_, fault_;
    std::uint64_t judged_version_ = 0;
    bool judged_on_green_ = true;
};

}  // namespace brae::green_setup
