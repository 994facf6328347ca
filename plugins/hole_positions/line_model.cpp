#include "plugins/hole_positions/line_model.h"

#include "core/base/units.h"

#include <cmath>
#include <fmt/format.h>

namespace brae::hole_positions {

std::optional<LineOfPlay> LineModel::line() const {
    if (line_) return line_;
    return now().green ? now().green->line_of_play : std::nullopt;
}

double LineModel::bearing_deg() const {
    const auto shown = line();
    return shown ? brae::bearing_deg(shown->direction) : 0;
}

void LineModel::set_bearing(double degrees) {
    if (!now().green || !std::isfinite(degrees)) return;
    line_ = line_of_play_towards(std::remainder(degrees, 360));
    message_.clear();
    services_.document.redraw();
}

void LineModel::towards(Vec2 direction) {
    if (norm(direction) > 0.1) set_bearing(brae::bearing_deg(direction));
}

void LineModel::turn() {
    if (!now().green) return;
    plugin::GroundTool tool;
    tool.prompt = "Drag where the players come from; arrows turn, Enter keeps";
    const auto look = [this](const plugin::Pointer& at) {
        if (now().green) towards(now().green->terrain->outline.centroid() - at.p);
    };
    tool.press = [look](const plugin::Pointer& at) { look(at); return true; };
    tool.drag = look;
    tool.key = [this](plugin::ToolKey key, bool shift) {
        const double step = shift ? 10 : 1;
        if (key == plugin::ToolKey::left) set_bearing(bearing_deg() - step);
        else if (key == plugin::ToolKey::right) set_bearing(bearing_deg() + step);
        else if (key == plugin::ToolKey::enter) keep();
        else if (key == plugin::ToolKey::escape) drop();
        else return false;
        return true;
    };
    services_.tools.take(std::move(tool));
}

void LineModel::draw() {
    if (!now().green) return;
    points_.clear();
    plugin::GroundTool tool;
    tool.prompt = "Click the approach from the players on to the green; Backspace takes a point back, Enter keeps";
    const auto follow = [this] {
        if (points_.size() >= 2 && distance(points_.back(), points_[points_.size() - 2]) >= 0.5) line_ = line_of_play_along(points_);
        else line_.reset();
        services_.document.redraw();
    };
    tool.press = [this, follow](const plugin::Pointer& at) {
        points_.push_back(at.p);
        follow();
        return true;
    };
    tool.drag = [this, follow](const plugin::Pointer& at) {
        if (!points_.empty()) points_.back() = at.p;
        follow();
    };
    tool.key = [this, follow](plugin::ToolKey key, bool) {
        if (key == plugin::ToolKey::enter) {
            keep();
        } else if (key == plugin::ToolKey::escape) {
            drop();
        } else if (key == plugin::ToolKey::backspace && !points_.empty()) {
            points_.pop_back();
            follow();
        } else {
            return false;
        }
        return true;
    };
    tool.ended = [this] { points_.clear(); };
    services_.tools.take(std::move(tool));
}

void LineModel::keep() {
    if (!now().green || !line_) {
        message_ = "two points or a bearing are wanted for a line of play";
        return;
    }
    plugin::GreenEdit edit;
    edit.ask = false;
    edit.sentence = fmt::format("Keep the line of play towards {:.0f} degrees with the green?", bearing_deg());
    edit.line_of_play = line_;
    edit.answered = [this](bool kept) {
        if (!kept) return;
        line_.reset();
        message_ = "The line of play is kept. Undo takes it back.";
    };
    services_.edits.propose(std::move(edit));
    services_.tools.put_down();
}

void LineModel::drop() {
    line_.reset();
    points_.clear();
    message_.clear();
    services_.tools.put_down();
    services_.document.redraw();
}

void LineModel::add_gate() {
    services_.picks.ask("Click where players walk on or off", [this](Vec2 p) {
        if (!now().green) return;
        std::vector<Gate> gates = now().green->gates;
        gates.push_back({fmt::format("gate {}", gates.size() + 1), p});
        plugin::GreenEdit edit;
        edit.ask = false;
        edit.sentence = "Keep this gate with the green?";
        edit.gates = std::move(gates);
        services_.edits.propose(std::move(edit));
    });
}

void LineModel::remove_gates() {
    if (!now().green || now().green->gates.empty()) return;
    plugin::GreenEdit edit;
    edit.sentence = fmt::format("Take the {} gates away?", now().green->gates.size());
    edit.gates = std::vector<Gate>{};
    services_.edits.propose(std::move(edit));
}

void LineModel::clear() {
    line_.reset();
    points_.clear();
    message_.clear();
}

}  // namespace brae::hole_positions
