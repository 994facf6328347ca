// brae lesson: players, lessons and putts in a lesson file, and what they tell.
#include "app/commands/lesson_report.h"
#include "app/commands/output.h"
#include "app/commands/plans.h"
#include "app/commands/terminal.h"
#include "app/commands/verbs.h"
#include "core/base/calendar.h"
#include "core/base/interval.h"
#include "core/base/safe_file.h"
#include "core/export/lesson_sheets.h"
#include "core/record/green_queries.h"
#include "core/record/lesson_card.h"
#include "core/survey/survey_facts.h"
#include "core/survey/text_file.h"
#include "core/teach/side_doubt.h"

#include <algorithm>
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

// "1 putt", "2 putts".
std::string counted(std::size_t n, const char* what) { return fmt::format("{} {}{}", n, what, n == 1 ? "" : "s"); }

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
    std::string lines = fmt::format("baseline     {}, kept", counted(putts.size(), "putt"));
    const auto add = [&](const char* name, const BaselineMean& m, const char* unit, int places) {
        if (m.n == 0) return;
        out[name] = {{"n", m.n}, {"mean", tidy(m.mean)}, {"sd", m.n > 1 ? ordered_json(tidy(m.sd)) : ordered_json(nullptr)}};
        lines += m.n > 1 ? fmt::format("\n{:<12} {:.{}f} {}, spread {:.{}f} (1 sigma, {})", name, m.mean, places, unit, m.sd, places, counted(static_cast<std::size_t>(m.n), "putt"))
                         : fmt::format("\n{:<12} {:.{}f} {} (1 putt, so no spread)", name, m.mean, places, unit);
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
    l.date = a.date.empty() ? today() : checked_day(a.date, "--date"), l.note = a.note;
    for (const StoredStation& s : green.stations) {
        const PracticeStation& p = s.station;
        StoredLessonStation out;
        out.place = {p.label, p.ball, p.hole, p.marker, p.past_m};
        out.break_m = p.break_m, out.aim_offset_m = p.aim_offset_m, out.distance_m = p.distance_m, out.launch_mps = p.launch_mps, out.side = to_text(p.side);
        l.stations.push_back(out);
    }
    const std::string id = file.start_lesson(l);
    return say(a, {{"lesson", id}, {"stations", l.stations.size()}, {"speed_ft", tidy(l.green_speed_ft)}, {"speed_sigma_ft", tidy(l.green_speed_sigma_ft)}, {"date", l.date}, {"warnings", stale_stations(green)}},
               fmt::format("lesson       {}, {}, {}, green speed {} (90 %)", id, l.date, counted(l.stations.size(), "station"),
                           speed_with_error(l.green_speed_ft, l.green_speed_sigma_ft, "+/-")));
}

// With the green at hand, side and place are held against one another; the putt is kept as it was told. `way_out`: how it is put right.
std::vector<std::string> doubts_of(const StoredPutt& putt, const StoredLesson& l, const LessonArguments& a, const char* way_out) {
    if (a.green.empty()) return {};
    TerminalProgress terminal;
    const Green green = open_for_verb(a.green, a.json, terminal.progress());
    terminal.finish();
    check_green(l, green);
    if (!putt.seen.stop) return {};
    const LessonStation& place = l.stations[static_cast<std::size_t>(putt.seen.station)].place;
    const StationResponse at(*green.terrain->surface, green.terrain->outline, place, l.green_speed_ft, &green.terrain->error);
    const auto doubt = side_doubt(at, putt.seen);
    return doubt ? std::vector<std::string>{to_text(*doubt, at) + " " + way_out} : std::vector<std::string>{};
}

int add_putt(LessonFile& file, const LessonArguments& a) {
    const StoredLesson l = chosen(file, a);
    std::vector<CardField> fields;
    for (const std::string& f : a.fields) fields.push_back(split(f, "FIELDS"));
    const StoredPutt putt = putt_of_fields(fields, l, "FIELDS");
    const std::vector<std::string> warnings = doubts_of(putt, l, a, "brae lesson undo takes it back");
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
    // A place that nobody said how it was taken is no taped one.
    const auto untold = static_cast<std::size_t>(std::count_if(putts.begin(), putts.end(), [](const StoredPutt& p) { return p.seen.stop && !p.seen.stop->source && !p.seen.stop->sigma_m; }));
    const std::string assumed = untold == 0 ? "" : fmt::format("\nnote         of {} nobody said how {} taken: 5 cm + 2 % of the distance is assumed (column stop_source: click, tape, paces)",
                                                               counted(untold, "place"), untold == 1 ? "it was" : "they were");
    return say(a, {{"putts", ids.size()}, {"lesson", l.id}, {"places_without_source", untold}}, fmt::format("card         {}, kept{}", counted(ids.size(), "putt"), assumed));
}

// The putt that is named by its number, as the putts that count stand in report and list, or by its id.
StoredPutt named_putt(LessonFile& file, const StoredLesson& l, const LessonArguments& a, bool undone) {
    want(a.putt, "--putt", a.action);
    const std::vector<StoredPutt> all = file.putts(l.id, true);
    std::size_t number = 0;
    for (const StoredPutt& p : all) {
        if (!p.undone) ++number;
        if (p.undone == undone && (p.id == a.putt || (!undone && std::to_string(number) == a.putt))) return p;
    }
    throw usage_error(undone ? fmt::format("--putt: found {}, the id of a putt that was struck out is wanted (brae lesson list names them)", quote(a.putt))
                             : fmt::format("--putt: found {}, {} or the id of a putt is wanted (brae lesson list names them)", quote(a.putt),
                                         number == 0 ? "a lesson that has putts" : number == 1 ? "1" : fmt::format("a number from 1 to {}", number)));
}

std::string putt_words(const StoredPutt& p, const StoredLesson& l) {
    return fmt::format("station {}, {}", l.stations[static_cast<std::size_t>(p.seen.station)].place.label, kOutcomeWords[static_cast<std::size_t>(p.seen.outcome)]);
}

// A player's own facts, or one putt.
int correct(LessonFile& file, const LessonArguments& a) {
    if (!a.putt.empty()) {
        const StoredLesson l = chosen(file, a);
        std::vector<CardField> over;
        for (const std::string& f : a.fields) over.push_back(split(f, "FIELDS"));
        if (over.empty()) throw usage_error("FIELDS: nothing found, what is to be corrected is wanted, such as outcome=passed-low; brae lesson strike takes a putt out");
        const StoredPutt old = named_putt(file, l, a, false), anew = putt_of_fields(fields_with(old, l, over), l, "FIELDS");
        const std::vector<std::string> warnings = doubts_of(anew, l, a, "another correction puts it right");
        const std::string id = file.correct_putt(l.id, old.id, anew);
        if (!a.json) print_warnings(warnings);
        return say(a, {{"putt", id}, {"in_place_of", old.id}, {"warnings", warnings}}, fmt::format("corrected    {} in place of {}; the old one stays in the file as undone", putt_words(anew, l), putt_words(old, l)));
    }
    want(a.player, "--player", a.action);
    StoredPlayer p = file.player(a.player);
    const std::string before = p.name;
    if (a.name.empty() && a.handicap.empty() && a.hand.empty() && a.note.empty() && !a.usual_speed_ft)
        throw usage_error("nothing to correct was found; --name, --hand, --handicap, --usual-speed or --note is wanted, or --putt with what is to be corrected");
    if (!a.name.empty()) p.name = a.name;
    if (!a.handicap.empty()) p.handicap = a.handicap;
    if (!a.hand.empty()) p.hand = a.hand;
    if (!a.note.empty()) p.note = a.note;
    if (a.usual_speed_ft) p.usual_speed_ft = a.usual_speed_ft;
    file.change_player(p);
    return say(a, {{"player", p.id}, {"name", p.name}}, fmt::format("corrected    {}{}", p.name, before == p.name ? "" : ", before " + before));
}

int strike(LessonFile& file, const LessonArguments& a) {
    const StoredLesson l = chosen(file, a);
    const StoredPutt p = named_putt(file, l, a, false);
    file.undo(p.id);
    return say(a, {{"struck", p.id}, {"putts", file.putts(l.id).size()}}, fmt::format("struck out   {}; it stays in the file as undone", putt_words(p, l)));
}

int restore(LessonFile& file, const LessonArguments& a) {
    const StoredLesson l = chosen(file, a);
    const StoredPutt p = named_putt(file, l, a, true);
    file.restore(p.id);
    return say(a, {{"restored", p.id}, {"putts", file.putts(l.id).size()}}, fmt::format("restored     {}", putt_words(p, l)));
}

// Players and lessons, or the putts of a lesson that is named.
int list(LessonFile& file, const LessonArguments& a) {
    ordered_json out{{"players", ordered_json::array()}, {"lessons", ordered_json::array()}, {"putts", ordered_json::array()}};
    std::string lines;
    const auto wanted = a.player.empty() ? std::nullopt : std::optional(file.player(a.player).id);   // says which there are
    for (const StoredPlayer& p : file.players()) {
        out["players"].push_back({{"id", p.id}, {"name", p.name}, {"handicap", p.handicap}, {"hand", p.hand}, {"usual_speed_ft", p.usual_speed_ft ? ordered_json(*p.usual_speed_ft) : ordered_json(nullptr)},
                                  {"note", p.note}});
        if (wanted && p.id != *wanted) continue;
        lines += fmt::format("player       {}{}{}\n", p.name, p.hand.empty() ? "" : ", " + p.hand + "-handed", p.handicap.empty() ? "" : ", handicap " + p.handicap);
        for (const StoredLesson& l : file.lessons(p.id)) {
            const std::size_t count = file.putts(l.id).size();
            out["lessons"].push_back({{"id", l.id}, {"player", p.name}, {"date", l.date}, {"green", l.green_name}, {"stations", l.stations.size()}, {"putts", count}});
            lines += fmt::format("  lesson     {}{}, {}, {}\n", l.id, l.date.empty() ? "" : ", " + l.date, l.green_name, counted(count, "putt"));
        }
    }
    if (!a.lesson.empty()) {
        const StoredLesson l = file.lesson(a.lesson);
        int number = 0;
        for (const StoredPutt& p : file.putts(l.id, true)) {
            if (!p.undone) ++number;
            out["putts"].push_back({{"number", p.undone ? ordered_json(nullptr) : ordered_json(number)}, {"id", p.id}, {"station", l.stations[static_cast<std::size_t>(p.seen.station)].place.label},
                                    {"outcome", kOutcomeWords[static_cast<std::size_t>(p.seen.outcome)]}, {"undone", p.undone}});
            lines += fmt::format("putt {:>3}     {}  {}\n", p.undone ? "out" : std::to_string(number), p.id, putt_words(p, l));
        }
    }
    if (a.json) print_json(out);
    else fmt::print("{}", lines.empty() ? "players      none yet; brae lesson player adds one\n" : lines);
    return 0;
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
    check_not_there(out, a.force);
    const bool replaced = std::filesystem::exists(out, ignored);
    if (out.extension() == ".csv") write_file_safely(out, putts_as_csv(file, chosen(file, a).id));
    else {
        want(a.player, "--player", a.action);
        write_file_safely(out, player_as_json(file, file.player(a.player).id));
    }
    return say(a, {{"out", a.out}, {"replaced", replaced}}, fmt::format("export       {}{}", a.out, replaced ? ", written over what was there" : ""));
}

int erase(LessonFile& file, const LessonArguments& a) {
    want(a.player, "--player", a.action);
    const StoredPlayer p = file.player(a.player);
    if (!a.sure) throw usage_error(fmt::format("--sure: not given; {} and all of their lessons would be gone for good, so it is wanted", p.name));
    file.erase_player(p.id);
    return say(a, {{"erased", p.name}}, "erased       the player, with lessons, putts and baseline");
}

// A printed page or a table of what was worked out.
ordered_json write_report(const WorkedLesson& w, const Green& green, const LessonArguments& a, const std::string& moved) {
    const bool coach = a.reader == "coach";
    if (std::filesystem::path(a.out).extension() == ".csv") {
        write_file_safely(a.out, coach ? history_as_csv(w) : told_putts_as_csv(w));
        return {{"out", a.out}};
    }
    LessonSheetRequest request;
    request.reader = coach ? LessonReader::coach : LessonReader::player;
    request.paper = a.paper == "letter" ? Paper::letter : Paper::a4;
    request.feet_and_inches = a.feet;
    request.note = moved;
    const SheetResult result = write_lesson_sheet(green, w, request, a.out);
    return {{"out", a.out}, {"pages", result.pages}, {"scale", result.scale}};
}

int report(LessonFile& file, const LessonArguments& a) {
    want(a.green, "--green", a.action);
    const std::filesystem::path out = a.out;
    if (!a.out.empty()) {
        if (out.extension() != ".csv" && out.extension() != ".pdf")
            throw usage_error(fmt::format("--out: found '{}', a name that ends in .pdf (a page) or .csv (its figures) is wanted", a.out));
        if (out.extension() != ".csv") check_output(out, {a.file, a.green}, ".pdf");
        else check_not_there(out, a.force);
    }
    TerminalProgress terminal;
    const StoredLesson l = chosen(file, a);
    const Green green = open_for_verb(a.green, a.json, terminal.progress());
    const std::string moved = check_green(l, green);
    // The coach's report is the history.
    const WorkedLesson w = work_out_lesson(file, l, green, a.history || (!a.out.empty() && a.reader == "coach"), terminal.progress());
    const ordered_json written = a.out.empty() ? ordered_json() : write_report(w, green, a, moved);
    terminal.finish();
    if (a.json) {
        ordered_json json = json_of(w);
        json["warnings"] = moved.empty() ? ordered_json::array() : ordered_json::array({moved});
        if (!a.out.empty()) json.update(written);
        print_json(json);
        return 0;
    }
    if (!moved.empty()) fmt::print("note         {}\n", moved);
    if (a.out.empty()) fmt::print("{}", words_of(w));
    else fmt::print("written      {}{}\n", a.out, written.contains("pages") ? fmt::format(", {} page{}", written["pages"].get<int>(), written["pages"].get<int>() == 1 ? "" : "s") : "");
    return 0;
}

}  // namespace

int run_lesson(const LessonArguments& a) {
    if (a.action == "new") {
        LessonFile::create(a.file);
        return say(a, {{"file", a.file}}, fmt::format("lesson file  {}", a.file));
    }
    const bool reads = a.action == "report" || a.action == "export" || a.action == "list";
    LessonFile file(a.file, reads ? Database::Access::read : Database::Access::write);
    if (a.action == "player") return add_player(file, a);
    if (a.action == "baseline") return add_baseline(file, a);
    if (a.action == "putter") return add_putter(file, a);
    if (a.action == "start") return start_lesson(file, a);
    if (a.action == "putt") return add_putt(file, a);
    if (a.action == "card") return add_card(file, a);
    if (a.action == "undo") return undo(file, a);
    if (a.action == "correct") return correct(file, a);
    if (a.action == "strike") return strike(file, a);
    if (a.action == "restore") return restore(file, a);
    if (a.action == "list") return list(file, a);
    if (a.action == "report") return report(file, a);
    if (a.action == "export") return export_to(file, a);
    return erase(file, a);
}

}  // namespace brae::app
