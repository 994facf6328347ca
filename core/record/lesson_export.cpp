#include "core/record/lesson_file.h"

#include "core/survey/text_layout.h"

#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace brae {

namespace {

using nlohmann::ordered_json;

std::string csv(const std::optional<double>& v, int places) { return v ? fmt::format("{:.{}f}", *v, places) : std::string(); }
template <class Words, class Value>
std::string word(const Words& words, const std::optional<Value>& v) {
    return v ? words[static_cast<std::size_t>(*v)] : "";
}
ordered_json json(const std::optional<double>& v) { return v ? ordered_json(*v) : ordered_json(nullptr); }
template <class Words, class Value>
ordered_json json(const Words& words, const std::optional<Value>& v) {
    return v ? ordered_json(words[static_cast<std::size_t>(*v)]) : ordered_json(nullptr);
}
ordered_json json(Vec2 p) { return ordered_json::array({p.x, p.y}); }

ordered_json json(const StoredPutt& p, const StoredLesson& l) {
    const SeenPutt& s = p.seen;
    ordered_json out{{"id", p.id},
                     {"station", l.stations[static_cast<std::size_t>(s.station)].place.label},
                     {"outcome", kOutcomeWords[static_cast<std::size_t>(s.outcome)]},
                     {"phase", json(kPhaseWords, s.phase)},
                     {"own_read_m", json(s.own_read_m)},
                     {"own_read_sigma_m", s.own_read_m ? ordered_json(s.own_read_sigma_m) : ordered_json(nullptr)},
                     {"aim", json(kAimWords, s.aim)},
                     {"aim_sigma_deg", s.aim ? ordered_json(s.aim_sigma_deg) : ordered_json(nullptr)},
                     {"gate", json(kGateWords, s.gate)},
                     {"strike", json(kStrikeWords, s.strike)},
                     {"marker_seen", s.marker_seen ? ordered_json(*s.marker_seen) : ordered_json(nullptr)},
                     {"stop", nullptr},
                     {"at", p.at},
                     {"note", p.note},
                     {"undone", p.undone}};
    if (s.stop) out["stop"] = {{"at", json(s.stop->p)}, {"source", json(kStopWords, s.stop->source)}, {"sigma_m", json(s.stop->sigma_m)}};
    return out;
}

}  // namespace

std::string putts_as_csv(LessonFile& file, const std::string& id) {
    const StoredLesson l = file.lesson(id);
    std::string out = "station,outcome,phase,own_read_m,own_read_sigma_m,aim,aim_sigma_deg,gate,strike,marker_seen,stop_x_m,stop_y_m,stop_source,stop_sigma_m,at,note,undone,id\r\n";
    for (const StoredPutt& p : file.putts(id, true)) {
        const SeenPutt& s = p.seen;
        const auto stop = [&](auto&& get) { return s.stop ? std::optional<double>(get(*s.stop)) : std::nullopt; };
        out += fmt::format("{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{}\r\n", field_of(l.stations[static_cast<std::size_t>(s.station)].place.label),
                           kOutcomeWords[static_cast<std::size_t>(s.outcome)], word(kPhaseWords, s.phase), csv(s.own_read_m, 4),
                           s.own_read_m ? csv(s.own_read_sigma_m, 4) : "", word(kAimWords, s.aim), s.aim ? csv(s.aim_sigma_deg, 2) : "", word(kGateWords, s.gate),
                           word(kStrikeWords, s.strike), s.marker_seen ? (*s.marker_seen ? "yes" : "no") : "", csv(stop([](const StopPlace& q) { return q.p.x; }), 3),
                           csv(stop([](const StopPlace& q) { return q.p.y; }), 3), s.stop ? word(kStopWords, s.stop->source) : "",
                           s.stop ? csv(s.stop->sigma_m, 3) : "", field_of(p.at), field_of(p.note), p.undone ? "yes" : "no", p.id);
    }
    return out;
}

std::string player_as_json(LessonFile& file, const std::string& who) {
    const StoredPlayer p = file.player(who);
    ordered_json out{{"player", {{"id", p.id}, {"name", p.name}, {"handicap", p.handicap}, {"hand", p.hand}, {"usual_speed_ft", json(p.usual_speed_ft)}, {"note", p.note}}},
                     {"baseline", ordered_json::array()},
                     {"putters", ordered_json::array()},
                     {"lessons", ordered_json::array()}};
    for (const StoredBaselinePutt& b : file.baseline(p.id))
        out["baseline"].push_back({{"date", b.date}, {"source", b.source}, {"aim_deg", json(b.putt.aim_deg)}, {"face_deg", json(b.putt.face_deg)}, {"path_deg", json(b.putt.path_deg)},
                                   {"start_deg", json(b.putt.start_deg)}, {"strike_mm", json(b.putt.strike_mm)}, {"ball_speed_mps", json(b.putt.ball_speed_mps)},
                                   {"distance_m", json(b.putt.distance_m)}});
    for (const StoredPutter& s : file.putters(p.id))
        out["putters"].push_back({{"date", s.date}, {"when", s.when}, {"loft_deg", json(s.loft_deg)}, {"lie_deg", json(s.lie_deg)}, {"length_m", json(s.length_m)},
                                  {"sight_line", s.sight_line}, {"note", s.note}});
    for (const StoredLesson& l : file.lessons(p.id)) {
        ordered_json lesson{{"id", l.id}, {"date", l.date}, {"green_id", l.green_id}, {"green_name", l.green_name}, {"surface_revision", l.surface_revision},
                            {"green_speed_ft", l.green_speed_ft}, {"green_speed_sigma_ft", l.green_speed_sigma_ft}, {"note", l.note}, {"model", l.model},
                            {"stations", ordered_json::array()}, {"putts", ordered_json::array()}};
        for (const StoredLessonStation& s : l.stations)
            lesson["stations"].push_back({{"label", s.place.label}, {"ball", json(s.place.ball)}, {"hole", json(s.place.hole)},
                                          {"marker", s.place.marker ? json(*s.place.marker) : ordered_json(nullptr)}, {"past_m", s.place.past_m}, {"break_m", json(s.break_m)},
                                          {"aim_offset_m", json(s.aim_offset_m)}, {"side", s.side}, {"distance_m", json(s.distance_m)}, {"launch_mps", json(s.launch_mps)}});
        for (const StoredPutt& putt : file.putts(l.id, true)) lesson["putts"].push_back(json(putt, l));
        out["lessons"].push_back(std::move(lesson));
    }
    return out.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) + "\n";
}

}  // namespace brae
