// A lesson that was worked out, for people and for scripts.
#pragma once

#include "core/record/worked_lesson.h"

#include <nlohmann/json_fwd.hpp>
#include <string>

namespace brae::app {

nlohmann::ordered_json json_of(const WorkedLesson& lesson);
std::string words_of(const WorkedLesson& lesson);

}  // namespace brae::app
