// The least value of a function of one variable with one valley.
#pragma once

#include <cmath>

namespace brae {

// Where f is least in [a, b], within `tolerance` (Kiefer, Proc. Am. Math. Soc. 4:502-506, 1953). f: double -> double;
// it is asked once a step. With several valleys one of them is found; a function without a number ends like any other.
template <class F>
double golden_section(F&& f, double a, double b, double tolerance) {
    const double ratio = 0.5 * (std::sqrt(5.0) - 1);
    double c = b - ratio * (b - a), d = a + ratio * (b - a), fc = f(c), fd = f(d);
    while (b - a > tolerance) {
        if (fc < fd) {
            b = d;
            d = c;
            fd = fc;
            fc = f(c = b - ratio * (b - a));
        } else {
            a = c;
            c = d;
            fc = fd;
            fd = f(d = a + ratio * (b - a));
        }
    }
    return 0.5 * (a + b);
}

}  // namespace brae
