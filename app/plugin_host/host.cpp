#include "app/plugin_host/host.h"

#include "core/base/error.h"
#include "core/base/safe_file.h"

#include <cstdio>
#include <cstdlib>
#include <fstream>

namespace brae::app {
namespace fs = std::filesystem;

// The services as one plugin sees them; they outlive it.
struct SlotServices final : plugin::Document, plugin::Jobs, plugin::Exports, plugin::Settings, plugin::Log,
                            plugin::Edits, plugin::Picks, plugin::Tools, plugin::Files {
    SlotServices(PluginHost& host_, std::size_t slot_, std::string id_)
        : host(host_), slot(slot_), id(std::move(id_)), all{*this, *this, *this, *this, *this, *this, *this, *this, *this} {}
    PluginHost& host;
    std::size_t slot;
    std::string id;
    std::vector<plugin::Export> exports;
    plugin::Services all;

    std::string job_key(const std::string& key) const { return "plugin/" + id + "/" + key; }
    // A callback that runs later is guarded like a direct call.
    template <class F> void guarded(const char* what, F&& call) { host.guarded(slot, what, std::forward<F>(call)); }

    // Document.
    const plugin::Snapshot& snapshot() const override { return host.ports_.snapshot(); }
    void redraw() override { host.ports_.redraw(); }

    // Jobs.
    void start(plugin::Job job) override {
        if (!job.work) throw usage_error("a job without work was started");
        const std::uint64_t revision = host.ports_.snapshot().revision;
        auto failed = job.failed;
        host.background_.start(
            job_key(job.key), job.title, false,
            [this, work = std::move(job.work)](Progress& progress) -> Background::TakeIn {
                auto take_in = work(progress);
                return [this, take_in = std::move(take_in)] { guarded("taking in a result", [&] { if (take_in) take_in(); }); };
            },
            [this, failed](const std::string& sentence) {
                if (failed) guarded("a failed job", [&] { failed(sentence); });
                else warn(sentence);
            },
            [this, revision] { return host.ports_.snapshot().revision == revision; });
    }
    void cancel(const std::string& key) override { host.background_.cancel(job_key(key)); }
    std::optional<double> progress(const std::string& key) const override { return host.background_.progress(job_key(key)); }

    // Exports.
    void add(plugin::Export what) override {
        for (const plugin::Export& e : exports)
            if (e.title == what.title) throw usage_error("the export \"" + what.title + "\" is there already");
        if (!what.prepare) throw usage_error("the export \"" + what.title + "\" has nothing that writes it");
        exports.push_back(std::move(what));
    }
    void ask(const std::string& title) override {
        for (std::size_t k = 0; k < exports.size(); ++k)
            if (exports[k].title == title) return host.ask_export(slot, k);
        throw usage_error("there is no export \"" + title + "\"");
    }

    // Settings.
    std::string get(const std::string& key, const std::string& otherwise) const override {
        const auto it = host.settings_.find(id + "." + key);
        return it == host.settings_.end() ? otherwise : it->second;
    }
    void set(const std::string& key, const std::string& value) override {
        std::string& now = host.settings_[id + "." + key];
        if (now == value) return;
        now = value;
        host.save_settings();
    }

    // Log.
    void info(const std::string& sentence) override { host.add_log(id + ": " + sentence); }
    void warn(const std::string& sentence) override {
        host.add_log(id + ": " + sentence);
        std::fprintf(stderr, "brae: plugin %s: %s\n", id.c_str(), sentence.c_str());
    }

    // Edits.
    void propose(plugin::GreenEdit edit) override { host.proposals_.push_back({slot, std::move(edit)}); redraw(); }
    bool set_putt(std::optional<Vec2> ball, std::optional<Vec2> hole, std::optional<double> past) override {
        return host.ports_.set_putt(ball, hole, past);
    }

    // Picks.
    void ask(const std::string& prompt, std::function<void(Vec2)> picked) override {
        host.pick_ = PluginHost::Pick{slot, prompt, std::move(picked)};
        redraw();
    }

    // Tools.
    void take(plugin::GroundTool tool) override {
        if (!tool.press) throw usage_error("a tool without a use for the mouse was taken");
        host.end_tool();
        host.tool_ = PluginHost::Tool{slot, std::move(tool)};
        redraw();
    }
    void put_down() override {
        if (in_hand()) host.end_tool();
        redraw();
    }
    void say(const std::string& prompt) override {
        if (in_hand()) host.tool_->tool.prompt = prompt;
    }
    bool in_hand() const override { return host.tool_ && host.tool_->slot == slot; }

    // Files.
    void ask_open(const std::string& title, std::function<void(fs::path)> chosen, const std::vector<std::string>& endings) override {
        host.ports_.ask_open(title, [this, chosen = std::move(chosen)](fs::path file) {
            guarded("taking a file", [&] { chosen(file); });
        }, endings);
    }
    void ask_save(const std::string& title, const std::string& file_name, const std::string& extension, std::function<void(fs::path)> chosen) override {
        host.ports_.ask_file(title, file_name, extension, [this, chosen = std::move(chosen)](fs::path file) {
            guarded("taking a file's name", [&] { chosen(file); });
        });
    }
};

struct PluginHost::Slot {
    Item item;
    const BraePluginEntry* entry = nullptr;
    std::unique_ptr<SlotServices> services;
    plugin::Plugin* plugin = nullptr;
    std::string pending_failure;
    int depth = 0;   // calls of this plugin on the stack
};

PluginHost::PluginHost(Background& background, HostPorts ports, fs::path settings_file)
    : background_(background), ports_(std::move(ports)), settings_file_(std::move(settings_file)) {
    // Lines "key<tab>value"; anything else is left out.
    std::ifstream in(settings_file_);
    for (std::string line; std::getline(in, line);)
        if (const auto tab = line.find('\t'); tab != std::string::npos) settings_[line.substr(0, tab)] = line.substr(tab + 1);
}

PluginHost::~PluginHost() {
    for (std::size_t k = slots_.size(); k-- > 0;) switch_off(k, "the program ends");
}

const PluginHost::Item& PluginHost::item(std::size_t k) const { return slots_[k]->item; }
void PluginHost::show_always(std::size_t k, bool yes) { slots_[k]->item.show_always = yes; }

void PluginHost::load(const std::vector<fs::path>& files) {
    for (const fs::path& file : files) {
        const LoadedPlugin loaded = load_plugin(file);
        auto slot = std::make_unique<Slot>();
        slot->item.file = file;
        slot->item.id = slot->item.title = file.stem().string();
        slot->item.reason = loaded.refused;
        slot->entry = loaded.entry;
        if (loaded.entry) {
            slot->item.id = loaded.entry->id;
            slot->item.title = loaded.entry->title;
            slot->item.version = loaded.entry->version;
            for (const auto& other : slots_)
                if (other->entry && other->item.id == slot->item.id) {
                    slot->item.reason = "another plugin has the id " + slot->item.id + ": " + other->item.file.string();
                    slot->entry = nullptr;
                    break;
                }
        }
        slots_.push_back(std::move(slot));
        if (slots_.back()->entry) create(slots_.size() - 1);
        else add_log(file.filename().string() + ": " + slots_.back()->item.reason);
    }
}

void PluginHost::create(std::size_t k) {
    Slot& slot = *slots_[k];
    slot.services = std::make_unique<SlotServices>(*this, k, slot.item.id);
    slot.item.on = true;
    slot.item.reason.clear();
    guarded(k, "starting", [&] {
        slot.plugin = slot.entry->create(&slot.services->all);
        if (!slot.plugin) throw Error("create returned nothing");
        slot.item.shortcuts = slot.plugin->shortcuts();
    });
}

template <class F> void PluginHost::guarded(std::size_t k, const char* what, F&& call) {
    Slot& slot = *slots_[k];
    if (!slot.item.on) return;
    ++slot.depth;
    std::string failure;
    try {
        call();
    } catch (const std::exception& e) {
        failure = std::string(what) + ": " + e.what();
    } catch (...) {
        failure = std::string(what) + ": something that is not an exception was thrown";
    }
    --slot.depth;
    // A plugin is never destroyed while one of its own functions is on the stack.
    if (!failure.empty() && slot.pending_failure.empty()) slot.pending_failure = failure;
    if (slot.depth == 0 && !slot.pending_failure.empty()) switch_off(k, std::exchange(slot.pending_failure, {}));
}

void PluginHost::switch_off(std::size_t k, const std::string& reason) {
    Slot& slot = *slots_[k];
    if (!slot.item.on) return;
    slot.item.on = false;
    slot.item.reason = reason;
    add_log(slot.item.title + " was switched off: " + reason);

    // Everything of the plugin's that someone still holds goes before the plugin itself.
    background_.cancel_and_wait("plugin/" + slot.item.id + "/");
    if (pick_ && pick_->slot == k) pick_.reset();
    if (tool_ && tool_->slot == k) tool_.reset();
    std::erase_if(proposals_, [&](const Proposal& p) { return p.slot == k; });
    std::erase_if(deferred_, [&](const auto& p) { return p.second.slot == k; });
    slot.item.shortcuts.clear();
    if (slot.services) slot.services->exports.clear();
    try {
        if (slot.plugin) slot.entry->destroy(slot.plugin);
    } catch (...) {
        add_log(slot.item.title + " also failed while it was taken down");
    }
    slot.plugin = nullptr;
}

void PluginHost::switch_on(std::size_t k) {
    if (!slots_[k]->item.on && slots_[k]->entry) create(k);
}

void PluginHost::draw_panel(std::size_t k) {
    if (Slot& slot = *slots_[k]; slot.plugin) guarded(k, "drawing its panel", [&] { slot.plugin->draw_panel(); });
}

void PluginHost::draw_overlay(std::size_t k, plugin::OverlayCanvas& canvas) {
    Slot& slot = *slots_[k];
    if (slot.plugin) guarded(k, "drawing on the green", [&] { slot.plugin->draw_overlay(canvas); });
}

void PluginHost::send(plugin::Event event) {
    for (std::size_t k = 0; k < slots_.size(); ++k)
        if (Slot& slot = *slots_[k]; slot.plugin) guarded(k, "an event", [&] { slot.plugin->on_event(event); });
}

std::string PluginHost::hides_read() {
    std::string why;
    for (std::size_t k = 0; k < slots_.size() && why.empty(); ++k)
        if (Slot& slot = *slots_[k]; slot.plugin) guarded(k, "asking whether the read is hidden", [&] { why = slot.plugin->hides_read(); });
    return why;
}

std::optional<std::size_t> PluginHost::press(char key, bool ctrl, bool shift) {
    for (std::size_t k = 0; k < slots_.size(); ++k)
        for (const plugin::Shortcut& s : slots_[k]->item.shortcuts)
            if (s.key == key && s.ctrl == ctrl && s.shift == shift && s.act) {
                const auto act = s.act;  // the list may go away while it runs
                guarded(k, "a shortcut", [&] { act(); });
                return k;
            }
    return std::nullopt;
}

std::vector<PluginHost::ExportItem> PluginHost::exports() {
    std::vector<ExportItem> out;
    for (std::size_t k = 0; k < slots_.size(); ++k) {
        if (!slots_[k]->plugin) continue;
        const auto list = slots_[k]->services->exports;
        for (std::size_t n = 0; n < list.size(); ++n) {
            bool ready = true;
            if (list[n].ready) guarded(k, "asking about an export", [&] { ready = list[n].ready(); });
            out.push_back({list[n].title, slots_[k]->item.title, ready, k, n});
        }
    }
    return out;
}

void PluginHost::ask_export(std::size_t slot, std::size_t index) {
    const plugin::Export& what = slots_[slot]->services->exports[index];
    ports_.ask_file(what.title, what.file_name, what.extension, [this, slot, index](fs::path file) { run_export(slot, index, file); });
}

void PluginHost::run_export(std::size_t k, std::size_t index, const fs::path& file) {
    Slot& slot = *slots_[k];
    if (!slot.plugin || index >= slot.services->exports.size()) return;
    const plugin::Export what = slot.services->exports[index];
    guarded(k, "preparing an export", [&] {
        auto write = what.prepare();
        if (!write) throw Error("the export \"" + what.title + "\" prepared nothing");
        // Beside the target, then renamed: a failure leaves the old file as it was.
        background_.start(
            "plugin/" + slot.item.id + "/export " + what.title, "Writing " + file.filename().string(), false,
            [this, write = std::move(write), file](Progress& progress) -> Background::TakeIn {
                // The ending stays the file's own: writers choose their format by it.
                PartFile part(file, PartFile::Ending::of_the_file);
                fs::remove(part.part());
                write(part.part(), progress);
                if (!fs::exists(part.part())) throw Error("nothing was written");
                progress.step(1);
                part.commit();
                return [this, file] { ports_.say("Written: " + file.string()); };
            },
            [this, file](const std::string& sentence) { ports_.say(file.string() + " was not written: " + sentence); });
    });
}

const plugin::GreenEdit* PluginHost::proposed() const { return proposals_.empty() ? nullptr : &proposals_.front().edit; }

void PluginHost::answer(bool kept) {
    if (proposals_.empty()) return;
    const Proposal p = std::move(proposals_.front());
    proposals_.pop_front();
    if (p.edit.answered) guarded(p.slot, "an answer", [&] { p.edit.answered(kept); });
}

std::uint64_t PluginHost::defer() {
    if (proposals_.empty()) return 0;
    deferred_.emplace(++last_deferred_, std::move(proposals_.front()));
    proposals_.pop_front();
    return last_deferred_;
}

void PluginHost::answer_deferred(std::uint64_t number, bool kept) {
    const auto at = deferred_.find(number);
    if (at == deferred_.end()) return;   // its plugin was switched off
    const Proposal p = std::move(at->second);
    deferred_.erase(at);
    if (p.edit.answered) guarded(p.slot, "an answer", [&] { p.edit.answered(kept); });
}

void PluginHost::picked(Vec2 p) {
    if (!pick_) return;
    const Pick pick = std::move(*pick_);
    pick_.reset();
    guarded(pick.slot, "a pick", [&] { pick.picked(p); });
}

bool PluginHost::tool_press(const plugin::Pointer& at) {
    if (!tool_) return false;
    const auto press = tool_->tool.press;  // it may put the tool down
    bool used = false;
    guarded(tool_->slot, "a tool", [&] { used = press(at); });
    return used;
}

void PluginHost::tool_drag(const plugin::Pointer& at) {
    if (!tool_ || !tool_->tool.drag) return;
    const auto drag = tool_->tool.drag;
    guarded(tool_->slot, "a tool", [&] { drag(at); });
}

void PluginHost::tool_release() {
    if (!tool_ || !tool_->tool.release) return;
    const auto release = tool_->tool.release;
    guarded(tool_->slot, "a tool", [&] { release(); });
}

bool PluginHost::tool_key(plugin::ToolKey key, bool shift) {
    if (!tool_ || !tool_->tool.key) return false;
    const auto act = tool_->tool.key;
    bool used = false;
    guarded(tool_->slot, "a tool", [&] { used = act(key, shift); });
    return used;
}

bool PluginHost::tool_letter(char letter) {
    if (!tool_ || !tool_->tool.letter) return false;
    const auto act = tool_->tool.letter;
    bool used = false;
    guarded(tool_->slot, "a tool", [&] { used = act(letter); });
    return used;
}

void PluginHost::end_tool() {
    if (!tool_) return;
    const Tool tool = std::move(*tool_);
    tool_.reset();
    if (tool.tool.ended) guarded(tool.slot, "the end of a tool", [&] { tool.tool.ended(); });
}

void PluginHost::add_log(const std::string& line) {
    const std::lock_guard lock(*log_mutex_);
    log_.push_back(line);
    if (log_.size() > 200) log_.pop_front();
}

void PluginHost::save_settings() const {
    if (settings_file_.empty()) return;
    std::error_code ignored;
    fs::create_directories(settings_file_.parent_path(), ignored);
    std::string text;
    for (const auto& [key, value] : settings_) {
        std::string flat = value;
        for (char& c : flat)
            if (c == '\n' || c == '\t') c = ' ';
        text += key + '\t' + flat + '\n';
    }
    try {
        write_file_safely(settings_file_, text);
    } catch (const Error&) {
        // Settings are a convenience: a full disk must not stop the program.
    }
}

}  // namespace brae::app
