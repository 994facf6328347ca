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
    std::vector<std::optional<PlaceByPaces>> other_paces;   // of `others`
    std::string state;                       // "as cut", "planned", "set by hand", "stayed since 2026-05-01: frost"
    std::string remark;
    std::optional<double> speed_ft;          // told with the hole, else the last reading on or before the day
    std::string speed_date;                  // the day that it was taken on, empty where that is not known
    bool speed_planned = false;              // no reading: what the plan was made for
};

// The hole of `date`: as cut, else planned; else today's, which has stayed. Without a date today's. Throws Error for a date that
// is no day.
DayGreen day_green(std::shared_ptr<const Green> green, const std::string& date);
// By number where the names are numbers ("2" before "10"), the others behind them by name.
void sort_day_greens(std::vector<DayGreen>& greens);
// The same order for names: numbers first, by size, also behind equal words ("green 2" before "green 10").
bool counted_before(const std::string& a, const std::string& b);

// "12 on, 4 left"; why not where it cannot be told; with "+ 3 more" on a practice green.
std::string place_words(const DayGreen& green);

// "9.8 ft", with " on 2026-05-01" where it was taken on another day than `date`, "planned at 9.8 ft" where there is no reading; empty where none is known.
std::string speed_words(const DayGreen& green, const std::string& date);
// The further holes of a practice green: "+ 10 on, 3 left; + 5 on, 2 right"; empty without any.
std::string other_words(const DayGreen& green);

// One point a green: "7 hole", HOLE, "12 on, 4 left; as cut; 10.2 ft; 2026-05-02". Greens without a hole are left out.
std::vector<PointOfGreen> day_points(const std::vector<DayGreen>& greens, const std::string& date);

}  // namespace brae
