// Work beside the window: background threads from oneTBB, results taken in at the start of a frame.
#pragma once

#include "core/base/progress.h"

#include <chrono>
#include <cstdint>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

namespace brae::app {

// One owner (the UI thread) starts, cancels and takes in; the work runs elsewhere. A job replaces an older one of the
// same key: the older is cancelled and its result dropped.
class Background {
public:
    using TakeIn = std::function<void()>;
    using Work = std::function<TakeIn(Progress&)>;
    using Failed = std::function<void(const std::string& sentence)>;

    Background();
    ~Background();  // cancels everything and waits
    Background(const Background&) = delete;
    Background& operator=(const Background&) = delete;

    // interactive: someone waits for it with a finger on the mouse; it goes before the rest.
    // still_wanted is asked on the UI thread right before the result is taken in.
    void start(const std::string& key, const std::string& title, bool interactive, Work work, Failed failed = {},
               std::function<bool()> still_wanted = {});
    void cancel(const std::string& key);
    // Cancels every job whose key begins so, and waits until none of them runs (their code may go away then).
    void cancel_and_wait(const std::string& prefix);
    std::optional<double> progress(const std::string& key) const;

    // Takes in what has finished, in the order of finishing. True when anything was.
    bool take_in();
    // The same for the job of one key, for which it waits: at most so long, or until it has finished where nothing is given.
    bool take_in_soon(const std::string& key, std::optional<std::chrono::milliseconds> at_most);
    bool busy() const;
    // For tests and pictures: runs take_in until nothing is left.
    void wait_all();

    // stage: what the work says that it is doing.
    struct Running { std::string key, title, stage; double fraction = 0; };
    std::vector<Running> running() const;

    // Called from a worker thread whenever there is something to take in or to show; wakes the window.
    void set_wake(std::function<void()> wake);

private:
    struct State;
    std::shared_ptr<State> state_;
};

}  // namespace brae::app
