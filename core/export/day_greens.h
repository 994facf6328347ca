// The holes of a day on the greens of a course, as sheets, cards and point files print them.
#pragma once

#include "core/export/point_file.h"
#include "core/record/green.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace brae {

struct DayGreen {
    std::shared_ptr<const Green> green;
    std::optional<Vec2> hole;                // empty: the green has none for that day
    std::vector<Vec2> others;                // further holes of a practice green
    std::optional<PlaceByPaces> paces;       // where the green has a line of play
    std::string state;                       // "as cut", "planned", "stayed since 2026-05-01: frost"
    std::string remark;
    std::optional<double> speed_ft;          // told with the hole, else the green's newest reading
};

// The hole of `date`: as cut, else planned; else today's, which has stayed. Without a date today's. Throws Error for a date that
// is no day.
DayGreen day_green(std::shared_ptr<const Green> green, const std::string& date);
// By number where the names are numbers ("2" before "10"), the others behind them by name.
void sort_day_greens(std::vector<DayGreen>& greens);

// "12 on, 4 left"; why not where it cannot be told; with "+ 3 more" on a practice green.
std::string place_words(const DayGreen& green);

// One point a green: "7 hole", HOLE, "12 on, 4 left; as cut; 10.2 ft; 2026-05-02". Greens without a hole are left out.
std::vector<PointOfGreen> day_points(const std::vector<DayGreen>& greens, const std::string& date);

}  // namespace brae
