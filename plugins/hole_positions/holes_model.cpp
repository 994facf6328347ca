#include "plugins/hole_positions/holes_model.h"

#include "core/record/green_queries.h"

#include "core/base/units.h"
#include "core/plan/hole_criteria.h"

#include <algorithm>
#include <charconv>
#include <chrono>
#include <fmt/chrono.h>
#include <fmt/format.h>
#include <limits>
#include <utility>

namespace brae::hole_positions {

namespace {

constexpr const char* kSheet = "Hole-position sheet";

struct LimitSetting { const char* key; double HoleLimits::* member; double low, high; };
constexpr LimitSetting kLimitSettings[] = {
    {"edge_m", &HoleLimits::edge_m, 0, 30},
    {"radius_m", &HoleLimits::radius_m, 0.1, 5},
    {"slope_ceiling", &HoleLimits::slope_ceiling, 0.001, 0.2},
    {"slope_times_speed", &HoleLimits::slope_times_speed, 0.01, 2},
    {"slope_change", &HoleLimits::slope_change, 0.001, 0.2},
    {"run_past_m", &HoleLimits::run_past_m, 0.1, 5},
    {"spacing_m", &HoleLimits::spacing_m, 0.1, 5},
    {"apart_m", &HoleLimits::apart_m, 0, 50},
};

std::optional<double> number_of(const std::string& text) {
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size()) return std::nullopt;
    return value;
}

std::string today() {
    return fmt::format("{:%Y-%m-%d}", fmt::localtime(std::chrono::system_clock::to_time_t(std::chrono::system_clock::now())));
}

}  // namespace

std::string date_after(const std::string& iso, int days) {
    int y = 0, m = 0, d = 0;
    char rest = 0;
    if (iso.size() != 10 || std::sscanf(iso.c_str(), "%4d-%2d-%2d%c", &y, &m, &d, &rest) != 3) return {};
    const std::chrono::year_month_day date{std::chrono::year(y), std::chrono::month(static_cast<unsigned>(m)),
                                           std::chrono::day(static_cast<unsigned>(d))};
    if (!date.ok()) return {};
    const std::chrono::year_month_day later = std::chrono::sys_days(date) + std::chrono::days(days);
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(later.year()), static_cast<unsigned>(later.month()),
                       static_cast<unsigned>(later.day()));
}

HolesModel::HolesModel(plugin::Services& services) : services_(services), first_date_(today()) {
    // A setting that is no number, or out of its range, is left at the default.
    for (const LimitSetting& s : kLimitSettings)
        if (const auto value = number_of(services_.settings.get(s.key)); value && *value >= s.low && *value <= s.high)
            limits_.*s.member = *value;
    if (const auto days = number_of(services_.settings.get("days", "0")); days && *days >= 0 && *days <= 14)
        days_ = static_cast<int>(*days);
    if (const auto map = number_of(services_.settings.get("map", "1")); map && *map >= 0 && *map <= 5)
        map_ = static_cast<MapKind>(static_cast<int>(*map));
    paper_ = services_.settings.get("paper", "a4") == "letter" ? Paper::letter : Paper::a4;

    plugin::Export sheet;
    sheet.title = kSheet;
    sheet.extension = "pdf";
    sheet.file_name = "holes.pdf";
    sheet.ready = [this] { return now().green && !plan_.positions.empty(); };
    sheet.prepare = [this] {
        SheetRequest request;
        request.kind = "holes";
        request.paper = paper_;
        request.green_speed_ft = planned_speed();
        request.date = first_date_good() ? first_date_ : today();
        request.feet_and_inches = now().units == plugin::Units::feet;
        request.positions = plan_.positions;
        return [green = now().green, request](const std::filesystem::path& file, Progress& progress) {
            progress.step(0.1, "drawing the sheet");
            write_sheet(*green, request, file);
        };
    };
    services_.exports.add(std::move(sheet));
}

std::string HolesModel::limits_key() const {
    std::string key = fmt::format("{}|{}", now().revision, now().green_speed_ft);
    for (const LimitSetting& s : kLimitSettings) key += fmt::format("|{}", limits_.*s.member);
    return key;
}

bool HolesModel::stale() const { return has_plan() && planned_key_ != limits_key(); }

void HolesModel::set_limits(const HoleLimits& limits) {
    for (const LimitSetting& s : kLimitSettings) {
        limits_.*s.member = std::clamp(limits.*s.member, s.low, s.high);
        services_.settings.set(s.key, fmt::format("{}", limits_.*s.member));
    }
}

void HolesModel::set_days(int days) {
    days_ = std::clamp(days, 0, 14);
    services_.settings.set("days", std::to_string(days_));
}

bool HolesModel::first_date_good() const { return !date_after(first_date_, 0).empty(); }

void HolesModel::set_map(MapKind kind) {
    map_ = kind;
    services_.settings.set("map", std::to_string(static_cast<int>(kind)));
    services_.document.redraw();
}

void HolesModel::set_paper(Paper paper) {
    paper_ = paper;
    services_.settings.set("paper", paper == Paper::letter ? "letter" : "a4");
}

void HolesModel::select(int index) {
    selected_ = index >= 0 && index < static_cast<int>(plan_.positions.size()) ? index : -1;
    services_.document.redraw();
}

void HolesModel::mark_front() {
    front_ = true;
    if (!was_front_) services_.document.redraw();
}

bool HolesModel::take_front() { return was_front_ = std::exchange(front_, false); }

std::vector<Vec2> HolesModel::recent() const { return recent_holes(*now().green); }

void HolesModel::plan() {
    if (!now().green) return;
    plugin::Job job;
    job.key = "plan";
    job.title = "Finding hole positions";
    job.work = [this, terrain = now().green->terrain, speed = now().green_speed_ft, days = days_, holes = recent(),
                zones = closed_to_holes(*now().green), limits = limits_, key = limits_key()](Progress& progress) -> std::function<void()> {
        return [this, made = plan_holes(*terrain, speed, days, holes, zones, limits, progress), speed, key, days] {
            plan_ = made;
            planned_speed_ = speed;
            planned_key_ = key;
            planned_days_ = days;
            message_.clear();
            select(plan_.positions.empty() ? -1 : 0);
        };
    };
    job.failed = [this](const std::string& sentence) { message_ = sentence; };
    message_.clear();
    services_.jobs.start(std::move(job));
}

void HolesModel::keep_maps_fresh() {
    if (!now().green) return;
    const std::string key = limits_key();
    if (key == maps_key_ || (key == maps_wanted_ && services_.jobs.progress("maps"))) return;
    maps_wanted_ = key;
    plugin::Job job;
    job.key = "maps";
    job.title = "Mapping the green";
    job.work = [this, terrain = now().green->terrain, zones = closed_to_holes(*now().green), speed = now().green_speed_ft, limits = limits_,
                key](Progress& progress) -> std::function<void()> {
        HoleMaps maps = map_holes(*terrain, speed, limits, progress);
        // The fair area alone is drawn on the map of room; elsewhere the ground stays bare.
        for (double& v : maps.margin.values)
            if (v < 0) v = std::numeric_limits<double>::quiet_NaN();
        std::vector<SpeedRow> rows;
        for (const FairAtSpeed& f : fair_area_by_speed(*terrain, {8, 9, 10, 11, 12, 13}, zones, limits, progress))
            rows.push_back({f.green_speed_ft, f.area_m2});
        const auto share = [](Raster&& raster) { return std::make_shared<const Raster>(std::move(raster)); };
        std::array<std::shared_ptr<const Raster>, 6> rasters = {nullptr, share(std::move(maps.margin)), share(std::move(maps.slope_pct)),
                                                                share(std::move(maps.change_pct)), share(std::move(maps.edge_m)),
                                                                share(std::move(maps.run_past_m))};
        return [this, rasters, rows, key] {
            rasters_ = rasters;
            by_speed_ = rows;
            maps_key_ = key;
        };
    };
    // A failure is told once; the same question is not asked again each frame.
    job.failed = [this, key](const std::string& sentence) {
        message_ = sentence;
        maps_key_ = key;
    };
    services_.jobs.start(std::move(job));
}

std::shared_ptr<const Raster> HolesModel::map_raster() const { return rasters_[static_cast<std::size_t>(map_)]; }

const HolePosition* HolesModel::judged() {
    const std::optional<Vec2> place = judge_cursor_ ? now().cursor : now().hole;
    if (!now().green || !place) return nullptr;
    // Judged once for a place, speed and limits; the holing window, which takes longer, is left out.
    const std::string key = fmt::format("{}|{}|{}", limits_key(), place->x, place->y);
    if (key != judged_key_) {
        judged_ = judge_criteria(*now().green->terrain, *place, now().green_speed_ft, limits_, true);
        judged_fastest_ = judge_cursor_ ? std::nullopt : fastest_fair_speed(*now().green->terrain, *place, limits_);
        judged_key_ = key;
    }
    return &*judged_;
}

std::optional<double> HolesModel::fastest_for_hole() { return judged() && !judge_cursor_ ? judged_fastest_ : std::nullopt; }

void HolesModel::put_hole(int index) {
    if (index < 0 || index >= static_cast<int>(plan_.positions.size())) return;
    if (!services_.edits.set_putt(std::nullopt, plan_.positions[index].p, std::nullopt)) message_ = "the place lies off this green";
}

void HolesModel::accept(int index) {
    if (!now().green || index < 0 || index >= static_cast<int>(plan_.positions.size())) return;
    const HolePosition& h = plan_.positions[index];
    plugin::GreenEdit edit;
    edit.sentence = fmt::format("Make ({:.1f}, {:.1f}), {:.1f} m from the edge, today's hole?", h.p.x, h.p.y, h.edge_m);
    const std::string date = h.day.empty() ? today() : date_after(first_date_, std::stoi(h.day) - 1);
    edit.add_holes.push_back({"today", h.p, date, "", true});
    edit.answered = [this, p = h.p](bool kept) {
        if (kept) services_.edits.set_putt(std::nullopt, p, std::nullopt);
        message_ = kept ? "Today's hole is set." : "";
    };
    services_.edits.propose(std::move(edit));
}

void HolesModel::accept_plan() {
    if (!now().green || plan_.positions.empty() || planned_days_ == 0) return;
    plugin::GreenEdit edit;
    edit.sentence = fmt::format("Keep the plan of {} holes with the green?", plan_.positions.size());
    for (const HolePosition& h : plan_.positions)
        edit.add_holes.push_back({"plan day " + h.day, h.p, date_after(first_date_, std::stoi(h.day) - 1), "", false});
    edit.answered = [this](bool kept) { message_ = kept ? "The plan is kept with the green." : ""; };
    services_.edits.propose(std::move(edit));
}

void HolesModel::ask_sheet() { services_.exports.ask(kSheet); }

void HolesModel::clear() {
    plan_ = {};
    planned_speed_.reset();
    planned_key_.clear();
    planned_days_ = 0;
    message_.clear();
    selected_ = -1;
    rasters_ = {};
    by_speed_.clear();
    maps_key_.clear();
    maps_wanted_.clear();
    judged_.reset();
    judged_key_.clear();
}

}  // namespace brae::hole_positions
