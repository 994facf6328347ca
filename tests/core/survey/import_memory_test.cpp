#include "core/survey/import_memory.h"

#include "tests/support/support.h"

#include <atomic>
#include <fstream>
#include <string>
#include <thread>
#include <vector>

using namespace brae;
using namespace brae::test;

namespace {

// A file of that size whose first bytes say what it is; the rest is a hole on the disk.
std::string file_of(const fs::path& path, const std::string& head, std::uint64_t bytes) {
    std::ofstream(path, std::ios::binary) << head;
    fs::resize_file(path, bytes);
    return path.string();
}

constexpr std::uint64_t kMB = 1000000;

}  // namespace

TEST_CASE("an import's memory covers what was measured for its size and kind, and has a ceiling where points are thinned") {
    const Scratch scratch;
    // Peak resident sizes of imports of made-up clouds, in MB: 0.3, 3 and 10 million points of LAS, 3 million of text.
    const std::string las03 = file_of(scratch / "a.las", "LASF", 6 * kMB), las3 = file_of(scratch / "b.las", "LASF", 60 * kMB),
                      las10 = file_of(scratch / "c.las", "LASF", 200 * kMB), huge = file_of(scratch / "d.las", "LASF", 40000 * kMB);
    for (const auto& [file, measured] : {std::pair{las03, 148u}, {las3, 351u}, {las10, 778u}}) {
        CAPTURE(file);
        CHECK(memory_of_import({file}) >= measured * kMB);
        CHECK(memory_of_import({file}) <= 2 * measured * kMB);
    }
    const std::string text = (scratch / "t.xyz").string();
    std::ofstream(text) << "1 2 3\n4 5 6\n7 8 9\n";
    CHECK(memory_of_import({text}) < memory_of_import({las03}));
    CHECK(memory_of_import({huge}) <= 1300 * kMB);
    // Several files of one green add up; what is not there wants nothing.
    CHECK(memory_of_import({las3, las10}) > memory_of_import({las10}) + 200 * kMB);
    CHECK(memory_of_import({(scratch / "none.las").string()}) == memory_of_import({}));
}

TEST_CASE("the machine has some memory, and not more than any machine") {
    CHECK(available_memory() > 16 * kMB);
    CHECK(available_memory() < (std::uint64_t{1} << 50));
}

TEST_CASE("works go in by number and never take more than there is, one too large alone; a closed gate lets nobody wait") {
    // Shares of 100; the fourth is larger than the whole.
    const std::vector<std::uint64_t> shares{40, 50, 30, 500, 10, 90, 10, 20};
    MemoryGate gate(100);
    std::atomic<std::uint64_t> inside = 0;
    std::atomic<std::size_t> next = 0, order = 0;
    std::atomic<int> wrong = 0;
    {
        std::vector<std::jthread> threads;
        for (int w = 0; w < 4; ++w)
            threads.emplace_back([&] {
                for (std::size_t k = next++; k < shares.size(); k = next++) {
                    if (!gate.enter(k, shares[k])) ++wrong;
                    const std::uint64_t now = inside += shares[k];
                    if (now > 100 && now != shares[k]) ++wrong;
                    ++order;
                    inside -= shares[k];
                    gate.leave(shares[k]);
                }
            });
    }
    CHECK(wrong == 0);
    CHECK(order == shares.size());
    CHECK(gate.most_inside() <= 4);

    MemoryGate shut(100);
    CHECK(shut.enter(0, 100));
    std::atomic<int> refused = 0;
    {
        std::jthread waits([&] { refused += !shut.enter(1, 100); });
        shut.close();
    }
    CHECK(refused == 1);
}
