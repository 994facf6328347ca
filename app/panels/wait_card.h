// What stands between the user and the green: long work with its bar and a way out of it, and a lock that asks a question.
#pragma once

#include "app/session/session.h"

namespace brae::app {

// A card while a file is opened or a survey read again: in the middle of an empty view, else along its upper edge.
void draw_wait_card(Session& session, const Viewport& view, float scale);
// Whether a lock of a machine that may be gone is to be taken over.
void draw_lock_question(Session& session, float scale);

}  // namespace brae::app
