#include "core/base/units.h"
#include "core/plan/practice_stations.h"

#include <algorithm>
#include <cmath>

namespace brae {

namespace {

constexpr double kNearHoleM = 2.0, kNearLineM = 0.03, kSquareEnough = 0.17;   // sine of 10 degrees
constexpr double kAhead = 0.5;                                                // of the ball's distance

struct Line { Vec2 from, along; double least_ahead; };

// How near a start line passes; far where the point is behind the ball or too near to it.
double miss(const Line& line, Vec2 p) {
    return dot(p - line.from, line.along) < line.least_ahead ? 1e9 : std::abs(cross(line.along, p - line.from));
}

// Least squares: the point with the least sum of squared distances from the lines.
Vec2 meeting(const std::vector<Line>& lines, const std::vector<std::size_t>& which) {
    double a = 0, b = 0, c = 0, u = 0, v = 0;
    for (std::size_t k : which) {
        const Vec2 n{-lines[k].along.y, lines[k].along.x};
        const double at = dot(n, lines[k].from);
        a += n.x * n.x, b += n.x * n.y, c += n.y * n.y, u += n.x * at, v += n.y * at;
    }
    const double det = a * c - b * b;
    return {(c * u - b * v) / det, (a * v - b * u) / det};
}

}  // namespace

std::optional<SharedAim> shared_aim(const std::vector<PracticeStation>& stations) {
    std::vector<Line> lines;
    // An aim inside the hole wants no peg, so it shares none.
    for (const PracticeStation& s : stations) lines.push_back({s.ball, unit(s.start_line_at_1m - s.ball), s.wants_marker() ? kAhead * s.distance_m : 1e9});

    // Each crossing of two lines, with the lines that pass near it, moved to where these meet best.
    std::optional<SharedAim> best;
    for (std::size_t i = 0; i < lines.size(); ++i)
        for (std::size_t j = i + 1; j < lines.size(); ++j) {
            if (std::abs(cross(lines[i].along, lines[j].along)) < kSquareEnough) continue;
            Vec2 p = meeting(lines, {i, j});
            std::vector<std::size_t> near;
            double apart = 0;
            for (int round = 0; round < 2; ++round) {
                near.clear();
                for (std::size_t k = 0; k < lines.size(); ++k)
                    if (miss(lines[k], p) <= kNearLineM) near.push_back(k);
                if (near.size() < 3) break;
                p = meeting(lines, near);
            }
            if (near.size() < 3 || distance(p, stations[i].hole) > kNearHoleM) continue;
            for (std::size_t k : near) apart = std::max(apart, miss(lines[k], p));
            if (apart > kNearLineM) continue;
            const std::size_t had = best ? best->labels.size() : 0;
            if (near.size() < had || (near.size() == had && apart >= best->apart_m - 1e-9)) continue;
            best = SharedAim{p, {}, apart};
            for (std::size_t k : near) best->labels.push_back(stations[k].label);
        }
    return best;
}

std::string shared_aim_words(const SharedAim& aim) {
    std::string out = "one peg serves stations ";
    for (std::size_t k = 0; k < aim.labels.size(); ++k) out += (k == 0 ? "" : k + 1 == aim.labels.size() ? " and " : ", ") + aim.labels[k];
    return out;
}

}  // namespace brae
