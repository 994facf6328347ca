#include "plugins/hole_positions/holes_model.h"

#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/base/units.h"
#include "core/plan/course_greens.h"
#include "core/plan/hole_settings.h"
#include "core/record/green_zones.h"
#include "plugins/hole_positions/plan_days.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <utility>

namespace brae::hole_positions {

namespace {

constexpr const char* kSheet = "Hole-position sheet";
constexpr std::size_t kMostBest = 10;

std::optional<double> number_of(const std::string& text) {
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size()) return std::nullopt;
    return value;
}

// What of a green a judgement for a day rests on, as text. What is planned for that day and later is left out.
std::string key_of(const Green& g, const std::string& date) {
    std::string out = fmt::format("{}|{}|{}|{}", g.id, g.surface_revision, static_cast<const void*>(g.terrain.get()), g.terrain->outline.area_m2());
    const auto add = [&](Vec2 p) { out += fmt::format(" {},{}", p.x, p.y); };
    if (g.line_of_play) add(g.line_of_play->direction);
    for (const Gate& gate : g.gates) add(gate.p);
    for (const Zone& z : g.zones) {
        out += "|" + z.name + "|" + z.kind + "|" + z.until;
        for (Vec2 p : z.ring) add(p);
    }
    for (const SkippedDay& s : g.skipped) out += "|" + s.date;
    const auto first = day_number(date);
    for (const StoredHole& h : g.holes) {
        const auto day = day_number(h.date);
        if (!h.as_cut && day && first && *day >= *first) continue;
        out += fmt::format("|{} {} {}", h.date, h.as_cut, !day && h.today);
        add(h.p);
    }
    return out;
}

}  // namespace

HolesModel::HolesModel(plugin::Services& services) : date(today()), services_(services) {
    // A setting that is no number, or out of its range, is left at the profile's own.
    const std::string profile = services_.settings.get("profile", "everyday");
    const auto& names = hole_profile_names();
    if (std::find(names.begin(), names.end(), profile) != names.end() || profile == "own") profile_ = profile;
    limits_ = hole_profile(profile_ == "own" ? "everyday" : profile_);
    if (profile_ == "own")
        for (const HoleSetting& s : hole_settings())
            if (const auto value = number_of(services_.settings.get(s.key)); value && *value >= s.low && *value <= s.high) set_shown(limits_, s.key, *value);
    map_ = services_.settings.get("map_of", "margin");
    paper_ = services_.settings.get("paper", "a4") == "letter" ? Paper::letter : Paper::a4;

    plugin::Export sheet;
    sheet.title = kSheet;
    sheet.extension = "pdf";
    sheet.file_name = "holes.pdf";
    sheet.ready = [this] { return now().green && found_ && !found_->best.empty(); };
    sheet.prepare = [this] {
        SheetRequest request;
        request.kind = "holes";
        request.paper = paper_;
        request.green_speed_ft = found_->judged.green_speed_ft;
        request.date = date;
        request.feet_and_inches = now().units == plugin::Units::feet;
        request.positions = found_->best;
        return [green = now().green, request](const std::filesystem::path& file, Progress& progress) {
            progress.step(0.1, "drawing the sheet");
            write_sheet(*green, request, file);
        };
    };
    services_.exports.add(std::move(sheet));
}

std::string HolesModel::key() const {
    if (now().green != keyed_ || green_key_day_ != date) {
        keyed_ = now().green;
        green_key_day_ = date;
        green_key_ = keyed_ ? key_of(*keyed_, date) : "";
    }
    std::string out = fmt::format("{}|{}|{}", green_key_, now().green_speed_ft, date);
    for (const HoleSetting& s : hole_settings()) out += fmt::format("|{}", limits_.*s.member);
    return out;
}

std::vector<const Zone*> HolesModel::closed(const std::string& on) const {
    std::vector<const Zone*> out;
    const auto day = day_number(on.empty() ? date : on);
    if (!now().green || !day) return out;
    for (const Zone& z : now().green->zones)
        if (closed_on(z, *day)) out.push_back(&z);
    return out;
}

void HolesModel::set_limits(const HoleLimits& limits) {
    limits_ = limits;
    for (const HoleSetting& s : hole_settings()) {
        limits_.*s.member = std::clamp(limits.*s.member, s.low * s.scale, s.high * s.scale);
        services_.settings.set(s.key, fmt::format("{}", shown(limits_, s)));
    }
    profile_ = "own";
    services_.settings.set("profile", profile_);
    services_.document.redraw();
}

void HolesModel::set_profile(const std::string& name) {
    profile_ = name;
    limits_ = hole_profile(name);
    services_.settings.set("profile", name);
    services_.document.redraw();
}

void HolesModel::set_paper(Paper paper) {
    paper_ = paper;
    services_.settings.set("paper", paper == Paper::letter ? "letter" : "a4");
}

bool HolesModel::date_good() const { return day_of(date).has_value(); }

void HolesModel::find() { start_find(HoleScope::only_possible); }
void HolesModel::find_every_place() { start_find(HoleScope::every_place); }

void HolesModel::start_find(HoleScope scope) {
    if (!now().green) return;
    if (!date_good()) {
        message_ = "a day such as 2026-05-02 is wanted";
        return;
    }
    plugin::Job job;
    job.key = "find";
    job.title = "Judging the green";
    job.work = [this, green = now().green, speed = now().green_speed_ft, limits = limits_, day = date, wanted = key(), scope](Progress& progress) -> std::function<void()> {
        Found f;
        f.bench = std::make_shared<const Bench>(green, hole_question(*green, day, 0), speed, limits);
        f.judged = f.bench->judge.judge_green(scope, progress);
        TodayOptions options;
        options.most = kMostBest;
        options.apart_m = limits.apart_m;
        TodayHoles best = choose_today(f.judged, thirds_of(green->terrain->outline, f.bench->question.around.play), f.bench->question.recent, options);
        f.best = std::move(best.best);
        f.why_none = best.why_none.empty() && f.best.empty() ? f.judged.why_none : best.why_none;
        f.ramp = flattest_site(*green->terrain, f.bench->question.around.closed, speed);
        f.key = wanted;
        return [this, made = std::move(f)]() mutable {
            found_ = std::move(made);
            rasters_.clear();
            message_.clear();
            select(found_->best.empty() ? -1 : 0);
        };
    };
    job.failed = [this](const std::string& sentence) { message_ = sentence; };
    message_.clear();
    services_.jobs.start(std::move(job));
}

void HolesModel::select(int index) {
    selected_ = found_ && index >= 0 && index < static_cast<int>(found_->best.size()) ? index : -1;
    services_.document.redraw();
}

void HolesModel::step_selected(int by) {
    if (!found_ || found_->best.empty()) return;
    const int count = static_cast<int>(found_->best.size());
    select(((selected_ + by) % count + count) % count);
}

void HolesModel::set_map(const std::string& name) {
    map_ = name;
    services_.settings.set("map_of", name);
    services_.document.redraw();
}

std::shared_ptr<const Raster> HolesModel::map_raster() {
    if (!found_ || map_.empty()) return nullptr;
    auto& raster = rasters_[map_];
    if (!raster) {
        Raster values = map_of(found_->judged, map_);
        // The fair area alone is drawn on the map of room; elsewhere the ground stays bare.
        if (map_ == "margin")
            for (double& v : values.values)
                if (v < 0) v = std::nan("");
        raster = std::make_shared<const Raster>(std::move(values));
    }
    return raster;
}

void HolesModel::compare_speeds() {
    if (!now().green || !date_good()) return;
    plugin::Job job;
    job.key = "speeds";
    job.title = "Judging at other speeds";
    // A metre between the places is enough for an area.
    HoleLimits limits = limits_;
    limits.spacing_m = std::max(limits.spacing_m, 1.0);
    job.work = [this, green = now().green, day = date, limits, wanted = key()](Progress& progress) -> std::function<void()> {
        const HoleQuestion question = hole_question(*green, day, 0);
        return [this, rows = fair_area_at(*green->terrain, question.around, {8, 9, 10, 11, 12, 13}, limits, progress), wanted] {
            by_speed_ = rows;
            by_speed_key_ = wanted;
        };
    };
    job.failed = [this](const std::string& sentence) { message_ = sentence; };
    services_.jobs.start(std::move(job));
}

void HolesModel::set_judge_cursor(bool cursor) {
    judge_cursor_ = cursor;
    services_.document.redraw();
}

std::optional<Vec2> HolesModel::place() const { return trial_ ? trial_ : judge_cursor_ ? last_cursor_ : now().hole; }

const HolePosition* HolesModel::judged() {
    const std::optional<Vec2> at = place();
    if (!now().green || !at || !date_good()) return nullptr;
    const std::string wanted = fmt::format("{}|{:.3f}|{:.3f}", key(), at->x, at->y);
    // One judgement at a time: while it runs the mouse may move on, and the next begins where the mouse is then.
    const std::string asked = fmt::format("{}|{}", wanted, now().revision);
    if (wanted != judged_key_ && asked != asked_key_ && !judging()) {
        asked_key_ = asked;
        plugin::Job job;
        job.key = "why";
        job.title = "Judging a place";
        const std::shared_ptr<const Bench> ready = bench_key_ == key() ? bench_ : found_ && found_->key == key() ? found_->bench : nullptr;
        job.work = [this, ready, green = now().green, speed = now().green_speed_ft, limits = limits_, day = date, bench_key = key(), wanted, p = *at](Progress&) -> std::function<void()> {
            const auto bench = ready ? ready : std::make_shared<const Bench>(green, hole_question(*green, day, 0), speed, limits);
            return [this, bench, bench_key, wanted, place = bench->judge.judge(p)] {
                bench_ = bench;
                bench_key_ = bench_key;
                judged_ = place;
                judged_key_ = wanted;
                services_.document.redraw();
            };
        };
        job.failed = [this, wanted](const std::string& sentence) {
            message_ = sentence;
            judged_.reset();
            judged_key_ = wanted;
        };
        services_.jobs.start(std::move(job));
    }
    return judged_ ? &*judged_ : nullptr;
}

const FairUntil* HolesModel::until() {
    if (!now().green || !now().hole || trial_ || judge_cursor_ || !date_good()) return nullptr;
    const std::string wanted = fmt::format("{}|{:.3f}|{:.3f}", key(), now().hole->x, now().hole->y);
    if (wanted == until_key_) return until_ ? &*until_ : nullptr;
    if (const std::string asked = fmt::format("{}|{}", wanted, now().revision); asked != until_asked_) {
        until_asked_ = asked;
        plugin::Job job;
        job.key = "until";
        job.title = "Up to which speed";
        job.work = [this, green = now().green, speed = now().green_speed_ft, limits = limits_, day = date, wanted, p = *now().hole](Progress& progress) -> std::function<void()> {
            const HoleQuestion question = hole_question(*green, day, 0);
            return [this, wanted, until = fair_until(*green->terrain, question.around, p, speed, limits, progress)] {
                until_ = until;
                until_key_ = wanted;
            };
        };
        job.failed = [this, wanted](const std::string& sentence) {
            message_ = sentence;
            until_.reset();
            until_key_ = wanted;
        };
        services_.jobs.start(std::move(job));
    }
    return nullptr;
}

void HolesModel::move_hole() {
    if (!now().green) return;
    const auto start = selected_ >= 0 ? std::optional(found_->best[static_cast<std::size_t>(selected_)].p) : now().hole;
    trial_ = start ? *start : now().green->terrain->outline.centroid();
    plugin::GroundTool tool;
    tool.prompt = "Drag the hole; arrows move it by 10 cm, with Shift by 1 m; Enter makes it today's";
    const auto follow = [this](const plugin::Pointer& at) {
        if (now().green && now().green->terrain->outline.contains(at.p)) trial_ = at.p;
        services_.document.redraw();
    };
    tool.press = [follow](const plugin::Pointer& at) { follow(at); return true; };
    tool.drag = follow;
    tool.key = [this](plugin::ToolKey key, bool shift) {
        if (key == plugin::ToolKey::enter && trial_) return make_todays(*trial_), true;
        const auto by = plugin::arrow_step(key, shift);
        if (!by) return false;
        if (trial_ && now().green && now().green->terrain->outline.contains(*trial_ + *by)) trial_ = *trial_ + *by;
        services_.document.redraw();
        return true;
    };
    tool.ended = [this] { trial_.reset(); };
    services_.tools.take(std::move(tool));
}

void HolesModel::drop_trial() {
    services_.tools.put_down();
    trial_.reset();
    services_.document.redraw();
}

void HolesModel::put_hole(int index) {
    if (!found_ || index < 0 || index >= static_cast<int>(found_->best.size())) return;
    if (!services_.edits.set_putt(std::nullopt, found_->best[static_cast<std::size_t>(index)].p, std::nullopt)) message_ = "the place lies off this green";
}

void HolesModel::make_todays(Vec2 p) {
    if (!now().green || !date_good()) return;
    // Two holes for one day would be told in two ways.
    if (const std::string cut = told_as_cut(*now().green, date); !cut.empty()) {
        message_ = cut;
        return;
    }
    plugin::GreenEdit edit;
    edit.sentence = fmt::format("Make {} today's hole, for {}?", where(p), date);
    // What was planned or accepted for this day before gives way.
    std::vector<StoredHole> holes = now().green->holes;
    std::erase_if(holes, [&](const StoredHole& h) { return h.date == date && !h.as_cut; });
    for (StoredHole& h : holes) h.today = false;
    holes.push_back({"today", p, date, "", true});
    edit.holes = std::move(holes);
    edit.answered = [this, p](bool kept) {
        if (kept) {
            drop_trial();
            services_.edits.set_putt(std::nullopt, p, std::nullopt);
        }
        message_ = kept ? "Today's hole is set. Undo takes it back." : "";
    };
    services_.edits.propose(std::move(edit));
}

void HolesModel::make_selected_todays() {
    if (trial_) make_todays(*trial_);
    else if (found_ && selected_ >= 0) make_todays(found_->best[static_cast<std::size_t>(selected_)].p);
}

void HolesModel::ask_sheet() { services_.exports.ask(kSheet); }

std::string HolesModel::where(Vec2 p) const {
    if (now().green && now().green->line_of_play)
        if (const auto at = place_by_paces(now().green->terrain->outline, *now().green->line_of_play, p)) return fmt::format("{} ({})", paces_text(*at), third_text(*at));
    return fmt::format("({:.1f}, {:.1f})", p.x, p.y);
}

void HolesModel::mark_front() {
    front_ = true;
    if (now().cursor) last_cursor_ = now().cursor;
    if (!was_front_) services_.document.redraw();
}

bool HolesModel::take_front() { return was_front_ = std::exchange(front_, false); }

void HolesModel::clear() {
    found_.reset();
    selected_ = -1;
    rasters_.clear();
    by_speed_.clear();
    by_speed_key_.clear();
    trial_.reset();
    last_cursor_.reset();
    bench_.reset();
    bench_key_.clear(), judged_key_.clear(), asked_key_.clear(), until_key_.clear(), until_asked_.clear();
    judged_.reset();
    until_.reset();
    keyed_.reset();
    message_.clear();
}

}  // namespace brae::hole_positions
