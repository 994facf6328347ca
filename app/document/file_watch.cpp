#include "app/document/file_watch.h"

#include "core/base/error.h"
#include "core/record/edit_lock.h"

#include <chrono>
#include <sys/stat.h>
#include <tuple>

namespace brae::app {
namespace {

using Stamp = std::tuple<dev_t, ino_t, off_t, time_t, long>;

Stamp stamp_of(const std::filesystem::path& file) {
    struct stat s {};
    if (stat(file.c_str(), &s) != 0) return {};
    return {s.st_dev, s.st_ino, s.st_size, s.st_mtim.tv_sec, s.st_mtim.tv_nsec};
}

constexpr int kLooksToLock = 3;

}  // namespace

FileWatch::FileWatch(std::filesystem::path file, std::function<void()> news)
    : file_(std::move(file)), news_(std::move(news)), thread_([this] { run(); }) {}

FileWatch::~FileWatch() {
    {
        const std::lock_guard lock(mutex_);
        stop_ = true;
    }
    changed_.notify_all();
    thread_.join();
}

void FileWatch::run() {
    Stamp before = stamp_of(file_);
    for (int look = 1;; ++look) {
        {
            std::unique_lock lock(mutex_);
            if (changed_.wait_for(lock, std::chrono::seconds(1), [this] { return stop_; })) return;
        }
        // Halfway through a change the file says nothing of use; the next look sees it.
        const Stamp now = stamp_of(file_);
        bool news = now != before && now != Stamp{};
        try {
            if (!news && look % kLooksToLock == 0) news = edit_lock_of(file_).state == LockState::free;
        } catch (const Error&) {
        }
        before = now;
        if (news) news_();
    }
}

}  // namespace brae::app
