#include "plugins/green_setup/ring_editor.h"

#include "core/base/segment.h"
#include "core/survey/ring.h"

#include <algorithm>
#include <cmath>

namespace brae::green_setup {

namespace {

constexpr std::size_t kMostSteps = 500;
constexpr double kNudgeM = 0.10, kSmallNudgeM = 0.01;

double to_side(Vec2 p, Vec2 a, Vec2 b) { return distance(p, nearest_on_segment(p, a, b)); }

}  // namespace

void RingEditor::draw_new() {
    stop();
    mode_ = Mode::drawing;
}

void RingEditor::shape(const std::vector<Vec2>& ring) {
    stop();
    mode_ = Mode::shaping;
    now_.ring = ring;
}

void RingEditor::stop() {
    mode_ = Mode::idle;
    now_ = {};
    undo_.clear();
    redo_.clear();
    dragging_ = whole_ = false;
    ++version_;
}

void RingEditor::step() {
    redo_.clear();
    ++version_;
    if (dragging_ && stepped_) return;
    stepped_ = true;
    undo_.push_back({now_.ring, now_.selected, mode_});
    if (undo_.size() > kMostSteps) undo_.erase(undo_.begin());
}

void RingEditor::swap(std::vector<State>& from, std::vector<State>& to) {
    to.push_back({now_.ring, now_.selected, mode_});
    now_ = from.back();
    mode_ = now_.mode;
    from.pop_back();
    dragging_ = false;
    ++version_;
}

bool RingEditor::undo() {
    if (undo_.empty()) return false;
    swap(undo_, redo_);
    return true;
}

bool RingEditor::redo() {
    if (redo_.empty()) return false;
    swap(redo_, undo_);
    return true;
}

void RingEditor::add(Vec2 p) {
    if (mode_ != Mode::drawing || !std::isfinite(p.x) || !std::isfinite(p.y)) return;
    if (!now_.ring.empty() && now_.ring.back() == p) return;
    step();
    now_.ring.push_back(p);
}

bool RingEditor::close() {
    if (mode_ != Mode::drawing || now_.ring.size() < 3) return false;
    step();
    mode_ = Mode::shaping;
    return true;
}

void RingEditor::select(std::optional<std::size_t> corner) {
    now_.selected = corner && *corner < now_.ring.size() ? corner : std::nullopt;
}

void RingEditor::move_selected(Vec2 to) {
    if (!now_.selected || !std::isfinite(to.x) || !std::isfinite(to.y) || now_.ring[*now_.selected] == to) return;
    step();
    now_.ring[*now_.selected] = to;
}

void RingEditor::insert_after_selected() {
    if (!now_.selected || mode_ != Mode::shaping) return;
    step();
    const std::size_t k = *now_.selected, n = now_.ring.size();
    now_.ring.insert(now_.ring.begin() + static_cast<std::ptrdiff_t>(k + 1), 0.5 * (now_.ring[k] + now_.ring[(k + 1) % n]));
    now_.selected = k + 1;
}

bool RingEditor::remove_selected() {
    if (!now_.selected || (mode_ == Mode::shaping && now_.ring.size() <= 3)) return false;
    step();
    const std::size_t k = *now_.selected;
    now_.ring.erase(now_.ring.begin() + static_cast<std::ptrdiff_t>(k));
    now_.selected = now_.ring.empty() ? std::nullopt : std::optional(std::min(k, now_.ring.size() - 1));
    return true;
}

void RingEditor::shift_all(Vec2 by) {
    if (now_.ring.empty() || !std::isfinite(by.x) || !std::isfinite(by.y) || by == Vec2{}) return;
    step();
    for (Vec2& p : now_.ring) p = p + by;
}

bool RingEditor::press(Vec2 p, double reach, bool twice) {
    if (mode_ == Mode::idle) return false;
    if (mode_ == Mode::drawing) {
        // The second press of a double click adds nothing; a press on the first corner closes as well.
        if (twice || (now_.ring.size() >= 3 && distance(p, now_.ring.front()) <= reach)) return close() || twice;
        add(p);
        dragging_ = stepped_ = true;  // the corner follows the mouse until it is let go, as the same step
        now_.selected = now_.ring.size() - 1;
        grip_ = {};
        return true;
    }

    // The nearest corner within reach.
    std::optional<std::size_t> corner, side;
    double least = reach;
    for (std::size_t k = 0; k < now_.ring.size(); ++k)
        if (const double d = distance(p, now_.ring[k]); d <= least) least = d, corner = k;
    if (!corner && whole_ && side_of_ring(now_.ring, p) >= 0) {
        now_.selected.reset();
        grip_ = p;
        dragging_ = true;
        stepped_ = false;
        return true;
    }
    if (!corner) {
        // Else the nearest side, which takes a corner there.
        least = 0.7 * reach;
        for (std::size_t k = 0; k < now_.ring.size(); ++k)
            if (const double d = to_side(p, now_.ring[k], now_.ring[(k + 1) % now_.ring.size()]); d <= least) least = d, side = k;
        if (!side) return false;
    }
    dragging_ = true;
    stepped_ = false;
    if (side) {
        step();
        now_.ring.insert(now_.ring.begin() + static_cast<std::ptrdiff_t>(*side + 1), p);
        corner = *side + 1;
    }
    now_.selected = corner;
    grip_ = now_.ring[*corner] - p;
    return true;
}

void RingEditor::drag(Vec2 p) {
    if (!dragging_) return;
    if (now_.selected) {
        move_selected(p + grip_);
    } else {
        const Vec2 by = p - grip_;
        grip_ = p;
        shift_all(by);
    }
}

void RingEditor::release() {
    dragging_ = false;
    if (mode_ == Mode::drawing) now_.selected.reset();
}

bool RingEditor::key(plugin::ToolKey key, bool shift) {
    using K = plugin::ToolKey;
    if (key == K::undo) return undo() || busy();  // the program's own undo waits until the drawing is over
    if (key == K::redo) return redo() || busy();
    if (mode_ == Mode::drawing) {
        if (key == K::enter) return close() || true;
        if (key == K::backspace && !now_.ring.empty()) {
            step();
            now_.ring.pop_back();
            return true;
        }
        return false;
    }
    if (mode_ != Mode::shaping) return false;
    const std::size_t n = now_.ring.size();
    const double nudge = shift ? kSmallNudgeM : kNudgeM;
    const auto move = [&](double dx, double dy) {
        if (now_.selected) move_selected(now_.ring[*now_.selected] + nudge * Vec2{dx, dy});
        else if (whole_) shift_all(nudge * Vec2{dx, dy});
        else return false;
        return true;
    };
    switch (key) {
        case K::tab:
            now_.selected = !now_.selected ? (shift ? n - 1 : 0) : (*now_.selected + (shift ? n - 1 : 1)) % n;
            return true;
        case K::left: return move(-1, 0);
        case K::right: return move(1, 0);
        case K::up: return move(0, 1);
        case K::down: return move(0, -1);
        case K::insert: insert_after_selected(); return now_.selected.has_value();
        case K::remove:
        case K::backspace: return remove_selected();
        case K::escape:
            // First the selection goes, then the tool.
            if (!now_.selected) return false;
            now_.selected.reset();
            return true;
        default: return false;
    }
}

}  // namespace brae::green_setup
