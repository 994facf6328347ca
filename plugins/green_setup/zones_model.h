// Zones of the green: ground where no hole is wanted, worn or closed ground, with a day until which it holds.
#pragma once

#include "plugins/api/services.h"
#include "plugins/green_setup/ring_editor.h"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace brae::green_setup {

inline constexpr std::array<const char*, 3> kZoneKinds{"no hole", "worn", "closed"};

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
    void store();                      // the new zone, or the changed one; a refusal keeps drawing and form
    void remove_selected();
    std::string fault();               // of the ring as drawn; empty where it is fine or not closed yet
    const std::string& message() const { return message_; }
    void say(std::string sentence) { message_ = std::move(sentence); }
    void clear();

private:
    const plugin::Snapshot& now() const { return services_.document.snapshot(); }
    std::string free_name() const;
    void propose(std::vector<Zone> zones, const std::string& sentence, const std::string& done);

    plugin::Services& services_;
    std::optional<std::size_t> selected_;
    std::string selected_name_;        // an index alone could mean another zone after an undo
    ZoneForm form_;
    RingEditor editor_;
    std::string message_, fault_;
    std::uint64_t judged_version_ = 0;
};

}  // namespace brae::green_setup
