// Writing a file so that a failure or a killed program leaves the old file or the new one, never half of one.
#pragma once

#include <filesystem>
#include <string>

namespace brae {

// Work is done on a hidden part beside the wanted file, under a name that is this writer's alone (.FILE.<process>-<count>.part,
// long names cut); commit() syncs it and renames it over. Without commit() the part is removed and whatever stood there
// before is untouched, other parts too.
class PartFile {
public:
    // Throws Error with one sentence when the folder is missing or not writable, when `file` is a folder, or when it is
    // a symbolic link (renaming would replace the link and leave its target behind).
    // Ending::of_the_file: the part ends as the file does (.FILE.<process>-<count>.part.pdf), for writers that choose their
    // format by it.
    enum class Ending { part, of_the_file };
    explicit PartFile(std::filesystem::path file, Ending ending = Ending::part);
    ~PartFile();
    PartFile(const PartFile&) = delete;
    PartFile& operator=(const PartFile&) = delete;

    const std::filesystem::path& part() const { return part_; }
    const std::filesystem::path& file() const { return file_; }

    // Flushes the part to the disk, renames it over the file, and flushes the folder. Throws Error when one fails.
    void commit();

private:
    std::filesystem::path file_, part_;
    bool done_ = false;
};

// Throws Error with one sentence where `file` is a symbolic link, which nothing is written through.
void refuse_symlink(const std::filesystem::path& file);

// Writes `content` to `file` through a PartFile.
void write_file_safely(const std::filesystem::path& file, const std::string& content);

}  // namespace brae
