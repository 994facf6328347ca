#include "core/record/hole_history.h"

#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/survey/text_file.h"
#include "core/survey/text_layout.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <map>

namespace brae {

namespace {

constexpr int kWeek = 7;
constexpr double kSameHoleM = 0.3;

// The day of the newest hole that was told as cut. Skipped days may lie ahead.
std::optional<int> newest_entry(const Green& green) {
    std::optional<int> newest;
    const auto see = [&](const std::string& date) {
        if (const auto day = day_number(date)) newest = std::max(newest.value_or(*day), *day);
    };
    for (const StoredHole& h : green.holes)
        if (h.as_cut) see(h.date);
    return newest;
}

void check_order(const Green& green, const std::string& date, bool earlier) {
    const int day = checked_hole_day(date);
    const auto newest = newest_entry(green);
    if (!earlier && newest && day < *newest)
        throw Error(fmt::format("the history of '{}' goes up to {}, and {} lies before it; dates run forwards, and what is told late is to be put in as earlier",
                                green.name, day_text(*newest), date));
}

// Takes away what was told of that day before.
void clear_day(Green& green, const std::string& date, std::vector<std::string>& remarks) {
    for (const StoredHole& h : green.holes)
        if (h.as_cut && h.date == date) remarks.push_back(fmt::format("takes the place of the hole at {:.2f}, {:.2f} told for {}", h.p.x, h.p.y, date));
    for (const SkippedDay& s : green.skipped)
        if (s.date == date) remarks.push_back(fmt::format("{} was told as skipped ({}) and no longer is", date, s.reason));
    std::erase_if(green.holes, [&](const StoredHole& h) { return h.as_cut && h.date == date; });
    std::erase_if(green.skipped, [&](const SkippedDay& s) { return s.date == date; });
}

template <class Row>
void by_date(std::vector<Row>& rows) {
    std::stable_sort(rows.begin(), rows.end(), [](const Row& a, const Row& b) { return a.date < b.date; });
}

}  // namespace

const SkippedDay* skipped_day(const Green& green, const std::string& date) {
    const auto at = std::find_if(green.skipped.begin(), green.skipped.end(), [&](const SkippedDay& s) { return s.date == date; });
    return at == green.skipped.end() ? nullptr : &*at;
}

int checked_hole_day(const std::string& date) {
    const auto day = day_number(date);
    if (!day) throw Error(fmt::format("the date is {}; a day such as 2026-05-02 is wanted", quote(date)));
    return *day;
}

void check_hole_place(const Green& green, Vec2 p, double slack_m) {
    const Outline& outline = green.terrain->outline;
    if (!std::isfinite(p.x) || !std::isfinite(p.y)) throw Error("the place of the hole is no number; X,Y in metres is wanted");
    if (!outline.contains(p) && !(outline.signed_distance(p) > -slack_m))
        throw Error(fmt::format("the place {:.2f}, {:.2f} lies {:.1f} m outside the green '{}'", p.x, p.y, -outline.signed_distance(p), green.name));
}

void sort_by_date(std::vector<StoredHole>& holes) { by_date(holes); }

std::vector<HoleUse> hole_history(const Green& green, int day) {
    // The hole of each date.
    const auto rank = [](const StoredHole& h) { return 2 * h.as_cut + h.today; };
    std::map<int, std::vector<const StoredHole*>> by_day;
    const StoredHole* undated_today = nullptr;
    for (const StoredHole& h : green.holes) {
        const auto date = day_number(h.date);
        if (!date && h.today) undated_today = &h;
        if (!date || *date >= day) continue;
        // Several at once are all cut or all today's; of plans the last one counts.
        std::vector<const StoredHole*>& there = by_day[*date];
        if (there.empty() || (rank(h) > 0 && h.as_cut == there.front()->as_cut && rank(*there.front()) > 0)) there.push_back(&h);
        else if (rank(h) >= rank(*there.front())) there = {&h};
    }
    std::map<int, const SkippedDay*> skipped;
    for (const SkippedDay& s : green.skipped)
        if (const auto date = day_number(s.date); date && *date < day) skipped[*date] = &s;
    for (const auto& [date, s] : skipped)
        if (const auto at = by_day.find(date); at != by_day.end() && !at->second.front()->as_cut) by_day.erase(at);

    // Each stays until the next.
    std::vector<HoleUse> out;
    for (auto at = by_day.begin(); at != by_day.end(); ++at) {
        const int next = std::next(at) == by_day.end() ? day : std::next(at)->first;
        HoleUse use;
        use.first_day = at->first;
        int heard = use.first_day;
        for (const auto& [date, s] : skipped)
            if (date > use.first_day && date < next) use.skipped.push_back(*s), heard = date;
        use.last_day = std::min(next - 1, heard + kLongestStay - 1);
        for (const StoredHole* h : at->second) {
            use.p = h->p, use.as_cut = h->as_cut, use.by_plan = h->by_plan;
            use.speed_ft = h->speed_ft, use.set_by = h->set_by, use.remark = h->remark;
            use.planned.reset();
            if (h->as_cut)
                for (const StoredHole& other : green.holes)
                    if (!other.as_cut && other.date == h->date) use.planned = other.p;
            out.push_back(use);
        }
    }
    // A hole of which no day is known stands for today's, unless a plan has had a day since.
    const bool planned_since = std::any_of(by_day.begin(), by_day.end(), [](const auto& d) { return !d.second.front()->as_cut && !d.second.front()->today; });
    if (undated_today && !planned_since) {
        HoleUse use;
        for (const auto& [date, s] : skipped)
            if (date >= day - kLongestStay && (by_day.empty() || date > by_day.rbegin()->first)) use.skipped.push_back(*s);
        use.p = undated_today->p, use.first_day = use.last_day = day - 1;
        use.dated = false;
        use.by_plan = undated_today->by_plan;
        use.set_by = undated_today->set_by, use.remark = undated_today->remark;
        out.push_back(use);
    }
    return out;
}

std::vector<StoredHole> planned_from(const Green& green, int day) {
    std::vector<StoredHole> out;
    for (const StoredHole& h : green.holes)
        if (const auto date = day_number(h.date); date && *date >= day && !h.as_cut) out.push_back(h);
    sort_by_date(out);
    return out;
}

std::vector<PastHole> past_holes(const Green& green, int day, int days) {
    std::vector<PastHole> out;
    for (const HoleUse& use : hole_history(green, day))
        for (int d = std::max(use.first_day, day - days); d <= use.last_day; ++d) out.push_back({use.p, day - d});
    std::stable_sort(out.begin(), out.end(), [](const PastHole& a, const PastHole& b) { return a.days_before < b.days_before; });
    return out;
}

std::vector<HoleUse> holes_of_week(const Green& green, int day) {
    std::vector<HoleUse> out = hole_history(green, day);
    std::erase_if(out, [&](const HoleUse& use) { return use.last_day < day - kWeek; });
    std::reverse(out.begin(), out.end());
    return out;
}

std::vector<OpenPlug> open_plugs(const Green& green, int day, int healing_days) {
    std::vector<OpenPlug> out;
    for (const HoleUse& use : hole_history(green, day)) {
        const int plugged = use.last_day + 1, left = plugged + healing_days - day;
        if (left > 0) out.push_back({use.p, plugged, left});
    }
    std::reverse(out.begin(), out.end());
    return out;
}

namespace {

// As with_hole_cut, a place up to `slack_m` outside the edge allowed.
HistoryEntry cut_into(const Green& green, const CutHole& cut, bool earlier, double slack_m) {
    check_order(green, cut.date, earlier);
    check_hole_place(green, cut.p, slack_m);
    if (cut.speed_ft && !(*cut.speed_ft >= kSlowestGreenFt && *cut.speed_ft <= kFastestGreenFt))
        throw Error(fmt::format("a green speed of {:g} ft; {:g} to {:g} ft is wanted", *cut.speed_ft, kSlowestGreenFt, kFastestGreenFt));
    HistoryEntry out{green, {}};
    if (!cut.beside) clear_day(out.green, cut.date, out.remarks);
    const int day = *day_number(cut.date);

    // How it differs from the plan, and a plug that it lies on.
    for (const StoredHole& h : out.green.holes)
        if (h.date == cut.date && !h.as_cut && distance(h.p, cut.p) >= 0.05)
            out.remarks.push_back(fmt::format("{:.1f} m from the place planned for {}", distance(h.p, cut.p), cut.date));
    const CourseRules rules;
    for (const OpenPlug& plug : open_plugs(out.green, day, rules.healing_days))
        if (distance(plug.p, cut.p) < rules.plug_m)
            out.remarks.push_back(fmt::format("{:.1f} m from a plug that was laid on {} and heals for {} more days", distance(plug.p, cut.p), day_text(plug.plugged), plug.days_left));

    StoredHole hole{"cut " + cut.date, cut.p, cut.date, cut.set_by, !earlier, true, cut.speed_ft, cut.remark};
    if (!earlier) {
        // The same hole without a date, as a survey or tapes put it in, is this one.
        std::erase_if(out.green.holes, [&](const StoredHole& h) { return h.today && h.date.empty() && distance(h.p, cut.p) < kSameHoleM; });
        for (StoredHole& h : out.green.holes) h.today = h.today && cut.beside && h.as_cut && h.date == cut.date;
    }
    out.green.holes.push_back(std::move(hole));
    sort_by_date(out.green.holes);
    if (cut.speed_ft && !earlier) {
        std::erase_if(out.green.speeds, [&](const SpeedReading& r) { return r.method == "told with the hole" && r.taken_at == cut.date; });
        out.green.speeds.push_back({*cut.speed_ft, kGreenSpeedSigmaFt, cut.date, "told with the hole"});
    }
    return out;
}

}  // namespace

HistoryEntry with_hole_cut(const Green& green, const CutHole& cut, bool earlier) { return cut_into(green, cut, earlier, 0); }

HistoryEntry with_day_skipped(const Green& green, const SkippedDay& skip, bool earlier) {
    check_order(green, skip.date, earlier);
    if (skip.reason.empty()) throw Error(fmt::format("no hole was cut on {}: a reason is wanted, such as frost or water", skip.date));
    HistoryEntry out{green, {}};
    clear_day(out.green, skip.date, out.remarks);
    out.green.skipped.push_back(skip);
    by_date(out.green.skipped);

    // Today's is the one that stayed.
    if (!earlier)
        if (const auto before = hole_history(out.green, *day_number(skip.date)); !before.empty()) {
            const HoleUse& stays = before.back();
            for (StoredHole& h : out.green.holes) h.today = false;
            for (StoredHole& h : out.green.holes)
                if (h.p == stays.p && (h.date.empty() || day_number(h.date) == stays.first_day)) {
                    h.today = true;
                    break;
                }
        }
    return out;
}

const char* state_word(bool as_cut, bool by_plan) { return as_cut ? "cut" : by_plan ? "planned" : "by hand"; }

std::string history_csv(const Green& green) {
    struct Row { std::string date, text; };
    std::vector<Row> rows;
    for (const StoredHole& h : green.holes)
        if (day_number(h.date))
            rows.push_back({h.date, fmt::format("{},{},{:.3f},{:.3f},{},{},{}\n", h.date, state_word(h.as_cut, h.by_plan), h.p.x, h.p.y,
                                                h.speed_ft ? fmt::format("{:g}", *h.speed_ft) : "", field_of(h.set_by), field_of(h.remark))});
    for (const SkippedDay& s : green.skipped)
        if (day_number(s.date)) rows.push_back({s.date, fmt::format("{},skipped,,,,{},{}\n", s.date, field_of(s.set_by), field_of(s.reason))});
    by_date(rows);
    std::string out = fmt::format("# green {} {}\ndate,state,x_m,y_m,speed_ft,set_by,remark\n", green.id, field_of(green.name));
    for (const Row& r : rows) out += r.text;
    return out;
}

HistoryEntry with_history(const Green& green, const std::string& csv, const std::string& name, bool unnamed) {
    LineReader lines(csv);
    std::string_view line;
    const auto refuse = [&](const std::string& what) { throw Error(fmt::format("{}, line {}: {}", name, lines.number(), what)); };
    HistoryEntry out{green, {}};
    bool headed = false, named = false;
    std::string last, last_cut;
    std::size_t taken = 0, outside = 0;
    while (lines.next(line)) {
        const std::string_view text = trimmed(line);
        if (text.empty()) continue;
        // Whose history it is.
        if (text.front() == '#') {
            constexpr std::string_view kGreen = "# green ";
            if (!text.starts_with(kGreen)) continue;
            const std::string_view rest = text.substr(kGreen.size());
            if (const std::string id(rest.substr(0, rest.find(' '))); id != green.id)
                refuse(fmt::format("the history belongs to another green ({}); '{}' has the id {}", quote(rest), green.name, green.id));
            named = true;
            continue;
        }
        const std::vector<std::string> fields = fields_of(text, ',');
        if (!named && !unnamed)
            refuse(fmt::format("the history does not say whose it is; a first line '# green {}' is wanted, or --force for a list that is surely of '{}'", green.id, green.name));
        if (!headed) {
            if (lower_case(text) != "date,state,x_m,y_m,speed_ft,set_by,remark")
                refuse(fmt::format("found {}, the columns date,state,x_m,y_m,speed_ft,set_by,remark are wanted", quote(text)));
            headed = true;
            continue;
        }
        if (fields.size() != 7) refuse(fmt::format("found {} fields, 7 are wanted", fields.size()));
        const std::string &date = fields[0], state = lower_case(fields[1]), &by = fields[5], &remark = fields[6];
        if (!day_number(date)) refuse(fmt::format("the date is {}; a day such as 2026-05-02 is wanted", quote(date)));
        if (date < last) refuse(fmt::format("{} comes after {}; dates run forwards", date, last));
        last = date;
        const auto number = [&](std::size_t k, const char* what) {
            const auto value = parse_number(fields[k]);
            if (!value || !std::isfinite(*value)) refuse(fmt::format("{} is {}, a number is wanted", what, quote(fields[k])));
            return *value;
        };
        try {
            if (state == "skipped") {
                out.green = with_day_skipped(out.green, {date, remark, by}, true).green;
            } else if (state == "cut" || state == "planned" || state == "by hand") {
                CutHole cut{date, {number(2, "x_m"), number(3, "y_m")}, by, remark, {}, state == "cut" && last_cut == date};
                if (state == "cut") last_cut = date;
                if (!fields[4].empty()) cut.speed_ft = number(4, "speed_ft");
                // A plan is judged like a hole that was cut, and then kept as what it is.
                HistoryEntry with = cut_into(out.green, cut, true, kNearGreenM);
                outside += !green.terrain->outline.contains(cut.p);
                if (state != "cut") {
                    StoredHole plan{(state == "planned" ? "plan " : "set ") + date, cut.p, date, by, false, false, cut.speed_ft, remark};
                    plan.by_plan = state == "planned";
                    std::erase_if(out.green.holes, [&](const StoredHole& h) { return !h.as_cut && !h.today && h.date == date && distance(h.p, cut.p) < kSameHoleM; });
                    out.green.holes.push_back(plan);
                    sort_by_date(out.green.holes);
                } else {
                    out.green = std::move(with.green);
                }
            } else {
                refuse(fmt::format("the state is {}; cut, planned, by hand or skipped is wanted", quote(state)));
            }
        } catch (const Error& e) {
            if (std::string(e.what()).starts_with(name)) throw;
            refuse(e.what());
        }
        ++taken;
    }
    if (!headed) throw Error(fmt::format("{} holds no history; the columns date,state,x_m,y_m,speed_ft,set_by,remark are wanted", name));
    if (outside > 0)
        out.remarks.push_back(fmt::format("{} of the places lie outside the edge as it is now; they are kept, and plans leave them aside", outside));
    out.remarks.push_back(fmt::format("{} entries taken from {}", taken, name));

    // Today's is the newest that was cut, unless today's is younger.
    const StoredHole* newest = nullptr;
    for (const StoredHole& h : out.green.holes)
        if (h.as_cut && (!newest || h.date >= newest->date)) newest = &h;
    const StoredHole* today = out.green.todays_hole();
    if (newest && (!today || today->date < newest->date)) {
        const auto at = static_cast<std::size_t>(newest - out.green.holes.data());
        for (StoredHole& h : out.green.holes) h.today = false;
        out.green.holes[at].today = true;
    }
    return out;
}

}  // namespace brae
