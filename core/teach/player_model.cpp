#include "core/teach/player_model.h"

#include "core/base/error.h"
#include "core/base/units.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace brae {

namespace {

constexpr double kMisStruckPush = 0.30;     // a mis-strike's pace is free within this, in ln

// Root of a covariance that may be singular (Cholesky; a pivot that is rounding is 0).
std::vector<double> lower_root(std::vector<double> c, std::size_t n) {
    std::vector<double> l(n * n, 0);
    for (std::size_t j = 0; j < n; ++j) {
        double d = c[j * n + j];
        for (std::size_t k = 0; k < j; ++k) d -= l[j * n + k] * l[j * n + k];
        if (!(d > 1e-12 * c[j * n + j]) || !(d > 0)) continue;
        l[j * n + j] = std::sqrt(d);
        for (std::size_t i = j + 1; i < n; ++i) {
            double s = c[i * n + j];
            for (std::size_t k = 0; k < j; ++k) s -= l[i * n + k] * l[j * n + k];
            l[i * n + j] = s / l[j * n + j];
        }
    }
    return l;
}

}  // namespace

LineKnown line_of(const SeenPutt& p) {
    const bool told = p.own_read_m.has_value();
    if (p.phase == PuttPhase::marker || p.phase == PuttPhase::mark) return LineKnown::marker;
    if (p.phase) return told ? LineKnown::own_told : LineKnown::own_unknown;
    if (p.marker_seen && *p.marker_seen) return LineKnown::marker;
    return told ? LineKnown::own_told : LineKnown::own_unknown;
}

PlayerModel::PlayerModel(const Lesson& lesson, std::shared_ptr<const std::vector<StationResponse>> stations,
                         const ErrorModel* survey_error, const PlayerPrior& prior)
    : stations_(std::move(stations)), putts_(lesson.putts), prior_(prior) {
    for (std::size_t i = 0; i < putts_.size(); ++i) {
        const SeenPutt& p = putts_[i];
        if (p.station < 0 || static_cast<std::size_t>(p.station) >= stations_->size())
            throw usage_error(fmt::format("putt {}: its station is number {} of {}", i + 1, p.station + 1, stations_->size()));
        const StationResponse& s = (*stations_)[static_cast<std::size_t>(p.station)];
        PuttEvidence e;
        e.outcome = outcome_strips(s, p);
        e.aim = p.aim;
        e.aim_sigma = radians(p.aim_sigma_deg);
        e.gate = p.gate;
        e.gate_turn = s.marker_turn();
        evidence_.push_back(std::move(e));
    }
    shift_root_ = lower_root(aim_error_covariance(*stations_, lesson.green_speed_sigma_ft, survey_error), stations_->size());
}

PlayerModel::Player PlayerModel::player_of(const double* u) const {
    Player p;
    for (int k = 0; k < kPlayerFigures; ++k) {
        const FigurePrior& f = prior_.figure[static_cast<std::size_t>(k)];
        p.figure[k] = f.mean + f.sd * u[k];
        if (k >= kReadSpread) p.figure[k] = std::exp(p.figure[k]);
    }
    const std::size_t n = stations_->size();
    const double* own = u + kPlayerFigures;
    for (std::size_t s = 0; s < n; ++s) {
        p.read_at.push_back(p.figure[kReadStationSpread] * own[s]);
        p.pace_at.push_back(p.figure[kPaceStationSpread] * own[n + s]);
        double shift = 0;
        for (std::size_t k = 0; k <= s; ++k) shift += shift_root_[s * n + k] * own[2 * n + k];
        p.aim_shift.push_back(shift);
        p.marker_at.push_back(kMarkerSetM / (*stations_)[s].distance_m() * own[3 * n + s]);
    }
    return p;
}

double PlayerModel::read_bias(const Player& p, int station) const {
    const auto s = static_cast<std::size_t>(station);
    return p.figure[kReadConstant] + p.figure[kReadShare] * ((*stations_)[s].true_aim() + p.aim_shift[s]);
}

PlayerModel::PuttLaw PlayerModel::law_of(const Player& p, std::size_t putt) const { return law_of(p, putts_[putt]); }

PlayerModel::PuttLaw PlayerModel::law_of(const Player& p, const SeenPutt& putt) const {
    const auto s = static_cast<std::size_t>(putt.station);
    const StationResponse& station = (*stations_)[s];
    const auto square = [](double x) { return x * x; };
    const double shift = p.aim_shift[s], read = square(p.figure[kReadSpread]);
    PuttLaw out;
    out.read_mean = read_bias(p, putt.station) + p.read_at[s];
    out.read_var = read;
    double line = 0, line_var = 0;       // chosen line less the real ground's true aim
    switch (line_of(putt)) {
        case LineKnown::marker:
            // The marker's own error is one for all putts at it; a mark is picked anew by the eye.
            line = station.marker_turn() + p.marker_at[s] - shift;
            line_var = putt.phase == PuttPhase::mark ? square(kMarkerSetM / station.distance_m()) : 0;
            break;
        case LineKnown::own_told: {
            const double noise = square(putt.own_read_sigma_m / station.distance_m());
            const double seen = station.turn_of_offset(*putt.own_read_m) - shift;
            const double trust = read / (read + noise);
            line = out.read_mean + trust * (seen - out.read_mean);
            line_var = trust * noise;
            break;
        }
        case LineKnown::own_unknown:
            line = out.read_mean;
            line_var = read;
            break;
    }
    if (line_of(putt) != LineKnown::marker) out.read_mean = line, out.read_var = line_var;
    const double aim = square(p.figure[kAimSpread]);
    out.launch.turn = line + p.figure[kAimBias] + p.figure[kStrokeBias];
    out.launch.turn_var = line_var + aim + square(p.figure[kStrokeSpread]);
    out.launch.push = mis_struck(putt) ? 0 : p.figure[kPaceBias] + p.pace_at[s];
    out.launch.push_var = mis_struck(putt) ? square(kMisStruckPush) : square(p.figure[kPaceSpread]);
    out.direction = {p.figure[kAimBias], aim, shift - p.marker_at[s]};   // a gate stands on the marker's line
    return out;
}

double PlayerModel::log_density(const std::vector<double>& u, std::vector<double>& gradient) const {
    const std::size_t n = stations_->size();
    const Player p = player_of(u.data());
    const auto square = [](double x) { return x * x; };
    double by_figure[kPlayerFigures] = {};                      // of biases; of ln spreads
    std::vector<double> by_read(n, 0), by_pace(n, 0), by_shift(n, 0), by_marker(n, 0);
    double total = 0;
    for (std::size_t i = 0; i < putts_.size(); ++i) {
        const SeenPutt& putt = putts_[i];
        const auto s = static_cast<std::size_t>(putt.station);
        const StationResponse& station = (*stations_)[s];
        const PuttLaw law = law_of(p, putt);
        LikelihoodGradient g;
        total += log_likelihood(evidence_[i], law.launch, law.direction, &g);

        // Directions: the parts that every line shares.
        by_figure[kAimBias] += g.turn + g.aim_bias;
        by_figure[kStrokeBias] += g.turn;
        const double aim = square(p.figure[kAimSpread]);
        by_figure[kAimSpread] += 2 * aim * (g.turn_var + g.aim_var);
        by_figure[kStrokeSpread] += 2 * square(p.figure[kStrokeSpread]) * g.turn_var;
        by_shift[s] += g.aim_shift;
        by_marker[s] -= g.aim_shift;
        // The read, in its mean (with the shift in the true aim that it is a share of) and variance.
        const double read = square(p.figure[kReadSpread]), share = p.figure[kReadShare];
        double by_mean = 0;
        switch (line_of(putt)) {
            case LineKnown::marker: by_shift[s] -= g.turn, by_marker[s] += g.turn; break;
            case LineKnown::own_told: {
                const double noise = square(putt.own_read_sigma_m / station.distance_m()), var = read + noise, trust = read / var;
                const double mean = read_bias(p, putt.station) + p.read_at[s];
                const double off = station.turn_of_offset(*putt.own_read_m) - p.aim_shift[s] - mean;
                total += -0.5 * std::log(var) - off * off / (2 * var);
                by_mean = off / var + g.turn * (1 - trust);
                by_shift[s] += off / var - g.turn * trust;
                const double by_trust = g.turn * off + g.turn_var * noise;
                by_figure[kReadSpread] += 2 * read * (-0.5 / var + off * off / (2 * var * var) + by_trust * noise / (var * var));
                break;
            }
            case LineKnown::own_unknown:
                by_mean = g.turn;
                by_figure[kReadSpread] += 2 * read * g.turn_var;
                break;
        }
        by_figure[kReadConstant] += by_mean;
        by_figure[kReadShare] += by_mean * (station.true_aim() + p.aim_shift[s]);
        by_shift[s] += by_mean * share;
        by_read[s] += by_mean;
        if (!mis_struck(putt)) {
            by_figure[kPaceBias] += g.push;
            by_pace[s] += g.push;
            by_figure[kPaceSpread] += 2 * square(p.figure[kPaceSpread]) * g.push_var;
        }
    }

    // Down to the standard normals.
    for (std::size_t s = 0; s < n; ++s) {
        by_figure[kReadStationSpread] += by_read[s] * p.read_at[s];
        by_figure[kPaceStationSpread] += by_pace[s] * p.pace_at[s];
        gradient[kPlayerFigures + s] = by_read[s] * p.figure[kReadStationSpread];
        gradient[kPlayerFigures + n + s] = by_pace[s] * p.figure[kPaceStationSpread];
        double g = 0;
        for (std::size_t k = s; k < n; ++k) g += by_shift[k] * shift_root_[k * n + s];
        gradient[kPlayerFigures + 2 * n + s] = g;
        gradient[kPlayerFigures + 3 * n + s] = by_marker[s] * kMarkerSetM / (*stations_)[s].distance_m();
    }
    for (std::size_t k = 0; k < kPlayerFigures; ++k) gradient[k] = by_figure[k] * prior_.figure[k].sd;
    for (std::size_t k = 0; k < size(); ++k) {
        total -= 0.5 * u[k] * u[k];
        gradient[k] -= u[k];
    }
    return total;
}

}  // namespace brae
