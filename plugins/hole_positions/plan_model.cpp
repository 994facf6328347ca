#include "plugins/hole_positions/plan_model.h"

#include "core/base/calendar.h"
#include "core/base/units.h"
#include "core/plan/course_greens.h"
#include "core/record/green_zones.h"

#include <algorithm>
#include <charconv>
#include <fmt/format.h>
#include <utility>

namespace brae::hole_positions {

namespace {

int number_or(const std::string& text, int otherwise, int low, int high) {
    int value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    return error == std::errc() && end == text.data() + text.size() && value >= low && value <= high ? value : otherwise;
}

// What the limits say of a day's place, and the zones that are closed on that very day.
void judge_into(PlanDay& day, const HoleJudge& judge, const Green& green) {
    if (!day.p) return;
    const HolePosition place = judge.judge(*day.p);
    day.fair = place.fair;
    day.why = place.why;
    const bool named = std::any_of(place.criteria.begin(), place.criteria.end(), [](const Criterion& c) { return c.name == "closed ground"; });
    if (const auto zones = closed_at(green, *day.p, day_number(day.date).value_or(0)); !named && !zones.empty()) {
        day.why = fmt::format("not fair: the place lies in the {}{}", zone_words(*zones.front()), place.fair ? "" : "; " + place.why);
        day.fair = false;
    }
    if (day.cut) day.why = "as cut; " + day.why;
    else if (day.locked) day.why = "set by hand; " + day.why;
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
    plugin::Job job;
    job.key = "plan";
    job.title = "Planning the days";
    job.work = [this, green = now.green, speed = now.green_speed_ft, limits = holes_.limits(), first = holes_.date, days = days_, recovery = recovery_days_, shown = list_,
                wanted = holes_.key()](Progress& progress) -> std::function<void()> {
        HoleQuestion question = hole_question(*green, first, days);
        // What is shown for a day counts before what is kept for it.
        for (const PlanDay& d : shown) {
            const auto day = days_between(first, d.date);
            if (!day || *day < 0 || *day >= days || d.cut) continue;
            std::erase_if(question.over.by_hand, [&](const DatedHole& h) { return h.day == *day; });
            if (d.locked && d.p && skipped_on(*green, d.date).empty()) question.over.by_hand.push_back({*d.p, *day});
        }
        Progress judging(progress, 0, 0.85), choosing(progress, 0.85, 1);
        const HoleJudge judge(*green->terrain, question.whole_plan, speed, limits);
        const GreenJudgement judged = judge.judge_green(HoleScope::only_possible, judging);
        CourseRules rules;
        rules.apart_m = limits.apart_m;
        rules.healing_days = recovery;
        const CourseGreen course = course_green(judged, *green->terrain, question.around.play, question.over, recovery);
        const CoursePlan made = plan_course({course}, days, rules, choosing);
        const std::vector<PlanDay> kept = kept_days(*green, first, days);
        std::vector<PlanDay> list;
        for (int d = 0; d < days; ++d) {
            PlanDay day;
            day.date = date_after(first, d);
            day.skipped = skipped_on(*green, day.date);
            day.cut = !kept.empty() && kept[static_cast<std::size_t>(d)].cut;
            const int pick = made.picks[0][static_cast<std::size_t>(d)];
            if (pick >= 0 && (day.skipped.empty() || day.cut)) {
                day.p = course.candidates[static_cast<std::size_t>(pick)].p;
                day.locked = std::any_of(course.by_hand.begin(), course.by_hand.end(), [&](const PickByHand& h) { return h.day == d; });
                judge_into(day, judge, *green);
            } else if (day.skipped.empty()) {
                day.why = judged.fair == 0 ? judged.why_none : made.without[0];
            }
            list.push_back(std::move(day));
        }
        std::vector<std::string> remarks = question.warnings;
        remarks.insert(remarks.end(), made.remarks.begin(), made.remarks.end());
        return [this, list = std::move(list), remarks = std::move(remarks), wanted] {
            remember();
            list_ = list;
            in_hand_ = true;
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

void PlanModel::follow_green() {
    const plugin::Snapshot& now = holes_.now();
    if (in_hand_ || !now.green || !holes_.date_good() || planning()) return;
    const std::string wanted = fmt::format("{}|{}|{}|{}", now.revision, days_, holes_.date, holes_.key());
    if (wanted == followed_) return;
    followed_ = wanted;
    // What is said of a day's place goes on being shown until it is judged again.
    const std::vector<PlanDay> before = std::exchange(list_, kept_days(*now.green, holes_.date, days_));
    for (PlanDay& day : list_)
        for (const PlanDay& old : before)
            if (day.p && day.date == old.date && day.p == old.p && day.locked == old.locked && day.cut == old.cut) day.why = old.why, day.fair = old.fair;
    remarks_.clear();
    key_ = holes_.key();
    selected_ = list_.empty() ? -1 : std::clamp(selected_, 0, static_cast<int>(list_.size()) - 1);
    if (!list_.empty()) judge_kept();
}

// What the limits say of the holes that are kept comes in a moment later.
void PlanModel::judge_kept() {
    const plugin::Snapshot& now = holes_.now();
    plugin::Job job;
    job.key = "plan kept";
    job.title = "Judging the kept plan";
    job.work = [this, list = list_, green = now.green, speed = now.green_speed_ft, limits = holes_.limits(), first = holes_.date, days = days_](Progress& progress) -> std::function<void()> {
        const HoleJudge judge(*green->terrain, hole_question(*green, first, days).whole_plan, speed, limits);
        std::vector<PlanDay> out = list;
        for (PlanDay& day : out) {
            progress.step(static_cast<double>(&day - out.data()) / static_cast<double>(out.size()), "judging the kept plan");
            judge_into(day, judge, *green);
        }
        return [this, list, judged = std::move(out)] {
            if (!in_hand_ && list_ == list) list_ = judged;
        };
    };
    job.failed = [this](const std::string& sentence) { message_ = sentence; };
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
    if (index < 0 || index >= static_cast<int>(list_.size())) return;
    PlanDay& day = list_[static_cast<std::size_t>(index)];
    if (!day.p || day.cut) return;
    remember();
    in_hand_ = true;
    day.locked = locked;
    holes_.services().document.redraw();
}

void PlanModel::move(int index, Vec2 p) {
    if (index < 0 || index >= static_cast<int>(list_.size()) || !holes_.now().green || !holes_.now().green->terrain->outline.contains(p)) return;
    PlanDay& day = list_[static_cast<std::size_t>(index)];
    if (day.cut || !day.skipped.empty()) return;
    in_hand_ = true;
    day.p = p;
    day.locked = true;
    day.why = "set by hand";
    day.fair = true;
    judge_day(index);
    holes_.services().document.redraw();
}

// What the limits say of a place that was set by hand comes in a moment later; one judgement at a time.
void PlanModel::judge_day(int index) {
    const plugin::Snapshot& now = holes_.now();
    if (holes_.services().jobs.progress("plan day") && judged_day_ == index) return;
    judged_day_ = index;
    plugin::Job job;
    job.key = "plan day";
    job.title = "Judging the day's place";
    const PlanDay asked = list_[static_cast<std::size_t>(index)];
    // What is closed on all of the days depends on which days the plan has.
    const std::string first = list_.front().date;
    const int days = static_cast<int>(list_.size());
    const std::string wanted = fmt::format("{}|{}|{}", holes_.key(), first, days);
    job.work = [this, index, asked, wanted, ready = bench_key_ == wanted ? bench_ : nullptr, green = now.green, speed = now.green_speed_ft, limits = holes_.limits(), first,
                days](Progress&) -> std::function<void()> {
        const auto bench = ready ? ready : std::make_shared<const DayBench>(green, hole_question(*green, first, days).whole_plan, speed, limits);
        PlanDay day = asked;
        judge_into(day, bench->judge, *green);
        return [this, index, bench, wanted, asked, day] {
            bench_ = bench;
            bench_key_ = wanted;
            if (index >= static_cast<int>(list_.size())) return;
            PlanDay& there = list_[static_cast<std::size_t>(index)];
            if (there.date == asked.date && there.p == asked.p) there.why = day.why, there.fair = day.fair;
            // While it was judged the hole may have been dragged on.
            else if (there.date == asked.date && there.p) judge_day(index);
        };
    };
    job.failed = [this](const std::string& sentence) { message_ = sentence; };
    holes_.services().jobs.start(std::move(job));
}

void PlanModel::move_selected() {
    if (selected_ < 0 || !list_[static_cast<std::size_t>(selected_)].p || list_[static_cast<std::size_t>(selected_)].cut) return;
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
    in_hand_ = true;
    select(std::min(selected_, static_cast<int>(list_.size()) - 1));
}

void PlanModel::accept() {
    if (!holes_.now().green || list_.empty()) return;
    if (!in_hand_) {
        message_ = "the plan is kept with the green as it is shown";
        return;
    }
    plugin::GreenEdit edit;
    const auto count = std::count_if(list_.begin(), list_.end(), [](const PlanDay& d) { return d.p && !d.cut; });
    edit.sentence = fmt::format("Keep the plan of {} hole{}, {} to {}, with the green? What was planned for these days before gives way.", count, count == 1 ? "" : "s",
                                list_.front().date, list_.back().date);
    edit.holes = holes_with_plan(*holes_.now().green, list_);
    edit.answered = [this](bool kept) {
        message_ = kept ? "The plan is kept with the green. Undo takes it back." : "";
        if (kept) in_hand_ = false;   // from now on the green's own is shown
    };
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
    key_.clear(), message_.clear(), followed_.clear(), bench_key_.clear();
    bench_.reset();
    in_hand_ = false;
    selected_ = judged_day_ = -1;
}

}  // namespace brae::hole_positions
