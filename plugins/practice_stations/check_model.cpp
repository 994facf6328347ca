#include "plugins/practice_stations/check_model.h"

#include "core/base/calendar.h"
#include "core/base/constants.h"
#include "core/base/error.h"
#include "core/roll/green_speed.h"

#include <fmt/format.h>
#include <utility>

namespace brae::practice_stations {

namespace {

constexpr const char* kJob = "check";
constexpr int kMostBalls = 100;
// A stop that was clicked on a screen, each way; the same as a putt's 5 cm, whose 2 % of the distance are left out. Own choice.
constexpr double kClickSigmaM = 0.05;

}  // namespace

CheckStep CheckModel::step() const {
    if (lines_.empty() || begun_) return CheckStep::start;
    return lines_.back().toward ? CheckStep::balls : CheckStep::toward;
}

std::string CheckModel::asks() const {
    switch (step()) {
        case CheckStep::start: return "Click where the balls start";
        case CheckStep::toward: return "Click where they are sent: a mark on the line, far ahead";
        case CheckStep::balls: return "Click where each ball stopped  \u00b7  Enter: another line";
    }
    return {};
}

int CheckModel::balls() const {
    int out = 0;
    for (const CheckLine& l : lines_) out += static_cast<int>(l.stops.size());
    return out;
}

void CheckModel::take_in_hand() {
    if (!now().green) return;
    message_.clear();
    plugin::GroundTool tool;
    tool.press = [this](const plugin::Pointer& at) {
        click(at.p);
        return true;
    };
    tool.key = [this](plugin::ToolKey key, bool shift) {
        if (const auto by = plugin::arrow_step(key, shift)) move_cross(*by);
        else if (key == plugin::ToolKey::enter) cross_ ? click(*std::exchange(cross_, {})) : new_line();
        else if (cross_ && (key == plugin::ToolKey::escape || key == plugin::ToolKey::backspace)) cross_.reset(), services_.document.redraw();
        else if (key == plugin::ToolKey::backspace || key == plugin::ToolKey::remove || key == plugin::ToolKey::undo) take_back();
        else return false;
        return true;
    };
    tool.ended = [this] {
        in_hand_ = false;
        cross_.reset();
        services_.document.redraw();
    };
    tool.prompt = asks();
    services_.tools.take(std::move(tool));
    in_hand_ = true;
}

void CheckModel::pause() {
    services_.tools.put_down();
    in_hand_ = false;
}

// From where the last thing was told, so that a ball near the others is few keys away.
Vec2 CheckModel::last_place() const {
    if (!lines_.empty()) {
        const CheckLine& l = lines_.back();
        if (!l.stops.empty()) return l.stops.back();
        return l.toward ? *l.toward : l.start;
    }
    if (now().ball) return *now().ball;
    return now().green->terrain->outline.centroid();
}

void CheckModel::move_cross(Vec2 by) {
    if (!now().green) return;
    const Vec2 to = cross_.value_or(last_place()) + by;
    // As far as the mouse reaches.
    if (-now().green->terrain->outline.signed_distance(to) <= 20) cross_ = to;
    message_.clear();
    services_.document.redraw();
}

void CheckModel::click(Vec2 p) {
    if (!now().green) return;
    cross_.reset();
    message_.clear();
    if (step() != CheckStep::toward && !now().green->terrain->outline.contains(p)) message_ = "that is off the green; a ball that rolled off it tells nothing here";
    else if (step() == CheckStep::start) lines_.push_back({p, {}, {}}), begun_ = false;
    else if (step() == CheckStep::toward && distance(p, lines_.back().start) < 0.5) message_ = "that is too near to the start; a point at least half a metre ahead is wanted";
    else if (step() == CheckStep::toward) lines_.back().toward = p;
    else if (balls() >= kMostBalls) message_ = fmt::format("{} balls are enough", kMostBalls);
    else {
        const CheckLine& line = lines_.back();
        // A ball far off its line was not this ball.
        const Vec2 to = p - line.start;
        if (dot(to, *line.toward - line.start) <= 0 || norm(to) < 0.3) message_ = "a ball that was sent that way cannot stop here; click again, or Enter for another line";
        else {
            lines_.back().stops.push_back(p);
            work_out();
        }
    }
    services_.tools.say(asks());
    services_.document.redraw();
}

void CheckModel::new_line() {
    // A line without a ball is only begun again.
    message_.clear();
    if (!lines_.empty() && lines_.back().stops.empty()) lines_.pop_back();
    begun_ = !lines_.empty();
    services_.tools.say(asks());
    services_.document.redraw();
}

void CheckModel::take_back() {
    message_.clear();
    if (begun_) begun_ = false;
    else if (!lines_.empty()) {
        CheckLine& last = lines_.back();
        if (!last.stops.empty()) last.stops.pop_back();
        else if (last.toward) last.toward.reset();
        else lines_.pop_back();
    }
    work_out();
    services_.tools.say(asks());
    services_.document.redraw();
}

void CheckModel::clear() {
    lines_.clear();
    cross_.reset();
    begun_ = false;
    result_.reset();
    message_.clear();
    services_.jobs.cancel(kJob);
    services_.tools.say(asks());
}

void CheckModel::set_let_go(LetGo how) {
    let_go_ = how;
    work_out();
}

std::vector<RolledBall> CheckModel::rolls() const {
    std::vector<RolledBall> out;
    for (const CheckLine& line : lines_)
        for (const Vec2 stop : line.stops) {
            RolledBall b;
            b.start = line.start, b.toward = *line.toward, b.finish = stop;
            b.finish_sigma_m = kClickSigmaM;
            if (let_go_ == LetGo::ramp) b.launch_mps = kRampReleaseMps;
            else b.launch_group = 0;
            b.launch_sigma_mps = kRampSpreadRel * kRampReleaseMps;
            out.push_back(b);
        }
    return out;
}

void CheckModel::work_out() {
    result_.reset();
    services_.jobs.cancel(kJob);
    const std::vector<RolledBall> balls = rolls();
    if (balls.empty() || !now().green) return;
    plugin::Job job;
    job.key = kJob;
    job.title = "Working out the green speed";
    job.work = [this, terrain = now().green->terrain, balls](Progress& progress) -> std::function<void()> {
        progress.step(0.1, "rolling the same balls");
        return [this, made = calibrate_speed(*terrain->surface, terrain->outline, balls)] { result_ = made; };
    };
    job.failed = [this](const std::string& sentence) { message_ = sentence; };
    services_.jobs.start(std::move(job));
}

std::string CheckModel::why_not() const {
    if (!result_) return "Roll some balls first.";
    if (!result_->told) return result_->sentence;
    if (!result_->agrees) return "Balls and survey do not agree, so this is no speed of the day.";
    if (balls() < 3) return "Three balls or more are wanted before it counts.";
    if (!(result_->speed_ft >= kSlowestGreenFt && result_->speed_ft <= kFastestGreenFt))
        return fmt::format("{:.1f} ft lies outside the {:g} to {:g} ft that reads take.", result_->speed_ft, kSlowestGreenFt, kFastestGreenFt);
    return {};
}

void CheckModel::keep() {
    if (!why_not().empty()) return;
    plugin::GreenEdit edit;
    edit.sentence = fmt::format("Make {:.1f} ft the green speed of the day?", result_->speed_ft);
    edit.add_speeds.push_back({result_->speed_ft, result_->scaled_sigma_ft, today(), fmt::format("{} rolled balls", balls())});
    edit.ask = false;
    edit.answered = [this, speed = result_->speed_ft](bool kept) {
        if (!kept) {
            message_ = "The speed was not kept.";
            return;
        }
        message_ = fmt::format("{:.1f} ft is the green speed of the day, kept with the green.", speed);
        if (kept_) kept_();
    };
    services_.edits.propose(std::move(edit));
}

void CheckModel::green_opened() {
    if (in_hand_) pause();
    clear();
}

void CheckModel::green_changed() {
    if (balls() > 0 && !result_) work_out();
}

}  // namespace brae::practice_stations
