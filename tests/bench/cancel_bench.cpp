// How soon an import answers Cancel: reads a survey as the window does while another thread watches how long the work goes
// without a look at its progress, and tells the longest such stretches by stage. `bench_cancel FILE`, or `bench_cancel COUNT`
// for a cloud of that many points made on the spot.
#include "core/base/random.h"
#include "core/record/green_file.h"
#include "tests/support/las_writer.h"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <map>
#include <mutex>
#include <string>
#include <thread>
#include <unistd.h>

namespace {

namespace fs = std::filesystem;
using Clock = std::chrono::steady_clock;

constexpr double kPromisedS = 0.050;

// Work of the whole process: on a busy machine the clock on the wall tells of others too.
double cpu() {
    timespec t{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

fs::path made_cloud(std::size_t count) {
    brae::test::LasFile las;
    las.format = 0;
    brae::Random random(1);
    for (std::size_t k = 0; k < count; ++k) {
        const double x = random.uniform(0, 25), y = random.uniform(0, 25);
        const double thing = k % 997 == 0 ? random.uniform(0.1, 1.5) : 0;
        las.points.push_back({x, y, 0.02 * x + 0.1 * std::sin(x / 5) + 0.004 * random.normal() + thing, 1});
    }
    const fs::path file = fs::temp_directory_path() / ("bench_cancel." + std::to_string(getpid()) + ".las");
    std::ofstream(file, std::ios::binary) << las.bytes();
    return file;
}

}  // namespace

int main(int argc, char** argv) {
    if (argc != 2) return std::fprintf(stderr, "bench_cancel FILE or bench_cancel COUNT\n"), 2;
    const std::string word = argv[1];
    const bool made = word.find_first_not_of("0123456789") == std::string::npos;
    const fs::path file = made ? made_cloud(std::stoull(word)) : fs::path(word);

    std::mutex mutex;
    std::string stage = "start";
    double fraction = 0;
    struct Silence { double s = 0, cpu_s = 0, at = 0; };
    std::map<std::string, Silence> longest;
    brae::Progress progress([&](double f, const std::string& s) {
        const std::lock_guard lock(mutex);
        fraction = f;
        if (!s.empty()) stage = s;
    });
    std::atomic<bool> done = false;
    std::thread watch([&] {
        std::uint64_t seen = progress.asked();
        Clock::time_point since = Clock::now();
        double cpu_since = cpu();
        std::string of = stage;
        double at = 0;
        while (!done) {
            std::this_thread::sleep_for(std::chrono::microseconds(500));
            const std::uint64_t now = progress.asked();
            const Clock::time_point t = Clock::now();
            const std::lock_guard lock(mutex);
            Silence& known = longest[of];
            if (const double s = std::chrono::duration<double>(t - since).count(); s > known.s) known = {s, cpu() - cpu_since, at};
            if (now == seen) continue;
            seen = now;
            since = t;
            cpu_since = cpu();
            of = stage;
            at = fraction;
        }
    });
    const Clock::time_point began = Clock::now();
    const brae::Green green = brae::open_green(file, progress);
    const double took = std::chrono::duration<double>(Clock::now() - began).count();
    done = true;
    watch.join();
    if (made) fs::remove(file);

    std::printf("%zu points read, %zu used, %.1f s; the longest the work went without a look at Cancel:\n", green.terrain->points_read,
                green.terrain->points_used, took);
    bool kept = true;
    for (const auto& [name, silence] : longest) {
        std::printf("  %-40s %7.1f ms (%.1f ms of work on all cores) after %4.1f %%\n", name.c_str(), 1000 * silence.s, 1000 * silence.cpu_s,
                    100 * silence.at);
        kept = kept && silence.s <= kPromisedS;
    }
    return kept ? 0 : 1;
}
