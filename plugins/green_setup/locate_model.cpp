#include "plugins/green_setup/locate_model.h"

#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/base/units.h"
#include "core/record/green_queries.h"
#include "plugins/green_setup/typed.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae::green_setup {

std::vector<TapePoint> LocateModel::marks() const { return now().green ? tape_points(*now().green) : std::vector<TapePoint>{}; }

void LocateModel::best_pair() {
    if (!now().green) return;
    const Vec2 near = now().hole.value_or(now().green->terrain->outline.centroid());
    const auto plan = plan_tapes(marks(), near);
    if (!plan) {
        message_ = fmt::format("no two marks cross well at ({}), where the hole is shown; add a mark there", text_of(near));
        return;
    }
    message_.clear();
    tapes_ = {TapeRow{plan->first.from.name, ""}, TapeRow{plan->second.from.name, ""}};
    checks_ = {TapeRow{plan->check ? plan->check->from.name : "", ""}, TapeRow{}};
    side_.reset();
}

void LocateModel::keep_marks_sound() {
    const auto known = marks();
    const auto is_there = [&](const std::string& name) { return std::any_of(known.begin(), known.end(), [&](const TapePoint& m) { return m.name == name; }); };
    for (auto* rows : {&tapes_, &checks_})
        for (TapeRow& row : *rows)
            if (!row.mark.empty() && !is_there(row.mark)) row = {};
    // The rows begin with a pair that serves; the readings are the user's.
    const bool untouched = tapes_[0].mark.empty() && tapes_[1].mark.empty() && tapes_[0].reading.empty() && tapes_[1].reading.empty();
    if (untouched && known.size() >= 2) best_pair();
}

void LocateModel::follow_units() {
    const plugin::Units wanted = now().units;
    if (wanted == units_) return;
    for (auto* rows : {&tapes_, &checks_})
        for (TapeRow& row : *rows) {
            try {
                if (row.reading.empty()) continue;
                const double metres = length_from(row.reading, units_);
                row.reading = wanted == plugin::Units::metric ? fmt::format("{:.3f}", metres) : fmt::format("{:.2f}", feet_from_metres(metres));
            } catch (const Error&) {
                // What was no length stays as it was typed, to be put right.
            }
        }
    units_ = wanted;
}

Located LocateModel::work_out() const {
    Located out;
    const auto known = marks();
    const auto mark = [&](const std::string& name) { return std::find_if(known.begin(), known.end(), [&](const TapePoint& m) { return m.name == name; }); };
    if (known.size() < 2) {
        out.sentence = known.empty() ? "the green has no reference marks yet; tapes are laid from at least two of them"
                                     : "the green has one reference mark; tapes are laid from at least two";
        return out;
    }

    // What is typed, row by row; the first that is no length is named.
    const auto take = [&](const auto& rows, std::vector<TapeReading>& into) {
        for (const TapeRow& row : rows) {
            if (row.mark.empty() || row.reading.empty() || mark(row.mark) == known.end()) continue;
            try {
                into.push_back({*mark(row.mark), length_from(row.reading, units_)});
            } catch (const Error& e) {
                if (!out.refused) out.sentence = fmt::format("from {}: {}", row.mark, e.what());
                out.refused = true;
            }
        }
    };
    take(tapes_, out.tapes);
    take(checks_, out.checks);
    if (out.tapes.size() == 2) {
        out.crossings = tape_crossings(out.tapes[0], out.tapes[1]);
        if (!out.crossings.empty()) out.crossing_deg = brae::crossing_deg(out.tapes[0].from.p, out.tapes[1].from.p, out.crossings[0]);
    }
    if (out.refused) return out;
    for (const TapeRow& row : tapes_)
        if (row.mark.empty()) {
            out.sentence = "choose two marks";
            return out;
        }
    if (tapes_[0].mark == tapes_[1].mark) {
        out.sentence = fmt::format("both tapes start at {}; two different marks are wanted", tapes_[0].mark);
        out.refused = true;
        return out;
    }
    for (const TapeRow& row : tapes_)
        if (row.reading.empty()) {
            out.sentence = fmt::format("measure from {} and type the distance", row.mark);
            return out;
        }
    if (out.checks.empty() && !side_ && out.crossings.size() == 2) {
        out.sentence = fmt::format("the tapes meet in two places; say on which side it is, as one looks from {} to {}, or measure a check", tapes_[0].mark, tapes_[1].mark);
        return out;
    }

    // The same answer and the same refusals as without the window.
    try {
        out.fix = locate_by_tapes(out.tapes, side_, out.checks, known);
        const Outline& outline = now().green->terrain->outline;
        if (!outline.contains(out.fix->p)) {
            out.outside_m = -outline.signed_distance(out.fix->p);
            out.sentence = units_ == plugin::Units::metric ? fmt::format("the place is {:.2f} m outside the green; look at side, readings and edge", *out.outside_m)
                                                           : fmt::format("the place is {:.1f} ft outside the green; look at side, readings and edge", feet_from_metres(*out.outside_m));
            out.refused = true;
            for (Vec2 p : out.crossings)
                if (outline.contains(p)) out.sentence += "; the place on the other side lies on it";
        } else if (out.checks.empty()) {
            out.sentence = "no check: measure from a third mark, since one slip of a tape goes unseen";
        }
    } catch (const Error& e) {
        out.sentence = e.what();
        out.refused = true;
    }
    return out;
}

const Located& LocateModel::located() {
    follow_units();
    std::string key = fmt::format("{}|{}|{}", now().revision, static_cast<int>(units_), side_ ? static_cast<int>(*side_) : -1);
    for (const auto* rows : {&tapes_, &checks_})
        for (const TapeRow& row : *rows) key += "|" + row.mark + "=" + row.reading;
    if (key != located_key_) {
        located_ = work_out();
        located_key_ = key;
    }
    return located_;
}

void LocateModel::hole_is_here() {
    const Located& here = located();
    if (!now().green || !here.fix || here.outside_m) return;
    plugin::GreenEdit edit;
    edit.ask = false;
    edit.sentence = "Keep the taped place as today's hole?";
    edit.holes = holes_with_today_at(*now().green, here.fix->p, today(), "taped");
    edit.answered = [this, p = here.fix->p](bool kept) {
        if (!kept) return;
        services_.edits.set_putt(std::nullopt, p, std::nullopt);
        message_ = fmt::format("Today's hole is at {} m. Undo takes it back.", text_of(p));
    };
    services_.edits.propose(std::move(edit));
}

void LocateModel::ball_is_here() {
    const Located& here = located();
    if (!here.fix || here.outside_m) return;
    message_ = services_.edits.set_putt(here.fix->p, std::nullopt, std::nullopt) ? fmt::format("The ball is at {} m.", text_of(here.fix->p))
                                                                                 : std::string("The place lies off the green.");
}

void LocateModel::clear_readings() {
    for (auto* rows : {&tapes_, &checks_})
        for (TapeRow& row : *rows) row.reading.clear();
    side_.reset();
    message_.clear();
}

void LocateModel::clear() {
    tapes_ = checks_ = {};
    side_.reset();
    message_.clear();
    located_ = {};
    located_key_.clear();
}

}  // namespace brae::green_setup
