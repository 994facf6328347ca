// Test plugins from one source: WRONG is what is wrong with it.
#include "plugins/api/plugin.h"

#include <imgui.h>
#include <stdexcept>

namespace {

class TestPanel final : public brae::plugin::Plugin {
public:
    explicit TestPanel(brae::plugin::Services& services) : services_(services) {
#ifdef WRONG_CREATE
        throw std::runtime_error("no luck in create");
#endif
        services_.exports.add({"Note", "txt", "note.txt", {}, [] {
            return [](const std::filesystem::path&, brae::Progress&) {};  // writes nothing on purpose
        }});
    }
    void draw_panel() override {
#ifdef WRONG_DRAW
        // In the middle of nested things, which the host must put right again.
        ImGui::BeginChild("inner", {50, 50});
        ImGui::PushStyleColor(ImGuiCol_Text, IM_COL32(1, 2, 3, 255));
        ImGui::BeginGroup();
        ImGui::PushID(7);
        throw std::runtime_error("no luck in drawing");
#endif
        ImGui::TextUnformatted("well");
    }
    void draw_overlay(brae::plugin::OverlayCanvas& canvas) override { canvas.text({15, 11}, "from the test plugin"); }
    void on_event(brae::plugin::Event event) override {
        services_.log.info("event " + std::to_string(static_cast<int>(event)));
    }
    std::vector<brae::plugin::Shortcut> shortcuts() override {
        return {{'K', false, false, "Says so", [this] { services_.log.info("pressed"); }},
                {'J', false, false, "Takes a tool that reads letters", [this] {
                     brae::plugin::GroundTool tool;
                     tool.press = [](const brae::plugin::Pointer&) { return false; };
                     tool.letter = [this](char letter) {
                         services_.log.info(std::string("letter ") + letter);
                         return letter != 'H';
                     };
                     services_.tools.take(std::move(tool));
                 }},
                {'Q', false, false, "Proposes another edge", [this] {
                     brae::plugin::GreenEdit edit;
                     edit.ask = false;
                     edit.outline = std::vector<brae::Vec2>{{8, 6}, {20, 6}, {20, 16}, {8, 16}};
                     edit.answered = [this](bool kept) { services_.log.info(kept ? "kept" : "not kept"); };
                     services_.edits.propose(std::move(edit));
                 }},
                {'Z', false, false, "Proposes another reading of the speed", [this] {
                     brae::plugin::GreenEdit edit;
                     edit.ask = false;
                     edit.add_speeds = {{9.5, 0.5, "", ""}};
                     edit.answered = [this](bool kept) { services_.log.info(kept ? "kept" : "not kept"); };
                     services_.edits.propose(std::move(edit));
                 }},
                {'W', false, false, "Takes a tool that asks by Enter", [this] {
                     brae::plugin::GroundTool tool;
                     tool.press = [](const brae::plugin::Pointer&) { return false; };
                     tool.key = [this](brae::plugin::ToolKey key, bool) {
                         if (key != brae::plugin::ToolKey::enter) return false;
                         services_.log.info("asked");
                         brae::plugin::GreenEdit edit;
                         edit.sentence = "Keep a speed?";
                         edit.add_speeds = {{9.5, 0.5, "", ""}};
                         services_.edits.propose(std::move(edit));
                         return true;
                     };
                     services_.tools.take(std::move(tool));
                 }},
                {'Y', false, false, "Hides the read, or shows it again", [this] { hides_ = !hides_; }}};
    }

    std::string hides_read() override { return hides_ ? "hidden by the test plugin" : ""; }

private:
    bool hides_ = false;
    brae::plugin::Services& services_;
};

}  // namespace

#if defined(WRONG_SYMBOL)
extern "C" __attribute__((visibility("default"))) int brae_other_entry() { return 1; }
#elif defined(WRONG_ABI) || defined(WRONG_SIZE) || defined(WRONG_BUILD) || defined(WRONG_IMGUI)
extern "C" __attribute__((visibility("default"))) const BraePluginEntry* brae_plugin_entry() {
    static BraePluginEntry entry{
        BRAE_PLUGIN_ABI, sizeof(BraePluginEntry), BRAE_BUILD_ID, IMGUI_VERSION, "badly", "Badly", "1",
        [](brae::plugin::Services* s) -> brae::plugin::Plugin* { return new TestPanel(*s); },
        [](brae::plugin::Plugin* p) { delete p; }};
#ifdef WRONG_ABI
    entry.abi = BRAE_PLUGIN_ABI + 1;
#endif
#ifdef WRONG_SIZE
    entry.struct_size += 8;
#endif
#ifdef WRONG_BUILD
    entry.build_id = "another compiler";
#endif
#ifdef WRONG_IMGUI
    entry.imgui_version = "1.99";
#endif
    return &entry;
}
#else
BRAE_PLUGIN(TestPanel, TEST_ID, "Test", "1.0");
#endif
