// The parts of a green file that are JSON text: the frame, the tapes of a station, lists of sentences.
#include "core/record/green_tables.h"

#include <nlohmann/json.hpp>
#include <stdexcept>

namespace brae {
namespace {

using nlohmann::json;

// Doubles are written with as many digits as bring the same bits back; broken UTF-8 is replaced.
std::string text_of(const json& j) { return j.dump(-1, ' ', false, json::error_handler_t::replace); }

json reading_json(const TapeReading& r) {
    return {{"from", r.from.name}, {"x_m", r.from.p.x}, {"y_m", r.from.p.y}, {"tape_m", r.metres}};
}

TapeReading reading_from(const json& j) {
    return {{j.at("from").get<std::string>(), {j.at("x_m").get<double>(), j.at("y_m").get<double>()}},
            j.at("tape_m").get<double>()};
}

}  // namespace

std::string frame_to_json(const FrameSpec& s) {
    return text_of({{"crs_wkt", s.crs_wkt},
                    {"crs_name", s.crs_name},
                    {"local_tm", s.local_tm},
                    {"centre_lon_deg", s.centre_lon_deg},
                    {"centre_lat_deg", s.centre_lat_deg},
                    {"origin_map", {s.origin_map.x, s.origin_map.y}},
                    {"metres_per_unit", s.metres_per_unit},
                    {"origin_height_m", s.origin_height_m},
                    {"scale_factor", s.scale_factor},
                    {"convergence_deg", s.convergence_deg}});
}

FrameSpec frame_from_json(const std::string& text) {
    const json j = json::parse(text);
    FrameSpec s;
    s.crs_wkt = j.at("crs_wkt").get<std::string>();
    s.crs_name = j.at("crs_name").get<std::string>();
    s.local_tm = j.at("local_tm").get<bool>();
    s.centre_lon_deg = j.at("centre_lon_deg").get<double>();
    s.centre_lat_deg = j.at("centre_lat_deg").get<double>();
    s.origin_map = {j.at("origin_map").at(0).get<double>(), j.at("origin_map").at(1).get<double>()};
    s.metres_per_unit = j.at("metres_per_unit").get<double>();
    s.origin_height_m = j.at("origin_height_m").get<double>();
    s.scale_factor = j.at("scale_factor").get<double>();
    s.convergence_deg = j.at("convergence_deg").get<double>();
    if (!(s.metres_per_unit > 0)) throw std::runtime_error("a unit of no length");
    return s;
}

std::string tapes_to_json(const TapePlan& p) {
    json j = {{"first", reading_json(p.first)},
              {"second", reading_json(p.second)},
              {"side", p.side == TapeSide::left ? "left" : "right"},
              {"crossing_deg", p.crossing_deg},
              {"se_m", p.se_m}};
    if (p.check) j["check"] = reading_json(*p.check);
    return text_of(j);
}

TapePlan tapes_from_json(const std::string& text) {
    const json j = json::parse(text);
    TapePlan p;
    p.first = reading_from(j.at("first"));
    p.second = reading_from(j.at("second"));
    const std::string side = j.at("side").get<std::string>();
    if (side != "left" && side != "right") throw std::runtime_error("a side that is neither left nor right");
    p.side = side == "left" ? TapeSide::left : TapeSide::right;
    p.crossing_deg = j.at("crossing_deg").get<double>();
    p.se_m = j.at("se_m").get<double>();
    if (j.contains("check")) p.check = reading_from(j.at("check"));
    return p;
}

std::string list_to_json(const std::vector<std::string>& list) { return text_of(json(list)); }

std::vector<std::string> list_from_json(const std::string& text) {
    return json::parse(text).get<std::vector<std::string>>();
}

}  // namespace brae
