// Where results may go: never over an input, never over a file of another kind.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace brae::app {

// Throws Error(usage) unless `out` ends in `extension` and is none of the inputs.
void check_output(const std::filesystem::path& out, const std::vector<std::string>& inputs, const std::string& extension,
                  const std::string& option = "--out");

}  // namespace brae::app
