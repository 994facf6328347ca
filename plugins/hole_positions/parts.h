// All parts of the greenkeeper's plugin, and which of them is in front.
#pragma once

#include "plugins/hole_positions/cut_model.h"
#include "plugins/hole_positions/holes_model.h"
#include "plugins/hole_positions/line_model.h"
#include "plugins/hole_positions/plan_model.h"
#include "plugins/hole_positions/practice_model.h"

namespace brae::hole_positions {

enum class Part { today, plan, cut, practice };

struct Parts {
    HolesModel holes;
    PlanModel plan;
    CutModel cut;
    LineModel line;
    PracticeModel practice;
    Part shown = Part::today;

    explicit Parts(plugin::Services& services) : holes(services), plan(holes), cut(services), line(services), practice(holes) {}
    void show(Part part) {
        if (part != shown) {
            holes.services().tools.put_down();
            holes.services().document.redraw();
        }
        shown = part;
    }
    void clear() {
        holes.clear();
        plan.clear();
        cut.clear();
        line.clear();
        practice.clear();
    }
};

}  // namespace brae::hole_positions
