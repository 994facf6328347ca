// The binary boundary: one exported C symbol that hands over a plain struct, compared by the host before any call.
#pragma once

#include "brae_build_id.h"  // generated: BRAE_BUILD_ID, from compiler, C++ library, core version and headers

#include <cstdint>
#include <imgui.h>

namespace brae::plugin {
class Plugin;
struct Services;
}  // namespace brae::plugin

extern "C" {

// Goes up whenever this struct or an interface in plugins/api changes in a way that old binaries cannot follow.
#define BRAE_PLUGIN_ABI 4u

// The first two members never move, so that any host can read them of any plugin. Text is UTF-8 and static.
struct BraePluginEntry {
    std::uint32_t abi;            // BRAE_PLUGIN_ABI
    std::uint32_t struct_size;    // sizeof(BraePluginEntry)
    const char* build_id;         // BRAE_BUILD_ID: C++ crosses the boundary, so compiler and library must be the same
    const char* imgui_version;    // IMGUI_VERSION: the panel draws into the host's ImGui
    const char* id;               // "hole_positions": lower case, digits, underscore; also the prefix of its settings
    const char* title;            // "Holes": the tab's name
    const char* version;          // "0.1.0"
    // May throw: the host then shows the reason and goes on without the plugin. The services outlive the plugin.
    brae::plugin::Plugin* (*create)(brae::plugin::Services* services);
    void (*destroy)(brae::plugin::Plugin* plugin);
};

typedef const BraePluginEntry* (*BraePluginEntryFunction)();

}  // extern "C"

// The name of that symbol.
#define BRAE_PLUGIN_SYMBOL "brae_plugin_entry"

// The whole of a plugin.cpp but its includes: BRAE_PLUGIN(MyPanel, "my_panel", "My panel", "0.1.0")
// MyPanel derives from brae::plugin::Plugin and has a constructor MyPanel(brae::plugin::Services&).
#define BRAE_PLUGIN(Type, plugin_id, plugin_title, plugin_version)                                               \
    extern "C" __attribute__((visibility("default"))) const BraePluginEntry* brae_plugin_entry() {               \
        static const BraePluginEntry entry{                                                                      \
            BRAE_PLUGIN_ABI, sizeof(BraePluginEntry), BRAE_BUILD_ID, IMGUI_VERSION, plugin_id, plugin_title,     \
            plugin_version,                                                                                      \
            [](brae::plugin::Services* services) -> brae::plugin::Plugin* { return new Type(*services); },       \
            [](brae::plugin::Plugin* plugin) { delete plugin; }};                                                \
        return &entry;                                                                                           \
    }                                                                                                            \
    static_assert(true)
