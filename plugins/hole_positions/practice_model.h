// Several holes at once on a practice green, with the stations that the coach keeps in the same file.
#pragma once

#include "core/plan/practice_holes.h"
#include "plugins/hole_positions/holes_model.h"

#include <string>
#include <vector>

namespace brae::hole_positions {

class PracticeModel {
public:
    explicit PracticeModel(HolesModel& holes);

    const PracticeRules& rules() const { return rules_; }
    void set_rules(const PracticeRules& rules);

    // From the places that the search found fair; runs at once.
    void choose();
    const PracticeHoles& chosen() const { return chosen_; }
    bool stale() const { return !chosen_.holes.empty() && key_ != holes_.key(); }
    // The ground of the coach's stations, and what today's holes and they get in each other's way with.
    std::vector<StationGround> stations() const;
    std::vector<std::string> clashes() const;
    void accept();                        // all of them as today's holes, once confirmed

    const std::string& message() const { return message_; }
    void clear();

private:
    HolesModel& holes_;
    PracticeRules rules_;
    PracticeHoles chosen_;
    std::string key_, message_;
};

}  // namespace brae::hole_positions
