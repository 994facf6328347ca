// The hole as it was cut, typed in one line: what the line means is shown while it is typed, and kept with the green.
#pragma once

#include "core/plan/hole_judge.h"
#include "core/record/cut_line.h"
#include "plugins/api/services.h"

#include <optional>
#include <string>
#include <vector>

namespace brae::hole_positions {

class CutModel {
public:
    explicit CutModel(plugin::Services& services);

    std::string line, date, by;               // as typed; the panel edits them
    bool want_keyboard = false;
    HoleLimits limits;                        // that a place is judged by

    // What would be kept. `sentence`: why not, or empty.
    struct Preview {
        bool ready = false;
        bool backwards = false;                // the date lies before the newest entry: to be kept as earlier only
        std::vector<Vec2> places;              // empty for a skipped day
        std::vector<std::string> words, remarks;
        std::string sentence;
    };
    const Preview& preview();
    void keep(bool earlier = false);

    const std::string& message() const { return message_; }
    void clear();

private:
    const plugin::Snapshot& now() const { return services_.document.snapshot(); }
    // The green with the line in it. Throws Error.
    HistoryEntry entered(const CutLine& parsed, bool earlier, Preview* preview) const;

    void start_check(const CutLine& parsed);   // limits and neighbours, beside the window; its remarks join the preview

    plugin::Services& services_;
    Preview preview_;
    std::string preview_key_, message_;
};

}  // namespace brae::hole_positions
