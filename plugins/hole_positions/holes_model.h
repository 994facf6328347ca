// Finding and judging: limits, the green as it was judged, its maps, today's places, and the place that is looked at.
#pragma once

#include "core/export/sheets.h"
#include "core/plan/hole_judge.h"
#include "core/plan/hole_today.h"
#include "core/record/hole_question.h"
#include "plugins/api/services.h"

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace brae::hole_positions {

// A green at one speed with what is known of it; shared with jobs.
struct Bench {
    std::shared_ptr<const Green> green;
    HoleQuestion question;
    HoleJudge judge;
    Bench(std::shared_ptr<const Green> g, HoleQuestion q, double speed_ft, const HoleLimits& limits)
        : green(std::move(g)), question(std::move(q)), judge(*green->terrain, question.around, speed_ft, limits) {}
};

// What a search gave.
struct Found {
    std::shared_ptr<const Bench> bench;
    GreenJudgement judged;
    std::vector<HolePosition> best;          // ranked, apart from one another
    std::string why_none;
    std::optional<RampSite> ramp;
    std::string key;                         // of the question that it answers
};

class HolesModel {
public:
    explicit HolesModel(plugin::Services& services);

    const plugin::Snapshot& now() const { return services_.document.snapshot(); }
    plugin::Services& services() { return services_; }
    const std::string& message() const { return message_; }
    void say(const std::string& sentence) { message_ = sentence; }

    // Settings, kept between runs.
    const HoleLimits& limits() const { return limits_; }
    void set_limits(const HoleLimits& limits);
    const std::string& profile() const { return profile_; }   // "everyday", "competition", "own"
    void set_profile(const std::string& name);
    Paper paper() const { return paper_; }
    void set_paper(Paper paper);

    // The day that holes are looked for.
    std::string date;
    bool date_good() const;

    // Searching the green.
    void find();
    void cancel() { services_.jobs.cancel("find"); }
    std::optional<double> finding() const { return services_.jobs.progress("find"); }
    const Found* found() const { return found_ ? &*found_ : nullptr; }
    bool stale() const { return found_ && found_->key != key(); }
    // Of all that a judgement rests on: ground, zones, line of play, what was cut and skipped, day, speed and limits. Keeping a plan
    // or today's hole changes none of it, so that what was found stays found.
    std::string key() const;
    int selected() const { return selected_; }
    void select(int index);
    void step_selected(int by);              // round the list

    // The map: "" for none, "margin", or a criterion's name.
    const std::string& map() const { return map_; }
    void set_map(const std::string& name);
    std::shared_ptr<const Raster> map_raster();
    void find_every_place();                 // judges every place by motion too, so that maps have no holes; takes longer

    // How green speed changes it.
    void compare_speeds();
    std::optional<double> comparing() const { return services_.jobs.progress("speeds"); }
    const std::vector<FairAtSpeed>& by_speed() const { return by_speed_; }
    bool by_speed_stale() const { return by_speed_key_ != key(); }

    // The place that is judged: the one being moved, the last one under the mouse where asked for, else the hole on show.
    bool judge_cursor() const { return judge_cursor_; }
    void set_judge_cursor(bool cursor);
    std::optional<Vec2> place() const;
    const HolePosition* judged();            // the newest judgement, which may lag the place by a moment; null before any
    bool judging() const { return services_.jobs.progress("why").has_value(); }
    const FairUntil* until();                // of the hole on show; null while it is worked out or another place is judged

    // Moving a hole over the green: drag, or arrow keys by 10 cm (Shift: 1 m); Enter makes it today's, Escape ends.
    void move_hole();
    std::optional<Vec2> trial() const { return trial_; }
    void drop_trial();

    void put_hole(int index);                // the program's hole goes there, to look at
    void make_todays(Vec2 p);                // once confirmed
    void make_selected_todays();
    void ask_sheet();
    void clear();

    // Is the panel in front? The map and the judged ground are drawn only then.
    void mark_front();
    bool take_front();

    // Zones that are closed to holes on a day, the model's own where none is given.
    std::vector<const Zone*> closed(const std::string& on = {}) const;
    // Words for a place by the green's line of play, else by metres.
    std::string where(Vec2 p) const;

private:
    void start_find(HoleScope scope);

    plugin::Services& services_;
    HoleLimits limits_;
    std::string profile_ = "everyday", map_ = "margin", message_;
    Paper paper_ = Paper::a4;
    std::optional<Found> found_;
    int selected_ = -1;
    std::map<std::string, std::shared_ptr<const Raster>> rasters_;
    std::vector<FairAtSpeed> by_speed_;
    std::string by_speed_key_;

    bool judge_cursor_ = false;
    std::optional<Vec2> trial_, last_cursor_;   // the latter stays while the mouse is over the panel
    std::shared_ptr<const Bench> bench_;     // for single places
    // Those asked hold the revision too: with another one a job's result is dropped, and has to be asked for again.
    std::string bench_key_, judged_key_, asked_key_, until_key_, until_asked_;
    mutable std::shared_ptr<const Green> keyed_;
    mutable std::string green_key_, green_key_day_;
    std::optional<HolePosition> judged_;
    std::optional<FairUntil> until_;
    bool front_ = false, was_front_ = false;
};

}  // namespace brae::hole_positions
