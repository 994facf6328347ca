// Where results may go: never over an input, never over a file of another kind.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace brae::app {

// Throws Error(usage) unless `out` ends in `extension` and is none of the inputs.
void check_output(const std::filesystem::path& out, const std::vector<std::string>& inputs, const std::string& extension,
                  const std::string& option = "--out");

// Throws Error(usage) where a file stands at `out` and nobody said --force: what people may have written on is not lost.
void check_not_there(const std::filesystem::path& out, bool force, const std::string& option = "--out");

}  // namespace brae::app
