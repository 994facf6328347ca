// One running program, with or without a window: document, read, layers, plugins, camera, and what the user chose.
// No GL and no window here; panels draw it, render shows its scene.
#pragma once

#include "app/document/document.h"
#include "app/document/file_watch.h"
#include "app/plugin_host/host.h"
#include "app/read/background.h"
#include "app/read/green_map.h"
#include "app/read/ground_layers.h"
#include "app/read/putt_insight.h"
#include "app/read/read_keeper.h"
#include "app/scene/camera.h"
#include "app/scene/green_scene.h"
#include "core/plan/survey_quality.h"

#include <atomic>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace brae::app {

enum class Tool { look, put_ball, put_hole, put_back };

// A wish for a file name, which the file browser answers.
struct FileWish {
    std::string title, name, extension;      // extension "" when opening
    bool saving = false;
    std::function<void(std::filesystem::path)> chosen;
    std::vector<std::string> endings{};      // of the files to choose from; none: what the program opens
};

class Session {
public:
    // settings_file: empty for none (tests, pictures).
    explicit Session(std::filesystem::path settings_file = {});
    ~Session();

    // Opens in the background; the outcome is taken in by a later begin_frame. An error leaves what was open. A green file's
    // edit lock is taken where it is free, or forsaken and `take_forsaken`; else the green is read-only and followed.
    void open(const std::filesystem::path& file, bool take_forsaken = false);
    // Stops what the user waits for (opening, reading the survey again); what was open stays.
    void cancel_wait();
    // Looks whether another process has changed the open green's file or given back its lock, and takes that in by a later
    // begin_frame. The window calls it whenever the file changes while it is read-only.
    void look_at_file();
    // A lock that may be taken over after a question; the answer.
    bool lock_question() const { return lock_question_; }
    void answer_lock_question(bool take_over);

    // Reads the survey again with these points kept, in the background, and renews the green and its file. Where a source has
    // moved or changed, says so and asks for it.
    void put_back(const PutBack& points);
    // The green file for a new name, written in the background.
    void save_as(const std::filesystem::path& file);
    // Opens a green that is at hand already.
    void take(Green green, const std::filesystem::path& file, bool stored);

    // Start of a frame: takes in finished work, updates the read, tells plugins what changed.
    void begin_frame(const Viewport& view);
    // Read and snapshot after changes made within the frame, so that a drag is followed at once.
    void refresh();
    // Scene of this frame, overlays of the plugins included. front: the plugin whose tab is in front.
    Scene scene(std::optional<std::size_t> front);

    // Ground under a pixel, and the display height of a point on it.
    std::optional<Vec2> under(double px, double py, const Viewport& view) const;
    // The same, also up to 20 m outside the edge, where the ground is taken to go on level with it.
    std::optional<Vec2> near_under(double px, double py, const Viewport& view) const;
    Vec3 display_point(Vec3 local) const;
    double height_over_ref(Vec2 p) const;

    void fit(const Viewport& view);
    void look_from_above(const Viewport& view);
    bool look_from_behind();                  // false while ball or hole is missing

    void undo();
    void redo();
    void confirm_edit(bool keep);             // answers the proposed edit
    // A confirmed edit: at once, or in the background where it brings another edge. Throws Error, with nothing changed, for what
    // cannot be, and while the edit before is still being kept.
    void apply(const plugin::GreenEdit& edit);
    void say(const std::string& sentence) { message = sentence; wake(); }
    void wake() { if (wake_) wake_(); }
    void set_wake(std::function<void()> wake);

    bool has_green() const { return document.now().green != nullptr; }
    const SurfaceMesh* surface() const { return surface_.get(); }
    const GroundLayers* layers() const { return layers_ ? &*layers_ : nullptr; }
    // What the survey is worth; null until it is worked out.
    const SurveyQuality* quality() const { return quality_ && quality_of_ == layers_of_ ? &*quality_ : nullptr; }
    // Why a plugin wants the read unseen for now, one sentence; empty: it is shown. Of this frame's refresh.
    const std::string& read_hidden() const { return read_hidden_; }
    bool opening() const { return !opening_.empty(); }
    const std::string& opening_name() const { return opening_; }

    Background background;
    Document document;
    ReadKeeper reads{background};
    GreenMapKeeper map{background};           // of the whole green, where it is chosen
    PuttInsight insight{background};
    PlayerFigures player;
    Camera camera;
    plugin::Units units = plugin::Units::metric;
    LayerChoice choice;
    Tool tool = Tool::look;
    std::optional<Box> put_back_box;          // while it is drawn, local metres
    std::optional<Vec2> cursor, pointer;      // the green under the mouse; also beside it, while a plugin's tool is in hand
    double foot_px = 0;                       // of the view, taken by the legend
    std::string message;                      // one sentence for the user, until put away
    std::optional<FileWish> file_wish;
    PluginHost host;

private:
    // What the first frame of a green needs, worked out beside the window.
    struct Ground {
        std::shared_ptr<const SurfaceMesh> surface;
        std::shared_ptr<const std::vector<Line>> outline;
    };
    static Ground ground_of(const TerrainModel& terrain);
    void take_prepared(Green green, const std::filesystem::path& file, bool stored, EditRights rights, Ground ground);
    void follow(Green green, Ground ground);
    // What a survey is read again for, and how to say that it was or was not done.
    struct AgainWish {
        PutBack points;
        std::optional<std::vector<Vec2>> edge;
        std::string done, not_done;   // sentences; `done` may be empty
    };
    void read_again(std::shared_ptr<const Green> green, const AgainWish& wish);
    // An edit in the background: the green that is made, its picture where it has another edge, the file, then `show` and the
    // answer. What is in the file within the patience of a frame is shown in that frame. not_done: how to say that it was not.
    struct EditWish {
        std::string title, not_done;
        bool new_edge = false;
        std::function<Green()> make;
        std::function<void(std::shared_ptr<Green>)> show;
        std::function<void(bool kept)> answered{};
    };
    void keep_edit(EditWish wish);
    void take_in_soon();
    void may_edit() const;                    // throws Error where the edit before still goes on, or the file is read-only
    void apply_beside(const plugin::GreenEdit& edit, std::function<void(bool)> answered);
    void end_edit(bool kept);                 // the answer, once
    void cancel_edit();
    void walk(bool back);                     // undo, or redo
    std::function<void(bool)> edit_answer_;
    std::atomic<bool> edit_in_file_{false};   // the file has it, and the window not yet
    void watch_file();
    void green_changed(bool fit_view, Ground ground = {});
    void start_layers();
    void start_quality();
    std::vector<plugin::Event> changes();

    std::shared_ptr<const SurfaceMesh> surface_;
    std::shared_ptr<const std::vector<Line>> outline_;
    std::optional<GroundLayers> layers_;
    const TerrainModel* layers_of_ = nullptr;
    std::optional<SurveyQuality> quality_;
    const TerrainModel* quality_of_ = nullptr;
    plugin::Units layers_units_ = plugin::Units::metric;
    plugin::Snapshot snapshot_;
    std::string opening_, read_hidden_;
    bool fit_wanted_ = false, lock_question_ = false;
    std::unique_ptr<FileWatch> watch_;
    std::atomic<bool> file_news_{false};
    std::function<void()> wake_;
    // What plugins were last told.
    DocumentValue told_;
    std::string told_id_;
    std::uint64_t told_revision_ = 0;
    plugin::Units told_units_ = plugin::Units::metric;
};

}  // namespace brae::app
