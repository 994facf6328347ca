#include "core/record/lesson_kind_file.h"

#include "core/base/error.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>

namespace brae {

namespace {

using nlohmann::json;

constexpr std::uintmax_t kLargest = 1 << 20;   // no lesson is this long
constexpr const char* kStationKeys = "note, count, distance_m, break_cm, side, slope_pct, over_tier, chance_pct, past_m, like";

class Reader {
public:
    explicit Reader(std::string name) : name_(std::move(name)) {}
    [[noreturn]] void refuse(const std::string& what) const { throw Error(fmt::format("{}: {}", name_, what)); }

    std::string text(const json& j, const char* key, bool wanted, const std::string& where) const {
        if (!j.contains(key)) {
            if (wanted) refuse(fmt::format("{}'{}' is missing", where, key));
            return "";
        }
        if (!j[key].is_string()) refuse(fmt::format("{}'{}' is {}; text is wanted", where, key, j[key].dump()));
        return j[key].get<std::string>();
    }
    double number(const json& j, const char* key, const std::string& where) const {
        if (!j.is_number()) refuse(fmt::format("{}'{}' is {}; a number is wanted", where, key, j.dump()));
        return j.get<double>();
    }
    std::optional<Span> span(const json& j, const char* key, double unit, const std::string& where) const {
        if (!j.contains(key)) return std::nullopt;
        const json& s = j[key];
        if (!s.is_array() || s.size() != 2) refuse(fmt::format("{}'{}' is {}; two numbers [low, high] are wanted", where, key, s.dump()));
        return Span{unit * number(s[0], key, where), unit * number(s[1], key, where)};
    }
    int whole(const json& j, const char* key, int low, int high, const std::string& where) const {
        const double v = number(j, key, where);
        if (v != std::floor(v) || v < low || v > high) refuse(fmt::format("{}'{}' is {}; a whole number from {} to {} is wanted", where, key, j.dump(), low, high));
        return static_cast<int>(v);
    }

private:
    std::string name_;
};

PuttSide side_of(const Reader& r, const std::string& text, const std::string& where) {
    for (const PuttSide side : {PuttSide::left_to_right, PuttSide::right_to_left, PuttSide::straight})
        if (text == to_text(side)) return side;
    r.refuse(fmt::format("{}'side' is '{}'; left-to-right, right-to-left or straight is wanted", where, text));
}

}  // namespace

LessonKind read_lesson_kind(const std::filesystem::path& file) {
    const Reader r(file.string());
    std::error_code ec;
    if (!std::filesystem::is_regular_file(file, ec)) r.refuse("there is no such file; a lesson in JSON is wanted");
    if (std::filesystem::file_size(file, ec) > kLargest) r.refuse("the file is over 1 MB; a lesson in JSON is wanted");
    std::ifstream in(file, std::ios::binary);
    const std::string content((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
    json j;
    try {
        j = json::parse(content);
    } catch (const json::parse_error& e) {
        const auto line = 1 + std::count(content.begin(), content.begin() + static_cast<std::ptrdiff_t>(std::min(e.byte, content.size())), '\n');
        r.refuse(fmt::format("line {} is no JSON; a lesson {{\"name\", \"teaches\", \"wants\", \"stations\"}} is wanted", line));
    }
    if (!j.is_object()) r.refuse("found no JSON object; a lesson {\"name\", \"teaches\", \"wants\", \"stations\"} is wanted");
    for (const auto& [key, value] : j.items())
        if (key != "name" && key != "teaches" && key != "wants" && key != "stations")
            r.refuse(fmt::format("'{}' is unknown; name, teaches, wants and stations are wanted", key));

    LessonKind out;
    out.name = r.text(j, "name", true, "");
    if (out.name.empty() || out.name.size() > 60) r.refuse("'name' is empty or over 60 letters; a short name is wanted");
    out.teaches = r.text(j, "teaches", false, "");
    out.wants = r.text(j, "wants", false, "");
    if (!j.contains("stations") || !j["stations"].is_array()) r.refuse("'stations' is missing or no list; a list of stations is wanted");

    std::vector<std::size_t> first_of;   // where each entry's first wish stands, since an entry may count for several
    for (const json& s : j["stations"]) {
        const std::string where = fmt::format("station {}: ", first_of.size() + 1);
        if (!s.is_object()) r.refuse(where + "found no JSON object");
        for (const auto& [key, value] : s.items())
            if (std::string(", ").append(kStationKeys).append(",").find(", " + key + ",") == std::string::npos)
                r.refuse(fmt::format("{}'{}' is unknown; the keys are {}", where, key, kStationKeys));
        StationWish w;
        w.note = r.text(s, "note", false, where);
        if (const auto span = r.span(s, "distance_m", 1, where)) w.distance_m = *span;
        w.break_m = r.span(s, "break_cm", 0.01, where);
        w.slope_along = r.span(s, "slope_pct", 0.01, where);
        w.chance = r.span(s, "chance_pct", 0.01, where);
        if (s.contains("side")) w.side = side_of(r, r.text(s, "side", true, where), where);
        if (s.contains("over_tier")) {
            if (!s["over_tier"].is_boolean()) r.refuse(fmt::format("{}'over_tier' is {}; true or false is wanted", where, s["over_tier"].dump()));
            w.over_tier = s["over_tier"].get<bool>();
        }
        if (s.contains("past_m")) w.past_m = r.number(s["past_m"], "past_m", where);
        if (s.contains("like")) w.like = first_of.empty() ? 99 : first_of[r.whole(s["like"], "like", 1, static_cast<int>(first_of.size()), where) - 1];
        if (w.like && *w.like == 99) r.refuse(where + "'like' names an earlier station, and this is the first");
        first_of.push_back(out.wishes.size());
        const int count = s.contains("count") ? r.whole(s["count"], "count", 1, 12, where) : 1;
        for (int k = 0; k < count; ++k) out.wishes.push_back(w);
    }
    try {
        check_wishes(out.wishes);
    } catch (const Error& e) {
        r.refuse(e.what());
    }
    return out;
}

}  // namespace brae
