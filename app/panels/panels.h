// The panels of the window: each a function that draws into the area that is open. All state is the session's.
#pragma once

#include "app/session/session.h"

namespace brae::app {

void draw_green_panel(Session& session);
void draw_putt_panel(Session& session, float scale);
void draw_view_panel(Session& session, float scale);
void draw_plugins_panel(Session& session, float scale);
// One line along the lower edge.
void draw_status_bar(Session& session, float scale);

}  // namespace brae::app
