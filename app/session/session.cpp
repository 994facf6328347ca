#include "app/session/session.h"

#include "app/scene/canvas.h"
#include "app/scene/draping.h"
#include "app/scene/picking.h"
#include "app/scene/surface_mesh.h"
#include "core/base/error.h"
#include "core/record/green_file.h"
#include "core/record/survey_again.h"
#include "plugins/api/panel_kit.h"

#include <utility>

namespace brae::app {

Session::Session(std::filesystem::path settings_file)
    : host(background,
           HostPorts{[this]() -> const plugin::Snapshot& { return snapshot_; }, [this] { wake(); },
                     [this](std::optional<Vec2> ball, std::optional<Vec2> hole, std::optional<double> past) {
                         return document.set_putt(ball, hole, past);
                     },
                     [this](const std::string& title, const std::string& name, const std::string& extension,
                            std::function<void(std::filesystem::path)> chosen) {
                         file_wish = FileWish{title, name, extension, true, std::move(chosen)};
                         wake();
                     },
                     [this](const std::string& title, std::function<void(std::filesystem::path)> chosen, const std::vector<std::string>& endings) {
                         file_wish = FileWish{title, "", "", false, std::move(chosen), endings};
                         wake();
                     },
                     [this](const std::string& sentence) { say(sentence); }},
           std::move(settings_file)) {}

Session::~Session() {
    watch_.reset();
    // Plugins go while everything that they may ask for is still there; then work that points here.
    background.set_wake({});
    wake_ = {};
    for (std::size_t k = host.count(); k-- > 0;) host.switch_off(k, "the program ends");
    for (const char* key : {"open", "survey", "edit", "save", "follow"}) background.cancel_and_wait(key);
    background.cancel_and_wait("read");
    background.cancel_and_wait("layers");
    background.cancel_and_wait("map");
    background.cancel_and_wait("best-pace");
    background.cancel_and_wait("chance");
}

void Session::set_wake(std::function<void()> wake) {
    // The thread that looks at the file calls it.
    watch_.reset();
    wake_ = wake;
    background.set_wake(std::move(wake));
}

Session::Ground Session::ground_of(const TerrainModel& terrain) {
    if (!terrain.surface || terrain.outline.empty()) return {};
    return {build_surface_mesh(terrain, display_step(terrain.outline.box())), outline_line(terrain)};
}

void Session::open(const std::filesystem::path& file, bool take_forsaken) {
    opening_ = file.filename().string();
    background.start(
        "open", "Opening " + opening_, true,
        [file, take_forsaken, this](Progress& progress) -> Background::TakeIn {
            // The lock first, so that what is read is what may be changed. Edits go straight into a green file; anything else
            // opens unsaved.
            EditRights rights;
            const bool stored = revision_of_file(file).value_or(0) > 0;
            if (stored) rights = rights_to(file, take_forsaken);
            Progress reading(progress, 0, 0.97);
            auto green = std::make_shared<Green>(open_green(file, reading));
            progress.step(0.97, "building the picture");
            Ground ground = ground_of(*green->terrain);
            return [this, green, file, stored, rights, ground] {
                opening_.clear();
                take_prepared(std::move(*green), file, stored && green->revision > 0, rights, ground);
            };
        },
        [this](const std::string& sentence) {
            opening_.clear();
            say(sentence);
        });
}

void Session::cancel_wait() {
    background.cancel("open");
    background.cancel("survey");
    cancel_edit();
    opening_.clear();
    wake();
}

void Session::take(Green green, const std::filesystem::path& file, bool stored) {
    Ground ground = green.terrain ? ground_of(*green.terrain) : Ground{};
    take_prepared(std::move(green), file, stored, {}, std::move(ground));
}

void Session::take_prepared(Green green, const std::filesystem::path& file, bool stored, EditRights rights, Ground ground) {
    message.clear();
    if (!green.terrain || !green.terrain->surface || green.terrain->outline.empty()) {
        say(file.filename().string() + " holds no surface to show");
        return;
    }
    // Work on the green that was open ends with it.
    for (const char* key : {"survey", "save", "follow"}) background.cancel(key);
    cancel_edit();
    lock_question_ = rights.forsaken;
    document.open(std::move(green), file, stored, std::move(rights));
    tool = Tool::look;
    host.end_tool();
    host.end_pick();
    put_back_box.reset();
    watch_file();
    green_changed(true, std::move(ground));
}

void Session::watch_file() {
    watch_.reset();
    file_news_ = false;
    // Only a window that is awake is told; tests look themselves.
    if (!wake_ || document.read_only().empty()) return;
    watch_ = std::make_unique<FileWatch>(document.file(), [this] {
        file_news_ = true;
        wake();
    });
}

void Session::look_at_file() {
    if (!has_green() || !document.stored()) return;
    background.start("follow", "", false, [this, file = document.file(), now = document.now().green](Progress&) -> Background::TakeIn {
        const bool free = edit_lock_of(file).state == LockState::free;
        auto rights = std::make_shared<std::optional<EditRights>>();
        if (free) *rights = rights_to(file);
        std::shared_ptr<Green> green;
        Ground ground;
        if (revision_of_file(file) != now->revision) {
            green = std::make_shared<Green>(read_green_file(file));
            ground = ground_of(*green->terrain);
        }
        return [this, file, rights, green, ground] {
            if (document.file() != file) return;
            if (*rights) {
                document.set_rights(std::move(**rights));
                watch_file();
            }
            // Another green under the same name is opened, not followed.
            if (green && green->id != document.now().green->id) return take_prepared(std::move(*green), file, true, document.rights(), ground);
            // What is older than what is shown was read before an edit of ours.
            if (green && green->revision > document.now().green->revision) follow(std::move(*green), ground);
        };
    });
}

void Session::answer_lock_question(bool take_over) {
    lock_question_ = false;
    if (take_over) open(document.file(), true);
}

void Session::follow(Green green, Ground ground) {
    document.follow(std::move(green));
    green_changed(false, std::move(ground));
}

void Session::put_back(const PutBack& points) {
    const auto green = document.now().green;
    if (!green) return;
    if (!document.read_only().empty()) return say(document.read_only());
    read_again(green, {points, std::nullopt, "", "The points were not put back"});
}

void Session::read_again(std::shared_ptr<const Green> green, const AgainWish& wish) {
    // A source that has moved or changed is asked for, and then taken as it is.
    if (green->record.known()) {
        if (const auto fault = source_fault(green->record)) {
            say(plugin::kit::capital(fault->sentence));
            file_wish = FileWish{"Which file is " + fault->source.file.filename().string() + " now?", "", "", false,
                                 [this, green, wish, source = fault->source](std::filesystem::path file) {
                                     message.clear();
                                     auto moved = std::make_shared<Green>(*green);
                                     try {
                                         moved->record = with_source(moved->record, source, file);
                                     } catch (const std::exception& e) {
                                         return say(e.what());
                                     }
                                     read_again(moved, wish);
                                 }};
            return wake();
        }
    }
    background.start(
        "survey", "Reading the survey again", true,
        [this, green, wish, stored = document.stored(), file = document.file(), id = document.revision()](Progress& progress) -> Background::TakeIn {
            Progress reading(progress, 0, 0.93), writing(progress, 0.93, 0.97);
            auto fresh = std::make_shared<Green>(survey_again(*green, wish.points, reading, nullptr, wish.edge));
            if (stored) write_green_file(*fresh, file, writing, green->revision);
            // Who cancels from here on has the new file all the same, and is shown it.
            if (stored) file_news_ = true;
            progress.step(0.97, "building the picture");
            Ground ground = ground_of(*fresh->terrain);
            return [this, fresh, ground, wish, id, stored] {
                if (document.revision() != id && !stored) return say(wish.not_done + ": the green was changed meanwhile; do it once more");
                follow(std::move(*fresh), ground);
                if (!wish.done.empty()) say(wish.done);
            };
        },
        [this, wish](const std::string& sentence) { say(wish.not_done + ": " + sentence); });
}

void Session::save_as(const std::filesystem::path& file) {
    if (!has_green()) return;
    background.start(
        "save", "Saving " + file.filename().string(), true,
        [this, file, green = document.now().green, id = document.revision()](Progress& progress) -> Background::TakeIn {
            auto stored = std::make_shared<Green>(*green);
            write_green_file(*stored, file, progress);
            auto rights = std::make_shared<EditRights>(rights_to(file));
            return [this, file, rights, id] {
                if (document.revision() != id) return say("Saved: " + file.string() + ", without the changes that came meanwhile");
                document.saved_as(file, std::move(*rights));
                watch_file();
                say("Saved: " + file.string());
            };
        },
        [this](const std::string& sentence) { say("Not saved: " + sentence); });
}

void Session::green_changed(bool fit_view, Ground ground) {
    // The ground itself is the same after an edit of what lies on it.
    const auto green = document.now().green;
    if (layers_of_ == green->terrain.get()) return;
    layers_of_ = green->terrain.get();
    const TerrainModel& terrain = *green->terrain;
    if (!ground.surface) ground = ground_of(terrain);
    surface_ = std::move(ground.surface);
    outline_ = std::move(ground.outline);
    layers_.reset();
    fit_wanted_ = fit_view;
    start_layers();
    start_quality();
}

void Session::start_quality() {
    // Some putts over the green, after what is waited for.
    background.start("quality", "", false, [this, keep = document.now().green->terrain](Progress& progress) -> Background::TakeIn {
        auto quality = std::make_shared<SurveyQuality>(survey_quality(*keep, progress));
        return [this, keep, quality] {
            quality_ = std::move(*quality);
            quality_of_ = keep.get();
        };
    });
}

void Session::start_layers() {
    // Contours and fall lines come when they are ready; contours are round in the units of the window.
    layers_units_ = units;
    background.start(
        "layers", "Drawing contours and fall lines", false,
        [this, keep = document.now().green->terrain, z_range = surface_->z_range, units = units](Progress& progress) -> Background::TakeIn {
            auto layers = std::make_shared<GroundLayers>(work_out_layers(*keep, z_range, units, progress));
            return [this, keep, layers] { if (layers_of_ == keep.get()) layers_ = std::move(*layers); };
        },
        [this](const std::string& sentence) { say("Contours and fall lines could not be drawn: " + sentence); });
}

std::vector<plugin::Event> Session::changes() {
    std::vector<plugin::Event> out;
    const DocumentValue& now = document.now();
    const std::string id = now.green ? now.green->id : "";
    if (document.revision() != told_revision_) {
        const bool same = told_.green && now.green && told_.green->terrain->surface == now.green->terrain->surface;
        out.push_back(same ? plugin::Event::green_changed : plugin::Event::green_opened);
    }
    if (now.ball != told_.ball) out.push_back(plugin::Event::ball_moved);
    if (now.hole != told_.hole) out.push_back(plugin::Event::hole_moved);
    if (now.green_speed_ft != told_.green_speed_ft) out.push_back(plugin::Event::speed_changed);
    if (now.past_m != told_.past_m) out.push_back(plugin::Event::pace_changed);
    if (units != told_units_) out.push_back(plugin::Event::units_changed);
    told_ = now;
    told_id_ = id;
    told_revision_ = document.revision();
    told_units_ = units;
    return out;
}

void Session::refresh() {
    const DocumentValue& now = document.now();
    if (now.green && layers_of_ && layers_of_ != now.green->terrain.get()) green_changed(false);  // another outline
    if (now.green && surface_ && layers_units_ != units) start_layers();
    reads.update(now);
    map.update(now, choice.ground, units);
    insight.update(now, reads.answer(), player, reads.complete() && reads.current() && !document.in_gesture());
    read_hidden_ = now.green ? host.hides_read() : "";
    snapshot_ = {now.green, document.revision(), now.ball, now.hole, now.green_speed_ft, now.past_m, units, cursor,
                 pointer, read_hidden_.empty() ? reads.answer() : nullptr};
}

void Session::begin_frame(const Viewport& view) {
    refresh();
    if (file_news_.exchange(false)) look_at_file();
    background.take_in();
    if (fit_wanted_ && view.width > 8 && surface_) {
        fit(view);
        fit_wanted_ = false;
    }
    refresh();
    for (plugin::Event event : changes()) host.send(event);
    refresh();
}

Scene Session::scene(std::optional<std::size_t> front) {
    const DocumentValue& now = document.now();
    // A read that is hidden is in no picture, and neither is a map of such reads.
    const bool hidden = !read_hidden_.empty();
    LayerChoice shown = choice;
    if (hidden && is_read_map(shown.ground)) shown.ground = GroundColour::slope;
    Scene out = build_scene({now, surface_, outline_, layers(), hidden ? nullptr : reads.answer().get(), units, shown, map.raster(), map.gaps()});
    if (!now.green) return out;
    if (put_back_box) {
        const Box& b = *put_back_box;
        out.lines.push_back({drape(*now.green->terrain, {{b.x0, b.y0}, {b.x1, b.y0}, {b.x1, b.y1}, {b.x0, b.y1}, {b.x0, b.y0}}),
                             {plugin::ink::violet, 1.8f, plugin::Dash::dashed}, 1.6f, 1, true});
    }
    const auto keep = now.green;
    for (std::size_t k = 0; k < host.count(); ++k) {
        if (front != k && !host.item(k).show_always) continue;
        // A map of the read that was chosen stays under what a plugin draws.
        SceneCanvas canvas(out, *keep->terrain, front == k && !is_read_map(shown.ground));
        host.draw_overlay(k, canvas);
    }
    return out;
}

std::optional<Vec2> Session::under(double px, double py, const Viewport& view) const {
    if (!has_green() || !surface_) return std::nullopt;
    return pick(*document.now().green->terrain, surface_->z_ref, surface_->z_range, camera.exaggeration(),
                camera.ray(px, py, view));
}

std::optional<Vec2> Session::near_under(double px, double py, const Viewport& view) const {
    if (const auto p = under(px, py, view)) return p;
    if (!has_green() || !surface_) return std::nullopt;
    return pick_beside(*document.now().green->terrain, surface_->z_ref, camera.exaggeration(), camera.ray(px, py, view));
}

Vec3 Session::display_point(Vec3 p) const {
    return {p.x, p.y, surface_ ? (p.z - surface_->z_ref) * camera.exaggeration() : 0};
}

double Session::height_over_ref(Vec2 p) const {
    return document.now().green->terrain->surface->height(p.x, p.y) - surface_->z_ref;
}

void Session::fit(const Viewport& view) {
    if (surface_) camera.fit(points_to_fit(*document.now().green->terrain, *surface_, document.now().green->marks), view, foot_px);
}
void Session::look_from_above(const Viewport& view) {
    if (surface_) camera.look_from_above(points_to_fit(*document.now().green->terrain, *surface_, document.now().green->marks), view, foot_px);
}
bool Session::look_from_behind() {
    const DocumentValue& now = document.now();
    if (!now.green || !now.ball || !now.hole) return false;
    camera.look_from_behind(*now.ball, height_over_ref(*now.ball), *now.hole, height_over_ref(*now.hole));
    return true;
}

}  // namespace brae::app
