// What the panel and the overlay share: limits, plan, maps, and the place that is judged.
#pragma once

#include "core/export/sheets.h"
#include "core/plan/hole_positions.h"
#include "plugins/api/services.h"

#include <array>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace brae::hole_positions {

// What is drawn over the green.
enum class MapKind { none, room, slope, change, edge, run_past };

class HolesModel {
public:
    explicit HolesModel(plugin::Services& services);

    const plugin::Snapshot& now() const { return services_.document.snapshot(); }
    const HolePlan& plan_made() const { return plan_; }
    bool has_plan() const { return planned_speed_.has_value(); }
    double planned_speed() const { return planned_speed_.value_or(0); }
    bool stale() const;                       // planned for another speed or other limits
    std::optional<double> planning() const { return services_.jobs.progress("plan"); }
    const std::string& message() const { return message_; }

    int selected() const { return selected_; }
    void select(int index);

    // Is the panel in front? The map and the judged ground are drawn only then, so that other panels see the slope.
    void mark_front();
    bool take_front();

    // Settings: limits, days and paper; each is kept between runs.
    const HoleLimits& limits() const { return limits_; }
    void set_limits(const HoleLimits& limits);
    int days() const { return days_; }
    void set_days(int days);                  // 0: for today
    std::string& first_date() { return first_date_; }
    bool first_date_good() const;
    MapKind map() const { return map_; }
    void set_map(MapKind kind);
    Paper paper() const { return paper_; }
    void set_paper(Paper paper);

    // Work in the background.
    void plan();
    void cancel() { services_.jobs.cancel("plan"); }
    void keep_maps_fresh();                   // starts the maps' job where they are of another speed, limits or green
    std::shared_ptr<const Raster> map_raster() const;   // null while there is none

    // Why or why not: the hole, or the place under the mouse.
    bool judge_cursor() const { return judge_cursor_; }
    void set_judge_cursor(bool cursor) { judge_cursor_ = cursor; }
    const HolePosition* judged();             // null where there is nothing to judge
    std::optional<double> fastest_for_hole(); // highest speed at which the judged place is fair
    struct SpeedRow { double speed_ft, area_m2; };
    const std::vector<SpeedRow>& by_speed() const { return by_speed_; }

    void put_hole(int index);                 // moves the program's hole there, to look at
    void accept(int index);                   // as today's hole, once confirmed
    void accept_plan();                       // all days, once confirmed
    void ask_sheet();
    void clear();

private:
    std::string limits_key() const;
    std::vector<Vec2> recent() const;

    plugin::Services& services_;
    HoleLimits limits_;
    int days_ = 0;
    std::string first_date_;
    MapKind map_ = MapKind::room;
    Paper paper_ = Paper::a4;
    HolePlan plan_;
    std::optional<double> planned_speed_;
    std::string planned_key_;
    int planned_days_ = 0;
    std::string message_;
    int selected_ = -1;
    bool front_ = false, was_front_ = false;

    std::array<std::shared_ptr<const Raster>, 6> rasters_;
    std::vector<SpeedRow> by_speed_;
    std::string maps_key_, maps_wanted_;

    bool judge_cursor_ = false;
    std::optional<HolePosition> judged_;
    std::optional<double> judged_fastest_;
    std::string judged_key_;
};

// ISO date some days after another; empty where the text is no date.
std::string date_after(const std::string& iso, int days);

}  // namespace brae::hole_positions
