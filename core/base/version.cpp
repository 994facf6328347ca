#include "core/base/version.h"

namespace brae {

std::string model_version() { return "brae " BRAE_VERSION; }

}  // namespace brae
