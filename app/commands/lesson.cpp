// brae lesson: players, lessons and putts in a lesson file, and what they tell.
#include "app/commands/lesson_report.h"
#include "app/commands/plans.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/safe_file.h"
#include "core/record/green_queries.h"
#include "core/record/lesson_card.h"
#include "core/teach/side_doubt.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae::app {

namespace {

using nlohmann::ordered_json;

void want(const std::string& value, const char* option, const std::string& action) {
    if (value.empty()) throw usage_error(fmt::format("{}: nothing found, brae lesson {} wants it", option, action));
}

// "NAME=VALUE" in two.
std::pair<std::string, std::string> split(const std::string& text, const char* option) {
    const std::size_t at = text.find('=');
    if (at == std::string::npos || at == 0) throw usage_error(fmt::format("{}: found '{}', NAME=VALUE is wanted", option, text));
    return {text.substr(0, at), text.substr(at + 1)};
}

// The lesson that is named, else the newest.
StoredLesson chosen(LessonFile& file, const LessonArguments& a) {
    if (!a.lesson.empty()) return file.lesson(a.lesson);
    const auto all = file.lessons(a.player.empty() ? std::string() : file.player(a.player).id);
    if (all.empty()) throw usage_error(fmt::format("{} holds no lesson yet; brae lesson start makes one", a.file));
    return all.back();
}

// What was done, in one line or as JSON.
int say(const LessonArguments& a, const ordered_json& json, const std::string& line) {
    if (a.json) print_json(json);
    else fmt::print("{}\n", line);
    return 0;
}

int add_player(LessonFile& file, const LessonArguments& a) {
    want(a.player, "--player", a.action);
    StoredPlayer p;
    p.name = a.player, p.handicap = a.handicap, p.hand = a.hand, p.usual_speed_ft = a.usual_speed_ft, p.note = a.note;
    const std::string id = file.add_player(p);
    return say(a, {{"player", id}, {"name", p.name}}, fmt::format("player       {}, kept", p.name));
}

int add_baseline(LessonFile& file, const LessonArguments& a) {
    want(a.player, "--player", a.action);
    want(a.csv, "--csv", a.action);
    BaselineColumns columns;
    for (const std::string& c : a.columns) columns.column.insert(split(c, "--column"));
    for (const std::string& u : a.units) columns.unit.insert(split(u, "--unit"));
    columns.left_is_positive = a.left_is_positive;
    const auto putts = read_baseline(a.csv, columns);
    file.add_baseline(file.player(a.player).id, putts, std::filesystem::path(a.csv).filename().string(), a.date);
    const BaselineSummary s = summarise(putts);
    ordered_json out{{"putts", putts.size()}};
    std::string lines = fmt::format("baseline     {} putts, kept", putts.size());
    const auto add = [&](const char* name, const BaselineMean& m, const char* unit, int places) {
        if (m.n == 0) return;
        out[name] = {{"n", m.n}, {"mean", tidy(m.mean)}, {"sd", m.n > 1 ? ordered_json(tidy(m.sd)) : ordered_json(nullptr)}};
        lines += fmt::format("\n{:<12} {:.{}f} +/- {:.{}f} {} ({} putts)", name, m.mean, places, m.sd, places, unit, m.n);
    };
    add("aim", s.aim, "degrees", 1), add("face", s.face, "degrees", 1), add("path", s.path, "degrees", 1), add("start", s.start, "degrees", 1);
    add("stroke", s.aim_to_start, "degrees", 1), add("strike", s.strike, "mm", 0), add("speed", s.ball_speed, "m/s", 2);
    return say(a, out, lines);
}

int add_putter(LessonFile& file, const LessonArguments& a) {
    want(a.player, "--player", a.action);
    file.add_putter(file.player(a.player).id, {a.date, a.moment, a.loft_deg, a.lie_deg, a.length_m, a.sight_line, a.note});
    return say(a, {{"player", a.player}, {"moment", a.moment}}, fmt::format("putter       {} the adjustment, kept", a.moment));
}

int start_lesson(LessonFile& file, const LessonArguments& a) {
    want(a.player, "--player", a.action);
    want(a.green, "--green", a.action);
    TerminalProgress terminal;
    const Green green = open_for_verb(a.green, a.json, terminal.progress());
    terminal.finish();
    if (!a.json) print_warnings(stale_stations(green));
    if (green.revision == 0) throw usage_error(fmt::format("--green: {} is a survey, a green file with stations is wanted", a.green));
    if (green.stations.empty()) throw usage_error(fmt::format("--green: {} holds no stations; brae stations --store keeps some", a.green));
    const SpeedOfDay speed = speed_of_day(green, a.speed_ft);
    StoredLesson l;
    l.player = file.player(a.player).id;
    l.green_id = green.id, l.green_name = green.name, l.surface_revision = green.surface_revision;
    l.green_speed_ft = speed.speed_ft, l.green_speed_sigma_ft = speed.sigma_ft;
    l.date = a.date, l.note = a.note;
    for (const StoredStation& s : green.stations) {
        const PracticeStation& p = s.station;
        StoredLessonStation out;
        out.place = {p.label, p.ball, p.hole, p.marker, p.past_m};
        out.break_m = p.break_m, out.aim_offset_m = p.aim_offset_m, out.distance_m = p.distance_m, out.launch_mps = p.launch_mps, out.side = to_text(p.side);
        l.stations.push_back(out);
    }
    const std::string id = file.start_lesson(l);
    return say(a, {{"lesson", id}, {"stations", l.stations.size()}, {"speed_ft", tidy(l.green_speed_ft)}, {"speed_sigma_ft", tidy(l.green_speed_sigma_ft)}},
               fmt::format("lesson       {}, {} stations, green speed {:.1f} +/- {:.1f} ft", id, l.stations.size(), l.green_speed_ft, l.green_speed_sigma_ft));
}

int add_putt(LessonFile& file, const LessonArguments& a) {
    const StoredLesson l = chosen(file, a);
    std::vector<CardField> fields;
    for (const std::string& f : a.fields) fields.push_back(split(f, "FIELDS"));
    const StoredPutt putt = putt_of_fields(fields, l, "FIELDS");
    // With the green at hand, side and place are held against one another; the putt is kept as it was told.
    std::vector<std::string> warnings;
    if (!a.green.empty()) {
        TerminalProgress terminal;
        const Green green = open_for_verb(a.green, a.json, terminal.progress());
        terminal.finish();
        check_green(l, green);
        if (putt.seen.stop) {
            const LessonStation& place = l.stations[static_cast<std::size_t>(putt.seen.station)].place;
            const StationResponse at(*green.terrain->surface, green.terrain->outline, place, l.green_speed_ft, &green.terrain->error);
            if (const auto doubt = side_doubt(at, putt.seen)) warnings.push_back(to_text(*doubt, at) + " brae lesson undo takes it back");
        }
    }
    const std::string id = file.add_putt(l.id, putt);
    const std::size_t count = file.putts(l.id).size();
    if (!a.json) print_warnings(warnings);
    return say(a, {{"putt", id}, {"lesson", l.id}, {"putts", count}, {"warnings", warnings}}, fmt::format("putt         {} of the lesson of {}, kept: station {}, {}", count, file.player(l.player).name,
                           l.stations[static_cast<std::size_t>(putt.seen.station)].place.label, kOutcomeWords[static_cast<std::size_t>(putt.seen.outcome)]));
}

int add_card(LessonFile& file, const LessonArguments& a) {
    want(a.csv, "--csv", a.action);
    const StoredLesson l = chosen(file, a);
    const std::vector<StoredPutt> putts = read_lesson_card(a.csv, l);
    // The same card again would count every putt twice.
    const std::vector<StoredPutt> kept = file.putts(l.id);
    const auto same = [](const StoredPutt& x, const StoredPutt& y) {
        const auto place = [](const SeenPutt& p) { return p.stop ? p.stop->p : Vec2{}; };
        return x.seen.station == y.seen.station && x.seen.outcome == y.seen.outcome && x.seen.phase == y.seen.phase && x.seen.own_read_m == y.seen.own_read_m &&
               x.seen.gate == y.seen.gate && x.seen.strike == y.seen.strike && x.seen.stop.has_value() == y.seen.stop.has_value() &&
               distance(place(x.seen), place(y.seen)) < 1e-6 && x.at == y.at && x.note == y.note;
    };
    if (putts.size() >= 3 && kept.size() >= putts.size() && std::equal(putts.begin(), putts.end(), kept.end() - static_cast<std::ptrdiff_t>(putts.size()), same))
        throw usage_error(fmt::format("--csv: the last {} putts of this lesson are those of {}, which was kept already; a card with putts of its own is wanted",
                                      putts.size(), a.csv));
    const auto ids = file.add_putts(l.id, putts);
    return say(a, {{"putts", ids.size()}, {"lesson", l.id}}, fmt::format("card         {} putts, kept", ids.size()));
}

int undo(LessonFile& file, const LessonArguments& a) {
    const StoredLesson l = chosen(file, a);
    const std::string id = file.undo_last(l.id);
    if (id.empty()) throw Error(fmt::format("the lesson {} has no putt to take back", l.id));
    return say(a, {{"undone", id}, {"putts", file.putts(l.id).size()}}, fmt::format("undone       {}, the putt stays in the file as undone", id));
}

int export_to(LessonFile& file, const LessonArguments& a) {
    want(a.out, "--out", a.action);
    const std::filesystem::path out = a.out;
    if (out.extension() != ".csv" && out.extension() != ".json")
        throw usage_error(fmt::format("--out: found {}, a name that ends in .csv (the putts of a lesson) or .json (all of a player) is wanted", a.out));
    std::error_code ignored;
    if (std::filesystem::equivalent(out, a.file, ignored)) throw usage_error(fmt::format("--out: found {}, which is the lesson file itself", a.out));
    if (out.extension() == ".csv") write_file_safely(out, putts_as_csv(file, chosen(file, a).id));
    else {
        want(a.player, "--player", a.action);
        write_file_safely(out, player_as_json(file, file.player(a.player).id));
    }
    return say(a, {{"out", a.out}}, fmt::format("export       {}", a.out));
}

int erase(LessonFile& file, const LessonArguments& a) {
    want(a.player, "--player", a.action);
    const StoredPlayer p = file.player(a.player);
    if (!a.sure) throw usage_error(fmt::format("--sure: not given; {} and all of their lessons would be gone for good, so it is wanted", p.name));
    file.erase_player(p.id);
    return say(a, {{"erased", p.name}}, "erased       the player, with lessons, putts and baseline");
}

int report(LessonFile& file, const LessonArguments& a) {
    want(a.green, "--green", a.action);
    TerminalProgress terminal;
    const StoredLesson l = chosen(file, a);
    const Green green = open_for_verb(a.green, a.json, terminal.progress());
    const std::string moved = check_green(l, green);
    const LessonReport r = work_out(file, l, green, a.history, terminal.progress());
    terminal.finish();
    if (a.json) {
        ordered_json out = json_of(r);
        out["warnings"] = moved.empty() ? ordered_json::array() : ordered_json::array({moved});
        print_json(out);
    } else {
        if (!moved.empty()) fmt::print("note         {}\n", moved);
        fmt::print("{}", words_of(r));
    }
    return 0;
}

}  // namespace

int run_lesson(const LessonArguments& a) {
    if (a.action == "new") {
        LessonFile::create(a.file);
        return say(a, {{"file", a.file}}, fmt::format("lesson file  {}", a.file));
    }
    const bool reads = a.action == "report" || a.action == "export";
    LessonFile file(a.file, reads ? Database::Access::read : Database::Access::write);
    if (a.action == "player") return add_player(file, a);
    if (a.action == "baseline") return add_baseline(file, a);
    if (a.action == "putter") return add_putter(file, a);
    if (a.action == "start") return start_lesson(file, a);
    if (a.action == "putt") return add_putt(file, a);
    if (a.action == "card") return add_card(file, a);
    if (a.action == "undo") return undo(file, a);
    if (a.action == "report") return report(file, a);
    if (a.action == "export") return export_to(file, a);
    return erase(file, a);
}

}  // namespace brae::app
