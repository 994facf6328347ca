// The calendar of one green: a hole for each of the days ahead, those that people have set kept, the history before them.
#pragma once

#include "core/plan/course_plan.h"
#include "core/record/hole_history.h"
#include "plugins/hole_positions/holes_model.h"
#include "plugins/hole_positions/plan_days.h"

#include <optional>
#include <string>
#include <vector>

namespace brae::hole_positions {

// A green at one speed with the zones that are closed on all of the days; shared with jobs.
struct DayBench {
    std::shared_ptr<const Green> green;
    HoleJudge judge;
    DayBench(std::shared_ptr<const Green> g, const GreenAround& around, double speed_ft, const HoleLimits& limits)
        : green(std::move(g)), judge(*green->terrain, around, speed_ft, limits) {}
};

class PlanModel {
public:
    explicit PlanModel(HolesModel& holes);

    int days() const { return days_; }
    void set_days(int days);                         // 1 to 14
    int recovery_days() const { return recovery_days_; }
    void set_recovery_days(int days);                // 1 to 60

    // Shows what the green has kept for the days, where no plan is in hand that differs from it; once a frame.
    void follow_green();
    // What is locked, set by people or cut stays; days that are skipped have no hole.
    void plan();
    std::optional<double> planning() const;
    const std::vector<PlanDay>& list() const { return list_; }
    const std::vector<std::string>& remarks() const { return remarks_; }
    bool stale() const { return !list_.empty() && key_ != holes_.key(); }
    int selected() const { return selected_; }
    void select(int index);

    // By hand; each is one step of undo.
    void lock(int index, bool locked);
    void move(int index, Vec2 p);                    // locks it too
    void move_selected();                            // with the mouse or the arrow keys
    void undo();
    bool can_undo() const { return !before_.empty(); }

    void accept();                                   // the whole plan into the green, once confirmed
    bool in_hand() const { return in_hand_; }        // differs from what the green has kept, as far as is known
    // The days before the first one, latest first.
    std::vector<HoleUse> history() const;
    std::vector<OpenPlug> plugs() const;
    const std::string& message() const { return message_; }
    void clear();

private:
    void remember();
    void judge_kept();
    void judge_day(int index);

    HolesModel& holes_;
    int days_ = 7, recovery_days_ = 14;
    std::vector<PlanDay> list_;
    std::vector<std::vector<PlanDay>> before_;
    std::vector<std::string> remarks_;
    std::string key_, message_, followed_;
    bool in_hand_ = false;
    int selected_ = -1, judged_day_ = -1;
    std::shared_ptr<const DayBench> bench_;
    std::string bench_key_;
};

}  // namespace brae::hole_positions
