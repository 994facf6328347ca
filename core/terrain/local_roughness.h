// How rough the ground is in each place: the weight of the penalty over the green, by restricted maximum likelihood.
#pragma once

#include "core/terrain/smoothing_choice.h"

namespace brae {

// Weight of the penalty on nodes of a coarse lattice, bilinear in between. Ground at a tier has a small weight, smooth ground
// a large one. Empty: 1 everywhere.
struct PenaltyWeight {
    int columns = 0, rows = 0;
    double x0 = 0, y0 = 0, step = 1;
    std::vector<double> nodes;
    bool empty() const { return nodes.empty(); }
    double at(double x, double y) const;
};

// Penalty of third derivatives (spline_fit.h) with a weight over the plane, constant over each patch between knots: exact
// for that. With an empty weight it is third_derivative_penalty.
StencilMatrix weighted_penalty(const SplineGrid& layout, const PenaltyWeight& weight);

// The same least-squares problem on knots twice as far apart, without another pass over the points: a cubic B-spline is the sum of
// five of half its width with the weights 1, 4, 6, 4, 1 over 8 (Lane and Riesenfeld 1980). The knots of `wide` are among
// those of `layout`, and its domain holds the points.
NormalEquations on_wider_knots(const NormalEquations& eq, const SplineGrid& layout, const SplineGrid& wide);

// Prior precision tau(x) = sum of tau_k hat_k(x) of the third derivatives, hats of `step` metres, each tau_k by the
// generalised Fellner-Schall update (Wood and Fasiolo 2017), which climbs the restricted likelihood:
//   tau_k <- (edf_k + nu) / (c' P_k c / s^2 + nu / tau_0),   edf_k = tau_k tr((P_tau^- - (A'WA / s^2 + P_tau)^-1) P_k),
// with a gamma prior of nu degrees of freedom about the mean tau_0 of all, since a window alone holds few of them.
// `start` is the smoothing and noise to begin with, kept; `first` the weights, empty for equal ones. Ends when the weights move by
// less than a twentieth on average, or after sixteen rounds.
PenaltyWeight local_weight(const SplineGrid& layout, const NormalEquations& eq, const SmoothingChoice& start, const PenaltyWeight& first,
                           double step, const std::function<void()>& tick);

}  // namespace brae
