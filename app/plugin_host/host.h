// The plugins of a running program: makes them, calls them, and switches off those that fail.
#pragma once

#include "app/plugin_host/loader.h"
#include "app/read/background.h"
#include "plugins/api/plugin.h"

#include <deque>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace brae::app {

// What plugins may do to the program; the session gives the functions.
struct HostPorts {
    std::function<const plugin::Snapshot&()> snapshot;
    std::function<void()> redraw;
    std::function<bool(std::optional<Vec2>, std::optional<Vec2>, std::optional<double>)> set_putt;
    std::function<void(const std::string& title, const std::string& file_name, const std::string& extension,
                       std::function<void(std::filesystem::path)>)> ask_file;
    std::function<void(const std::string& title, std::function<void(std::filesystem::path)>, const std::vector<std::string>& endings)> ask_open;
    std::function<void(const std::string& sentence)> say;     // shown to the user
};

class PluginHost {
public:
    PluginHost(Background& background, HostPorts ports, std::filesystem::path settings_file);
    ~PluginHost();

    // Loads, checks and creates. Never throws; what fails is listed with its reason.
    void load(const std::vector<std::filesystem::path>& files);

    struct Item {
        std::string id, title, version;
        std::filesystem::path file;
        std::string reason;               // why it is off, else empty
        bool on = false;
        bool show_always = false;         // on the green also while another tab is in front
        std::vector<plugin::Shortcut> shortcuts;
    };
    std::size_t count() const { return slots_.size(); }
    const Item& item(std::size_t k) const;
    void show_always(std::size_t k, bool yes);
    void switch_off(std::size_t k, const std::string& reason);
    void switch_on(std::size_t k);        // tries again to create it

    // Each catches what the plugin throws and then switches it off.
    void draw_panel(std::size_t k);
    void draw_overlay(std::size_t k, plugin::OverlayCanvas& canvas);
    void send(plugin::Event event);
    std::string hides_read();             // the first reason that a plugin has for hiding the read; empty: none
    std::optional<std::size_t> press(char key, bool ctrl, bool shift);   // the plugin that had a use for it

    // Exports of all plugins that are on.
    struct ExportItem { std::string title, plugin; bool ready = false; std::size_t slot = 0, index = 0; };
    std::vector<ExportItem> exports();
    void run_export(std::size_t slot, std::size_t index, const std::filesystem::path& file);
    void ask_export(std::size_t slot, std::size_t index);

    // The edit that waits for the user's answer, and the answer.
    const plugin::GreenEdit* proposed() const;
    void answer(bool kept);
    // The one that waits, answered only later, once what it asks for is done: its number, for the answer then.
    std::uint64_t defer();
    void answer_deferred(std::uint64_t number, bool kept);

    // The pick that waits for a click.
    const std::string* pick_prompt() const { return pick_ ? &pick_->prompt : nullptr; }
    void picked(Vec2 p);
    void end_pick() { pick_.reset(); }

    // The tool in hand. What returns true was used by it.
    bool has_tool() const { return tool_.has_value(); }
    const std::string* tool_prompt() const { return tool_ ? &tool_->tool.prompt : nullptr; }
    bool tool_press(const plugin::Pointer& at);
    void tool_drag(const plugin::Pointer& at);
    void tool_release();
    bool tool_key(plugin::ToolKey key, bool shift);
    bool tool_letter(char letter);
    void end_tool();

    const std::deque<std::string>& log() const { return log_; }
    void add_log(const std::string& line);

private:
    struct Slot;
    struct Pick { std::size_t slot; std::string prompt; std::function<void(Vec2)> picked; };
    struct Tool { std::size_t slot; plugin::GroundTool tool; };
    struct Proposal { std::size_t slot; plugin::GreenEdit edit; };
    template <class F> void guarded(std::size_t k, const char* what, F&& call);
    void create(std::size_t k);
    void save_settings() const;
    friend struct SlotServices;

    Background& background_;
    HostPorts ports_;
    std::filesystem::path settings_file_;
    std::map<std::string, std::string> settings_;
    std::vector<std::unique_ptr<Slot>> slots_;
    std::optional<Pick> pick_;
    std::optional<Tool> tool_;
    std::deque<Proposal> proposals_;
    std::map<std::uint64_t, Proposal> deferred_;
    std::uint64_t last_deferred_ = 0;
    std::deque<std::string> log_;
    std::shared_ptr<std::mutex> log_mutex_ = std::make_shared<std::mutex>();
};

}  // namespace brae::app
