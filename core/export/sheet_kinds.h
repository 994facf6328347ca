// The sheets behind write_sheet(): each makes the bytes of a PDF.
#pragma once

#include "core/export/page.h"

#include <string>

namespace brae {

struct DrawnSheet { std::string pdf; SheetResult result; };

// Throws Error(usage) where the request holds no stations.
DrawnSheet draw_stations_sheet(const Green& green, const SheetRequest& request);
// The same stations as a card. Throws Error(usage) where there are none.
DrawnSheet draw_pocket_sheet(const Green& green, const SheetRequest& request);
// A card to fill in, 30 putts on a page. Throws Error(usage) where there are no stations.
DrawnSheet draw_card_sheet(const Green& green, const SheetRequest& request);
// Throws Error(usage) where the request holds no positions.
DrawnSheet draw_holes_sheet(const Green& green, const SheetRequest& request);
// How far the survey can be trusted.
DrawnSheet draw_survey_sheet(const Green& green, const SheetRequest& request);

}  // namespace brae
