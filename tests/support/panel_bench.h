// A host without a window for one plugin: services that remember what was asked, and frames of bare ImGui.
#pragma once

#include "plugins/api/plugin.h"
#include "tests/support/greens.h"

#include <imgui.h>
#include <imgui_internal.h>
#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace brae::test {

struct BenchDocument final : plugin::Document {
    plugin::Snapshot state;
    int redraws = 0;
    const plugin::Snapshot& snapshot() const override { return state; }
    void redraw() override { ++redraws; }
};

// Jobs wait until run() and are then done in order, their results taken in at once.
struct BenchJobs final : plugin::Jobs {
    std::vector<plugin::Job> waiting;
    bool hold_progress = false;   // while true, waiting jobs look as if they ran
    int done = 0;
    void start(plugin::Job job) override {
        cancel(job.key);
        waiting.push_back(std::move(job));
    }
    void cancel(const std::string& key) override {
        std::erase_if(waiting, [&](const plugin::Job& j) { return j.key == key; });
    }
    std::optional<double> progress(const std::string& key) const override {
        for (const plugin::Job& j : waiting)
            if (j.key == key) return 0.4;
        return std::nullopt;
    }
    void run() {
        for (auto jobs = std::exchange(waiting, {}); plugin::Job& job : jobs) {
            Progress progress;
            try {
                job.work(progress)();
            } catch (const Error& e) {
                if (job.failed) job.failed(e.what());
            }
            ++done;
        }
    }
};

struct BenchExports final : plugin::Exports {
    std::vector<plugin::Export> all;
    std::vector<std::string> asked;
    void add(plugin::Export what) override { all.push_back(std::move(what)); }
    void ask(const std::string& title) override { asked.push_back(title); }
};

struct BenchSettings final : plugin::Settings {
    std::map<std::string, std::string> kept;
    std::string get(const std::string& key, const std::string& otherwise) const override {
        const auto found = kept.find(key);
        return found == kept.end() ? otherwise : found->second;
    }
    void set(const std::string& key, const std::string& value) override { kept[key] = value; }
};

struct BenchLog final : plugin::Log {
    std::vector<std::string> lines;
    void info(const std::string& sentence) override { lines.push_back(sentence); }
    void warn(const std::string& sentence) override { lines.push_back(sentence); }
};

struct BenchEdits final : plugin::Edits {
    std::vector<plugin::GreenEdit> proposed;
    plugin::Snapshot* state = nullptr;
    void propose(plugin::GreenEdit edit) override { proposed.push_back(std::move(edit)); }
    bool set_putt(std::optional<Vec2> ball, std::optional<Vec2> hole, std::optional<double> past) override {
        if (ball) state->ball = ball;
        if (hole) state->hole = hole;
        if (past) state->past_m = *past;
        return true;
    }
};

struct BenchPicks final : plugin::Picks {
    std::string prompt;
    std::function<void(Vec2)> picked;
    void ask(const std::string& text, std::function<void(Vec2)> then) override {
        prompt = text;
        picked = std::move(then);
    }
};

struct BenchTools final : plugin::Tools {
    std::optional<plugin::GroundTool> tool;
    void take(plugin::GroundTool next) override {
        put_down();
        tool = std::move(next);
    }
    void put_down() override {
        if (const auto old = std::exchange(tool, std::nullopt); old && old->ended) old->ended();
    }
    void say(const std::string& prompt) override { if (tool) tool->prompt = prompt; }
    bool in_hand() const override { return tool.has_value(); }

    // A click, a drag and a key as the host sends them; a pixel is 2 cm.
    bool press(Vec2 p, bool twice = false) { return tool && tool->press({p, 0.02, twice}); }
    bool click(Vec2 p, bool twice = false) {
        const bool used = press(p, twice);
        if (used && tool && tool->release) tool->release();
        return used;
    }
    bool drag(Vec2 from, Vec2 to) {
        if (!press(from)) return false;
        for (int k = 1; k <= 4; ++k)
            if (tool && tool->drag) tool->drag({from + 0.25 * k * (to - from), 0.02, false});
        if (tool && tool->release) tool->release();
        return true;
    }
    bool key(plugin::ToolKey key, bool shift = false) { return tool && tool->key && tool->key(key, shift); }
    bool letter(char which) { return tool && tool->letter && tool->letter(which); }
};

struct BenchFiles final : plugin::Files {
    std::string title;
    std::function<void(std::filesystem::path)> chosen;
    std::vector<std::string> endings;
    void ask_open(const std::string& words, std::function<void(std::filesystem::path)> then, const std::vector<std::string>& kinds) override {
        endings = kinds;
        title = words;
        chosen = std::move(then);
    }
    std::string name;   // proposed for a new file
    void ask_save(const std::string& words, const std::string& file_name, const std::string&, std::function<void(std::filesystem::path)> then) override {
        title = words;
        name = file_name;
        chosen = std::move(then);
    }
};

// Counts shapes and refuses what a host would have to leave out.
struct BenchCanvas final : plugin::OverlayCanvas {
    int lines = 0, markers = 0, circles = 0, polygons = 0, rasters = 0, bad = 0;
    std::vector<std::string> labels;
    std::shared_ptr<const Raster> last_raster;
    void look(Vec2 p) { bad += std::isfinite(p.x) && std::isfinite(p.y) ? 0 : 1; }
    void label(const std::string& text) { if (!text.empty()) labels.push_back(text); }
    void polyline(const std::vector<Vec2>& points, const plugin::Stroke&, const std::string& text) override {
        ++lines;
        for (Vec2 p : points) look(p);
        label(text);
    }
    void polygon(const std::vector<Vec2>& ring, const plugin::Colour&, const plugin::Stroke&, const std::string& text) override {
        ++polygons;
        for (Vec2 p : ring) look(p);
        label(text);
    }
    void disc(Vec2 centre, double, const plugin::Colour&) override { look(centre); }
    void circle(Vec2 centre, double, const plugin::Stroke&, const std::string& text) override { ++circles; look(centre); label(text); }
    void marker(Vec2 p, plugin::MarkerShape, const plugin::Colour&, float, const std::string& text) override { ++markers; look(p); label(text); }
    void text(Vec2 p, const std::string& words, plugin::TextAnchor, const plugin::Colour&) override { look(p); label(words); }
    void raster(const plugin::OverlayRaster& r) override { ++rasters; last_raster = r.values; }
};

struct PanelBench {
    BenchDocument document;
    BenchJobs jobs;
    BenchExports exports;
    BenchSettings settings;
    BenchLog log;
    BenchEdits edits;
    BenchPicks picks;
    BenchTools tools;
    BenchFiles files;
    plugin::Services services{document, jobs, exports, settings, log, edits, picks, tools, files};
    ImGuiContext* context = nullptr;

    PanelBench() {
        edits.state = &document.state;
        context = ImGui::CreateContext();
        ImGuiIO& io = ImGui::GetIO();
        io.IniFilename = nullptr;
        io.DisplaySize = {360, 3000};
        io.DeltaTime = 1.0f / 60;
        unsigned char* pixels = nullptr;
        int width = 0, height = 0;
        io.Fonts->GetTexDataAsAlpha8(&pixels, &width, &height);
    }
    ~PanelBench() { ImGui::DestroyContext(context); }
    PanelBench(const PanelBench&) = delete;
    PanelBench& operator=(const PanelBench&) = delete;

    // A green with marks, a hole and a ball.
    void open(TerrainModel terrain, Vec2 hole, Vec2 ball) {
        auto green = std::make_shared<Green>();
        green->id = "bench";
        green->name = "Bench";
        green->terrain = std::make_shared<TerrainModel>(std::move(terrain));
        green->marks = {{"S1", "sprinkler head", {2, 3, 100}}, {"S2", "sprinkler head", {25, 4, 100}}, {"D1", "drain cover", {12, 24, 100}}};
        document.state.green = green;
        document.state.hole = hole;
        document.state.ball = ball;
        ++document.state.revision;
    }

    // One frame of the panel, 340 px wide; its text comes back, and how wide and high it wanted to be.
    ImVec2 content;
    std::string frame(plugin::Plugin& panel) {
        ImGui::NewFrame();
        ImGui::SetNextWindowPos({0, 0});
        ImGui::SetNextWindowSize({340, 2900});
        ImGui::Begin("panel", nullptr, ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoSavedSettings);
        ImGui::LogToBuffer();
        panel.draw_panel();
        // Lines that were broken to fit are one sentence again.
        std::string text;
        for (const char* c = ImGui::GetCurrentContext()->LogBuffer.c_str(); *c; ++c) {
            const char letter = *c == '\n' || *c == '\r' ? ' ' : *c;
            if (letter != ' ' || text.empty() || text.back() != ' ') text += letter;
        }
        ImGui::LogFinish();
        ImGuiWindow* window = ImGui::GetCurrentWindow();
        content = {window->DC.CursorMaxPos.x, window->DC.CursorMaxPos.y};
        ImGui::End();
        ImGui::Render();
        return text;
    }
    std::string frames(plugin::Plugin& panel, int count = 3) {
        std::string text;
        for (int k = 0; k < count; ++k) text = frame(panel);
        return text;
    }

    // Clicks the widget with a label, wherever it stands; false where there is none.
    bool click(plugin::Plugin& panel, const char* label) {
        ImGuiIO& io = ImGui::GetIO();
        frame(panel);
        const ImGuiID id = ImGui::FindWindowByName("panel")->GetID(label);
        for (float y = 4; y < 2900; y += 5)
            for (const float x : {20.0f, 200.0f, 320.0f}) {
                io.MousePos = {x, y};
                frame(panel);
                if (ImGui::GetCurrentContext()->HoveredId != id) continue;
                frame(panel);
                io.MouseDown[0] = true;
                frame(panel);
                io.MouseDown[0] = false;
                frame(panel);
                io.MousePos = {-1, -1};
                frame(panel);
                return true;
            }
        io.MousePos = {-1, -1};
        return false;
    }
};

}  // namespace brae::test
