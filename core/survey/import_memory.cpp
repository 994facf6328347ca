#include "core/survey/import_memory.h"

#include "core/base/error.h"
#include "core/survey/file_kind.h"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <limits>

namespace brae {

namespace {

namespace fs = std::filesystem;

constexpr std::uint64_t kMiB = 1u << 20;
// Of a program that has read little: 110 MiB measured.
constexpr std::uint64_t kBase = 150 * kMiB;
// 65 bytes a point were measured from 3 to 10 million points of LAS and text; a point is at least 20 bytes of LAS, 12 of PLY and
// some 15 of text. Pixels of packed rasters take least room in a file.
struct Kind { std::uint64_t times_tenths, ceiling; };
constexpr std::uint64_t kNoCeiling = std::numeric_limits<std::uint64_t>::max();
Kind kind_of(const fs::path& file) {
    switch (kind_of_file(file)) {
        case FileKind::las: return {35, 1000 * kMiB};
        case FileKind::text: return {50, 1000 * kMiB};
        case FileKind::ply: return {60, 1000 * kMiB};
        default: break;
    }
    const auto raster = file.extension();
    return {raster == ".tif" || raster == ".tiff" ? std::uint64_t{600} : std::uint64_t{160}, kNoCeiling};
}

// The first number of a file that holds one; nothing for "max" and what is missing.
std::uint64_t number_in(const char* file, std::uint64_t otherwise) {
    std::ifstream in(file);
    std::uint64_t value = 0;
    return in >> value ? value : otherwise;
}

}  // namespace

std::uint64_t memory_of_import(const std::vector<std::string>& files) {
    std::uint64_t out = kBase;
    for (const std::string& name : files) {
        std::error_code code;
        const std::uint64_t bytes = fs::file_size(name, code);
        if (code) continue;
        try {
            const Kind kind = kind_of(name);
            out += std::min(bytes / 10 * kind.times_tenths, kind.ceiling);
        } catch (const Error&) {
            // The import says what is the matter with it.
        }
    }
    return out;
}

std::uint64_t available_memory() {
    std::uint64_t out = 2048 * kMiB;
    std::ifstream in("/proc/meminfo");
    for (std::string word; in >> word;)
        if (word == "MemAvailable:") {
            std::uint64_t kib = 0;
            if (in >> kib) out = kib * 1024;
            break;
        }
    // Control groups of both versions; the one of the whole machine says a number beyond any memory.
    for (const auto& [limit, used] : {std::pair{"/sys/fs/cgroup/memory.max", "/sys/fs/cgroup/memory.current"},
                                      {"/sys/fs/cgroup/memory/memory.limit_in_bytes", "/sys/fs/cgroup/memory/memory.usage_in_bytes"}}) {
        const std::uint64_t most = number_in(limit, kNoCeiling), now = number_in(used, 0);
        if (most != kNoCeiling) out = std::min(out, most > now ? most - now : 0);
    }
    return out;
}

bool MemoryGate::enter(std::size_t number, std::uint64_t bytes) {
    std::unique_lock lock(mutex_);
    const std::uint64_t share = std::min(bytes, all_);
    changed_.wait(lock, [&] { return closed_ || (turn_ == number && (inside_ == 0 || share <= free_)); });
    if (closed_) return false;
    free_ -= std::min(share, free_);
    ++turn_, ++inside_;
    most_ = std::max(most_, inside_);
    changed_.notify_all();
    return true;
}

void MemoryGate::leave(std::uint64_t bytes) {
    {
        const std::lock_guard lock(mutex_);
        --inside_;
        free_ = inside_ == 0 ? all_ : std::min(all_, free_ + std::min(bytes, all_));
    }
    changed_.notify_all();
}

void MemoryGate::close() {
    {
        const std::lock_guard lock(mutex_);
        closed_ = true;
    }
    changed_.notify_all();
}

}  // namespace brae
