#include "plugins/hole_positions/plan_model.h"

#include "core/base/calendar.h"
#include "core/base/units.h"
#include "core/plan/course_greens.h"

#include <algorithm>
#include <charconv>
#include <fmt/format.h>

namespace brae::hole_positions {

namespace {

int number_or(const std::string& text, int otherwise, int low, int high) {
    int value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    return error == std::errc() && end == text.data() + text.size() && value >= low && value <= high ? value : otherwise;
}

}  // namespace

PlanModel::PlanModel(HolesModel& holes) : holes_(holes) {
    days_ = number_or(holes_.services().settings.get("days"), 7, 1, 14);
    recovery_days_ = number_or(holes_.services().settings.get("recovery_days"), 14, 1, 60);
}

void PlanModel::set_days(int days) {
    days_ = std::clamp(days, 1, 14);
    holes_.services().settings.set("days", std::to_string(days_));
}

void PlanModel::set_recovery_days(int days) {
    recovery_days_ = std::clamp(days, 1, 60);
    holes_.services().settings.set("recovery_days", std::to_string(recovery_days_));
}

std::optional<double> PlanModel::planning() const { return holes_.services().jobs.progress("plan"); }

void PlanModel::plan() {
    const plugin::Snapshot& now = holes_.now();
    if (!now.green) return;
    if (!holes_.date_good()) {
        message_ = "a first day such as 2026-05-02 is wanted";
        return;
    }
    // What is locked stays on its date.
    std::vector<PlanDay> locked;
    for (const PlanDay& d : list_)
        if (d.locked && d.p) locked.push_back(d);

    plugin::Job job;
    job.key = "plan";
    job.title = "Planning the days";
    job.work = [this, green = now.green, speed = now.green_speed_ft, limits = holes_.limits(), first = holes_.date, days = days_, recovery = recovery_days_, locked,
                wanted = holes_.key()](Progress& progress) -> std::function<void()> {
        HoleQuestion question = hole_question(*green, first, days);
        // Of what is written down for these days only what was really cut is taken as it is; the rest is what is planned anew.
        std::erase_if(question.over.by_hand, [&](const DatedHole& h) {
            return std::none_of(green->holes.begin(), green->holes.end(), [&](const StoredHole& s) { return s.as_cut && s.p == h.p && s.date == date_after(first, h.day); });
        });
        for (const PlanDay& d : locked) {
            const auto day = days_between(first, d.date);
            if (!day || *day < 0 || *day >= days) continue;
            std::erase_if(question.over.by_hand, [&](const DatedHole& h) { return h.day == *day; });
            question.over.by_hand.push_back({*d.p, *day});
        }
        Progress judging(progress, 0, 0.85), choosing(progress, 0.85, 1);
        const HoleJudge judge(*green->terrain, question.whole_plan, speed, limits);
        const GreenJudgement judged = judge.judge_green(HoleScope::only_possible, judging);
        CourseRules rules;
        rules.apart_m = limits.apart_m;
        rules.healing_days = recovery;
        const CourseGreen course = course_green(judged, *green->terrain, question.around.play, question.over, recovery);
        const CoursePlan made = plan_course({course}, days, rules, choosing);
        std::vector<PlanDay> list;
        for (int d = 0; d < days; ++d) {
            PlanDay day;
            day.date = date_after(first, d);
            const int pick = made.picks[0][static_cast<std::size_t>(d)];
            if (pick >= 0) {
                day.p = course.candidates[static_cast<std::size_t>(pick)].p;
                day.locked = std::any_of(course.by_hand.begin(), course.by_hand.end(), [&](const PickByHand& h) { return h.day == d; });
                const HolePosition place = judge.judge(*day.p);
                day.why = place.why;
                day.fair = place.fair;
            } else {
                day.why = judged.fair == 0 ? judged.why_none : "no fair place keeps its distance from the holes before";
                day.fair = false;
            }
            list.push_back(std::move(day));
        }
        std::vector<std::string> remarks = question.warnings;
        remarks.insert(remarks.end(), made.remarks.begin(), made.remarks.end());
        return [this, list = std::move(list), remarks = std::move(remarks), wanted] {
            remember();
            list_ = list;
            remarks_ = remarks;
            key_ = wanted;
            message_.clear();
            select(0);
        };
    };
    job.failed = [this](const std::string& sentence) { message_ = sentence; };
    message_.clear();
    holes_.services().jobs.start(std::move(job));
}

void PlanModel::select(int index) {
    selected_ = index >= 0 && index < static_cast<int>(list_.size()) ? index : -1;
    holes_.services().document.redraw();
}

void PlanModel::remember() {
    if (list_.empty()) return;
    before_.push_back(list_);
    if (before_.size() > 50) before_.erase(before_.begin());
}

void PlanModel::lock(int index, bool locked) {
    if (index < 0 || index >= static_cast<int>(list_.size()) || !list_[static_cast<std::size_t>(index)].p) return;
    remember();
    list_[static_cast<std::size_t>(index)].locked = locked;
    holes_.services().document.redraw();
}

void PlanModel::move(int index, Vec2 p) {
    if (index < 0 || index >= static_cast<int>(list_.size()) || !holes_.now().green || !holes_.now().green->terrain->outline.contains(p)) return;
    PlanDay& day = list_[static_cast<std::size_t>(index)];
    day.p = p;
    day.locked = true;
    day.why = "set by hand";
    day.fair = true;
    judge_day(index);
    holes_.services().document.redraw();
}

// What the limits say of a place that was set by hand comes in a moment later.
void PlanModel::judge_day(int index) {
    const plugin::Snapshot& now = holes_.now();
    plugin::Job job;
    job.key = "plan day";
    job.title = "Judging the day's place";
    const PlanDay day = list_[static_cast<std::size_t>(index)];
    job.work = [this, index, day, green = now.green, speed = now.green_speed_ft, limits = holes_.limits(), first = holes_.date](Progress&) -> std::function<void()> {
        const HoleQuestion question = hole_question(*green, first, 0);
        const HolePosition place = HoleJudge(*green->terrain, question.around, speed, limits).judge(*day.p);
        return [this, index, day, place] {
            if (index >= static_cast<int>(list_.size())) return;
            PlanDay& there = list_[static_cast<std::size_t>(index)];
            if (there.date != day.date || there.p != day.p) return;
            there.why = "set by hand; " + place.why;
            there.fair = place.fair;
        };
    };
    job.failed = [this](const std::string& sentence) { message_ = sentence; };
    holes_.services().jobs.start(std::move(job));
}

void PlanModel::move_selected() {
    if (selected_ < 0 || !list_[static_cast<std::size_t>(selected_)].p) return;
    plugin::GroundTool tool;
    tool.prompt = fmt::format("Drag the hole of {}; arrows move it by 10 cm, with Shift by 1 m; Ctrl+Z takes a step back", list_[static_cast<std::size_t>(selected_)].date);
    tool.press = [this](const plugin::Pointer& at) {
        remember();
        move(selected_, at.p);
        return true;
    };
    tool.drag = [this](const plugin::Pointer& at) { move(selected_, at.p); };
    tool.key = [this](plugin::ToolKey key, bool shift) {
        if (key == plugin::ToolKey::tab) return select((selected_ + 1) % static_cast<int>(list_.size())), true;
        if (key == plugin::ToolKey::undo) return undo(), true;
        const auto by = plugin::arrow_step(key, shift);
        if (!by) return false;
        if (selected_ >= 0 && list_[static_cast<std::size_t>(selected_)].p) {
            remember();
            move(selected_, *list_[static_cast<std::size_t>(selected_)].p + *by);
        }
        return true;
    };
    holes_.services().tools.take(std::move(tool));
}

void PlanModel::undo() {
    if (before_.empty()) return;
    list_ = before_.back();
    before_.pop_back();
    select(std::min(selected_, static_cast<int>(list_.size()) - 1));
}

void PlanModel::accept() {
    if (!holes_.now().green || list_.empty()) return;
    plugin::GreenEdit edit;
    const auto count = std::count_if(list_.begin(), list_.end(), [](const PlanDay& d) { return d.p.has_value(); });
    edit.sentence = fmt::format("Keep the plan of {} holes, {} to {}, with the green? What was planned for these days before gives way.", count, list_.front().date, list_.back().date);
    std::vector<StoredHole> holes = holes_.now().green->holes;
    bool today = false;
    std::erase_if(holes, [&](const StoredHole& h) {
        const bool goes = !h.as_cut && h.date >= list_.front().date && h.date <= list_.back().date;
        today = today || (goes && h.today);
        return goes;
    });
    for (const PlanDay& d : list_) {
        if (!d.p) continue;
        // A day whose hole was cut is past planning.
        if (std::any_of(holes.begin(), holes.end(), [&](const StoredHole& h) { return h.as_cut && h.date == d.date; })) continue;
        holes.push_back({"plan " + d.date, *d.p, d.date, "", today && &d == &list_.front()});
    }
    edit.holes = std::move(holes);
    edit.answered = [this](bool kept) { message_ = kept ? "The plan is kept with the green. Undo takes it back." : ""; };
    holes_.services().edits.propose(std::move(edit));
}

std::vector<HoleUse> PlanModel::history() const {
    const auto first = day_number(holes_.date);
    if (!holes_.now().green || !first) return {};
    return holes_of_week(*holes_.now().green, *first);
}

std::vector<OpenPlug> PlanModel::plugs() const {
    const auto first = day_number(holes_.date);
    if (!holes_.now().green || !first) return {};
    return open_plugs(*holes_.now().green, *first, recovery_days_);
}

void PlanModel::clear() {
    list_.clear();
    before_.clear();
    remarks_.clear();
    key_.clear(), message_.clear();
    selected_ = -1;
}

}  // namespace brae::hole_positions
