#include "app/document/document.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/record/green_file.h"
#include "core/record/green_zones.h"
#include "core/terrain/new_outline.h"

#include <algorithm>
#include <cmath>

namespace brae::app {
namespace {

constexpr std::size_t kMostSteps = 500;

bool on_green(const DocumentValue& v, Vec2 p) {
    return v.green && std::isfinite(p.x) && std::isfinite(p.y) && v.green->terrain->outline.contains(p);
}

}  // namespace

Vec2 first_ball(const Outline& outline, Vec2 hole) {
    // Directions every 5 degrees; the first with most room wins, so that the same green opens the same way.
    Vec2 best = hole;
    double room = -1e9;
    for (double reach : {3.0, 1.5, 0.5}) {
        for (int k = 0; k < 72; ++k) {
            const Vec2 p = hole + reach * direction_of_bearing(5.0 * k);
            const double d = outline.signed_distance(p);
            if (d > room + 1e-9) {
                room = d;
                best = p;
            }
        }
        if (room > 0.3) break;
    }
    return best;
}

void Document::settle_putt(DocumentValue& value) {
    const Outline& outline = value.green->terrain->outline;
    if (value.hole && value.ball && outline.contains(*value.hole) && outline.contains(*value.ball)) return;

    // Today's hole, else the middle; a middle that lies in a bay moves to the point of the green nearest to it.
    Vec2 hole = outline.centroid();
    if (const StoredHole* today = value.green->todays_hole()) hole = today->p;
    if (value.hole && outline.contains(*value.hole)) hole = *value.hole;
    if (!outline.contains(hole)) {
        double room = -1e9;
        const Box& box = outline.box();
        Vec2 best = hole;
        for (int j = 0; j <= 40; ++j)
            for (int i = 0; i <= 40; ++i) {
                const Vec2 p{box.x0 + box.width() * i / 40, box.y0 + box.height() * j / 40};
                if (const double d = outline.signed_distance(p); d > room) { room = d; best = p; }
            }
        hole = best;
    }
    if (value.ball && !outline.contains(*value.ball)) value.ball.reset();
    value.hole.reset();
    if (outline.contains(hole)) {
        value.hole = hole;
        if (const Vec2 ball = first_ball(outline, hole); !value.ball && outline.contains(ball)) value.ball = ball;
    }
}

void Document::open(Green green, std::filesystem::path file, bool stored, EditRights rights) {
    DocumentValue next;
    // The newest reading of the green's speed, else that of the stations kept with it, else the speed that was set before.
    next.green_speed_ft = now_.green_speed_ft;
    if (!green.stations.empty()) next.green_speed_ft = green.stations.back().station.green_speed_ft;
    if (!green.speeds.empty()) next.green_speed_ft = green.speeds.back().speed_ft;
    next.green_speed_ft = std::clamp(next.green_speed_ft, kSlowestGreenFt, kFastestGreenFt);
    next.past_m = now_.past_m;
    next.green = std::make_shared<const Green>(std::move(green));
    settle_putt(next);
    now_ = std::move(next);
    undo_.clear();
    redo_.clear();
    file_ = std::move(file);
    stored_ = stored;
    rights_ = std::move(rights);
    green_edited_ = in_gesture_ = false;
    ++revision_;
}

void Document::follow(Green green) {
    now_.green = std::make_shared<const Green>(std::move(green));
    if (now_.hole && !on_green(now_, *now_.hole)) now_.hole.reset();
    if (now_.ball && !on_green(now_, *now_.ball)) now_.ball.reset();
    undo_.clear();
    redo_.clear();
    in_gesture_ = false;
    ++revision_;
}

// The file first: what cannot be written does not happen.
void Document::write(const Green& green) const {
    if (stored_ && !rights_.read_only.empty()) throw Error(rights_.read_only);
    keep(green, file_, stored_);
}

void Document::keep(const Green& green, const std::filesystem::path& file, bool stored) {
    stored ? update_green_file(green, file) : check_green(green);
}

void Document::step() {
    redo_.clear();
    if (in_gesture_ && gesture_stepped_) return;
    gesture_stepped_ = true;
    undo_.push_back(now_);
    if (undo_.size() > kMostSteps) undo_.erase(undo_.begin());
}

bool Document::put_ball(Vec2 p) { return set_putt(p, std::nullopt, std::nullopt); }
bool Document::put_hole(Vec2 p) { return set_putt(std::nullopt, p, std::nullopt); }

bool Document::set_putt(std::optional<Vec2> ball, std::optional<Vec2> hole, std::optional<double> past) {
    if ((ball && !on_green(now_, *ball)) || (hole && !on_green(now_, *hole)) || !now_.green) return false;
    if (past && !(*past >= 0 && *past <= 5)) return false;
    DocumentValue next = now_;
    if (ball) next.ball = ball;
    if (hole) next.hole = hole;
    if (past) next.past_m = *past;
    if (next.ball == now_.ball && next.hole == now_.hole && next.past_m == now_.past_m) return true;
    step();
    now_ = std::move(next);
    return true;
}

void Document::set_green_speed(double feet) {
    if (!std::isfinite(feet)) return;
    feet = std::clamp(feet, kSlowestGreenFt, kFastestGreenFt);
    if (feet == now_.green_speed_ft) return;
    step();
    now_.green_speed_ft = feet;
}

void Document::set_past(double metres) {
    if (!std::isfinite(metres)) return;
    metres = std::clamp(metres, 0.0, 5.0);
    if (metres == now_.past_m) return;
    step();
    now_.past_m = metres;
}

void Document::begin_gesture() {
    in_gesture_ = true;
    gesture_stepped_ = false;
}
void Document::end_gesture() { in_gesture_ = false; }

void Document::apply(const plugin::GreenEdit& edit) {
    if (!now_.green) throw Error("there is no open green to keep this with");
    Green next = edited(*now_.green, edit);
    write(next);
    show(std::move(next), edit);
}

Green Document::edited(const Green& now, const plugin::GreenEdit& edit) {
    Green next = now;
    ++next.revision;
    if (edit.replace_stations) next.stations.clear(), next.stations_told = {};
    next.stations.insert(next.stations.end(), edit.add_stations.begin(), edit.add_stations.end());
    if (edit.holes) next.holes = *edit.holes;
    for (const StoredHole& hole : edit.add_holes) {
        if (hole.today)
            for (StoredHole& other : next.holes) other.today = false;
        next.holes.push_back(hole);
    }
    if (edit.skipped) next.skipped = *edit.skipped;
    if (edit.line_of_play) next.line_of_play = *edit.line_of_play;
    if (edit.gates) next.gates = *edit.gates;
    if (edit.marks) next.marks = *edit.marks;
    if (edit.zones) {
        next.zones = *edit.zones;
        take_gates_from_zones(next);   // a gate has a table of its own
    }
    next.speeds.insert(next.speeds.end(), edit.add_speeds.begin(), edit.add_speeds.end());
    if (edit.outline) next.terrain = std::make_shared<const TerrainModel>(with_outline(*next.terrain, *edit.outline));
    return next;
}

void Document::show(Green edited, const plugin::GreenEdit& edit) {
    step();
    now_.green = std::make_shared<const Green>(std::move(edited));
    if (!edit.add_speeds.empty()) now_.green_speed_ft = std::clamp(edit.add_speeds.back().speed_ft, kSlowestGreenFt, kFastestGreenFt);
    settle_putt(now_);
    green_edited_ = true;
    ++revision_;
}

void Document::save_as(const std::filesystem::path& file) {
    if (!now_.green) throw Error("there is no open green to save");
    Progress progress;
    write_green_file(*now_.green, file, progress);
    saved_as(file, rights_to(file));
}

void Document::saved_as(const std::filesystem::path& file, EditRights rights) {
    rights_ = std::move(rights);
    file_ = file;
    stored_ = true;
    green_edited_ = false;
}

std::shared_ptr<const Green> Document::restored(const std::shared_ptr<const Green>& old) const {
    // The same content under a new revision, since revisions of a file only go up.
    Green green = *old;
    green.revision = now_.green->revision + 1;
    write(green);
    return std::make_shared<const Green>(std::move(green));
}

void Document::swap_with(std::vector<DocumentValue>& from, std::vector<DocumentValue>& to, std::shared_ptr<const Green> kept) {
    if (from.empty()) return;
    DocumentValue next = from.back();
    if (next.green != now_.green) {
        // Other steps that hold the old green hold the rewritten one from now on.
        const auto old = next.green;
        next.green = kept ? std::move(kept) : restored(old);
        for (auto* stack : {&undo_, &redo_})
            for (DocumentValue& v : *stack)
                if (v.green == old) v.green = next.green;
        ++revision_;
        green_edited_ = true;
    }
    to.push_back(now_);
    from.pop_back();
    now_ = std::move(next);
    in_gesture_ = false;
}

void Document::undo() { swap_with(undo_, redo_); }
void Document::redo() { swap_with(redo_, undo_); }
void Document::undo(std::shared_ptr<const Green> kept) { swap_with(undo_, redo_, std::move(kept)); }
void Document::redo(std::shared_ptr<const Green> kept) { swap_with(redo_, undo_, std::move(kept)); }

}  // namespace brae::app
