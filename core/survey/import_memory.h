// How much memory imports want, so that a folder of large surveys is read as many at a time as the machine bears.
#pragma once

#include <condition_variable>
#include <cstddef>
#include <cstdint>
#include <mutex>
#include <string>
#include <vector>

namespace brae {

// The most memory that the import of these files together takes, by their kinds and sizes: measured, rounded up. Points beyond
// 12 million are thinned as they are read (docs/file-formats.md), so that some kinds have a ceiling. A missing file wants none.
std::uint64_t memory_of_import(const std::vector<std::string>& files);

// What the machine can give now, bytes: the kernel's estimate, less where a control group allows less. 2 GiB where neither tells.
std::uint64_t available_memory();

// Lets in works one after the other, in the order of their numbers from 0, each when its share fits beside those inside; a
// work larger than the whole goes in alone. Nothing depends on time but when a work begins.
class MemoryGate {
public:
    explicit MemoryGate(std::uint64_t bytes) : free_(bytes), all_(bytes) {}
    // Waits for the turn; false where the gate was closed meanwhile.
    bool enter(std::size_t number, std::uint64_t bytes);
    // Number `number` will never come: the next may go.
    void leave(std::uint64_t bytes);
    void close();
    std::size_t most_inside() const { return most_; }

private:
    std::mutex mutex_;
    std::condition_variable changed_;
    std::uint64_t free_, all_;
    std::size_t turn_ = 0, inside_ = 0, most_ = 0;
    bool closed_ = false;
};

}  // namespace brae
