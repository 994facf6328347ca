#include "plugins/practice_stations/stations_model.h"

#include "core/base/version.h"
#include "core/export/point_file.h"
#include "core/plan/station_speeds.h"
#include "core/record/green_queries.h"
#include "plugins/api/panel_kit.h"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <fmt/chrono.h>
#include <fmt/format.h>

namespace brae::practice_stations {

namespace {

constexpr const char* kSheet = "Setting-out sheet";
constexpr const char* kCard = "Pocket card of the stations";
constexpr const char* kPointsCsv = "Station points for a rover (CSV)";
constexpr const char* kPointsGpx = "Station points for a phone (GPX)";
constexpr std::size_t kMostStations = 26;  // letters

std::string today() {
    return fmt::format("{:%Y-%m-%d}", fmt::localtime(std::chrono::system_clock::to_time_t(std::chrono::system_clock::now())));
}

}  // namespace

StationsModel::StationsModel(plugin::Services& services) : services_(services) {
    lesson_ = services_.settings.get("lesson", "ladder");
    paper_ = services_.settings.get("paper", "a4") == "letter" ? Paper::letter : Paper::a4;

    if (const std::string usual = services_.settings.get("usual-speed"); !usual.empty()) set_usual_speed(std::atof(usual.c_str()));

    // The sheets stand in the program's list of exports as well as behind the panel's buttons.
    offer_sheet(kSheet, "stations", "stations.pdf");
    offer_sheet(kCard, "pocket", "stations-card.pdf");
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
            request.speeds = breaks_for_sheet(*green->terrain, request.stations, usual);
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
    const auto& kinds = lesson_kinds();
    const auto found = std::find_if(kinds.begin(), kinds.end(), [&](const LessonKind& k) { return k.name == lesson_; });
    return found == kinds.end() ? kinds.front() : *found;
}

void StationsModel::choose_lesson(const std::string& name) {
    lesson_ = name;
    services_.settings.set("lesson", name);
}

void StationsModel::set_paper(Paper paper) {
    paper_ = paper;
    services_.settings.set("paper", paper == Paper::letter ? "letter" : "a4");
}

bool StationsModel::stale() const {
    return std::any_of(stations_.begin(), stations_.end(), [&](const PracticeStation& s) {
        return (now().hole && distance(*now().hole, s.hole) > 0.005) || std::abs(now().green_speed_ft - s.green_speed_ft) > 1e-9;
    });
}

void StationsModel::select(int index) {
    selected_ = index >= 0 && index < static_cast<int>(stations_.size()) ? index : -1;
    services_.document.redraw();
}

StationRequest StationsModel::request() const {
    return station_request(*now().green, *now().hole, now().green_speed_ft, now().past_m, lesson().name);
}

void StationsModel::plan() {
    if (!has_hole()) return;
    plugin::Job job;
    job.key = "plan";
    job.title = "Planning stations";
    job.work = [this, terrain = now().green->terrain, r = request()](Progress& progress) -> std::function<void()> {
        return [this, made = plan_stations(*terrain, r, progress)] {
            stations_ = made.stations;
            shared_aim_ = made.shared_aim;
            message_ = made.missing;
            select(stations_.empty() ? -1 : 0);
        };
    };
    job.failed = [this](const std::string& sentence) { message_ = sentence; };
    message_.clear();
    services_.jobs.start(std::move(job));
}

void StationsModel::solve_spot(const std::string& key, Vec2 ball, double past_m, int index) {
    StationRequest r = request();
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
    solve_spot("add", *now().ball, now().past_m, -1);
}

void StationsModel::move(int index) {
    if (index < 0 || index >= static_cast<int>(stations_.size())) return;
    services_.picks.ask("Click where station " + stations_[index].label + " starts", [this, index](Vec2 at) { move_to(index, at); });
}

void StationsModel::move_to(int index, Vec2 ball) {
    if (!has_hole() || index < 0 || index >= static_cast<int>(stations_.size())) return;
    solve_spot("move", ball, stations_[index].past_m, index);
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
