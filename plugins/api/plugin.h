// What a plugin is: an object that draws a panel, and may draw on the green, hear of changes and offer shortcuts.
// All of its functions are called on the UI thread. An exception that leaves one of them switches the plugin off with
// its text shown in the Plugins panel; the program stays up.
#pragma once

#include "plugins/api/abi.h"
#include "plugins/api/overlay.h"
#include "plugins/api/services.h"

#include <functional>
#include <string>
#include <vector>

namespace brae::plugin {

// What changed since the last frame. The new state is in services.document.snapshot().
enum class Event {
    green_opened,    // another green, or none
    green_changed,   // same green, new revision: what lies on it or its outline was changed or undone; same surface
    ball_moved,
    hole_moved,
    speed_changed,   // the day's green speed
    pace_changed,
    units_changed,
};

// A key that does something of the plugin's while no text field has the keyboard.
struct Shortcut {
    char key = 0;             // 'A' to 'Z' or '0' to '9'; B, H, F, T, P and V belong to the program
    bool ctrl = false, shift = false;
    std::string does;         // "Plan stations for this hole", shown in the Plugins panel
    std::function<void()> act;
};

class Plugin {
public:
    virtual ~Plugin() = default;

    // (required) Draws the panel with plain ImGui calls into a scrolling area that the host has begun, about 340 px
    // wide at scale 1. Called in each drawn frame while the tab is in front. Frames are drawn only while something
    // changes, so animate nothing; keep it under 2 ms and hand longer work to services.jobs.
    virtual void draw_panel() = 0;

    // (optional) Draws abstract shapes in metres on the green, in each drawn frame while the tab is in front, or while
    // "On the green from every tab" is ticked in the Plugins panel.
    virtual void draw_overlay(OverlayCanvas&) {}

    // (optional) Called at the start of the frame after a change, before draw_panel; once a kind of event.
    virtual void on_event(Event) {}

    // (optional) Why the read of the putt must not be seen now, one sentence, while somebody is to read it without help; empty:
    // it may. The host then shows no aim, path, break, holing window or map of reads, says the sentence in their place, and gives
    // no plugin a read. Asked more than once a frame, whatever tab is in front: keep it cheap.
    virtual std::string hides_read() { return {}; }

    // (optional) Asked once after creation.
    virtual std::vector<Shortcut> shortcuts() { return {}; }

    Plugin() = default;
    Plugin(const Plugin&) = delete;
    Plugin& operator=(const Plugin&) = delete;
};

}  // namespace brae::plugin
