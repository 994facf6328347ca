#include "app/commands/holes_keep.h"

#include "core/base/calendar.h"
#include "core/record/green_file.h"

#include <algorithm>

namespace brae::app {

KeptPlan keep_plan(Green green, const std::string& file, const std::string& first_day, int days, const std::vector<PlannedHole>& plan, const std::string& by) {
    HistoryEntry entry = with_plan(green, first_day, days, plan, by);
    ++entry.green.revision;
    update_green_file(entry.green, file);
    KeptPlan out{0, std::move(entry.remarks)};
    for (const StoredHole& h : entry.green.holes)
        out.holes += h.by_plan && std::any_of(plan.begin(), plan.end(), [&](const PlannedHole& p) { return p.date == h.date && p.p == h.p; });
    return out;
}

}  // namespace brae::app
