#include "app/read/background.h"

#include <algorithm>
#include <atomic>
#include <condition_variable>
#include <exception>
#include <tbb/info.h>
#include <tbb/task_arena.h>

namespace brae::app {
namespace {

struct Entry {
    std::string key, title;
    std::string stage;              // under the mutex
    std::atomic<double> fraction{0};
    std::unique_ptr<Progress> progress;
    Background::TakeIn result;
    std::string failure;
    Background::Failed failed;
    std::function<bool()> still_wanted;
    bool finished = false, dropped = false;

    // Takes the outcome in, on the UI thread.
    void end() {
        if (dropped || (still_wanted && !still_wanted())) return;
        if (!failure.empty()) {
            if (failed) failed(failure);
        } else if (result) {
            result();
        }
    }
};

}  // namespace

struct Background::State {
    // Two arenas share one pool of workers; what the user waits for goes first.
    static int workers() { return std::max(1, tbb::info::default_concurrency() - 1); }
    tbb::task_arena interactive{workers(), 0, tbb::task_arena::priority::high};
    tbb::task_arena background{workers(), 0, tbb::task_arena::priority::low};
    mutable std::mutex mutex;
    std::condition_variable changed;
    std::vector<std::shared_ptr<Entry>> entries;  // running, and finished but not taken in, by start
    std::vector<std::shared_ptr<Entry>> finished; // by end
    std::function<void()> wake;
};

Background::Background() : state_(std::make_shared<State>()) {}

Background::~Background() {
    set_wake({});
    cancel_and_wait("");
}

void Background::set_wake(std::function<void()> wake) {
    const std::lock_guard lock(state_->mutex);
    state_->wake = std::move(wake);
}

void Background::start(const std::string& key, const std::string& title, bool interactive, Work work, Failed failed,
                       std::function<bool()> still_wanted) {
    cancel(key);
    auto entry = std::make_shared<Entry>();
    entry->key = key;
    entry->title = title;
    entry->failed = std::move(failed);
    entry->still_wanted = std::move(still_wanted);

    // Progress wakes the window at most once a percent, and at every new stage.
    auto* state = state_.get();
    Entry* raw = entry.get();
    entry->progress = std::make_unique<Progress>([state, raw](double fraction, const std::string& stage) {
        const double before = raw->fraction.exchange(fraction);
        const bool moved = static_cast<int>(100 * before) != static_cast<int>(100 * fraction);
        if (!moved && stage.empty()) return;
        const std::lock_guard lock(state->mutex);
        if (!moved && (stage.empty() || stage == raw->stage)) return;
        if (!stage.empty()) raw->stage = stage;
        if (state->wake) state->wake();
    });
    {
        const std::lock_guard lock(state_->mutex);
        state_->entries.push_back(entry);
    }

    // The lambda is the only holder of the work, and lets go of it before it reports the end: after cancel_and_wait no
    // code of a plugin is left on a worker's stack.
    auto run = [keep = state_, entry, shared = std::make_shared<Work>(std::move(work))] {
        TakeIn result;
        std::string failure;
        try {
            entry->progress->step(0);
            result = (*shared)(*entry->progress);
        } catch (const std::exception& e) {
            failure = e.what();
        } catch (...) {
            failure = "the work ended with something that is not an exception";
        }
        *shared = {};
        const std::lock_guard lock(keep->mutex);
        entry->result = std::move(result);
        entry->failure = std::move(failure);
        entry->finished = true;
        keep->finished.push_back(entry);
        keep->changed.notify_all();
        if (keep->wake) keep->wake();
    };
    (interactive ? state_->interactive : state_->background).enqueue(std::move(run));
}

void Background::cancel(const std::string& key) {
    const std::lock_guard lock(state_->mutex);
    for (auto& entry : state_->entries)
        if (entry->key == key) {
            entry->dropped = true;
            entry->progress->cancel();
        }
}

void Background::cancel_and_wait(const std::string& prefix) {
    std::vector<std::shared_ptr<Entry>> gone;
    std::unique_lock lock(state_->mutex);
    const auto mine = [&](const std::shared_ptr<Entry>& e) { return e->key.compare(0, prefix.size(), prefix) == 0; };
    for (auto& entry : state_->entries)
        if (mine(entry)) {
            entry->dropped = true;
            entry->progress->cancel();
        }
    state_->changed.wait(lock, [&] {
        return std::all_of(state_->entries.begin(), state_->entries.end(), [&](auto& e) { return !mine(e) || e->finished; });
    });
    // Their results and callbacks go here, on the UI thread, while the code they point to is still there.
    for (auto* list : {&state_->entries, &state_->finished}) {
        const auto cut = std::stable_partition(list->begin(), list->end(), [&](auto& e) { return !mine(e); });
        gone.insert(gone.end(), cut, list->end());
        list->erase(cut, list->end());
    }
    lock.unlock();
    for (auto& entry : gone) {
        entry->result = {};
        entry->failed = {};
        entry->still_wanted = {};
    }
}

std::optional<double> Background::progress(const std::string& key) const {
    const std::lock_guard lock(state_->mutex);
    for (const auto& entry : state_->entries)
        if (entry->key == key && !entry->dropped) return entry->fraction.load();
    return std::nullopt;
}

bool Background::take_in() {
    std::vector<std::shared_ptr<Entry>> done;
    {
        const std::lock_guard lock(state_->mutex);
        done.swap(state_->finished);
        std::erase_if(state_->entries, [](const auto& e) { return e->finished; });
    }
    // Callbacks run without the lock: they may start new work.
    for (auto& entry : done) entry->end();
    return !done.empty();
}

bool Background::take_in_soon(const std::string& key, std::optional<std::chrono::milliseconds> at_most) {
    std::shared_ptr<Entry> entry;
    {
        std::unique_lock lock(state_->mutex);
        for (const auto& e : state_->entries)
            if (e->key == key && !e->dropped) entry = e;
        if (!entry) return false;
        const auto finished = [&] { return entry->finished; };
        if (!at_most) state_->changed.wait(lock, finished);
        else if (!state_->changed.wait_for(lock, *at_most, finished)) return false;
        std::erase(state_->entries, entry);
        std::erase(state_->finished, entry);
    }
    entry->end();
    return true;
}

bool Background::busy() const {
    const std::lock_guard lock(state_->mutex);
    return !state_->entries.empty();
}

void Background::wait_all() {
    while (busy()) {
        {
            std::unique_lock lock(state_->mutex);
            state_->changed.wait(lock, [&] { return !state_->finished.empty() || state_->entries.empty(); });
        }
        take_in();
    }
}

std::vector<Background::Running> Background::running() const {
    const std::lock_guard lock(state_->mutex);
    std::vector<Running> out;
    for (const auto& entry : state_->entries)
        if (!entry->finished && !entry->dropped && !entry->title.empty())
            out.push_back({entry->key, entry->title, entry->stage, entry->fraction.load()});
    return out;
}

}  // namespace brae::app
