#include "core/record/edit_lock.h"

#include "core/base/calendar.h"
#include "core/base/error.h"

#include <cerrno>
#include <charconv>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <fmt/format.h>
#include <fstream>
#include <iterator>
#include <unistd.h>

namespace brae {
namespace fs = std::filesystem;
namespace {

constexpr const char* kTable = "brae_edit_lock";

// Seconds since 1970, or nothing where the text is no such time.
std::optional<std::int64_t> seconds_of(const std::string& text) {
    int y = 0, month = 0, d = 0, h = 0, m = 0, s = 0;
    if (std::sscanf(text.c_str(), "%4d-%2d-%2dT%2d:%2d:%2dZ", &y, &month, &d, &h, &m, &s) != 6) return std::nullopt;
    const auto day = day_of(text.substr(0, 10));
    if (!day) return std::nullopt;
    return std::chrono::sys_seconds(*day).time_since_epoch().count() + 3600 * h + 60 * m + s;
}

std::int64_t now_seconds() {
    return std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now()).time_since_epoch().count();
}

std::string first_line(const char* file) {
    std::ifstream in(file);
    std::string line;
    std::getline(in, line);
    return line;
}

// Which run a process is: the machine's boot, and the ticks from then to the process's start (proc(5), field 22).
std::string run_of(std::int64_t pid) {
    const std::string stat = first_line(fmt::format("/proc/{}/stat", pid).c_str());
    const std::size_t after = stat.rfind(')');
    if (after == std::string::npos) return {};
    std::size_t at = after + 1;
    for (int field = 3; field < 22 && at != std::string::npos; ++field) at = stat.find(' ', at + 1);
    if (at == std::string::npos) return {};
    const std::size_t end = stat.find(' ', at + 1);
    return first_line("/proc/sys/kernel/random/boot_id") + "/" + stat.substr(at + 1, end - at - 1);
}

LockHolder this_process() {
    char host[256] = {};
    if (gethostname(host, sizeof host - 1) != 0 || host[0] == 0) host[0] = '?';
    return {getpid(), host, utc_text(now_seconds()), run_of(getpid())};
}

// A process of this host that is there and is the one that took the lock.
bool lives(const LockHolder& holder) {
    if (holder.pid <= 0 || (kill(static_cast<pid_t>(holder.pid), 0) != 0 && errno == ESRCH)) return false;
    const std::string run = run_of(holder.pid);
    return run.empty() || holder.run.empty() || run == holder.run;
}

std::optional<LockHolder> row_of(Database& db) {
    if (!db.has_table(kTable)) return std::nullopt;
    Statement row(db, fmt::format("SELECT pid, host, taken_at, run FROM {}", kTable));
    if (!row.row()) return std::nullopt;
    LockHolder holder;
    holder.pid = row.integer();
    holder.host = row.text(), holder.taken_at = row.text(), holder.run = row.text();
    return holder;
}

LockView view_of(Database& db) {
    const auto holder = row_of(db);
    if (!holder) return {};
    return {judge_lock(*holder, this_process(), now_seconds(), lives(*holder)), *holder};
}

// Only a database can hold a lock.
bool is_database(const fs::path& file) {
    char magic[16] = {};
    std::ifstream(file, std::ios::binary).read(magic, sizeof magic);
    return std::string(magic, 15) == "SQLite format 3";
}

}  // namespace

LockState judge_lock(const LockHolder& holder, const LockHolder& self, std::int64_t now, bool alive) {
    if (holder.host == self.host) {
        if (holder.pid == self.pid && holder.run == self.run) return LockState::own;
        return alive ? LockState::held : LockState::free;
    }
    // A time that cannot be read, or lies ahead, is no proof of age.
    const auto taken = seconds_of(holder.taken_at);
    return taken && now - *taken > std::int64_t{3600} * kForeignLockHours ? LockState::forsaken : LockState::held;
}

LockView edit_lock_of(const fs::path& file) {
    if (!is_database(file)) return {};
    Database db(file, Database::Access::read);
    return view_of(db);
}

LockView take_edit_lock(const fs::path& file, bool take_forsaken) {
    Database db(file, Database::Access::write);
    Transaction transaction(db);
    LockView view = view_of(db);
    if (view.state == LockState::held || (view.state == LockState::forsaken && !take_forsaken)) return view;
    write_edit_lock(db);
    transaction.commit();
    return {LockState::own, this_process()};
}

void release_edit_lock(const fs::path& file) noexcept {
    try {
        if (!is_database(file)) return;
        Database db(file, Database::Access::write);
        Transaction transaction(db);
        if (!holds_edit_lock(db)) return;
        db.run(fmt::format("DELETE FROM {}", kTable));
        transaction.commit();
    } catch (...) {
        // The file is gone or cannot be written: nobody is kept out by a process that is gone.
    }
}

std::string words_of(const LockHolder& holder) {
    std::string when = holder.taken_at.substr(0, 16);
    if (const std::size_t t = when.find('T'); t != std::string::npos) when[t] = ' ';
    return fmt::format("process {} on {}, since {} UTC", holder.pid, holder.host, when);
}

void refuse_where_locked(Database& db) {
    const LockView view = view_of(db);
    if (view.state == LockState::held)
        throw Error(fmt::format("{} is open for editing in another window ({}); close it there first", db.file().string(), words_of(view.holder)));
    if (view.state == LockState::forsaken)
        throw Error(fmt::format("{} is held for editing by another machine ({}), for more than {} hours; open it in the window to take it over",
                                db.file().string(), words_of(view.holder), kForeignLockHours));
}

void require_unlocked(const fs::path& file) {
    if (!is_database(file)) return;
    Database db(file, Database::Access::read);
    refuse_where_locked(db);
}

bool holds_edit_lock(Database& db) { return view_of(db).state == LockState::own; }

void write_edit_lock(Database& db) {
    // Made where it is first wanted, in files of any schema; no layer, so a GIS does not list it.
    db.run(fmt::format("CREATE TABLE IF NOT EXISTS {} (id INTEGER PRIMARY KEY CHECK (id = 1), pid INTEGER NOT NULL, host TEXT NOT NULL, "
                       "taken_at TEXT NOT NULL, run TEXT NOT NULL)", kTable));
    const LockHolder self = this_process();
    Statement put(db, fmt::format("INSERT OR REPLACE INTO {} (id, pid, host, taken_at, run) VALUES (1, ?, ?, ?, ?)", kTable));
    put.put(self.pid).put(self.host).put(self.taken_at).put(self.run).go();
}

std::optional<int> revision_of_file(const fs::path& file) {
    try {
        if (!is_database(file)) return std::nullopt;
        Database db(file, Database::Access::read);
        Statement find(db, "SELECT value FROM brae_meta WHERE key = 'revision'");
        if (!find.row()) return std::nullopt;
        const std::string text = find.text();
        int value = 0;
        if (std::from_chars(text.data(), text.data() + text.size(), value).ec != std::errc()) return std::nullopt;
        return value;
    } catch (const Error&) {
        return std::nullopt;
    }
}

}  // namespace brae
