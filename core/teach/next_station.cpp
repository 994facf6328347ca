#include "core/teach/next_station.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <iterator>

namespace brae {

namespace {

// Information of a normal error through noise where the ball misses, through the window's width where it drops.
double noise_through(double var, double noise_var, double window_var, double chance) {
    return 1 / ((1 - chance) / (var + noise_var) + chance / (var + window_var));
}

}  // namespace

std::vector<NextPutt> next_putts(const PlayerModel& model, const LessonEstimate& estimate) {
    const Draws& draws = estimate.draws;
    const auto n = static_cast<Eigen::Index>(draws.count);
    std::vector<NextPutt> out;
    if (n < 2) return out;
    const auto& prior = model.prior().figure;
    const double sum_sd = std::hypot(prior[kAimBias].sd, prior[kStrokeBias].sd);
    const Eigen::Vector4d scale(prior[kReadConstant].sd, prior[kReadShare].sd, sum_sd, prior[kPaceBias].sd);

    // The four figures, draw by draw, against their prior and about their mean.
    std::vector<PlayerModel::Player> players;
    Eigen::MatrixXd figures(n, 4);
    for (Eigen::Index d = 0; d < n; ++d) {
        const auto& p = players.emplace_back(model.player_of(&draws.values[static_cast<std::size_t>(d) * draws.dimensions]));
        figures.row(d) << p.figure[kReadConstant] / scale[0], p.figure[kReadShare] / scale[1],
            (p.figure[kAimBias] + p.figure[kStrokeBias]) / scale[2], p.figure[kPaceBias] / scale[3];
    }
    figures.rowwise() -= figures.colwise().mean().eval();
    const Eigen::Vector4d now = figures.colwise().squaredNorm().transpose() / double(n - 1);

    for (std::size_t s = 0; s < model.stations().size(); ++s) {
        const StationResponse& r = model.stations()[s];
        // How the place of rest blurs turn and push, and how wide the hole is.
        const double seen = stop_sigma(StopSource::click, 0.5);
        const double across = norm(r.at(0.01, 0).stop - r.at(-0.01, 0).stop) / 0.02, along = norm(r.at(0, 0.05).stop - r.at(0, -0.05).stop) / 0.10;
        const double turn_noise = std::pow(seen / std::max(across, 0.1), 2), push_noise = std::pow(seen / std::max(along, 0.1), 2);
        double left = 0, right = 0, soft = 0, hard = 0;
        for (const HolingStrip& h : r.holing()) {
            left = std::min(left, h.turn), right = std::max(right, h.turn);
            if (std::abs(h.turn) <= h.dx) soft = std::min(soft, h.low), hard = std::max(hard, h.high);
        }
        const double turn_window = std::pow(right - left, 2) / 12, push_window = std::pow(hard - soft, 2) / 12;
        const OutcomeStrips holed = outcome_strips(r, PuttOutcome::holed);

        for (const bool own : {true, false}) {
            SeenPutt putt;
            putt.station = static_cast<int>(s);
            putt.phase = own ? PuttPhase::own_read : PuttPhase::marker;
            // What would be seen, draw by draw: the read, the start against the line, the pace.
            const int kinds = own ? 3 : 2;
            Eigen::MatrixXd means(n, kinds);
            Eigen::VectorXd noise = Eigen::VectorXd::Zero(kinds);
            double chance = 0;
            for (Eigen::Index d = 0; d < n; d += std::max<Eigen::Index>(1, n / 64))
                chance += chance_of(holed, model.law_of(players[static_cast<std::size_t>(d)], putt).launch) / std::ceil(double(n) / double(std::max<Eigen::Index>(1, n / 64)));
            for (Eigen::Index d = 0; d < n; ++d) {
                const PlayerModel::Player& p = players[static_cast<std::size_t>(d)];
                means(d, 0) = p.figure[kAimBias] + p.figure[kStrokeBias] - p.aim_shift[s] + (own ? 0 : p.marker_at[s]);
                means(d, 1) = p.figure[kPaceBias] + p.pace_at[s];
                const auto square = [](double x) { return x * x; };
                noise[0] += noise_through(square(p.figure[kAimSpread]) + square(p.figure[kStrokeSpread]), turn_noise, turn_window, chance) / double(n);
                noise[1] += noise_through(square(p.figure[kPaceSpread]), push_noise, push_window, chance) / double(n);
                if (!own) continue;
                means(d, 2) = model.read_bias(p, putt.station) + p.read_at[s] + p.aim_shift[s];
                noise[2] += (square(p.figure[kReadSpread]) + square(putt.own_read_sigma_m / r.distance_m())) / double(n);
            }
            means.rowwise() -= means.colwise().mean().eval();
            Eigen::MatrixXd of_seen = means.transpose() * means / double(n - 1);
            of_seen.diagonal() += noise;
            const Eigen::MatrixXd joint = figures.transpose() * means / double(n - 1);
            const Eigen::MatrixXd gain = joint * of_seen.ldlt().solve(joint.transpose());

            NextPutt next;
            next.station = static_cast<int>(s);
            next.own_read = own;
            next.reduction = gain.trace() / now.sum();
            for (int k = 0; k < 4; ++k) next.by[k] = now[k] > 0 ? gain(k, k) / now[k] : 0;
            out.push_back(next);
        }
    }
    std::stable_sort(out.begin(), out.end(), [](const NextPutt& a, const NextPutt& b) { return a.reduction > b.reduction; });
    return out;
}

int NextPutt::most() const { return static_cast<int>(std::max_element(std::begin(by), std::end(by)) - std::begin(by)); }

std::string next_putt_words(const NextPutt& n, const std::string& label) {
    constexpr const char* names[] = {"the constant part of the read", "the read by the break", "the start line", "the pace"};
    return fmt::format("station {} {}: tells most of {}", label, n.own_read ? "on the player's own read, told before the putt" : "at the marker", names[n.most()]);
}

}  // namespace brae
