#include "plugins/practice_stations/stations_model.h"

#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/base/version.h"
#include "core/export/point_file.h"
#include "core/plan/station_speeds.h"
#include "core/record/green_queries.h"
#include "core/record/lesson_kind_file.h"
#include "plugins/api/panel_kit.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fmt/format.h>

namespace brae::practice_stations {

namespace {

constexpr const char* kSheet = "Setting-out sheet";
constexpr const char* kCard = "Pocket card of the stations";
constexpr const char* kLessonCard = "Lesson card";
constexpr const char* kPointsCsv = "Station points for a rover (CSV)";
constexpr const char* kPointsGpx = "Station points for a phone (GPX)";
constexpr std::size_t kMostStations = 26;  // letters

// How far an aim moved, in words: "A 3 cm farther out".
std::string moved_text(const PracticeStation& before, const PracticeStation& after, plugin::Units units) {
    const double by = after.break_m - before.break_m;
    const bool other_side = before.aim_offset_m * after.aim_offset_m < 0;
    if (other_side) return before.label + " to the other side of the hole";
    if (std::abs(by) < 0.005) return before.label + " not at all";
    return before.label + " " + plugin::kit::offset(std::abs(by), units) + (by > 0 ? " farther out" : " nearer to the hole");
}

}  // namespace

StationsModel::StationsModel(plugin::Services& services) : services_(services) {
    lesson_ = services_.settings.get("lesson", "ladder");
    paper_ = services_.settings.get("paper", "a4") == "letter" ? Paper::letter : Paper::a4;

    if (const std::string usual = services_.settings.get("usual-speed"); !usual.empty()) set_usual_speed(std::atof(usual.c_str()));

    // The sheets stand in the program's list of exports as well as behind the panel's buttons.
    offer_sheet(kSheet, "stations", "stations.pdf");
    offer_sheet(kCard, "pocket", "stations-card.pdf");
    offer_sheet(kLessonCard, "lesson-card", "lesson-card.pdf");
    for (const auto& [title, ending] : {std::pair{kPointsCsv, "csv"}, std::pair{kPointsGpx, "gpx"}}) {
        plugin::Export points;
        points.title = title;
        points.extension = ending;
        points.file_name = std::string("stations.") + ending;
        points.ready = [this] { return now().green && !stations_.empty(); };
        points.prepare = [this] {
            return [terrain = now().green->terrain, stations = stations_](const std::filesystem::path& file, Progress& progress) {
                progress.step(0.1, "writing the points");
                write_points(station_points(stations), *terrain, file);
            };
        };
        services_.exports.add(std::move(points));
    }
    take_over_green();
}

void StationsModel::offer_sheet(const char* title, const char* kind, const char* file_name) {
    plugin::Export sheet;
    sheet.title = title;
    sheet.extension = "pdf";
    sheet.file_name = file_name;
    sheet.ready = [this] { return now().green && !stations_.empty(); };
    sheet.prepare = [this, kind] {
        SheetRequest request;
        request.kind = kind;
        request.paper = paper_;
        request.green_speed_ft = stations_.empty() ? now().green_speed_ft : stations_.front().green_speed_ft;
        request.date = today();
        request.feet_and_inches = now().units == plugin::Units::feet;
        request.stations = stations_;
        return [green = now().green, request, usual = usual_speed_ft_](const std::filesystem::path& file, Progress& progress) mutable {
            progress.step(0.1, "drawing the sheet");
            if (request.kind != "lesson-card") request.speeds = breaks_for_sheet(*green->terrain, request.stations, usual);
            write_sheet(*green, request, file);
        };
    };
    services_.exports.add(std::move(sheet));
}

void StationsModel::set_usual_speed(std::optional<double> feet) {
    usual_speed_ft_ = feet && *feet >= kSlowestGreenFt && *feet <= kFastestGreenFt ? feet : std::nullopt;
    services_.settings.set("usual-speed", usual_speed_ft_ ? fmt::format("{:.1f}", *usual_speed_ft_) : "");
}

const LessonKind& StationsModel::lesson() const {
    if (own_ && own_->name == lesson_) return *own_;
    const auto& kinds = lesson_kinds();
    const auto found = std::find_if(kinds.begin(), kinds.end(), [&](const LessonKind& k) { return k.name == lesson_; });
    return found == kinds.end() ? kinds.front() : *found;
}

void StationsModel::choose_lesson(const std::string& name) {
    lesson_ = name;
    if (!own_ || own_->name != name) services_.settings.set("lesson", name);
}

void StationsModel::ask_own_lesson() {
    services_.files.ask_open("A lesson of your own", [this](std::filesystem::path file) { read_own_lesson(file); }, {".json"});
}

void StationsModel::read_own_lesson(const std::filesystem::path& file) {
    try {
        LessonKind kind = read_lesson_kind(file);
        const auto& kinds = lesson_kinds();
        if (std::any_of(kinds.begin(), kinds.end(), [&](const LessonKind& k) { return k.name == kind.name; }))
            throw usage_error(fmt::format("{}: found the name {}, which a ready lesson has; another name is wanted", file.string(), kind.name));
        own_ = std::move(kind);
        lesson_ = own_->name;
        message_.clear();
    } catch (const Error& e) {
        message_ = e.what();
    }
    services_.document.redraw();
}

std::vector<StationsModel::HoleChoice> StationsModel::holes() const {
    std::vector<HoleChoice> out;
    if (!now().green) return out;
    bool shown = false;
    for (const StoredHole& h : now().green->holes) {
        const bool on_show = now().hole && distance(*now().hole, h.p) < 0.005;
        shown = shown || on_show;
        out.push_back({h.name.empty() ? fmt::format("hole at {:.1f}, {:.1f} m", h.p.x, h.p.y) : h.name, h.p, h.today, on_show});
    }
    if (now().hole && !shown) out.push_back({"the hole on show", *now().hole, false, true});
    return out;
}

void StationsModel::choose_hole(Vec2 p) {
    if (!services_.edits.set_putt({}, p, {})) message_ = "that hole lies off the green as it is now";
}

bool StationsModel::cut_here() const { return cut_at_ && now().hole && distance(*cut_at_, *now().hole) < 0.005; }
void StationsModel::set_cut_here(bool yes) {
    if (yes) cut_at_ = now().hole;
    else cut_at_.reset();
}

void StationsModel::set_paper(Paper paper) {
    paper_ = paper;
    services_.settings.set("paper", paper == Paper::letter ? "letter" : "a4");
}

bool StationsModel::stale() const {
    if (!now().green) return false;
    return std::any_of(stations_.begin(), stations_.end(), [&](const PracticeStation& s) {
        // A practice green has several holes: one that is stored with it is as good as the one on show.
        const auto is_its = [&](Vec2 p) { return distance(p, s.hole) <= 0.005; };
        const auto& stored = now().green->holes;
        const bool elsewhere = now().hole && !is_its(*now().hole) && !(cut_at_ && is_its(*cut_at_)) &&
                               std::none_of(stored.begin(), stored.end(), [&](const StoredHole& h) { return is_its(h.p); });
        return elsewhere || std::abs(now().green_speed_ft - s.green_speed_ft) > 1e-9;
    });
}

void StationsModel::select(int index) {
    selected_ = index >= 0 && index < static_cast<int>(stations_.size()) ? index : -1;
    services_.document.redraw();
}

StationRequest StationsModel::request(Vec2 hole) const {
    StationRequest out = station_request(*now().green, hole, now().green_speed_ft, now().past_m, lesson().name);
    if (cut_at_ && distance(*cut_at_, hole) < 0.005) out.hole_is_cut = true;
    if (own_ && own_->name == lesson_) out.own = own_;
    if (player_) out.player = *player_;
    return out;
}

void StationsModel::plan() {
    if (!has_hole()) return;
    plugin::Job job;
    job.key = "plan";
    job.title = "Planning stations";
    job.work = [this, terrain = now().green->terrain, r = request(*now().hole), adds = adds_to_list](Progress& progress) -> std::function<void()> {
        return [this, made = plan_stations(*terrain, r, progress), adds] {
            const std::size_t before = adds ? stations_.size() : 0;
            stations_.resize(before);
            for (const PracticeStation& s : made.stations)
                if (stations_.size() < kMostStations) stations_.push_back(s);
            const int first = stations_.size() > before ? static_cast<int>(before) : -1;
            if (before > 0) label_all();
            shared_aim_ = before > 0 ? std::nullopt : made.shared_aim;
            message_ = made.missing;
            select(first);
        };
    };
    job.failed = [this](const std::string& sentence) { message_ = sentence; };
    message_.clear();
    services_.jobs.start(std::move(job));
}

void StationsModel::solve_spot(const std::string& key, Vec2 ball, Vec2 hole, double past_m, int index) {
    StationRequest r = request(hole);
    r.past_m = past_m;
    plugin::Job job;
    job.key = key;
    job.title = "Solving the station";
    job.work = [this, terrain = now().green->terrain, r, ball, index](Progress& progress) -> std::function<void()> {
        progress.step(0.1, "solving the station");
        return [this, made = station_at(*terrain, r, ball, ""), index] {
            changed();
            // A new one at the end, or in the place of the one that was moved.
            const bool replaces = index >= 0 && index < static_cast<int>(stations_.size());
            if (replaces)
                stations_[index] = made;
            else if (stations_.size() < kMostStations)
                stations_.push_back(made);
            label_all();
            message_.clear();
            select(replaces ? index : static_cast<int>(stations_.size()) - 1);
        };
    };
    job.failed = [this](const std::string& sentence) { message_ = sentence; };
    services_.jobs.start(std::move(job));
}

void StationsModel::add_at_ball() {
    if (!has_hole() || !now().ball) return;
    if (stations_.size() >= kMostStations) {
        message_ = fmt::format("there are {} stations already; remove one first", kMostStations);
        return;
    }
    solve_spot("add", *now().ball, *now().hole, now().past_m, -1);
}

void StationsModel::move(int index) {
    if (index < 0 || index >= static_cast<int>(stations_.size())) return;
    services_.picks.ask("Click where station " + stations_[index].label + " starts", [this, index](Vec2 at) { move_to(index, at); });
}

void StationsModel::move_to(int index, Vec2 ball) {
    if (!now().green || index < 0 || index >= static_cast<int>(stations_.size())) return;
    solve_spot("move", ball, stations_[index].hole, stations_[index].past_m, index);
}

void StationsModel::set_hole_of(int index, Vec2 hole) {
    if (!now().green || index < 0 || index >= static_cast<int>(stations_.size())) return;
    solve_spot("move", stations_[index].ball, hole, stations_[index].past_m, index);
}

void StationsModel::follow_speed() {
    if (!now().green || stations_.empty()) return;
    struct Asked { StationRequest request; PracticeStation station; };
    std::vector<Asked> all;
    for (const PracticeStation& s : stations_) {
        StationRequest r = request(s.hole);
        r.past_m = s.past_m;
        all.push_back({r, s});
    }
    plugin::Job job;
    job.key = "follow";
    job.title = "Stations at today's green speed";
    job.work = [this, terrain = now().green->terrain, all, units = now().units, speed = now().green_speed_ft](Progress& progress) -> std::function<void()> {
        auto fresh = std::make_shared<std::vector<PracticeStation>>();
        std::string words;
        for (std::size_t k = 0; k < all.size(); ++k) {
            progress.step(double(k) / double(all.size()), "solving the stations");
            const PracticeStation& old = all[k].station;
            std::string moved;
            try {
                PracticeStation s = station_at(*terrain, all[k].request, old.ball, old.label);
                s.lesson = old.lesson;
                if (s.note.empty()) s.note = old.note;
                moved = moved_text(old, s, units);
                fresh->push_back(std::move(s));
            } catch (const Error&) {
                // It stays as it was, and is told as out of date.
                moved = old.label + " has no putt at this speed";
                fresh->push_back(old);
            }
            words += (words.empty() ? "" : ", ") + moved;
        }
        const std::string sentence = fmt::format("At {:.1f} ft the aims move: {}. Set the pegs anew where that is more than a hole's edge.", speed, words);
        return [this, fresh, sentence] {
            stations_ = *fresh;
            changed();
            message_ = sentence;
            select(std::min(selected_, static_cast<int>(stations_.size()) - 1));
        };
    };
    job.failed = [this](const std::string& sentence) { message_ = sentence; };
    services_.jobs.start(std::move(job));
}

void StationsModel::remove(int index) {
    if (index < 0 || index >= static_cast<int>(stations_.size())) return;
    stations_.erase(stations_.begin() + index);
    changed();
    label_all();
    select(std::min(index, static_cast<int>(stations_.size()) - 1));
}

void StationsModel::clear() {
    stations_.clear();
    changed();
    message_.clear();
    select(-1);
}

void StationsModel::label_all() {
    for (std::size_t k = 0; k < stations_.size(); ++k) stations_[k].label = std::string(1, static_cast<char>('A' + k));
}

void StationsModel::show_putt(int index) {
    if (index < 0 || index >= static_cast<int>(stations_.size())) return;
    const PracticeStation& s = stations_[index];
    if (!services_.edits.set_putt(s.ball, s.hole, s.past_m)) message_ = "station " + s.label + " lies off this green";
}

void StationsModel::keep() {
    if (!now().green || stations_.empty()) return;
    plugin::GreenEdit edit;
    edit.sentence = fmt::format("Keep {} of the lesson \u201c{}\u201d with the green, instead of those stored before?",
                                stations_.size() == 1 ? "this station" : fmt::format("these {} stations", stations_.size()), lesson().name);
    edit.replace_stations = true;
    for (const PracticeStation& s : stations_) edit.add_stations.push_back({s, now().green->surface_revision, model_version()});
    edit.answered = [this](bool kept) { message_ = kept ? "The stations are kept with the green." : ""; };
    services_.edits.propose(std::move(edit));
}

void StationsModel::ask_sheet() { services_.exports.ask(kSheet); }
void StationsModel::ask_card() { services_.exports.ask(kCard); }
void StationsModel::ask_lesson_card() { services_.exports.ask(kLessonCard); }
void StationsModel::ask_points() { services_.exports.ask(kPointsCsv); }

void StationsModel::take_over_green() {
    stations_.clear();
    changed();
    message_.clear();
    selected_ = -1;
    if (!now().green) return;
    for (const StoredStation& s : now().green->stations) stations_.push_back(s.station);
    // The lesson shown is the one that they belong to.
    if (stations_.empty()) return;
    const std::string& kept = stations_.front().lesson;
    const auto& kinds = lesson_kinds();
    if (std::all_of(stations_.begin(), stations_.end(), [&](const PracticeStation& s) { return s.lesson == kept; }) &&
        std::any_of(kinds.begin(), kinds.end(), [&](const LessonKind& k) { return k.name == kept; }))
        lesson_ = kept;
}

std::string tape_text(const std::optional<TapePlan>& plan, plugin::Units units) {
    namespace kit = plugin::kit;
    if (!plan) return "no pair of marks crosses well here";
    const auto one = [&](const TapeReading& t) { return t.from.name + " " + kit::distance(t.metres, units); };
    std::string out = one(plan->first) + " and " + one(plan->second) + (plan->side == TapeSide::left ? ", left" : ", right");
    if (plan->check) out += "; check " + one(*plan->check);
    return out;
}

}  // namespace brae::practice_stations
