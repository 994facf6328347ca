// Dormand and Prince's Runge-Kutta pair 5(4) with its fourth-order dense output, for autonomous systems of fixed size.
// Coefficients: Dormand and Prince, J. Comput. Appl. Math. 6:19-26, 1980; dense output and step control: Hairer,
// Norsett, Wanner, Solving Ordinary Differential Equations I, 2nd ed. 1993, II.4-II.6 (the code DOPRI5).
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace brae {

// Holds one step from y0 to y1 and the polynomial between. Rate is called as rate(state, derivative&); the last call
// of a step is at y1, whose derivative is that of the next step's start.
template <int N>
class DormandPrince {
public:
    using State = std::array<double, N>;

    State y0{}, y1{}, k1{}, k7{};
    double h = 0;

    // Computes y1 and the local error, whose largest part over the first `controlled` components is returned.
    template <class Rate>
    double step(const Rate& rate, double step_size, int controlled) {
        h = step_size;
        State y;
        const auto stage = [&](auto&&... terms) {
            for (int i = 0; i < N; ++i) y[i] = y0[i] + h * (... + (terms.first * (*terms.second)[i]));
        };
        using T = std::pair<double, const State*>;
        stage(T{1.0 / 5, &k1});
        rate(y, k2_);
        stage(T{3.0 / 40, &k1}, T{9.0 / 40, &k2_});
        rate(y, k3_);
        stage(T{44.0 / 45, &k1}, T{-56.0 / 15, &k2_}, T{32.0 / 9, &k3_});
        rate(y, k4_);
        stage(T{19372.0 / 6561, &k1}, T{-25360.0 / 2187, &k2_}, T{64448.0 / 6561, &k3_}, T{-212.0 / 729, &k4_});
        rate(y, k5_);
        stage(T{9017.0 / 3168, &k1}, T{-355.0 / 33, &k2_}, T{46732.0 / 5247, &k3_}, T{49.0 / 176, &k4_},
              T{-5103.0 / 18656, &k5_});
        rate(y, k6_);
        stage(T{35.0 / 384, &k1}, T{500.0 / 1113, &k3_}, T{125.0 / 192, &k4_}, T{-2187.0 / 6784, &k5_},
              T{11.0 / 84, &k6_});
        y1 = y;
        rate(y1, k7);

        double error = 0, not_a_number = 0;
        for (int i = 0; i < controlled; ++i) {
            const double e = h * (71.0 / 57600 * k1[i] - 71.0 / 16695 * k3_[i] + 71.0 / 1920 * k4_[i] -
                                  17253.0 / 339200 * k5_[i] + 22.0 / 525 * k6_[i] - 1.0 / 40 * k7[i]);
            error = std::max(error, std::abs(e));
            not_a_number += 0 * e;
        }
        return error + not_a_number;   // max() alone would let a NaN pass
    }

    // Prepares at(theta); call once after an accepted step that is looked into.
    void prepare_dense() {
        for (int i = 0; i < N; ++i) {
            const double d = y1[i] - y0[i], b = h * k1[i] - d;
            r_[0][i] = y0[i];
            r_[1][i] = d;
            r_[2][i] = b;
            r_[3][i] = d - h * k7[i] - b;
            r_[4][i] = h * (-12715105075.0 / 11282082432.0 * k1[i] + 87487479700.0 / 32700410799.0 * k3_[i] -
                            10690763975.0 / 1880347072.0 * k4_[i] + 701980252875.0 / 199316789632.0 * k5_[i] -
                            1453857185.0 / 822651844.0 * k6_[i] + 69997945.0 / 29380423.0 * k7[i]);
        }
    }
    // State at y0 + theta h, theta in [0, 1]; local error of fourth order.
    State at(double theta) const {
        const double s = 1 - theta;
        State y;
        for (int i = 0; i < N; ++i)
            y[i] = r_[0][i] + theta * (r_[1][i] + s * (r_[2][i] + theta * (r_[3][i] + s * r_[4][i])));
        return y;
    }
    void advance() {
        y0 = y1;
        k1 = k7;
    }

private:
    State k2_{}, k3_{}, k4_{}, k5_{}, k6_{};
    std::array<State, 5> r_{};
};

// Next step by the PI controller of DOPRI5 (beta = 0.04).
class StepControl {
public:
    // error / tolerance of the step just tried; the factor by which to change it. Accepts when error <= tolerance.
    double factor(double ratio) {
        const double e = std::max(ratio, 1e-12);
        const double raw = std::pow(e, 0.2 - 0.75 * kBeta);
        if (ratio > 1) return std::max(0.1, 0.9 / raw);
        const double f = std::clamp(0.9 * std::pow(old_, kBeta) / raw, 0.2, 8.0);
        old_ = std::max(ratio, 1e-4);
        return f;
    }

private:
    static constexpr double kBeta = 0.04;
    double old_ = 1e-4;
};

}  // namespace brae
