// Whether the file of the open green may be changed from here.
#pragma once

#include "core/record/edit_lock.h"

#include <filesystem>
#include <memory>
#include <string>

namespace brae::app {

// The edit lock of one file, given back when the last owner goes.
class HeldLock {
public:
    explicit HeldLock(std::filesystem::path file) : file_(std::move(file)) {}
    ~HeldLock() { release_edit_lock(file_); }
    HeldLock(const HeldLock&) = delete;
    HeldLock& operator=(const HeldLock&) = delete;

private:
    std::filesystem::path file_;
};

struct EditRights {
    std::shared_ptr<HeldLock> lock;   // null where it is read-only, or there is no green file
    std::string read_only;            // why, as a sentence; empty where edits may be written
    bool forsaken = false;            // held by another machine for so long that the user may take it over
    LockHolder holder;                // who holds it where it is read-only
};

// Takes the lock of a green file where it can be had. Never throws: a file that cannot be written is read-only. Windows of one
// process share a lock.
EditRights rights_to(const std::filesystem::path& file, bool take_forsaken = false);

}  // namespace brae::app
