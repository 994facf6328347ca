#include "plugins/green_setup/outline_model.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/survey/read_outline.h"
#include "core/survey/ring.h"
#include "plugins/green_setup/typed.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae::green_setup {

namespace {

constexpr double kReachPx = 10;

std::string area_text(double m2, plugin::Units units) {
    return units == plugin::Units::metric ? fmt::format("{:.0f} m\u00b2", m2) : fmt::format("{:.0f} ft\u00b2", m2 / (kFoot * kFoot));
}

std::string listed(const std::vector<std::string>& names, const char* one, const char* many) {
    if (names.empty()) return {};
    std::string out = names.size() == 1 ? one : many;
    for (std::size_t k = 0; k < names.size() && k < 6; ++k) out += (k == 0 ? " " : k + 1 == names.size() ? " and " : ", ") + names[k];
    if (names.size() > 6) out += fmt::format(" and {} more", names.size() - 6);
    return out;
}

const char* prompt_of(const RingEditor& editor) {
    return editor.mode() == RingEditor::Mode::drawing ? "Click round the edge  \u00b7  Enter or a double click closes it  \u00b7  Backspace takes the last corner"
                                                      : "Drag a corner, or a side for a new one  \u00b7  Tab and arrows by keys";
}

}  // namespace

plugin::GroundTool ring_tool(plugin::Services& services, RingEditor& editor, std::function<void()> on_enter) {
    plugin::GroundTool tool;
    tool.prompt = prompt_of(editor);
    tool.press = [&](const plugin::Pointer& at) {
        const bool used = editor.press(at.p, kReachPx * at.metres_per_pixel, at.twice);
        services.tools.say(prompt_of(editor));
        return used;
    };
    tool.drag = [&](const plugin::Pointer& at) { editor.drag(at.p); };
    tool.release = [&] { editor.release(); };
    tool.key = [&, on_enter = std::move(on_enter)](plugin::ToolKey key, bool shift) {
        if (key == plugin::ToolKey::enter && editor.mode() == RingEditor::Mode::shaping) {
            on_enter();
            return true;
        }
        const bool used = editor.key(key, shift);
        services.tools.say(prompt_of(editor));
        return used;
    };
    return tool;
}

void OutlineModel::take_tool() {
    if (now().green && editor_.busy()) services_.tools.take(ring_tool(services_, editor_, [this] { keep(); }));
}

void OutlineModel::draw_new() {
    if (!now().green) return;
    message_.clear();
    editor_.draw_new();
    take_tool();
}

void OutlineModel::shape_present() {
    if (!now().green) return;
    message_.clear();
    editor_.shape(now().green->terrain->outline.ring());
    take_tool();
}

void OutlineModel::leave() {
    editor_.stop();
    message_.clear();
    services_.tools.put_down();
}

void OutlineModel::clear() {
    editor_.stop();
    asked_ = false;
    message_.clear();
}

void OutlineModel::use_typed(const std::string& text) {
    if (now().green && editor_.busy()) message_ = put_typed(editor_, text, now().green->terrain->frame);
}

double OutlineModel::area_m2() const { return editor_.ring().size() < 3 ? 0 : std::abs(signed_area(editor_.ring())); }

void OutlineModel::judge() {
    if (!now().green || !editor_.busy() || editor_.ring().size() < 3) {
        fault_.reset();
        past_surface_ = false;
        judged_version_ = judged_revision_ = 0;
        return;
    }
    if (judged_version_ == editor_.version() && judged_revision_ == now().revision) return;
    const TerrainModel& terrain = *now().green->terrain;
    past_surface_ = needs_new_surface(terrain, editor_.ring());
    fault_ = outline_fault(terrain, editor_.ring(), OutlineGround::data);
    judged_version_ = editor_.version();
    judged_revision_ = now().revision;
}

const std::optional<OutlineFault>& OutlineModel::fault() {
    judge();
    return fault_;
}

bool OutlineModel::past_surface() {
    judge();
    return past_surface_;
}

void OutlineModel::read_from_file() {
    if (!now().green) return;
    message_.clear();
    services_.files.ask_open("An edge: GeoJSON, GeoPackage or Shapefile", [this](std::filesystem::path file) {
        const auto green = now().green;
        if (!green) return;
        plugin::Job job;
        job.key = "edge-file";
        job.title = "Reading the edge";
        job.work = [this, file, green](Progress& progress) -> std::function<void()> {
            progress.step(0.1);
            const TerrainModel& terrain = *green->terrain;
            auto words = std::make_shared<std::vector<std::string>>();
            const Outline edge = brae::read_outline(file, terrain.frame, terrain.outline.box(), *words);
            return [this, ring = edge.ring(), words] {
                editor_.shape(ring);
                message_ = words->empty() ? "" : words->front();
                take_tool();
            };
        };
        job.failed = [this](const std::string& sentence) {
            message_ = sentence;
            services_.document.redraw();
        };
        services_.jobs.start(std::move(job));
    });
}

std::string OutlineModel::left_outside() const {
    if (!now().green || editor_.ring().size() < 3) return {};
    const auto outside = [&](Vec2 p) { return side_of_ring(editor_.ring(), p) < 0; };
    std::vector<std::string> parts, names;
    for (const StoredHole& h : now().green->holes)
        if (outside(h.p)) names.push_back("'" + h.name + "'" + (h.today ? ", which is today's" : h.date.empty() ? "" : " of " + h.date));
    parts.push_back(listed(names, "the hole", "the holes"));
    names.clear();
    for (const StoredStation& s : now().green->stations)
        if (outside(s.station.ball) || outside(s.station.hole)) names.push_back(s.station.label);
    parts.push_back(listed(names, "the station", "the stations"));
    names.clear();
    for (const Zone& z : now().green->zones)
        if (std::all_of(z.ring.begin(), z.ring.end(), outside)) names.push_back("'" + z.name + "'");
    parts.push_back(listed(names, "the zone", "the zones"));
    std::string out;
    for (const std::string& part : parts)
        if (!part.empty()) out += (out.empty() ? "" : "; ") + part;
    return out;
}

void OutlineModel::keep() {
    // Once is enough: the answer comes when the edge is kept.
    if (!now().green || asked_) return;
    if (editor_.mode() == RingEditor::Mode::drawing && !editor_.close()) {
        message_ = fmt::format("the outline has {} corners; at least 3 are wanted", editor_.ring().size());
        return;
    }
    if (editor_.mode() != RingEditor::Mode::shaping) return;
    const bool feet = now().units == plugin::Units::feet;
    if (const auto& wrong = fault()) {
        message_ = to_text(*wrong, feet);
        return;
    }
    plugin::GreenEdit edit;
    edit.sentence = fmt::format("Make this the edge of the green? It encloses {}; today's edge encloses {}.", area_text(area_m2(), now().units),
                                area_text(now().green->terrain->outline.area_m2(), now().units));
    if (const std::string outside = left_outside(); !outside.empty())
        edit.sentence += " It leaves outside " + outside + "; they stay in the file.";
    const auto outside = [&](const std::optional<Vec2>& p) { return p && side_of_ring(editor_.ring(), *p) < 0; };
    const bool ball = outside(now().ball), hole = outside(now().hole);
    if (ball || hole)
        edit.sentence += fmt::format(" {} on show {} onto the green.", ball && hole ? "Ball and hole" : ball ? "The ball" : "The hole", ball && hole ? "move" : "moves");
    const bool again = past_surface();
    if (again) edit.sentence += " It takes in ground that the surface does not reach yet, so the survey is read again: stations kept before belong to the old surface then, and undo does not take it back.";
    edit.outline = editor_.ring();
    asked_ = true;
    edit.answered = [this, again](bool kept) {
        asked_ = false;
        if (!kept) return;  // the drawing stays as it is
        if (again) {
            // It stays as well until the new surface is there, which clears it; should the survey be gone, nothing is lost.
            services_.tools.put_down();
            message_ = "The survey is being read again for this edge.";
            return;
        }
        editor_.stop();
        services_.tools.put_down();
        message_ = "The green has its new edge. Undo brings the old one back.";
    };
    services_.edits.propose(std::move(edit));
}

}  // namespace brae::green_setup
