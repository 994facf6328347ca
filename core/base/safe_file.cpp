#include "core/base/safe_file.h"

#include "core/base/error.h"

#include <algorithm>
#include <array>
#include <atomic>
#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <fmt/format.h>
#include <system_error>
#include <unistd.h>
#include <utility>

namespace brae {
namespace fs = std::filesystem;
namespace {

// A file descriptor that is closed again.
struct Descriptor {
    int fd = -1;
    ~Descriptor() { if (fd >= 0) ::close(fd); }
};

fs::path folder_of(const fs::path& file) { return file.has_parent_path() ? file.parent_path() : fs::path("."); }

// SQLite and GDAL leave these beside a file that they were writing.
constexpr std::array kCompanions = {"", "-journal", "-wal", "-shm", ".aux.xml"};
constexpr int kMostTries = 10'000;

void remove_with_companions(const fs::path& part) {
    std::error_code ignored;
    for (const char* tail : kCompanions) fs::remove(part.string() + tail, ignored);
}

// File systems take 255 bytes of name; the part's own sign wants room behind it.
std::string shortened(const std::string& name) { return name.substr(0, 180); }

}  // namespace

void refuse_symlink(const fs::path& file) {
    std::error_code code;
    if (fs::is_symlink(fs::symlink_status(file, code))) throw Error(fmt::format("cannot write {}: it is a symbolic link; name the file that it points to", file.string()));
}

PartFile::PartFile(fs::path file, Ending ending) : file_(std::move(file)) {
    std::error_code code;
    const fs::path folder = folder_of(file_);
    if (file_.filename().empty()) throw Error(fmt::format("'{}' is not the name of a file", file_.string()));
    if (!fs::is_directory(folder, code))
        throw Error(fmt::format("cannot write {}: the folder {} does not exist", file_.string(), folder.string()));
    refuse_symlink(file_);
    if (fs::is_directory(file_, code))
        throw Error(fmt::format("cannot write {}: it is a folder; the name of a file is wanted", file_.string()));

    // A trial that also claims a name which nothing else has, nor ever had a companion of: another writer's part, what a
    // killed run left and a user's own file all stay.
    static std::atomic<unsigned> counter{0};
    for (int tries = 0;; ++tries) {
        part_ = folder_of(file_) / fmt::format(".{}.{}-{}.part{}", shortened(file_.filename().string()), ::getpid(), ++counter,
                                               ending == Ending::of_the_file ? shortened(file_.extension().string()).substr(0, 20) : "");
        const bool used = std::any_of(kCompanions.begin(), kCompanions.end(), [&](const char* tail) {
            std::error_code unreadable;
            return fs::exists(fs::symlink_status(part_.string() + tail, unreadable));
        });
        if (used && tries < kMostTries) continue;
        const Descriptor trial{::open(part_.c_str(), O_CREAT | O_EXCL | O_WRONLY | O_CLOEXEC, 0666)};
        if (trial.fd >= 0) break;
        if (errno != EEXIST || tries >= kMostTries)
            throw Error(fmt::format("cannot write {}: {} in the folder {}", file_.string(), std::strerror(errno),
                                    folder.string()));
    }
}

PartFile::~PartFile() {
    if (!done_) remove_with_companions(part_);
}

void PartFile::commit() {
    // The content has to be on the disk before the name is.
    {
        const Descriptor data{::open(part_.c_str(), O_RDONLY | O_CLOEXEC)};
        if (data.fd < 0 || ::fsync(data.fd) != 0)
            throw Error(fmt::format("cannot write {}: {}", file_.string(), std::strerror(errno)));
    }
    std::error_code code;
    fs::rename(part_, file_, code);
    if (code) throw Error(fmt::format("cannot write {}: {}", file_.string(), code.message()));
    done_ = true;
    // Some file systems cannot sync a folder; the file itself is safe then.
    const Descriptor folder{::open(folder_of(file_).c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)};
    if (folder.fd >= 0) static_cast<void>(::fsync(folder.fd));
}

void write_file_safely(const fs::path& file, const std::string& content) {
    PartFile part(file);
    {
        const Descriptor out{::open(part.part().c_str(), O_WRONLY | O_TRUNC | O_CLOEXEC)};
        std::size_t written = 0;
        while (out.fd >= 0 && written < content.size()) {
            const ssize_t n = ::write(out.fd, content.data() + written, content.size() - written);
            if (n < 0 && errno == EINTR) continue;
            if (n <= 0) break;
            written += static_cast<std::size_t>(n);
        }
        if (out.fd < 0 || written < content.size())
            throw Error(fmt::format("cannot write {}: {}", file.string(), std::strerror(errno)));
    }
    part.commit();
}

}  // namespace brae
