#include "app/commands/output.h"

#include "core/base/error.h"

#include <fmt/format.h>

namespace brae::app {

void check_output(const std::filesystem::path& out, const std::vector<std::string>& inputs, const std::string& extension,
                  const std::string& option) {
    if (out.extension() != extension)
        throw usage_error(fmt::format("{}: found '{}', a name that ends in {} is wanted", option, out.string(), extension));
    std::error_code ignored;
    for (const auto& input : inputs)
        if (std::filesystem::equivalent(out, input, ignored))
            throw usage_error(fmt::format("{}: {} is an input of this command; choose another name", option, out.string()));
}

void check_not_there(const std::filesystem::path& out, bool force, const std::string& option) {
    std::error_code ignored;
    if (!force && std::filesystem::exists(out, ignored))
        throw usage_error(fmt::format("{}: {} is there already; another name is wanted, or --force to write over it", option, out.string()));
}

}  // namespace brae::app
