#include "core/teach/lesson_estimate.h"

#include "core/base/interval.h"
#include "core/teach/side_doubt.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {


// A mixture's mean and variance, gathered draw by draw.
struct Mixture {
    double weight = 0, mean = 0, square = 0;
    void add(double w, double m, double var) { weight += w, mean += w * m, square += w * (m * m + var); }
    // Its 90 % interval as a normal's.
    Told90 told() const {
        const double m = mean / weight, sd = std::sqrt(std::max(0.0, square / weight - m * m));
        return {m, sd, m - kZ90 * sd, m + kZ90 * sd};
    }
};

PuttErrors errors_of(const PlayerModel& model, std::size_t i, const std::vector<PlayerModel::Player>& players) {
    PuttErrors out;
    const SeenPutt& putt = model.putts()[i];
    const PuttEvidence& seen = model.evidence(i);
    const OutcomeStrips holed = outcome_strips(model.stations()[static_cast<std::size_t>(putt.station)], PuttOutcome::holed);
    out.pace_counted = !mis_struck(putt);
    const LineKnown known = line_of(putt);
    Mixture direction, read, start, aim, stroke, pace;
    std::vector<double> shares;
    for (const PlayerModel::Player& p : players) {
        const PlayerModel::PuttLaw law = model.law_of(p, i);
        out.chance += chance_of(holed, law.launch) / static_cast<double>(players.size());
        log_likelihood(seen, law.launch, law.direction, nullptr, &shares);
        const double v = law.launch.turn_var, va = law.direction.aim_var;
        const double line_mean = law.launch.turn - p.figure[kAimBias] - p.figure[kStrokeBias];
        const double vs = p.figure[kStrokeSpread] * p.figure[kStrokeSpread], vl = std::max(0.0, v - va - vs);
        for (std::size_t k = 0; k < shares.size(); ++k) {
            if (shares[k] < 1e-7) continue;
            const LikelihoodStrip& strip = seen.outcome.strips[k];
            const double w = shares[k], off = strip.turn - law.launch.turn;
            direction.add(w, strip.turn, 0);
            const PushGiven push = push_given(strip, law.launch);
            pace.add(w, push.mean, push.var);
            // Line, aim and stroke sum to the turn; what was seen of the aim moves the other two against it.
            const PushGiven a = aim_given(seen, strip.turn, law.launch, law.direction);
            const double a_var = va * (1 - va / v), moved = a_var > 0 ? (a.mean - law.direction.aim_bias - va / v * off) : 0;
            const double slope = a_var > 0 ? -vl * va / v / a_var : 0;
            const double l_mean = line_mean + vl / v * off + slope * moved;
            const double l_var = std::max(0.0, vl * (1 - vl / v) - slope * slope * a_var + slope * slope * a.var);
            read.add(w, l_mean, l_var);
            start.add(w, strip.turn - l_mean, l_var);
            aim.add(w, a.mean, a.var);
            const double s_slope = a_var > 0 ? -vs * va / v / a_var : 0;
            stroke.add(w, strip.turn - l_mean - a.mean, std::max(0.0, vs * (1 - vs / v) - s_slope * s_slope * a_var + s_slope * s_slope * a.var));
        }
    }
    if (seen.outcome.no_launch || !(direction.weight > 0)) {
        out.why = "no launch from this station ends where and on which side this putt is said to have ended; look at its station, place and side";
        return out;
    }
    out.told = true;
    out.direction = direction.told();
    out.pace = pace.told();
    if (known == LineKnown::own_told) out.read = read.told();
    if (known != LineKnown::own_unknown) {
        out.start_line = start.told();
        if (seen.aim) out.aim = aim.told(), out.stroke = stroke.told();
    } else {
        out.why = "the player's own read was not recorded, so read and start line cannot be told apart";
    }
    return out;
}

SideShares sides_of(const PlayerModel& model) {
    SideShares out;
    for (const SeenPutt& p : model.putts()) {
        const StationResponse& s = model.stations()[static_cast<std::size_t>(p.station)];
        int side = 0;   // 1 high, -1 low
        switch (p.outcome) {
            case PuttOutcome::holed: ++out.holed; continue;
            case PuttOutcome::short_of: ++out.short_of; continue;
            case PuttOutcome::passed_high: side = 1; break;
            case PuttOutcome::passed_low: side = -1; break;
            case PuttOutcome::passed_left: side = s.high_is_right() ? -1 : 1; break;
            case PuttOutcome::passed_right: side = s.high_is_right() ? 1 : -1; break;
            default: break;
        }
        if (side == 0 || s.straight()) ++out.others;
        else ++(side > 0 ? out.high : out.low);
    }
    if (out.high + out.low > 0) out.low_share = double(out.low) / (out.high + out.low);
    jeffreys(out.low, out.high, out.low_from, out.low_to);
    return out;
}

}  // namespace

Told90 told_by(std::vector<double> v) {
    Told90 out;
    if (v.empty()) return out;
    const auto n = static_cast<double>(v.size());
    for (double x : v) out.mean += x / n;
    for (double x : v) out.sd += (x - out.mean) * (x - out.mean) / n;
    out.sd = std::sqrt(out.sd);
    std::sort(v.begin(), v.end());
    const auto point = [&](double f) {
        const double at = f * (n - 1);
        const auto k = static_cast<std::size_t>(at);
        return k + 1 < v.size() ? v[k] + (at - double(k)) * (v[k + 1] - v[k]) : v[k];
    };
    out.low = point(0.05), out.high = point(0.95);
    return out;
}

void jeffreys(int hits, int others, double& from, double& to) {
    // Beta(hits + 1/2, others + 1/2) over x = sin^2 t: smooth up to the ends, summed by mid-points.
    constexpr int kParts = 20000;
    std::vector<double> sum(kParts + 1, 0);
    double top = -1e300;
    const auto log_density = [&](double t) { return 2.0 * hits * std::log(std::sin(t)) + 2.0 * others * std::log(std::cos(t)); };
    for (int k = 0; k < kParts; ++k) top = std::max(top, log_density((k + 0.5) * kPi / 2 / kParts));
    for (int k = 0; k < kParts; ++k)
        sum[static_cast<std::size_t>(k) + 1] = sum[static_cast<std::size_t>(k)] + std::exp(log_density((k + 0.5) * kPi / 2 / kParts) - top);
    const auto point = [&](double f) {
        const auto at = std::lower_bound(sum.begin(), sum.end(), f * sum.back());
        const double s = std::sin(double(at - sum.begin()) * kPi / 2 / kParts);
        return s * s;
    };
    // With no hits the interval starts at 0, with nothing else it ends at 1.
    from = hits == 0 ? 0 : point(0.05);
    to = others == 0 ? 1 : point(0.95);
}

LessonEstimate estimate_lesson(const PlayerModel& model, const EstimateOptions& options, Progress& progress) {
    LessonEstimate out;
    out.draws = sample([&](const std::vector<double>& u, std::vector<double>& g) { return model.log_density(u, g); }, model.size(),
                       options.sampler, progress);
    out.settled = out.draws.worst_r_hat < kSettledRHat && out.draws.least_effective >= kSettledDraws;

    // The figures.
    const std::size_t stations = model.stations().size();
    std::vector<PlayerModel::Player> players;
    for (std::size_t d = 0; d < out.draws.count; ++d) players.push_back(model.player_of(&out.draws.values[d * out.draws.dimensions]));
    const auto over = [&](auto&& f) {
        std::vector<double> v;
        for (const PlayerModel::Player& p : players) v.push_back(f(p));
        return told_by(std::move(v));
    };
    for (int k = 0; k < kPlayerFigures; ++k) out.figure[k] = over([k](const auto& p) { return p.figure[k]; });
    out.start_line = over([](const auto& p) { return p.figure[kAimBias] + p.figure[kStrokeBias]; });
    const auto low_side = [&](const auto& p, bool metres) {
        double sum = 0;
        int n = 0;
        for (std::size_t s = 0; s < stations; ++s) {
            const StationResponse& r = model.stations()[s];
            if (r.straight()) continue;
            const double c = std::cos(r.true_aim());
            sum += (r.high_is_right() ? -1 : 1) * model.read_bias(p, static_cast<int>(s)) * (metres ? r.distance_m() / (c * c) : 1);
            ++n;
        }
        return n > 0 ? sum / n : 0;
    };
    out.read_low = over([&](const auto& p) { return low_side(p, false); });
    out.read_low_m = over([&](const auto& p) { return low_side(p, true); });

    // What was recorded, and with it what cannot be told.
    out.station.resize(stations);
    std::vector<bool> own_here(stations, false);
    for (const SeenPutt& p : model.putts()) {
        ++out.putts;
        const auto s = static_cast<std::size_t>(p.station);
        ++out.station[s].putts;
        out.station[s].holed += p.outcome == PuttOutcome::holed;
        out.mis_strikes += mis_struck(p);
        out.aims_seen += p.aim.has_value();
        if (line_of(p) == LineKnown::marker) continue;
        ++out.own_reads;
        own_here[s] = true;
        out.own_reads_told += line_of(p) == LineKnown::own_told;
    }
    out.read_apart = out.own_reads_told > 0;
    if (out.own_reads > out.own_reads_told)
        out.notes.push_back(fmt::format("of {} putts on the player's own line {} have no read recorded: there read and start line cannot be told apart",
                                        out.own_reads, out.own_reads - out.own_reads_told));
    if (out.putts > 0 && out.own_reads == 0) out.notes.push_back("no putt was on the player's own line, so nothing is told of the read");
    if (out.putts > 0 && out.aims_seen == 0)
        out.notes.push_back("the aim was never seen from behind, so aim at address and stroke cannot be told apart, only the start line");
    if (out.mis_strikes > 0)
        out.notes.push_back(out.mis_strikes == 1 ? std::string("one putt was struck off the centre; its pace is not counted")
                                                 : fmt::format("{} putts were struck off the centre; their pace is not counted", out.mis_strikes));

    // What was seen that does not fit together.
    for (std::size_t i = 0; i < model.putts().size(); ++i) {
        progress.step(1, "the errors of each putt");
        const StationResponse& at = model.stations()[static_cast<std::size_t>(model.putts()[i].station)];
        if (const auto doubt = side_doubt(at, model.putts()[i]))
            out.doubts.push_back(fmt::format("putt {} at station {}: {}", i + 1, at.station().label, to_text(*doubt, at)));
    }

    // Putt by putt, on evenly thinned draws.
    std::vector<PlayerModel::Player> few;
    const std::size_t want = std::max<std::size_t>(1, std::min(players.size(), static_cast<std::size_t>(options.thinned)));
    for (std::size_t k = 0; k < want; ++k) few.push_back(players[k * players.size() / want]);
    for (std::size_t i = 0; i < model.putts().size(); ++i) {
        progress.step(1, "the errors of each putt");
        out.putt.push_back(errors_of(model, i, few));
        out.station[static_cast<std::size_t>(model.putts()[i].station)].expected += out.putt.back().chance;
    }
    for (std::size_t s = 0; s < stations; ++s)
        if (own_here[s]) out.station[s].read = over([&](const auto& p) { return model.read_bias(p, static_cast<int>(s)) + p.read_at[s]; });
    out.sides = sides_of(model);
    return out;
}

}  // namespace brae
