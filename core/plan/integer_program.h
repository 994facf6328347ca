// Linear programs with yes-or-no variables, solved by branch and cut with Cbc (COIN-OR, Eclipse Public License).
#pragma once

#include "core/base/progress.h"

#include <limits>
#include <string>
#include <utility>
#include <vector>

namespace brae {

// Least cost is sought. Variables are named by the number that add_* returns.
class IntegerProgram {
public:
    int add_choice(double cost);                                                    // 0 or 1
    int add_slack(double cost, double most = std::numeric_limits<double>::infinity());   // continuous, 0 to most
    // low <= sum of factor * variable <= high; a variable at most once a row.
    void add_row(std::vector<std::pair<int, double>> terms, double low, double high);
    void fix(int variable, double value) { low_[variable] = high_[variable] = value; }

    int variables() const { return static_cast<int>(cost_.size()); }
    int rows() const { return static_cast<int>(row_low_.size()); }

private:
    friend struct IntegerSolver;
    std::vector<double> cost_, low_, high_, row_low_, row_high_;
    std::vector<char> choice_;
    std::vector<std::vector<std::pair<int, double>>> terms_;
};

struct IntegerOptions {
    double gap = 0.02;          // ends once cost - bound <= gap * |cost|
    int most_nodes = 2000;      // of the tree: a count and not a clock, so that the same input gives the same answer
    std::vector<double> start;  // values of all variables to begin from, or empty; a start that breaks a row is left aside
};

struct IntegerAnswer {
    std::vector<double> x;      // empty where none was found
    double cost = 0, bound = 0; // bound: no answer costs less
    double gap() const;         // (cost - bound) / |cost|, 0 for equal, infinite where nothing was found
    int nodes = 0;
    bool impossible = false;    // proven: no values meet the rows
};

// One thread, fixed seeds. Cancel is answered between simplex steps. Throws Error(cancelled).
IntegerAnswer solve(const IntegerProgram& program, const IntegerOptions& options, Progress& progress);

}  // namespace brae
