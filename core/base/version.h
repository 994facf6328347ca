// Which program and which model made a number.
#pragma once

#include <string>

namespace brae {

// "brae 0.1.0": stored with every station and read, since a change of the model moves them.
std::string model_version();

}  // namespace brae
