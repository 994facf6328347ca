#include "plugins/hole_positions/practice_model.h"

#include "core/base/calendar.h"
#include "core/record/hole_history.h"
#include "plugins/hole_positions/plan_days.h"

#include <algorithm>
#include <charconv>
#include <fmt/format.h>

namespace brae::hole_positions {

namespace {

constexpr int kHealingDays = 14;

double setting(plugin::Services& services, const char* key, double otherwise, double low, double high) {
    const std::string text = services.settings.get(key);
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    return error == std::errc() && end == text.data() + text.size() && value >= low && value <= high ? value : otherwise;
}

}  // namespace

PracticeModel::PracticeModel(HolesModel& holes) : holes_(holes) {
    rules_.count = static_cast<int>(setting(holes_.services(), "practice_count", rules_.count, 1, 18));
    rules_.apart_m = setting(holes_.services(), "practice_apart_m", rules_.apart_m, 0, 50);
    rules_.clear_m = setting(holes_.services(), "practice_clear_m", rules_.clear_m, 0, 10);
}

void PracticeModel::set_rules(const PracticeRules& rules) {
    rules_.count = std::clamp(rules.count, 1, 18);
    rules_.apart_m = std::clamp(rules.apart_m, 0.0, 50.0);
    rules_.clear_m = std::clamp(rules.clear_m, 0.0, 10.0);
    auto& settings = holes_.services().settings;
    settings.set("practice_count", std::to_string(rules_.count));
    settings.set("practice_apart_m", fmt::format("{}", rules_.apart_m));
    settings.set("practice_clear_m", fmt::format("{}", rules_.clear_m));
}

std::vector<StationGround> PracticeModel::stations() const {
    std::vector<StationGround> out;
    if (!holes_.now().green) return out;
    for (const StoredStation& s : holes_.now().green->stations) out.push_back({s.station.label, s.station.ball, s.station.hole, s.station.marker, s.station.path});
    return out;
}

void PracticeModel::choose() {
    if (!holes_.now().green) return;
    if (!holes_.found() || holes_.stale()) {
        message_ = "find fair positions first; practice holes are chosen among them";
        holes_.find();
        return;
    }
    std::vector<HolePosition> fair;
    for (const HolePosition& h : holes_.found()->judged.places)
        if (h.fair) fair.push_back(h);
    std::vector<Vec2> plugs;
    if (const auto day = day_number(holes_.date))
        for (const OpenPlug& plug : open_plugs(*holes_.now().green, *day, kHealingDays)) plugs.push_back(plug.p);
    // Today's holes will be plugs once these are cut.
    for (const StoredHole& h : holes_.now().green->holes)
        if (h.today) plugs.push_back(h.p);
    chosen_ = practice_holes(fair, stations(), plugs, rules_);
    key_ = holes_.key();
    message_.clear();
    holes_.services().document.redraw();
}

std::vector<std::string> PracticeModel::clashes() const {
    std::vector<Vec2> holes;
    if (!holes_.now().green) return {};
    for (const StoredHole& h : holes_.now().green->holes)
        if (h.today) holes.push_back(h.p);
    return holes.empty() ? std::vector<std::string>{} : practice_clashes(holes, stations(), rules_);
}

void PracticeModel::accept() {
    if (!holes_.now().green || chosen_.holes.empty() || !holes_.date_good()) return;
    if (const std::string cut = told_as_cut(*holes_.now().green, holes_.date); !cut.empty()) {
        message_ = cut;
        return;
    }
    plugin::GreenEdit edit;
    edit.sentence = fmt::format("Make these {} today's holes, for {}?", chosen_.holes.size(), holes_.date);
    std::vector<StoredHole> holes = holes_.now().green->holes;
    std::erase_if(holes, [&](const StoredHole& h) { return h.date == holes_.date && !h.as_cut; });
    for (StoredHole& h : holes) h.today = false;
    for (std::size_t k = 0; k < chosen_.holes.size(); ++k) holes.push_back({fmt::format("practice {}", k + 1), chosen_.holes[k].p, holes_.date, "", true});
    edit.holes = std::move(holes);
    edit.answered = [this](bool kept) { message_ = kept ? "The practice holes are set. Undo takes them back." : ""; };
    holes_.services().edits.propose(std::move(edit));
}

void PracticeModel::clear() {
    chosen_ = {};
    key_.clear(), message_.clear();
}

}  // namespace brae::hole_positions
