#include "plugins/hole_positions/cut_model.h"

#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/record/cut_check.h"

#include <algorithm>
#include <fmt/format.h>

namespace brae::hole_positions {

CutModel::CutModel(plugin::Services& services) : date(today()), services_(services) {}

HistoryEntry CutModel::entered(const CutLine& parsed, bool earlier, Preview* preview) const {
    const Green& green = *now().green;
    const std::string day = parsed.date.empty() ? date : parsed.date, who = parsed.set_by.empty() ? by : parsed.set_by;
    if (parsed.kind == CutLine::Kind::skipped) {
        if (preview) preview->words.push_back(fmt::format("no hole is cut on {}: {}", day, parsed.reason));
        return with_day_skipped(green, {day, parsed.reason + (parsed.remark.empty() ? "" : "; " + parsed.remark), who}, earlier);
    }
    // One hole, or several of a practice green.
    std::vector<const CutLine*> all{&parsed};
    for (const CutLine& other : parsed.beside) all.push_back(&other);
    HistoryEntry out{green, {}};
    for (std::size_t k = 0; k < all.size(); ++k) {
        const CutPlace place = place_of(*all[k], green);
        if (preview) {
            preview->places.push_back(place.p);
            std::string words = fmt::format("{:.2f}, {:.2f} m", place.p.x, place.p.y);
            if (green.line_of_play)
                if (const auto at = place_by_paces(green.terrain->outline, *green.line_of_play, place.p)) words = fmt::format("{}, {} ({})", paces_text(*at), third_text(*at), words);
            if (place.loose_m > 0) words += fmt::format("; whole paces fix it to {:.1f} m", place.loose_m);
            preview->words.push_back(words);
        }
        if (!place.understood.empty()) out.remarks.push_back(place.understood);
        HistoryEntry next = with_hole_cut(out.green, {day, place.p, who, parsed.remark, parsed.speed_ft, k > 0}, earlier);
        out.green = std::move(next.green);
        out.remarks.insert(out.remarks.end(), next.remarks.begin(), next.remarks.end());
    }
    return out;
}

const CutModel::Preview& CutModel::preview() {
    const std::string key = fmt::format("{}|{}|{}|{}", now().revision, line, date, by);
    if (key == preview_key_) return preview_;
    preview_key_ = key;
    preview_ = {};
    if (!now().green || line.empty()) return preview_;
    try {
        const CutLine parsed = parse_cut_line(line);
        Preview seen;
        try {
            seen.remarks = entered(parsed, false, &seen).remarks;
            seen.ready = true;
        } catch (const Error& e) {
            // Told late is another thing than told wrong.
            seen.sentence = e.what();
            Preview late;
            late.remarks = entered(parsed, true, &late).remarks;
            late.sentence = seen.sentence;
            late.backwards = true;
            seen = std::move(late);
        }
        preview_ = std::move(seen);
        if (preview_.ready && !preview_.places.empty()) start_check(parsed);
    } catch (const Error& e) {
        preview_ = {};
        preview_.sentence = e.what();
    }
    return preview_;
}

void CutModel::start_check(const CutLine& parsed) {
    plugin::Job job;
    job.key = "cut check";
    job.title = "Judging the place";
    job.work = [this, green = now().green, places = preview_.places, day = parsed.date.empty() ? date : parsed.date, speed = parsed.speed_ft, limits = limits,
                key = preview_key_](Progress& progress) -> std::function<void()> {
        std::vector<std::string> remarks;
        for (const Vec2 p : places) {
            progress.step(0.1);
            for (const std::string& r : check_cut(*green, p, day, speed, limits).remarks)
                remarks.push_back(places.size() > 1 ? fmt::format("the hole at {:.2f}, {:.2f}: {}", p.x, p.y, r) : r);
        }
        return [this, remarks, key] {
            if (key == preview_key_) preview_.remarks.insert(preview_.remarks.end(), remarks.begin(), remarks.end());
        };
    };
    job.failed = [](const std::string&) {};   // what is wrong with the line is told already
    services_.jobs.start(std::move(job));
}

void CutModel::keep(bool earlier) {
    const Preview seen = preview();
    if (!now().green || (!seen.ready && !(earlier && seen.backwards))) return;
    const CutLine parsed = parse_cut_line(line);
    HistoryEntry entry = entered(parsed, earlier, nullptr);
    plugin::GreenEdit edit;
    edit.ask = false;
    edit.sentence = "Keep the hole as it was cut?";
    edit.holes = entry.green.holes;
    edit.skipped = entry.green.skipped;
    if (parsed.speed_ft && !earlier && parsed.kind != CutLine::Kind::skipped) edit.add_speeds.push_back(entry.green.speeds.back());
    const std::optional<Vec2> place = seen.places.empty() || earlier ? std::nullopt : std::optional(seen.places.front());
    edit.answered = [this, place, words = seen.words.empty() ? std::string() : seen.words.front()](bool kept) {
        if (!kept) return;
        if (place) services_.edits.set_putt(std::nullopt, place, std::nullopt);
        message_ = fmt::format("Kept: {}. Undo takes it back.", words);
        line.clear();
    };
    services_.edits.propose(std::move(edit));
}

void CutModel::clear() {
    line.clear();
    message_.clear();
    preview_ = {};
    preview_key_.clear();
}

}  // namespace brae::hole_positions
