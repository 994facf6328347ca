// What the panel and the overlay share: the lesson, the stations, which one is looked at, and the work on them.
#pragma once

#include "core/export/sheets.h"
#include "core/plan/practice_stations.h"
#include "plugins/api/services.h"

#include <optional>
#include <string>
#include <vector>

namespace brae::practice_stations {

class StationsModel {
public:
    explicit StationsModel(plugin::Services& services);

    const plugin::Snapshot& now() const { return services_.document.snapshot(); }
    const std::vector<PracticeStation>& stations() const { return stations_; }
    const std::optional<SharedAim>& shared_aim() const { return shared_aim_; }
    const LessonKind& lesson() const;
    const std::string& message() const { return message_; }   // what is missing or went wrong; empty where nothing is
    std::optional<double> planning() const { return services_.jobs.progress("plan"); }
    bool has_hole() const { return now().green && now().hole; }
    // Holes to plan for: those stored with the green, by name, and the one on show where it is none of them.
    struct HoleChoice { std::string name; Vec2 p; bool today = false, on_show = false; };
    std::vector<HoleChoice> holes() const;
    void choose_hole(Vec2 p);                                  // puts it on show
    // The coach says that a hole is cut where the one on show is, though it is not today's of the file.
    bool cut_here() const;
    void set_cut_here(bool yes);
    // A plan joins the stations that are there, for another hole of the same green.
    bool adds_to_list = false;
    // Were the stations made for another hole or green speed than today's?
    bool stale() const;

    int selected() const { return selected_; }
    void select(int index);
    void choose_lesson(const std::string& name);
    void ask_own_lesson();                                     // a coach's own, from a file
    void read_own_lesson(const std::filesystem::path& file);
    const std::optional<LessonKind>& own_lesson() const { return own_; }
    // Figures of the player for lessons that ask for a chance to hole; none: a fair amateur's.
    void set_player(std::optional<PlayerSpread> spread) { player_ = std::move(spread); }

    // Work in the background; each takes its result in on a later frame.
    void plan();
    void cancel() { services_.jobs.cancel("plan"); }
    void add_at_ball();
    void move(int index);             // asks for a click
    void move_to(int index, Vec2 ball);
    void set_hole_of(int index, Vec2 hole);
    void follow_speed();              // all stations at today's green speed; says how much each aim moved
    std::optional<double> following() const { return services_.jobs.progress("follow"); }

    void remove(int index);
    void clear();
    void show_putt(int index);        // ball, hole and pace of a station into the program
    void keep();                      // stores them with the green, once confirmed
    void ask_sheet();
    void ask_card();                  // the same stations for the pocket
    void ask_lesson_card();           // lines to fill in beside the green, one a putt
    void ask_points();                // for a rover or a phone
    void take_over_green();           // another green was opened: its stored stations

    // Green speed that the player is used to; empty: not told.
    std::optional<double> usual_speed_ft() const { return usual_speed_ft_; }
    void set_usual_speed(std::optional<double> feet);

    Paper paper() const { return paper_; }
    void set_paper(Paper paper);

private:
    StationRequest request(Vec2 hole) const;
    void offer_sheet(const char* title, const char* kind, const char* file_name);
    void changed() { shared_aim_.reset(); }
    void label_all();
    void solve_spot(const std::string& key, Vec2 ball, Vec2 hole, double past_m, int index);

    plugin::Services& services_;
    std::string lesson_;
    std::optional<LessonKind> own_;
    std::optional<Vec2> cut_at_;
    std::optional<PlayerSpread> player_;
    std::vector<PracticeStation> stations_;
    std::optional<SharedAim> shared_aim_;   // of a planned ring, until its stations change
    std::string message_;
    int selected_ = -1;
    Paper paper_ = Paper::a4;
    std::optional<double> usual_speed_ft_;
};

// "S1 8.42 m and hole 2.13 m, left; check S3 11.20 m": for panel and tests.
std::string tape_text(const std::optional<TapePlan>& plan, plugin::Units units);

}  // namespace brae::practice_stations
