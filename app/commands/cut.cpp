// brae cut: where the hole was cut, told afterwards in one line a green, and the history that comes of it.
#include "app/commands/hole_request.h"
#include "app/commands/place_words.h"
#include "app/commands/plans.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/base/safe_file.h"
#include "core/record/cut_check.h"
#include "core/record/cut_line.h"
#include "core/record/edit_lock.h"
#include "core/record/green_file.h"
#include "core/record/green_queries.h"
#include "core/record/kept_plan.h"
#include "core/survey/survey_facts.h"
#include "core/survey/text_file.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <functional>
#include <nlohmann/json.hpp>

namespace brae::app {

namespace {

namespace fs = std::filesystem;
using nlohmann::ordered_json;

// A green file as it will be once all entries are in.
struct Course {
    fs::path file;
    Green green;
    bool changed = false;
};

std::vector<Course> open_greens(const std::string& name, bool quiet, Progress& progress) {
    std::vector<fs::path> files;
    std::error_code code;
    if (fs::is_directory(name, code)) {
        for (const auto& entry : fs::directory_iterator(name))
            if (entry.path().extension() == ".gpkg" && !entry.path().filename().string().starts_with('.')) files.push_back(entry.path());
        std::sort(files.begin(), files.end());
        if (files.empty()) throw Error(fmt::format("{} holds no green file (.gpkg)", name));
    } else {
        files.push_back(name);
    }
    std::vector<Course> out;
    for (std::size_t k = 0; k < files.size(); ++k) {
        progress.step(static_cast<double>(k) / static_cast<double>(files.size()), "opening the greens");
        Progress own;
        out.push_back({files[k], open_for_verb(files[k].string(), quiet, own)});
        if (out.back().green.revision == 0) throw usage_error(fmt::format("{} is a survey, not a green file; make one with brae survey", files[k].string()));
    }
    return out;
}

// The green of a line, by its name or its file's.
Course& green_called(std::vector<Course>& course, const std::string& name) {
    std::vector<Course*> found;
    for (Course& c : course)
        if (lower_case(c.green.name) == lower_case(name) || lower_case(c.file.stem().string()) == lower_case(name)) found.push_back(&c);
    if (found.size() == 1) return *found.front();
    std::string names;
    for (const Course& c : course) names += (names.empty() ? "" : ", ") + c.green.name;
    if (found.empty()) throw Error(fmt::format("there is no green {}; the greens are {}", quote(name), names));
    throw Error(fmt::format("{} greens are called {}; name the file instead", found.size(), quote(name)));
}

// Of a place what the check says of it.
void judge(const Green& green, Vec2 p, const std::string& date, std::optional<double> told_ft, const HoleLimits& limits, ordered_json& out, std::vector<std::string>& remarks) {
    const CutCheck check = check_cut(green, p, date, told_ft, limits);
    remarks.insert(remarks.end(), check.remarks.begin(), check.remarks.end());
    if (!check.judged) return;
    out["fair"] = check.judged->fair;
    out["fails"] = ordered_json::array();
    for (const Criterion& c : check.judged->criteria)
        if (!c.pass) out["fails"].push_back({{"name", c.name}, {"sentence", c.sentence}});
}

// One line into one green; what is said of it.
ordered_json enter(Course& c, const CutLine& line, const CutArguments& a, const HoleLimits& limits, std::string& words) {
    const std::string date = !line.date.empty() ? line.date : !a.date.empty() ? a.date : today();
    const std::string by = !line.set_by.empty() ? line.set_by : a.by;
    const std::string remark = !line.remark.empty() ? line.remark : a.remark;
    if (day_number(date) && date > today() && !a.planned)
        throw Error(fmt::format("{} lies ahead of today, {}: a hole that was cut or a day that was skipped is told by then; for a day ahead say --planned", date, today()));
    ordered_json out{{"green", c.green.name}, {"file", c.file.string()}, {"date", date}};
    HistoryEntry entry;
    if (line.kind == CutLine::Kind::skipped) {
        // Ahead of time, today's hole stays what it is.
        entry = with_day_skipped(c.green, {date, line.reason + (remark.empty() ? "" : "; " + remark), by}, a.earlier || a.planned);
        out["state"] = "skipped";
        out["reason"] = line.reason;
        words = fmt::format("{:<16} {}  {}: {}", c.green.name, date, date > today() ? "will be skipped" : "skipped", line.reason);
    } else {
        const auto speed_ft = line.speed_ft ? line.speed_ft : a.speed_ft;
        const auto put = [&](const Green& into, Vec2 p, bool beside) {
            const CutHole hole{date, p, by, remark, speed_ft, beside};
            return a.planned ? with_hole_set(into, hole) : with_hole_cut(into, hole, a.earlier);
        };
        const CutPlace place = place_of(line, c.green);
        entry = put(c.green, place.p, false);
        const auto at = c.green.line_of_play ? place_by_paces(c.green.terrain->outline, *c.green.line_of_play, place.p) : std::nullopt;
        out["state"] = a.planned ? "by hand" : "cut";
        out.update(json_of_place(place.p, at, place.loose_m));
        words = fmt::format("{:<16} {}  {:.2f}, {:.2f} m{}{}", c.green.name, date, place.p.x, place.p.y, at ? "; " + words_of_place(*at, place.loose_m) : "", a.planned ? "; set by hand" : "");
        if (!place.understood.empty()) {
            out["understood"] = place.understood;
            entry.remarks.insert(entry.remarks.begin(), place.understood);
        }
        // What is told late is past judging.
        if (!a.earlier) judge(c.green, place.p, date, speed_ft, limits, out, entry.remarks);
        // The others of a practice green.
        for (const CutLine& other : line.beside) {
            const CutPlace beside = place_of(other, c.green);
            const auto beside_at = c.green.line_of_play ? place_by_paces(c.green.terrain->outline, *c.green.line_of_play, beside.p) : std::nullopt;
            HistoryEntry next = put(entry.green, beside.p, true);
            next.remarks.insert(next.remarks.begin(), entry.remarks.begin(), entry.remarks.end());
            entry = std::move(next);
            ordered_json row = json_of_place(beside.p, beside_at, beside.loose_m);
            std::vector<std::string> remarks;
            if (!beside.understood.empty()) row["understood"] = beside.understood, remarks.push_back(beside.understood);
            if (!a.earlier) judge(c.green, beside.p, date, speed_ft, limits, row, remarks);
            for (const std::string& r : remarks) entry.remarks.push_back(fmt::format("the hole at {:.2f}, {:.2f}: {}", beside.p.x, beside.p.y, r));
            out["beside"].push_back(std::move(row));
            words += fmt::format(" + {:.2f}, {:.2f} m{}", beside.p.x, beside.p.y, beside_at ? "; " + words_of_place(*beside_at, beside.loose_m) : "");
        }
    }
    out["remarks"] = entry.remarks;
    for (const std::string& r : entry.remarks) words += "\n                 " + r;
    c.green = std::move(entry.green);
    c.changed = true;
    return out;
}

// The last weeks of one green, for people and scripts.
ordered_json show(const Course& c, const std::string& date, std::string& words) {
    const int day = *day_number(date) + 1;   // the day itself is part of it
    ordered_json out{{"green", c.green.name}, {"file", c.file.string()}, {"history", ordered_json::array()}, {"ahead", ordered_json::array()}, {"plugs", ordered_json::array()}};
    words = c.green.name + "\n";
    for (const HoleUse& use : hole_history(c.green, day)) {
        const auto at = c.green.line_of_play ? place_by_paces(c.green.terrain->outline, *c.green.line_of_play, use.p) : std::nullopt;
        ordered_json row{{"date", day_text(use.first_day)}, {"until", day_text(use.last_day)}, {"state", state_word(use.as_cut, use.by_plan)}};
        row.update(json_of_place(use.p, at, 0));
        row["speed_ft"] = use.speed_ft ? ordered_json(tidy(*use.speed_ft)) : ordered_json(nullptr);
        row["set_by"] = use.set_by, row["remark"] = use.remark;
        row["skipped"] = ordered_json::array();
        std::string skipped;
        for (const SkippedDay& s : use.skipped) {
            row["skipped"].push_back({{"date", s.date}, {"reason", s.reason}});
            skipped += fmt::format("; stayed on {}: {}", s.date, s.reason);
        }
        out["history"].push_back(row);
        words += fmt::format("  {} to {}  {:<10} {:6.2f}, {:6.2f} m{}{}{}{}{}\n", day_text(use.first_day), day_text(use.last_day), !use.dated ? "no date" : use.as_cut ? "as cut" : use.by_plan ? "as planned" : "by hand", use.p.x,
                             use.p.y, at ? "  " + paces_text(*at) : "", use.speed_ft ? fmt::format("  {:.1f} ft", *use.speed_ft) : "", use.set_by.empty() ? "" : "  by " + use.set_by,
                             use.remark.empty() ? "" : "  " + use.remark, skipped);
    }
    // What is written down for the days ahead, holes and skipped days by date.
    struct Ahead { std::string date; ordered_json row; std::string words; };
    std::vector<Ahead> ahead;
    for (const StoredHole& h : planned_from(c.green, day)) {
        // A plan that was made before the day was skipped is not followed.
        if (skipped_day(c.green, h.date)) continue;
        const auto at = c.green.line_of_play ? place_by_paces(c.green.terrain->outline, *c.green.line_of_play, h.p) : std::nullopt;
        ordered_json row{{"date", h.date}, {"state", state_word(false, h.by_plan)}};
        row.update(json_of_place(h.p, at, 0));
        row["set_by"] = h.set_by;
        ahead.push_back({h.date, row, fmt::format("  {}                {:<10} {:6.2f}, {:6.2f} m{}{}\n", h.date, state_word(false, h.by_plan), h.p.x, h.p.y, at ? "  " + paces_text(*at) : "",
                                                   h.set_by.empty() ? "" : "  by " + h.set_by)});
    }
    for (const SkippedDay& s : c.green.skipped)
        if (const auto d = day_number(s.date); d && *d >= day) {
            ahead.push_back({s.date, {{"date", s.date}, {"state", "skipped"}, {"reason", s.reason}}, fmt::format("  {}                skipped    {}\n", s.date, s.reason)});
        }
    std::stable_sort(ahead.begin(), ahead.end(), [](const Ahead& a, const Ahead& b) { return a.date < b.date; });
    for (const Ahead& a : ahead) out["ahead"].push_back(a.row), words += a.words;
    for (const OpenPlug& plug : open_plugs(c.green, day, CourseRules{}.healing_days)) {
        if (plug.plugged >= day) continue;   // the hole that is open
        out["plugs"].push_back({{"x", tidy(plug.p.x)}, {"y", tidy(plug.p.y)}, {"plugged", day_text(plug.plugged)}, {"days_left", plug.days_left}});
    }
    if (out["history"].empty() && out["ahead"].empty()) words += "  no hole with a date is kept with it\n";
    return out;
}

}  // namespace

int run_cut(const CutArguments& a) {
    if (!a.date.empty()) checked_day(a.date, "--date");
    HolesArguments judged_by;
    judged_by.profile = a.profile, judged_by.limits = a.limits;
    const HoleLimits limits = hole_limits_of(judged_by);
    if (a.planned && a.earlier) throw usage_error("--planned and --earlier: one of the two is wanted");
    if (a.force && a.history.empty()) throw usage_error("--force belongs to --history, which takes a list that does not say whose it is");
    const bool enters = !a.at.empty() || !a.file.empty() || !a.history.empty();
    if (!enters && (a.earlier || a.dry || !a.by.empty() || !a.remark.empty() || a.speed_ft || a.planned))
        throw usage_error("--at: nothing found; where the hole was cut is wanted beside --by, --remark, --speed, --earlier, --planned or --dry");
    if (!a.out.empty() && fs::path(a.out).extension() != ".csv") throw usage_error(fmt::format("--out: found '{}', a name that ends in .csv is wanted", a.out));
    std::error_code code;
    const bool folder = fs::is_directory(a.green, code);
    if (folder && (!a.history.empty() || !a.out.empty())) throw usage_error("--history and --out belong to one green, and GREEN is a folder");

    // What was typed, before any green is opened.
    std::optional<CutLine> one;
    std::vector<CourseLine> lines;
    if (!a.at.empty()) {
        one = parse_cut_line(a.at);
        if (folder && one->kind != CutLine::Kind::skipped) throw usage_error("--at: a folder of greens takes 'skipped REASON' only; give each hole's place in a --file");
    }
    if (!a.file.empty()) lines = parse_course_lines(MappedFile(a.file).bytes(), a.file);
    TerminalProgress terminal;
    std::vector<Course> course = open_greens(a.green, a.json, terminal.progress());
    if (enters && !a.dry)
        for (const Course& c : course) require_unlocked(c.file);

    // All of it is tried before any of it is kept.
    ordered_json entries = ordered_json::array();
    std::vector<std::string> said, wrong;
    const auto attempt = [&](const std::string& where, const std::function<void()>& work) {
        try {
            work();
        } catch (const Error& e) {
            if (where.empty()) throw;
            wrong.push_back(where + ": " + e.what());
        }
    };
    if (one)
        for (Course& c : course)
            attempt(folder ? c.file.filename().string() : "", [&] { said.emplace_back(), entries.push_back(enter(c, *one, a, limits, said.back())); });
    for (const CourseLine& line : lines)
        attempt(fmt::format("{}, line {}", a.file, line.number),
                [&] { Course& c = green_called(course, line.green); said.emplace_back(), entries.push_back(enter(c, line.line, a, limits, said.back())); });
    if (!a.history.empty()) {
        Course& c = course.front();
        HistoryEntry entry = with_history(c.green, std::string(MappedFile(a.history).bytes()), a.history, a.force);
        entries.push_back({{"green", c.green.name}, {"file", c.file.string()}, {"state", "history"}, {"remarks", entry.remarks}});
        for (const std::string& r : entry.remarks) said.push_back(r);
        c.green = std::move(entry.green);
        c.changed = true;
    }
    if (!wrong.empty()) {
        std::string all;
        for (const std::string& w : wrong) all += (all.empty() ? "" : "; ") + w;
        throw Error(fmt::format("{}; nothing was kept", all));
    }

    // Into the files.
    std::vector<std::string> kept;
    for (Course& c : course) {
        if (!c.changed || a.dry) continue;
        ++c.green.revision;
        try {
            update_green_file(c.green, c.file);
        } catch (const Error& e) {
            throw Error(fmt::format("{}{}", e.what(), kept.empty() ? "" : fmt::format("; kept before that: {} of the greens, up to {}", kept.size(), kept.back())));
        }
        kept.push_back(c.green.name);
    }
    if (!a.out.empty()) write_file_safely(a.out, history_csv(course.front().green));
    terminal.finish();

    ordered_json out{{"entries", entries}, {"kept", kept.size()}};
    std::string shown;
    if (!enters) {
        out["greens"] = ordered_json::array();
        for (const Course& c : course) {
            std::string words;
            out["greens"].push_back(show(c, a.date.empty() ? today() : a.date, words));
            shown += words;
        }
    }
    if (a.json) {
        print_json(out);
        return 0;
    }
    for (const std::string& s : said) fmt::print("{}\n", s);
    if (enters) fmt::print("{}\n", a.dry ? "nothing was kept (--dry)" : fmt::format("kept with {} green{}", kept.size(), kept.size() == 1 ? "" : "s"));
    fmt::print("{}", shown);
    return 0;
}

}  // namespace brae::app
