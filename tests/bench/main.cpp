// Runs the benchmarks, then the comparisons with what is promised; fails where one is below.
#include "tests/bench/common.h"

#include <benchmark/benchmark.h>
#include <cstdio>

int main(int argc, char** argv) {
    benchmark::Initialize(&argc, argv);
    benchmark::RunSpecifiedBenchmarks();
    brae::bench::tell_kernel_share();
    bool good = brae::bench::compare_one_read();
    good = brae::bench::compare_roll_batch() && good;
    good = brae::bench::compare_whole_greens() && good;
    std::printf("\n%s\n", good ? "All that is promised holds in this run." : "Something promised does not hold in this run.");
    return good ? 0 : 1;
}
