// Tells what a file is from its first bytes, whatever its name says.
#pragma once

#include <filesystem>

namespace brae {

enum class FileKind { text, ply, pcd, raster, las, obj, vector };

// Throws Error for a missing, empty or virtual file and for anything unknown, naming what is accepted.
FileKind kind_of_file(const std::filesystem::path& path);

}  // namespace brae
