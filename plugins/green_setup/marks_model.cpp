#include "plugins/green_setup/marks_model.h"

#include "core/base/error.h"
#include "core/record/green_queries.h"
#include "core/survey/read_marks.h"
#include "plugins/green_setup/typed.h"

#include <algorithm>
#include <fmt/format.h>
#include <memory>

namespace brae::green_setup {

namespace {

constexpr std::size_t kLongestName = 24;

std::string trimmed(const std::string& text) {
    const auto first = text.find_first_not_of(" \t");
    return first == std::string::npos ? "" : text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

// M1, M2, ... whichever is free.
std::string free_name(const std::vector<ReferenceMark>& marks) {
    for (int n = 1;; ++n) {
        const std::string name = fmt::format("M{}", n);
        if (std::none_of(marks.begin(), marks.end(), [&](const ReferenceMark& m) { return m.name == name; })) return name;
    }
}

}  // namespace

const std::vector<ReferenceMark>& MarksModel::marks() const {
    static const std::vector<ReferenceMark> none;
    return now().green ? now().green->marks : none;
}

std::optional<std::size_t> MarksModel::selected() const {
    const auto& all = marks();
    for (std::size_t k = 0; k < all.size(); ++k)
        if (!selected_.empty() && all[k].name == selected_) return k;
    return std::nullopt;
}

void MarksModel::select(std::optional<std::size_t> mark) {
    message_.clear();
    services_.document.redraw();
    if (!mark || *mark >= marks().size()) {
        selected_.clear();
        form_ = {};
        return;
    }
    const ReferenceMark& m = marks()[*mark];
    selected_ = m.name;
    form_ = {m.name, m.description, text_of({m.p.x, m.p.y}), fmt::format("{:.3f}", m.p.z)};
}

void MarksModel::refresh() {
    if (selected_.empty()) return;
    const std::string words = message_;
    select(selected());
    message_ = words;
}

// Of the ground there, or of the edge nearest to it.
double MarksModel::ground_height(Vec2 p) const {
    const TerrainModel& t = *now().green->terrain;
    const Vec2 q = t.outline.contains(p) ? p : t.outline.nearest_edge_point(p);
    return t.surface->height(q.x, q.y);
}

void MarksModel::propose(std::vector<ReferenceMark> changed, std::string sentence, const std::string& select_name, std::string done) {
    plugin::GreenEdit edit;
    edit.ask = false;
    edit.sentence = std::move(sentence);
    edit.marks = std::move(changed);
    edit.answered = [this, select_name, done = std::move(done)](bool kept) {
        if (!kept) return;
        // The list of this frame is still the old one: the form follows by name.
        selected_ = select_name;
        if (select_name.empty()) form_ = {};
        message_ = done;
    };
    services_.edits.propose(std::move(edit));
}

void MarksModel::store_form() {
    if (!now().green) return;
    const auto at = selected();
    try {
        // Every part of the form is looked at before anything changes.
        std::vector<ReferenceMark> changed = marks();
        ReferenceMark mark = at ? changed[*at] : ReferenceMark{};
        mark.name = trimmed(form_.name);
        if (mark.name.empty()) mark.name = at ? selected_ : free_name(changed);
        if (mark.name.size() > kLongestName) throw Error(fmt::format("the name '{}' has {} letters; at most {} are wanted", mark.name, mark.name.size(), kLongestName));
        for (std::size_t k = 0; k < changed.size(); ++k)
            if (k != at && changed[k].name == mark.name)
                throw Error(fmt::format("there is a mark '{}' already, at ({}); another name is wanted", mark.name, text_of({changed[k].p.x, changed[k].p.y})));
        mark.description = trimmed(form_.description);
        // A place that was not touched keeps all of its digits.
        if (!at || form_.place != text_of({mark.p.x, mark.p.y})) {
            const Vec2 p = place_from(form_.place, now().green->terrain->frame);
            if (const double off = -now().green->terrain->outline.signed_distance(p); off > 100)
                throw Error(fmt::format("({}) lies {:.0f} m outside the green; a mark within 100 m is wanted", text_of(p), off));
            for (std::size_t k = 0; k < changed.size(); ++k)
                if (k != at && distance(p, Vec2{changed[k].p.x, changed[k].p.y}) < 0.05)
                    throw Error(fmt::format("the mark '{}' is at ({}) already; marks at least 5 cm apart are wanted", changed[k].name, text_of(p)));
            mark.p = {p.x, p.y, ground_height(p)};
        }
        if (const std::string height = trimmed(form_.height); !height.empty() && (!at || height != fmt::format("{:.3f}", changed[*at].p.z)))
            mark.p.z = height_from(height);
        if (at) changed[*at] = mark;
        else changed.push_back(mark);
        const std::string name = mark.name;
        propose(std::move(changed), fmt::format("Keep the mark '{}'?", name), at ? name : "", fmt::format("The mark '{}' is {}.", name, at ? "changed" : "added"));
    } catch (const Error& e) {
        message_ = e.what();
    }
}

void MarksModel::remove_selected() {
    const auto at = selected();
    if (!at) return;
    std::vector<ReferenceMark> changed = marks();
    const std::string name = changed[*at].name;
    changed.erase(changed.begin() + static_cast<std::ptrdiff_t>(*at));
    propose(std::move(changed), fmt::format("Take the mark '{}' away?", name), "", fmt::format("The mark '{}' is gone. Undo brings it back.", name));
}

void MarksModel::ask_click(bool move) {
    if (!now().green) return;
    plugin::GroundTool tool;
    tool.prompt = move ? "Click where the mark '" + selected_ + "' is" : "Click where the fixed thing is";
    tool.press = [this, move](const plugin::Pointer& at) {
        form_.place = text_of(at.p);
        form_.height = fmt::format("{:.3f}", ground_height(at.p));
        message_.clear();
        services_.tools.put_down();
        if (move && selected()) store_form();
        return true;
    };
    services_.tools.take(std::move(tool));
}

void MarksModel::click_to_add() {
    const MarkForm kept = selected() ? MarkForm{} : form_;
    select(std::nullopt);
    form_ = kept;
    if (now().green && form_.name.empty()) form_.name = free_name(marks());
    ask_click(false);
}

void MarksModel::click_to_move() {
    if (selected()) ask_click(true);
}

void MarksModel::import_file() {
    if (!now().green) return;
    services_.files.ask_open("Reference marks from a list (CSV, TXT)", [this](const std::filesystem::path& file) {
        if (!now().green) return;
        plugin::Job job;
        job.key = "import";
        job.title = "Reading marks";
        job.work = [this, file, frame = now().green->terrain->frame](Progress& progress) -> std::function<void()> {
            return [this, file, read = read_marks(file, frame, progress)] { take_over(read, file.filename().string()); };
        };
        job.failed = [this](const std::string& sentence) { message_ = sentence; };
        services_.jobs.start(std::move(job));
    });
}

void MarksModel::take_over(const std::vector<ReferenceMark>& read, const std::string& file) {
    std::vector<ReferenceMark> changed = marks();
    std::size_t added = 0, replaced = 0;
    for (const ReferenceMark& m : read) {
        const auto same = std::find_if(changed.begin(), changed.end(), [&](const ReferenceMark& o) { return o.name == m.name; });
        if (same == changed.end()) changed.push_back(m), ++added;
        else if (!(*same == m)) *same = m, ++replaced;
    }
    if (added + replaced == 0) {
        message_ = "the list brings nothing new";
        return;
    }
    plugin::GreenEdit edit;
    edit.sentence = fmt::format("Keep {} new mark{} from {}?", added, added == 1 ? "" : "s", file);
    if (replaced > 0) edit.sentence += fmt::format(" {} of the same name {} replaced.", replaced, replaced == 1 ? "is" : "are");
    edit.marks = std::move(changed);
    edit.answered = [this, added, replaced](bool kept) {
        if (kept) message_ = fmt::format("{} added, {} replaced.", added, replaced);
    };
    services_.edits.propose(std::move(edit));
}

const MarkGeometry* MarksModel::geometry() {
    if (!now().green) return nullptr;
    if (judged_revision_ == now().revision) return geometry_ ? &*geometry_ : nullptr;
    if (services_.jobs.progress("geometry")) return geometry_ ? &*geometry_ : nullptr;
    plugin::Job job;
    job.key = "geometry";
    job.title = "Judging the marks";
    job.work = [this, terrain = now().green->terrain, points = tape_points(*now().green), revision = now().revision](Progress& progress) -> std::function<void()> {
        const MarkGeometry made = mark_geometry(terrain->outline, points, progress);
        return [this, made, revision] {
            geometry_ = made;
            judged_revision_ = revision;
        };
    };
    // A failure is told once.
    job.failed = [this, revision = now().revision](const std::string& sentence) {
        message_ = sentence;
        geometry_.reset();
        judged_revision_ = revision;
    };
    services_.jobs.start(std::move(job));
    return geometry_ ? &*geometry_ : nullptr;
}

void MarksModel::clear() {
    selected_.clear();
    form_ = {};
    message_.clear();
    geometry_.reset();
    judged_revision_ = 0;
}

}  // namespace brae::green_setup
