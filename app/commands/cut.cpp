// brae cut: where the hole was cut, told afterwards in one line a green, and the history that comes of it.
#include "app/commands/place_words.h"
#include "app/commands/plans.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/calendar.h"
#include "core/base/error.h"
#include "core/base/safe_file.h"
#include "core/record/cut_line.h"
#include "core/record/edit_lock.h"
#include "core/record/green_file.h"
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

// One line into one green; what is said of it.
ordered_json enter(Course& c, const CutLine& line, const CutArguments& a, std::string& words) {
    const std::string date = !line.date.empty() ? line.date : !a.date.empty() ? a.date : today();
    const std::string by = !line.set_by.empty() ? line.set_by : a.by;
    const std::string remark = !line.remark.empty() ? line.remark : a.remark;
    ordered_json out{{"green", c.green.name}, {"file", c.file.string()}, {"date", date}};
    HistoryEntry entry;
    if (line.kind == CutLine::Kind::skipped) {
        entry = with_day_skipped(c.green, {date, line.reason + (remark.empty() ? "" : "; " + remark), by}, a.earlier);
        out["state"] = "skipped";
        out["reason"] = line.reason;
        words = fmt::format("{:<16} {}  skipped: {}", c.green.name, date, line.reason);
    } else {
        const CutPlace place = place_of(line, c.green);
        const auto speed_ft = line.speed_ft ? line.speed_ft : a.speed_ft;
        entry = with_hole_cut(c.green, {date, place.p, by, remark, speed_ft}, a.earlier);
        const auto at = c.green.line_of_play ? place_by_paces(c.green.terrain->outline, *c.green.line_of_play, place.p) : std::nullopt;
        out["state"] = "cut";
        out.update(json_of_place(place.p, at, place.loose_m));
        words = fmt::format("{:<16} {}  {:.2f}, {:.2f} m{}", c.green.name, date, place.p.x, place.p.y, at ? "; " + words_of_place(*at, place.loose_m) : "");
        // The others of a practice green.
        for (const CutLine& other : line.beside) {
            const CutPlace beside = place_of(other, c.green);
            HistoryEntry next = with_hole_cut(entry.green, {date, beside.p, by, remark, speed_ft, true}, a.earlier);
            next.remarks.insert(next.remarks.begin(), entry.remarks.begin(), entry.remarks.end());
            entry = std::move(next);
            out["beside"].push_back(json_of_place(beside.p, std::nullopt, beside.loose_m));
            words += fmt::format(" + {:.2f}, {:.2f} m", beside.p.x, beside.p.y);
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
    ordered_json out{{"green", c.green.name}, {"file", c.file.string()}, {"history", ordered_json::array()}, {"plugs", ordered_json::array()}};
    words = c.green.name + "\n";
    for (const HoleUse& use : hole_history(c.green, day)) {
        const auto at = c.green.line_of_play ? place_by_paces(c.green.terrain->outline, *c.green.line_of_play, use.p) : std::nullopt;
        ordered_json row{{"date", day_text(use.first_day)}, {"until", day_text(use.last_day)}, {"state", use.as_cut ? "cut" : "planned"}};
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
        words += fmt::format("  {} to {}  {:<10} {:6.2f}, {:6.2f} m{}{}{}{}{}\n", day_text(use.first_day), day_text(use.last_day), use.as_cut ? "as cut" : "as planned", use.p.x,
                             use.p.y, at ? "  " + paces_text(*at) : "", use.speed_ft ? fmt::format("  {:.1f} ft", *use.speed_ft) : "", use.set_by.empty() ? "" : "  by " + use.set_by,
                             use.remark.empty() ? "" : "  " + use.remark, skipped);
    }
    for (const OpenPlug& plug : open_plugs(c.green, day, CourseRules{}.healing_days)) {
        if (plug.plugged >= day) continue;   // the hole that is open
        out["plugs"].push_back({{"x", tidy(plug.p.x)}, {"y", tidy(plug.p.y)}, {"plugged", day_text(plug.plugged)}, {"days_left", plug.days_left}});
    }
    if (out["history"].empty()) words += "  no hole with a date is kept with it\n";
    return out;
}

}  // namespace

int run_cut(const CutArguments& a) {
    if (!a.date.empty()) checked_day(a.date, "--date");
    const bool enters = !a.at.empty() || !a.file.empty() || !a.history.empty();
    if (!enters && (a.earlier || a.dry || !a.by.empty() || !a.remark.empty() || a.speed_ft))
        throw usage_error("--at: nothing found; where the hole was cut is wanted beside --by, --remark, --speed, --earlier or --dry");
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
            attempt(folder ? c.file.filename().string() : "", [&] { said.emplace_back(), entries.push_back(enter(c, *one, a, said.back())); });
    for (const CourseLine& line : lines)
        attempt(fmt::format("{}, line {}", a.file, line.number),
                [&] { Course& c = green_called(course, line.green); said.emplace_back(), entries.push_back(enter(c, line.line, a, said.back())); });
    if (!a.history.empty()) {
        Course& c = course.front();
        HistoryEntry entry = with_history(c.green, std::string(MappedFile(a.history).bytes()), a.history);
        entries.push_back({{"green", c.green.name}, {"file", c.file.string()}, {"state", "history"}, {"remarks", entry.remarks}});
        said.push_back(entry.remarks.empty() ? "" : entry.remarks.back());
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
