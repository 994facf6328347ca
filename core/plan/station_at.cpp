#include "core/base/error.h"
#include "core/base/interval.h"
#include "core/base/units.h"
#include "core/plan/same_putt.h"
#include "core/plan/spot_reads.h"
#include "core/plan/station_build.h"
#include "core/plan/station_facts.h"
#include "core/roll/green_speed.h"
#include "core/solve/holing_region.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace brae {

namespace {

constexpr double kDownhillPct = -0.5;         // steeper falls than this are called downhill

const PuttRead* aimed(const PuttAnswer& answer) {
    for (const PuttRead& r : answer.solutions)
        if (r.aim_offset_m) return &r;
    return nullptr;
}

// The break of the same putt at another green speed, where it has one.
std::optional<double> break_at(const TerrainModel& terrain, PuttQuestion question, const PuttRead& read, std::optional<double> green_speed_ft) {
    if (!green_speed_ft) return std::nullopt;
    const double known = question.green_speed_ft;
    question.green_speed_ft = *green_speed_ft;
    const auto other = putt_at_speed(terrain, question, launch_of(read), known);
    return other ? std::optional(std::abs(other->aim_offset_m)) : std::nullopt;
}

// What the coach should look at, most important first.
std::string notes(const TerrainModel& terrain, const StationRequest& request, const PracticeStation& s, const PuttRead& read, std::size_t ways,
                  std::optional<double> slower, std::optional<double> faster) {
    std::string out;
    const auto add = [&](const std::string& text) { out += (out.empty() ? "" : "; ") + text; };
    if (!request.hole_is_cut) add("no hole is cut here: lay a flat disc of the hole's size as the target");
    if (s.side == PuttSide::straight)
        add("aim at the middle of the hole: no peg");
    else if (!s.wants_marker())
        add("the aim is inside the hole: no peg, aim at that part of it");
    else if (!terrain.outline.contains(s.marker))
        add("the marker lies off the green");
    else if (!marker_clearance(s).path)
        add("the ball rolls close by the marker: use a flat one");
    if (s.wants_marker() && !marker_clearance(s).stance) add("the marker stands where the player's feet go: use a flat one, or move the ball spot");
    if (s.slope_along_pct < kDownhillPct) {
        if (read.past_on_slope_m)
            add(fmt::format("downhill: a putt that misses runs {:.1f} m ({:.1f} ft) past", *read.past_on_slope_m,
                            *read.past_on_slope_m / kFoot));
        else
            add("downhill: a putt that misses does not stop on the green");
    }
    const double error = kZ90 * s.break_se_m;
    if (const AimTrust trust = aim_trust(s); !trust.enough())
        add(fmt::format("caution: the aim may be off by {:.1f} cm ({:.1f} in), more than the hole forgives ({:.2f} of {:.2f} degrees): roll some balls first", 100 * error,
                        error / kInch, trust.error_deg, trust.forgiven_deg));
    else if (s.break_se_m > 0.03 + 0.15 * s.break_m) add(fmt::format("the break is uncertain by {:.0f} cm ({:.1f} in)", 100 * error, error / kInch));
    if ((!slower && slower_green(s.green_speed_ft)) || (!faster && faster_green(s.green_speed_ft)))
        add("half a foot of green speed more or less leaves no putt that can be aimed");
    if (ways > 1) add(fmt::format("{} lines hole this putt; the slowest is given", ways));
    if (terrain.outline.signed_distance(s.ball) < kStanceM) add("little room to stand at the edge");
    return out;
}

}  // namespace

void check_station_request(const TerrainModel& terrain, const StationRequest& request) {
    if (terrain.outline.empty() || !terrain.surface) throw usage_error("the green has no outline or no surface; both are wanted");
    level_deceleration(request.green_speed_ft);
    if (!(request.past_m >= 0 && request.past_m <= 5))
        throw usage_error(fmt::format("a pace of {} m past the hole was asked for; 0 to 5 m is wanted", request.past_m));
    if (!std::isfinite(request.hole.x) || !std::isfinite(request.hole.y)) throw usage_error("the hole's place is not a number");
    if (!terrain.outline.contains(request.hole))
        throw usage_error(fmt::format("the hole at ({:.2f}, {:.2f}) lies outside the green; a place on it is wanted", request.hole.x,
                                      request.hole.y));
}

PracticeStation build_station(const TerrainModel& terrain, const StationRequest& request, Vec2 ball, double past_m,
                              const std::string& label, const std::string& note) {
    // The putt in full, with window and errors, and again at half a foot less and more.
    const PuttQuestion question{ball, request.hole, request.green_speed_ft, past_m};
    PuttOptions options;
    options.error = &terrain.error;
    const PuttAnswer answer = solve_putt(*terrain.surface, terrain.outline, question, options);
    if (answer.solutions.empty())
        throw Error(fmt::format("no putt from ({:.2f}, {:.2f}) holes: {}", ball.x, ball.y, answer.why_none));
    const PuttRead* read = aimed(answer);
    if (!read)
        throw Error(fmt::format("the putt from ({:.2f}, {:.2f}) starts 90 degrees or more away from the hole, so no marker can "
                                "stand level with the hole", ball.x, ball.y));
    const auto slower = break_at(terrain, question, *read, slower_green(request.green_speed_ft));
    const auto faster = break_at(terrain, question, *read, faster_green(request.green_speed_ft));

    PracticeStation s;
    s.label = label;
    s.ball = ball;
    s.hole = request.hole;
    s.past_m = past_m;
    s.green_speed_ft = request.green_speed_ft;
    s.aim_offset_m = *read->aim_offset_m;
    s.break_m = std::abs(s.aim_offset_m);
    s.break_se_m = read->aim_offset_se_m;
    s.side = read->side;
    s.distance_m = distance(ball, request.hole);
    s.launch_mps = read->launch_mps;
    s.ball_speed_mps = read->ball_speed_mps;
    s.window = read->window;
    constexpr double none = std::numeric_limits<double>::quiet_NaN();
    s.break_slower_m = slower.value_or(none);
    s.break_faster_m = faster.value_or(none);
    const auto height = [&](Vec2 p) { return terrain.surface->height(p.x, p.y); };
    s.slope_along_pct = percent((height(request.hole) - height(ball)) / s.distance_m);

    // The marker: the start line meets the line through the hole square to the ball-hole line.
    const Vec2 line = request.hole - ball, start = unit(read->direction);
    s.marker = ball + (dot(line, line) / dot(start, line)) * start;
    s.start_line_at_0_3m = ball + 0.3 * start;
    s.start_line_at_1m = ball + 1.0 * start;
    for (const RollSample& q : read->path.samples) s.path.push_back({q.p.x, q.p.y});

    // Tapes from the hole and the marks.
    std::vector<TapePoint> known = request.known;
    known.push_back({"hole", request.hole});
    s.tape_ball = plan_tapes(known, s.ball);
    s.tape_marker = plan_tapes(known, s.marker);
    const std::string look = notes(terrain, request, s, *read, answer.solutions.size(), slower, faster);
    s.note = note + (note.empty() || look.empty() ? "" : "; ") + look;
    return s;
}

PracticeStation station_at(const TerrainModel& terrain, const StationRequest& request, Vec2 ball, const std::string& label) {
    check_station_request(terrain, request);
    return build_station(terrain, request, ball, request.past_m, label, "");
}

}  // namespace brae
