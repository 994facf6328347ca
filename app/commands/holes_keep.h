// A plan of days kept in the green file it was made for (brae holes --keep).
#pragma once

#include "core/record/kept_plan.h"

namespace brae::app {

struct KeptPlan {
    int holes = 0;                       // of the plan, that are now in the file
    std::vector<std::string> remarks;
};
// One transaction. Throws Error as with_plan and update_green_file do; the file is then as it was.
KeptPlan keep_plan(Green green, const std::string& file, const std::string& first_day, int days, const std::vector<PlannedHole>& plan, const std::string& by);

}  // namespace brae::app
