#include "app/document/edit_rights.h"

#include "core/base/error.h"

#include <map>
#include <mutex>

namespace brae::app {
namespace {

// One lock a file in this process, however many hold it.
std::shared_ptr<HeldLock> shared_lock(const std::filesystem::path& file) {
    static std::mutex mutex;
    static std::map<std::filesystem::path, std::weak_ptr<HeldLock>> locks;
    const std::lock_guard guard(mutex);
    std::error_code code;
    std::filesystem::path name = std::filesystem::weakly_canonical(file, code);
    if (code) name = file;
    std::shared_ptr<HeldLock> lock = locks[name].lock();
    if (!lock) locks[name] = lock = std::make_shared<HeldLock>(name);
    return lock;
}

}  // namespace

EditRights rights_to(const std::filesystem::path& file, bool take_forsaken) {
    EditRights out;
    try {
        const LockView view = take_edit_lock(file, take_forsaken);
        if (view.state == LockState::own) {
            out.lock = shared_lock(file);
            return out;
        }
        out.holder = view.holder;
        out.forsaken = view.state == LockState::forsaken;
        out.read_only = file.filename().string() + " is open for editing elsewhere (" + words_of(view.holder) + "); it is read-only here";
    } catch (const Error& e) {
        out.read_only = std::string(e.what()) + "; it is read-only here";
    }
    return out;
}

}  // namespace brae::app
