#include "core/export/sheets.h"

#include "core/base/error.h"
#include "core/base/safe_file.h"
#include "core/export/sheet_kinds.h"

#include <fmt/format.h>

namespace brae {

const std::vector<SheetKind>& sheet_kinds() {
    static const std::vector<SheetKind> kinds{
        {"stations", "setting-out sheet for practice stations: plan to scale, tapes, breaks, cautions"},
        {"pocket", "the stations on a card of 88 x 200 mm, twice on a page: aim, pace, gate, breaks at other speeds"},
        {"lesson-card", "lesson card to fill in by hand, 30 putts on a page; brae lesson card reads it once typed in"},
        {"holes", "fair hole positions of one green: plan to scale, slopes, tapes, cautions"},
        {"day", "hole positions of a day for a green or a folder of greens: one page in large type, tapes behind it"},
        {"card", "the same as a card that may be carried in a round"},
        {"survey", "what the survey is worth: plan, errors of slope and aim, verdict, advice"}};
    return kinds;
}

SheetResult write_sheet(const Green& green, const SheetRequest& request, const std::filesystem::path& file) {
    if (!green.terrain || green.terrain->outline.empty())
        throw Error(fmt::format("the green '{}' has no terrain yet, so there is nothing to print", green.name));
    DrawnSheet sheet;
    if (request.kind == "stations") {
        sheet = draw_stations_sheet(green, request);
    } else if (request.kind == "pocket") {
        sheet = draw_pocket_sheet(green, request);
    } else if (request.kind == "lesson-card") {
        sheet = draw_card_sheet(green, request);
    } else if (request.kind == "holes") {
        sheet = draw_holes_sheet(green, request);
    } else if (request.kind == "day" || request.kind == "card") {
        throw usage_error(fmt::format("the sheet '{}' prints the holes of a day and is made by write_day_sheet or write_hole_card", request.kind));
    } else if (request.kind == "survey") {
        sheet = draw_survey_sheet(green, request);
    } else {
        std::string known;
        for (const SheetKind& k : sheet_kinds()) known += (known.empty() ? "" : ", ") + k.name;
        throw usage_error(fmt::format("there is no sheet '{}'; wanted is one of: {}", request.kind, known));
    }
    write_file_safely(file, sheet.pdf);
    return sheet.result;
}

}  // namespace brae
