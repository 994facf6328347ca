#include "app/commands/output.h"

#include "core/base/error.h"

#include <fmt/format.h>

namespace brae::app {

void check_output(const std::filesystem::path& out, const std::vector<std::string>& inputs, const std::string& extension) {
    if (out.extension() != extension)
        throw usage_error(fmt::format("--out: found '{}', a name that ends in {} is wanted", out.string(), extension));
    std::error_code ignored;
    for (const auto& input : inputs)
        if (std::filesystem::equivalent(out, input, ignored))
            throw usage_error(fmt::format("--out: {} is an input of this command; choose another name", out.string()));
}

}  // namespace brae::app
