// Looks at a green file that another process may change, and says when there is something new.
#pragma once

#include <condition_variable>
#include <filesystem>
#include <functional>
#include <mutex>
#include <thread>

namespace brae::app {

// A thread that looks once a second (a network folder tells nobody of its changes): at the file's size, date and place on the
// disk, and every few seconds at whether its edit lock has become free. Calls `news` from that thread.
class FileWatch {
public:
    FileWatch(std::filesystem::path file, std::function<void()> news);
    ~FileWatch();
    FileWatch(const FileWatch&) = delete;
    FileWatch& operator=(const FileWatch&) = delete;

private:
    void run();
    std::filesystem::path file_;
    std::function<void()> news_;
    std::mutex mutex_;
    std::condition_variable changed_;
    bool stop_ = false;
    std::thread thread_;
};

}  // namespace brae::app
