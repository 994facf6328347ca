// Who may change a green file: the first window that opened it, until it closes it. One row in the file itself.
#pragma once

#include "core/record/geopackage.h"

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

namespace brae {

// The row. `taken_at` (UTC, ISO 8601) moves with every change by the holder.
struct LockHolder {
    std::int64_t pid = 0;
    std::string host, taken_at;
    std::string run;   // tells this process from a later one of the same number: the boot and the process's start
    friend bool operator==(const LockHolder&, const LockHolder&) = default;
};

// A lock of another host, of which nobody can tell whether it lives, may be taken over after so long without a change.
inline constexpr int kForeignLockHours = 12;

enum class LockState {
    free,      // nobody's, or of a process of this host that is gone
    own,       // of this process
    held,      // of another process that lives, or of another host
    forsaken,  // of another host, and older than kForeignLockHours: may be taken over after a question
};
struct LockView { LockState state = LockState::free; LockHolder holder; };

// How the lock of a green file stands now. A file without one, or that is no database, is free. Throws Error where the file
// cannot be read.
LockView edit_lock_of(const std::filesystem::path& file);

// Takes the lock in one transaction where it is free, or forsaken and `take_forsaken`; what comes back is how it stands then:
// `own` where it was taken. Throws Error where the file cannot be written.
LockView take_edit_lock(const std::filesystem::path& file, bool take_forsaken = false);
// Gives it back where it is this process's; says nothing of what goes wrong: a lock of a dead process is free anyway.
void release_edit_lock(const std::filesystem::path& file) noexcept;

// "process 4711 on fern, since 2026-05-02 07:10 UTC".
std::string words_of(const LockHolder& holder);

// Throws Error with who holds it, unless it is free or this process's; before work whose result would not be let in.
void require_unlocked(const std::filesystem::path& file);
// For writers, inside their transaction. The same.
void refuse_where_locked(Database& db);
bool holds_edit_lock(Database& db);
// Puts this process's row in place of any.
void write_edit_lock(Database& db);

// The revision that a green file is at, as cheap as can be; nothing where it cannot be told.
std::optional<int> revision_of_file(const std::filesystem::path& file);

// Judges a row as `host` sees it at `now` (seconds since 1970), for tests: hosts and clocks that are not at hand.
LockState judge_lock(const LockHolder& holder, const LockHolder& self, std::int64_t now, bool alive);

}  // namespace brae
