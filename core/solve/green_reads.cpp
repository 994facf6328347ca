#include "core/solve/green_reads.h"

#include "core/base/error.h"
#include "core/base/units.h"
#include "core/roll/green_speed.h"
#include "core/roll/plane_motion.h"
#include "core/roll/run_roll.h"
#include "core/solve/back_trace.h"
#include "core/solve/polish.h"
#include "core/solve/ray_sheet.h"
#include "core/solve/sheet_patch.h"
#include "core/solve/spot_reader.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <optional>
#include <tbb/parallel_for.h>

namespace brae {

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr double kSharpTurn = 0.9;      // cosine between the directions at two nodes under which a patch is rough
constexpr double kSlack = 0.3;          // part of a rough patch by which its straight sides may mislead
constexpr double kChord = 0.06;         // m; paths near the edge are tested in chords of this length

// What was found in one strip: solutions, and starts in rough patches that are still to be made exact.
struct Start {
    std::uint32_t spot = 0;
    std::size_t strip = 0;
    int node = 0, turn = 0;
    double off = 0;                     // how far outside its patch, 0 inside
    double parameter = 0, s = 0;
};
struct StripWork {
    std::vector<SpotSolution> found;
    std::vector<Start> starts;
    std::vector<unsigned char> clear;   // by patch: all of it lies off the edge, on whichever side
};

Vec2 place_of(const RayNode& n) { return {n.value[kRayX], n.value[kRayY]}; }
Vec2 velocity_of(const RayNode& n) { return {n.value[kRayVx], n.value[kRayVy]}; }

}  // namespace

struct GreenReader::State {
    const HeightField& surface;
    const Outline& outline;
    EdgeField edge;
    Raster layout;                       // without values
    std::vector<unsigned char> on_green;
    std::vector<Vec2> gradient;          // of the surface at the spots
    std::size_t spots = 0;
    RaySheet sheet;
    std::vector<StripWork> work;
    std::vector<std::optional<SpotSolution>> polished;
    std::vector<Start> starts;
    std::vector<std::uint32_t> first;
    GreenReads reads;
    GreenQuestion question;
    double level_decel = 0, hole_speed = 0;

    bool one_by_one = true;
    SheetOptions sheet_options;

    State(const HeightField& surface_, const Outline& outline_, double spacing);
    void search_strip(std::size_t strip);
    bool leaves(std::size_t strip, int safe_until, int node, double u, double w) const;
    SpotSolution solution(std::uint32_t spot, Vec2 v, double parameter, double time) const;
    std::optional<double> time_to_hole(Vec2 ball, Vec2 v, bool& left) const;
    std::optional<SpotSolution> polish(const Start& start) const;
    bool rough_at(double parameter, double s) const;
    void thin_starts();
    void merge();
};

GreenReader::State::State(const HeightField& surface_, const Outline& outline_, double spacing)
    : surface(surface_), outline(outline_), edge(outline_) {
    const Box& box = outline.box();
    layout.x0 = box.x0;
    layout.y0 = box.y0;
    layout.cell = spacing;
    layout.columns = static_cast<int>(std::ceil(box.width() / spacing - 1e-9));
    layout.rows = static_cast<int>(std::ceil(box.height() / spacing - 1e-9));
    const std::size_t count = static_cast<std::size_t>(layout.columns) * layout.rows;
    on_green.assign(count, 0);
    gradient.assign(count, Vec2{});
    tbb::parallel_for(0, layout.rows, [&](int j) {
        for (int i = 0; i < layout.columns; ++i) {
            const Vec2 p = layout.centre(i, j);
            if (!outline.contains(p)) continue;
            const SurfaceJet jet = surface.jet(p.x, p.y);
            on_green[layout.index(i, j)] = 1;
            gradient[layout.index(i, j)] = {jet.hx, jet.hy};
        }
    });
    spots = static_cast<std::size_t>(std::count(on_green.begin(), on_green.end(), static_cast<unsigned char>(1)));
}

SpotSolution GreenReader::State::solution(std::uint32_t spot, Vec2 v, double parameter, double time) const {
    SpotSolution out;
    const Vec2 ball = layout.centre(static_cast<int>(spot) % layout.columns, static_cast<int>(spot) / layout.columns);
    const double speed = norm(v), climb = dot(gradient[spot], v), away = distance(ball, question.hole);
    const Vec2 line = (question.hole - ball) / away;
    out.spot = spot;
    out.direction = v / speed;
    out.launch_mps = std::sqrt(speed * speed + climb * climb);
    const double ahead = dot(out.direction, line);
    out.aim_offset_m = ahead > 1e-9 ? away * dot(out.direction, right_of(line)) / ahead : kNone;
    out.start_bearing_deg = bearing_deg(out.direction);
    const double entry = std::fmod(90 - degrees(parameter), 360.0);   // from counter-clockwise of east
    out.entry_bearing_deg = entry < 0 ? entry + 360 : entry;
    out.time_s = time;
    return out;
}

// Follows the path of one solution outwards, from the last node at which it is surely inside.
bool GreenReader::State::leaves(std::size_t strip, int safe_until, int node, double u, double w) const {
    const SheetRay &a = sheet.rays()[strip], &b = sheet.rays()[(strip + 1) % sheet.rays().size()];
    const double width = sheet.strips()[strip].width;
    for (int k = std::max(safe_until - 1, 0); k <= node; ++k) {
        if (work[strip].clear[static_cast<std::size_t>(k)]) continue;
        const double step = sheet.nodes()[k + 1] - sheet.nodes()[k];
        const SheetPatch patch(a.nodes[k], a.nodes[k + 1], b.nodes[k], b.nodes[k + 1], width, step);
        const double end = k == node ? w : 1;
        const Vec2 from = patch.at(u, 0);
        if (edge.clearance(from) > step) continue;
        const int parts = 1 + static_cast<int>(step * end / kChord);
        if (edge.crosses_path(from, parts, kChord, [&](int n) { return patch.at(u, end * n / parts); })) return true;
    }
    return false;
}

// All spots in the patches between two neighbouring rays.
void GreenReader::State::search_strip(std::size_t strip) {
    StripWork& out = work[strip];
    out.found.clear();
    out.starts.clear();
    out.clear.clear();
    const SheetRay &a = sheet.rays()[strip], &b = sheet.rays()[(strip + 1) % sheet.rays().size()];
    const SheetStrip& between = sheet.strips()[strip];
    const int last = std::min(a.life.nodes, b.life.nodes) - 1;
    const double inverse = 1 / layout.cell;
    int safe_until = 0;
    bool safe = true;
    for (int k = 0; k < last; ++k) {
        const double step = sheet.nodes()[k + 1] - sheet.nodes()[k];
        const RayNode &a0 = a.nodes[k], &a1 = a.nodes[k + 1], &b0 = b.nodes[k], &b1 = b.nodes[k + 1];

        // Far inside, no path of the strip has met the edge; far outside, all have.
        const double reach = distance(place_of(a1), place_of(b1)) + step;
        const double clear_a = edge.clearance(place_of(a1)), clear_b = edge.clearance(place_of(b1));
        if (clear_a < -reach && clear_b < -reach) break;
        out.clear.push_back(std::abs(clear_a) > reach && std::abs(clear_b) > reach && (clear_a > 0) == (clear_b > 0));
        safe = safe && clear_a > reach && clear_b > reach;
        if (safe) safe_until = k + 1;

        // The spots in the box of the patch.
        SheetPatch patch(a0, a1, b0, b1, between.width, step);
        Vec2 low, high;
        patch.box(low, high);
        const bool turns = dot(velocity_of(a0), velocity_of(a1)) < kSharpTurn * norm(velocity_of(a0)) * norm(velocity_of(a1)) ||
                           dot(velocity_of(b0), velocity_of(b1)) < kSharpTurn * norm(velocity_of(b0)) * norm(velocity_of(b1));
        const bool rough = k + 1 >= between.rough_from || turns;
        const double slack = rough ? std::min(0.2 * std::max(high.x - low.x, high.y - low.y), 0.3) : 0;
        const int i0 = std::max(0, static_cast<int>(std::ceil((low.x - slack - layout.x0) * inverse - 0.5)));
        const int j0 = std::max(0, static_cast<int>(std::ceil((low.y - slack - layout.y0) * inverse - 0.5)));
        const int i1 = std::min(layout.columns - 1, static_cast<int>(std::floor((high.x + slack - layout.x0) * inverse - 0.5)));
        const int j1 = std::min(layout.rows - 1, static_cast<int>(std::floor((high.y + slack - layout.y0) * inverse - 0.5)));
        if (i0 > i1 || j0 > j1) continue;
        const bool folds = patch.folds();
        patch.prepare();
        for (int j = j0; j <= j1; ++j)
            for (int i = i0; i <= i1; ++i) {
                const auto spot = static_cast<std::uint32_t>(layout.index(i, j));
                if (!on_green[spot]) continue;
                const Vec2 ball = layout.centre(i, j);
                if (rough) {
                    double u, w;
                    int turn = 0;
                    if (!patch.near(ball, kSlack, u, w, turn)) continue;
                    const double off = std::max({0.0, std::abs(u - 0.5) - 0.5, std::abs(w - 0.5) - 0.5});
                    out.starts.push_back({spot, strip, k, turn, off, a.parameter + u * between.width, sheet.nodes()[k] + w * step});
                    continue;
                }
                // A patch that folds holds a spot twice; several starts find both.
                double known[2][2];
                int count = 0;
                const double tries[9][2] = {{0.5, 0.5}, {0.1, 0.1}, {0.9, 0.1}, {0.1, 0.9}, {0.9, 0.9}, {0.5, 0.1}, {0.5, 0.9}, {0.1, 0.5}, {0.9, 0.5}};
                for (int n = 0; n < (folds ? 9 : 1) && count < 2; ++n) {
                    double u = tries[n][0], w = tries[n][1];
                    if (!patch.place(ball, u, w, folds)) continue;
                    if (count == 1 && std::abs(u - known[0][0]) + std::abs(w - known[0][1]) < 1e-6) continue;
                    known[count][0] = u;
                    known[count++][1] = w;
                    if (k >= safe_until && leaves(strip, safe_until, k, u, w)) continue;
                    const SheetPatch::Weights t = SheetPatch::weights(u, w);
                    const Vec2 v{patch.quantity(kRayVx, t), patch.quantity(kRayVy, t)};
                    const SpotSolution s = solution(spot, v, a.parameter + u * between.width, patch.quantity(kRayT, t));
                    if (s.launch_mps <= kFastestLaunchMps) out.found.push_back(s);
                }
            }
    }
}

// Does this place of the sheet lie in a patch that was left to the exact solver?
bool GreenReader::State::rough_at(double parameter, double s) const {
    const auto& rays = sheet.rays();
    const double wrapped_parameter = wrapped(parameter - rays.front().parameter - kPi) + rays.front().parameter + kPi;
    auto right = std::upper_bound(rays.begin(), rays.end(), wrapped_parameter, [](double p, const SheetRay& r) { return p < r.parameter; });
    const std::size_t strip = right == rays.begin() ? rays.size() - 1 : static_cast<std::size_t>(right - rays.begin()) - 1;
    const SheetRay &a = rays[strip], &b = rays[(strip + 1) % rays.size()];
    const auto& nodes = sheet.nodes();
    const int k = static_cast<int>(std::upper_bound(nodes.begin(), nodes.end(), s) - nodes.begin()) - 1;
    if (k < 0 || k + 1 >= std::min(a.life.nodes, b.life.nodes)) return true;
    const auto turns = [&](const SheetRay& r) {
        const Vec2 v = velocity_of(r.nodes[k]), w = velocity_of(r.nodes[k + 1]);
        return dot(v, w) < kSharpTurn * norm(v) * norm(w);
    };
    return k + 1 >= sheet.strips()[strip].rough_from || turns(a) || turns(b);
}

// The same solution shows in the slack of the patches around its own: one start of each side of the sheet is kept.
void GreenReader::State::thin_starts() {
    std::stable_sort(starts.begin(), starts.end(), [](const Start& a, const Start& b) { return a.spot != b.spot ? a.spot < b.spot : a.off < b.off; });
    const std::size_t rays = sheet.rays().size();
    std::size_t kept = 0, first_of_spot = 0;
    for (std::size_t n = 0; n < starts.size(); ++n) {
        const Start s = starts[n];
        if (kept == 0 || starts[kept - 1].spot != s.spot) first_of_spot = kept;
        bool known = false;
        for (std::size_t m = first_of_spot; m < kept && !known; ++m) {
            const std::size_t gap = s.strip > starts[m].strip ? s.strip - starts[m].strip : starts[m].strip - s.strip;
            known = s.turn == starts[m].turn && std::min(gap, rays - gap) <= 1 && std::abs(s.node - starts[m].node) <= 1;
        }
        if (!known) starts[kept++] = s;
    }
    starts.resize(kept);
}

// Rolled forward on the green, does this launch come to the hole? Its time then.
std::optional<double> GreenReader::State::time_to_hole(Vec2 ball, Vec2 v, bool& left) const {
    RollRun run;
    run.hole = question.hole;
    run.covered = true;
    run.tolerance = 1e-10;
    run.end_at_pass_m = hole_speed > 0 ? 0.005 : 0;
    const RollOutcome out = run_roll(surface, outline, {ball, v}, level_decel, run, nullptr);
    left = out.end == RollEnd::left_green;
    if (left || !out.pass || std::abs(out.pass->offset_m) > 1e-4) return std::nullopt;
    return out.time_s;
}

// Where patches do not serve, one spot is made exact: by a fan of rays, and where that does not settle it as one putt is.
std::optional<SpotSolution> GreenReader::State::polish(const Start& start) const {
    const Vec2 ball = layout.centre(static_cast<int>(start.spot) % layout.columns, static_cast<int>(start.spot) / layout.columns);
    bool left = false;
    const SpotReader by_fan(surface, question.hole, level_decel, hole_speed, 1e-8);
    if (const auto read = by_fan.read(ball, SpotGuess{start.parameter, start.s, 0.3 * sheet.strips()[start.strip].width})) {
        if (!rough_at(read->parameter, read->s)) return std::nullopt;
        if (read->launch_mps > kFastestLaunchMps) return std::nullopt;
        if (const auto time = time_to_hole(ball, read->velocity, left)) return solution(start.spot, read->velocity, read->parameter, *time);
        if (left) return std::nullopt;
    }

    const PuttGround ground{surface, outline, ball, question.hole, level_decel, hole_speed};
    const double offset = back_start(surface, question.hole, level_decel, hole_speed, start.parameter).s;
    double parameter = start.parameter;
    Launch launch;
    if (const auto back = polish_backward(ground, {start.parameter, start.s + offset})) {
        if (!rough_at(back->parameter, back->at_ball.s - offset)) return std::nullopt;
        parameter = back->parameter;
        launch = {std::atan2(back->at_ball.v.y, back->at_ball.v.x), back->at_ball.speed};
    } else {
        BackRun run;
        run.s_end = start.s + offset;
        run.tolerance = 1e-7;
        const BackOutcome guess = trace_back(surface, nullptr, back_start(surface, question.hole, level_decel, hole_speed, start.parameter),
                                             level_decel, run, nullptr);
        if (!guess.reached) return std::nullopt;
        const auto forward = polish_forward(ground, {std::atan2(guess.last.v.y, guess.last.v.x), guess.last.speed}, 1e-11);
        if (!forward) return std::nullopt;
        launch = *forward;
    }
    if (launch.speed > kFastestLaunchMps) return std::nullopt;
    const Vec2 direction{std::cos(launch.angle), std::sin(launch.angle)};
    const Vec2 v = horizontal_velocity(surface.jet(ball.x, ball.y), direction, launch.speed);
    const auto time = time_to_hole(ball, v, left);
    if (!time) return std::nullopt;
    return solution(start.spot, v, parameter, *time);
}

// Everything that was found, by spot and launch, once each; then the maps of the slowest.
void GreenReader::State::merge() {
    const std::size_t count = on_green.size();
    std::vector<SpotSolution>& all = reads.all;
    first.assign(count + 1, 0);
    const auto each = [&](auto&& take) {
        for (std::size_t strip = 0; strip < sheet.strips().size(); ++strip)
            for (const SpotSolution& s : work[strip].found) take(s);
        for (const auto& s : polished)
            if (s) take(*s);
    };
    each([&](const SpotSolution& s) { ++first[s.spot + 1]; });
    for (std::size_t k = 0; k < count; ++k) first[k + 1] += first[k];
    all.resize(first[count]);
    each([&](const SpotSolution& s) { all[first[s.spot]++] = s; });

    const auto clear = [&](Raster& r) {
        if (r.values.size() != count) r = Raster(layout.columns, layout.rows, layout.x0, layout.y0, layout.cell, kNone);
        else std::fill(r.values.begin(), r.values.end(), kNone);
    };
    for (Raster* r : {&reads.aim_offset_m, &reads.break_m, &reads.launch_mps, &reads.start_bearing_deg, &reads.entry_bearing_deg,
                      &reads.time_s, &reads.solutions})
        clear(*r);
    reads.mask.assign(count, 0);
    reads.spots = spots;
    reads.solved = 0;

    // first[k] has become the end of spot k. Seams of patches give a solution twice.
    std::size_t kept = 0, from = 0;
    for (std::size_t k = 0; k < count; ++k) {
        const std::size_t to = first[k];
        if (on_green[k]) reads.solutions.values[k] = 0;
        if (to - from > 1)
            std::stable_sort(all.begin() + static_cast<std::ptrdiff_t>(from), all.begin() + static_cast<std::ptrdiff_t>(to),
                             [](const SpotSolution& a, const SpotSolution& b) { return a.launch_mps < b.launch_mps; });
        const std::size_t start = kept;
        for (std::size_t n = from; n < to; ++n) {
            bool twice = false;
            for (std::size_t m = start; m < kept && !twice; ++m)
                twice = std::abs(all[m].launch_mps - all[n].launch_mps) < 1e-5 && distance(all[m].direction, all[n].direction) < 1e-5;
            if (!twice) all[kept++] = all[n];
        }
        from = to;
        if (kept == start) continue;
        const SpotSolution& s = all[start];
        reads.mask[k] = 1;
        ++reads.solved;
        reads.aim_offset_m.values[k] = s.aim_offset_m;
        reads.break_m.values[k] = std::abs(s.aim_offset_m);
        reads.launch_mps.values[k] = s.launch_mps;
        reads.start_bearing_deg.values[k] = s.start_bearing_deg;
        reads.entry_bearing_deg.values[k] = s.entry_bearing_deg;
        reads.time_s.values[k] = s.time_s;
        reads.solutions.values[k] = static_cast<double>(kept - start);
    }
    all.resize(kept);
}

GreenReader::GreenReader(const HeightField& surface, const Outline& outline, const GreenReadOptions& options) {
    if (outline.empty()) throw usage_error("reads need an outline to end at");
    if (!(options.spacing_m >= 0.05 && options.spacing_m <= 5))
        throw usage_error(fmt::format("the spots are {} m apart; 0.05 to 5 m are wanted", options.spacing_m));
    const Box& box = outline.box();
    const double count = (box.width() / options.spacing_m + 1) * (box.height() / options.spacing_m + 1);
    if (count > 4e6)
        throw usage_error(fmt::format("spots {} m apart on {:.0f} x {:.0f} m are too many; at most four million are wanted",
                                      options.spacing_m, box.width(), box.height()));
    state_ = std::make_unique<State>(surface, outline, options.spacing_m);
    state_->one_by_one = options.one_by_one;
    if (options.coarse) state_->sheet_options = {.first_rays = 20, .longest_step_m = 1.0, .probe_m = 2e-3, .tolerance = 1e-4, .check_m = 3e-2};
}

GreenReader::~GreenReader() = default;

const GreenReads& GreenReader::read(const GreenQuestion& q, Progress& progress) {
    State& state = *state_;
    if (!std::isfinite(q.hole.x) || !std::isfinite(q.hole.y) || !state.outline.contains(q.hole))
        throw usage_error(fmt::format("the hole at {:.3f},{:.3f} is not on the green", q.hole.x, q.hole.y));
    if (!(q.past_m >= 0 && q.past_m <= 5))
        throw usage_error(fmt::format("the pace is {} m past the hole; 0 to 5 m are wanted", q.past_m));
    state.level_decel = level_deceleration(q.green_speed_ft);
    state.hole_speed = speed_at_hole(q.past_m, q.green_speed_ft);
    if (state.hole_speed < kTangentSpeed) state.hole_speed = 0;
    state.question = q;

    // The rays, then the spots between them, strip by strip; then what is left, one by one.
    progress.step(0, "rays from the hole");
    const RaySheet::Ground ground{state.surface, state.edge, state.outline.box()};
    state.sheet.trace(ground, q.hole, state.level_decel, state.hole_speed, state.sheet_options, progress);
    state.reads.why_none = state.sheet.why_none();
    const std::size_t strips = state.sheet.strips().size();
    if (state.work.size() < strips) state.work.resize(strips);
    tbb::parallel_for(std::size_t{0}, strips, [&](std::size_t k) {
        if (!progress.cancelled()) state.search_strip(k);
    });
    progress.step(0.5, "spots");

    state.starts.clear();
    const auto too_near = [&](std::uint32_t spot) {
        return distance(state.layout.centre(static_cast<int>(spot) % state.layout.columns, static_cast<int>(spot) / state.layout.columns),
                        q.hole) < kHoleRadius;
    };
    for (std::size_t k = 0; k < strips; ++k) {
        std::erase_if(state.work[k].found, [&](const SpotSolution& s) { return too_near(s.spot); });
        for (const Start& s : state.work[k].starts)
            if (!too_near(s.spot)) state.starts.push_back(s);
    }
    state.thin_starts();
    if (!state.one_by_one) state.starts.clear();
    state.polished.assign(state.starts.size(), std::nullopt);
    tbb::parallel_for(std::size_t{0}, state.starts.size(), [&](std::size_t k) {
        if (!progress.cancelled()) state.polished[k] = state.polish(state.starts[k]);
    });
    progress.step(0.95, "maps");
    state.merge();
    return state.reads;
}

GreenReader::Effort GreenReader::effort() const {
    return {state_->sheet.rays().size(), state_->sheet.steps(), state_->starts.size()};
}

GreenReads read_green(const HeightField& surface, const Outline& outline, const GreenQuestion& question,
                      const GreenReadOptions& options, Progress& progress) {
    GreenReader reader(surface, outline, options);
    return reader.read(question, progress);
}

}  // namespace brae
