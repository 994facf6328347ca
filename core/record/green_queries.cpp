#include "core/record/green_queries.h"

#include "core/base/calendar.h"
#include "core/base/error.h"

#include <algorithm>
#include <fmt/format.h>

namespace brae {

std::vector<Vec2> recent_holes(const Green& green, std::size_t count) {
    std::vector<StoredHole> holes = green.holes;
    std::stable_sort(holes.begin(), holes.end(), [](const StoredHole& a, const StoredHole& b) {
        return a.today != b.today ? a.today : a.date > b.date;
    });
    if (holes.size() > count) holes.resize(count);
    std::vector<Vec2> out;
    for (const StoredHole& h : holes) out.push_back(h.p);
    return out;
}

std::vector<std::vector<Vec2>> closed_to_holes(const Green& green) {
    std::vector<std::vector<Vec2>> out;
    for (const Zone& z : green.zones) out.push_back(z.ring);
    return out;
}

std::vector<std::vector<Vec2>> closed_to_stations(const Green& green) {
    std::vector<std::vector<Vec2>> out;
    for (const Zone& z : green.zones)
        if (z.kind != "no hole") out.push_back(z.ring);
    return out;
}

std::vector<StoredHole> holes_with_today_at(const Green& green, Vec2 p, const std::string& date, const std::string& set_by) {
    constexpr double kSameHoleM = 0.3;
    std::vector<StoredHole> out = green.holes;
    std::erase_if(out, [&](const StoredHole& h) {
        const bool of_another_day = !h.date.empty() && h.date != date && (h.as_cut || !date.empty());
        return distance(h.p, p) < kSameHoleM && !of_another_day;
    });
    for (StoredHole& h : out) h.today = false;
    out.push_back({"today", p, date, set_by, true, !date.empty()});
    return out;
}

std::vector<TapePoint> tape_points(const Green& green) {
    std::vector<TapePoint> out;
    for (const ReferenceMark& m : green.marks) out.push_back({m.name, {m.p.x, m.p.y}});
    return out;
}

StationRequest station_request(const Green& green, Vec2 hole, double green_speed_ft, double past_m, const std::string& lesson) {
    constexpr double kSameHoleM = 0.05;
    StationRequest r;
    r.hole = hole;
    r.green_speed_ft = green_speed_ft;
    r.past_m = past_m;
    r.lesson = lesson;
    r.known = tape_points(green);
    r.closed_zones = closed_to_stations(green);
    // A practice green may have several holes at once.
    r.hole_is_cut = false;
    for (const StoredHole& h : green.holes) {
        if (!h.today) continue;
        if (distance(h.p, hole) <= kSameHoleM) r.hole_is_cut = true;
        else r.other_holes.push_back(h.p);
    }
    return r;
}

SpeedOfDay speed_of_day(const Green& green, std::optional<double> asked_ft) {
    if (green.speeds.empty()) {
        if (asked_ft) return {*asked_ft, kGreenSpeedSigmaFt};
        throw usage_error("--speed: the green holds no reading of its speed, so a number in ft (4 to 16) is wanted");
    }
    const SpeedReading& newest = green.speeds.back();
    if (asked_ft && std::abs(*asked_ft - newest.speed_ft) > 0.005) return {*asked_ft, kGreenSpeedSigmaFt};
    return {newest.speed_ft, newest.sigma_ft};
}

std::optional<SpeedReading> reading_of_day(const Green& green, const std::string& date) {
    if (green.speeds.empty()) return std::nullopt;
    if (date.empty()) return green.speeds.back();
    // A moment begins with its day.
    const auto day = [](const SpeedReading& r) { return day_number(r.taken_at.substr(0, 10)); };
    const auto wanted = day_number(date);
    const SpeedReading *last = nullptr, *undated = nullptr;
    for (const SpeedReading& r : green.speeds) {
        const auto taken = day(r);
        if (!taken) undated = &r;
        else if (wanted && *taken <= *wanted && (!last || *taken >= *day(*last))) last = &r;
    }
    if (!last) last = undated;
    return last ? std::optional(*last) : std::nullopt;
}

std::vector<std::string> stale_stations(const Green& green) {
    std::vector<std::string> out;
    std::size_t old_surface = 0, other_hole = 0;
    for (const StoredStation& s : green.stations) {
        old_surface += s.surface_revision != green.surface_revision;
        other_hole += green.todays_hole() && std::none_of(green.holes.begin(), green.holes.end(), [&](const StoredHole& h) {
            return h.today && distance(s.station.hole, h.p) <= 0.05;
        });
    }
    if (const auto reading = reading_of_day(green, "")) {
        const auto other = std::find_if(green.stations.begin(), green.stations.end(), [&](const StoredStation& s) { return std::abs(s.station.green_speed_ft - reading->speed_ft) > 0.25; });
        if (other != green.stations.end())
            out.push_back(fmt::format("the kept stations are for a green speed of {:.1f} ft and the last reading is {:.1f} ft; plan them again", other->station.green_speed_ft,
                                      reading->speed_ft));
    }
    if (old_surface > 0)
        out.push_back(fmt::format("{} of {} kept stations were worked out on an older surface; plan them again", old_surface,
                                  green.stations.size()));
    if (other_hole > 0)
        out.push_back(fmt::format("{} of {} kept stations belong to a hole that is not today's; plan them again", other_hole,
                                  green.stations.size()));
    return out;
}

}  // namespace brae
