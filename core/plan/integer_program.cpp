#include "core/plan/integer_program.h"

#include <cmath>

// Cbc's headers give rise to warnings of their own, in code that is not ours.
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wshadow"
#pragma GCC diagnostic ignored "-Wpedantic"
#include <CbcEventHandler.hpp>
#include <CbcModel.hpp>
#include <CbcSolver.hpp>
#include <ClpEventHandler.hpp>
#include <ClpSimplex.hpp>
#include <CoinPackedMatrix.hpp>
#include <OsiClpSolverInterface.hpp>
#pragma GCC diagnostic pop

namespace brae {

namespace {

// What the handlers share: whether to go on. They are copied by the solver, so they hold a pointer.
struct Watch {
    Progress& progress;
    bool stopped = false;
    bool go_on() {
        if (progress.cancelled()) stopped = true;
        return !stopped;
    }
};

class TreeWatch final : public CbcEventHandler {
public:
    explicit TreeWatch(Watch* watch) : watch_(watch) {}
    CbcEventHandler* clone() const override { return new TreeWatch(*this); }
    CbcAction event(CbcEvent) override { return watch_->go_on() ? noAction : stop; }

private:
    Watch* watch_;
};

class SimplexWatch final : public ClpEventHandler {
public:
    explicit SimplexWatch(Watch* watch) : watch_(watch) {}
    ClpEventHandler* clone() const override { return new SimplexWatch(*this); }
    // 0 to 4 end the simplex, -1 goes on (ClpEventHandler.hpp).
    int event(Event) override { return watch_->go_on() ? -1 : 4; }

private:
    Watch* watch_;
};

}  // namespace

int IntegerProgram::add_choice(double cost) {
    cost_.push_back(cost), low_.push_back(0), high_.push_back(1), choice_.push_back(1);
    return variables() - 1;
}

int IntegerProgram::add_slack(double cost, double most) {
    cost_.push_back(cost), low_.push_back(0), high_.push_back(most), choice_.push_back(0);
    return variables() - 1;
}

void IntegerProgram::add_row(std::vector<std::pair<int, double>> terms, double low, double high) {
    terms_.push_back(std::move(terms));
    row_low_.push_back(low), row_high_.push_back(high);
}

double IntegerAnswer::gap() const {
    if (x.empty()) return std::numeric_limits<double>::infinity();
    return std::abs(cost) < 1e-12 ? std::max(0.0, cost - bound) : std::max(0.0, (cost - bound) / std::abs(cost));
}

struct IntegerSolver {
    static IntegerAnswer run(const IntegerProgram& p, const IntegerOptions& options, Progress& progress) {
        progress.step(0, "laying out the plan");
        // Rows as a sparse matrix.
        std::vector<int> row, column;
        std::vector<double> factor;
        for (int r = 0; r < p.rows(); ++r)
            for (const auto& [variable, value] : p.terms_[r]) row.push_back(r), column.push_back(variable), factor.push_back(value);
        const CoinPackedMatrix matrix(false, row.data(), column.data(), factor.data(), static_cast<CoinBigIndex>(factor.size()));
        OsiClpSolverInterface solver;
        solver.messageHandler()->setLogLevel(0);
        CoinPackedMatrix whole = matrix;
        whole.setDimensions(p.rows(), p.variables());
        solver.loadProblem(whole, p.low_.data(), p.high_.data(), p.cost_.data(), p.row_low_.data(), p.row_high_.data());
        for (int v = 0; v < p.variables(); ++v)
            if (p.choice_[v]) solver.setInteger(v);

        Watch watch{progress};
        const SimplexWatch simplex_watch(&watch);
        solver.getModelPtr()->passInEventHandler(&simplex_watch);
        CbcModel model(solver);
        model.setLogLevel(0);
        model.messageHandler()->setLogLevel(0);
        const TreeWatch tree_watch(&watch);
        model.passInEventHandler(&tree_watch);
        // A start that meets the rows is the first answer, so that heuristics have something to better.
        if (options.start.size() == static_cast<std::size_t>(p.variables()) && meets(p, options.start)) {
            double cost = 0;
            for (int v = 0; v < p.variables(); ++v) cost += p.cost_[v] * options.start[v];
            model.setBestSolution(options.start.data(), p.variables(), cost, true);
        }

        const std::string gap = std::to_string(options.gap), nodes = std::to_string(options.most_nodes);
        const char* arguments[] = {"brae", "-log", "0", "-threads", "0", "-randomSeed", "20260502", "-randomCbcSeed", "20260502",
                                   "-ratioGap", gap.c_str(), "-maxNodes", nodes.c_str(), "-solve", "-quit"};
        CbcSolverUsefulData data;
        data.noPrinting_ = true;
        CbcMain0(model, data);
        model.setLogLevel(0);
        progress.step(0.05, "searching for the plan");
        CbcMain1(static_cast<int>(std::size(arguments)), arguments, model, [](CbcModel*, int) { return 0; }, data);
        progress.step(0.98, "searching for the plan");   // throws where it was cancelled

        IntegerAnswer out;
        out.nodes = model.getNodeCount();
        out.impossible = model.isProvenInfeasible() != 0;
        if (const double* best = model.bestSolution()) {
            out.x.assign(best, best + p.variables());
            for (int v = 0; v < p.variables(); ++v)
                if (p.choice_[v]) out.x[v] = std::round(out.x[v]);
            out.cost = 0;
            for (int v = 0; v < p.variables(); ++v) out.cost += p.cost_[v] * out.x[v];
            out.bound = std::min(model.getBestPossibleObjValue(), out.cost);
        }
        return out;
    }
    static bool meets(const IntegerProgram& p, const std::vector<double>& x) {
        for (int v = 0; v < p.variables(); ++v)
            if (x[v] < p.low_[v] - 1e-9 || x[v] > p.high_[v] + 1e-9) return false;
        for (int r = 0; r < p.rows(); ++r) {
            double sum = 0;
            for (const auto& [variable, value] : p.terms_[r]) sum += value * x[variable];
            if (sum < p.row_low_[r] - 1e-7 || sum > p.row_high_[r] + 1e-7) return false;
        }
        return true;
    }
};

IntegerAnswer solve(const IntegerProgram& program, const IntegerOptions& options, Progress& progress) {
    return IntegerSolver::run(program, options, progress);
}

}  // namespace brae
