// How much to smooth: restricted maximum likelihood for the penalty and the noise.
#pragma once

#include "core/terrain/spline_fit.h"

#include <functional>
#include <optional>
#include <vector>

namespace brae {

// What is known of the noise before the data are asked, m.
struct NoiseKnowledge {
    std::optional<double> fixed_m;   // known: only the smoothing is sought
    std::optional<double> prior_m;   // likely, within a factor of about two; weighs only where the data say little
};

struct SmoothingChoice {
    double lambda = 0;      // weight of the penalty against the plain sum of squared residuals, m^4; see docs/surface.md
    double noise_m = 0;     // standard deviation of one observation of weight 1
    double criterion = 0;   // minus twice the restricted log likelihood, up to a constant
    std::vector<double> coefficients;  // of the fit, row-major
};

// Minimises minus twice the restricted log likelihood (Wahba 1985; Wood 2011, with one penalty) over lambda, with the
// noise profiled out, by a scan over decades, or from a place `near` the minimum outward, and then by parabolas within the bracket
// that was found (Brent 1973, ch. 5). The minimum is found to 7 % in lambda.
SmoothingChoice choose_smoothing(const NormalEquations& eq, const StencilMatrix& penalty, const NoiseKnowledge& noise,
                                 const std::function<void()>& tick, std::optional<double> near = {});

// The same from a start that smooths too much, downward only and to half a decade: for fine knots, where each step is dear.
SmoothingChoice less_smoothing(const NormalEquations& eq, const StencilMatrix& penalty, double lambda,
                               const NoiseKnowledge& noise, const std::function<void()>& tick);

// The same criterion at one given lambda.
SmoothingChoice at_smoothing(const NormalEquations& eq, const StencilMatrix& penalty, double lambda,
                             const NoiseKnowledge& noise, const std::function<void()>& tick);

// The least lambda at which the normal equations are still well conditioned: heights are then interpolated.
double least_smoothing(const NormalEquations& eq, const StencilMatrix& penalty);

}  // namespace brae
