#include "app/session/session.h"

#include "app/scene/canvas.h"
#include "app/scene/draping.h"
#include "app/scene/picking.h"
#include "app/scene/surface_mesh.h"
#include "core/base/error.h"
#include "core/record/green_file.h"

namespace brae::app {

Session::Session(std::filesystem::path settings_file)
    : host(background,
           HostPorts{[this]() -> const plugin::Snapshot& { return snapshot_; }, [this] { wake(); },
                     [this](std::optional<Vec2> ball, std::optional<Vec2> hole, std::optional<double> past) {
                         return document.set_putt(ball, hole, past);
                     },
                     [this](const std::string& name, const std::string& extension,
                            std::function<void(std::filesystem::path)> chosen) {
                         file_wish = FileWish{"Export", name, extension, true, std::move(chosen)};
                         wake();
                     },
                     [this](const std::string& title, std::function<void(std::filesystem::path)> chosen) {
                         file_wish = FileWish{title, "", "", false, std::move(chosen)};
                         wake();
                     },
                     [this](const std::string& sentence) { say(sentence); }},
           std::move(settings_file)) {}

Session::~Session() {
    // Plugins go while everything that they may ask for is still there; then work that points here.
    background.set_wake({});
    wake_ = {};
    for (std::size_t k = host.count(); k-- > 0;) host.switch_off(k, "the program ends");
    background.cancel_and_wait("open");
    background.cancel_and_wait("read");
    background.cancel_and_wait("layers");
    background.cancel_and_wait("map");
    background.cancel_and_wait("best-pace");
    background.cancel_and_wait("chance");
}

void Session::set_wake(std::function<void()> wake) {
    wake_ = wake;
    background.set_wake(std::move(wake));
}

void Session::open(const std::filesystem::path& file) {
    opening_ = file.filename().string();
    background.start(
        "open", "Opening " + opening_, true,
        [this, file](Progress& progress) -> Background::TakeIn {
            auto green = std::make_shared<Green>(open_green(file, progress));
            return [this, green, file] {
                opening_.clear();
                // Edits go straight into a green file; anything else opens unsaved.
                take(std::move(*green), file, file.extension() == ".gpkg" && green->revision > 0);
            };
        },
        [this](const std::string& sentence) {
            opening_.clear();
            say(sentence);
        });
}

void Session::take(Green green, const std::filesystem::path& file, bool stored) {
    message.clear();
    if (!green.terrain || !green.terrain->surface || green.terrain->outline.empty()) {
        say(file.filename().string() + " holds no surface to show");
        return;
    }
    document.open(std::move(green), file, stored);
    tool = Tool::look;
    host.end_tool();
    host.end_pick();
    green_changed(true);
}

void Session::green_changed(bool fit_view) {
    // The ground itself is the same after an edit of what lies on it.
    const auto green = document.now().green;
    if (layers_of_ == green->terrain.get()) return;
    layers_of_ = green->terrain.get();
    const TerrainModel& terrain = *green->terrain;
    surface_ = build_surface_mesh(terrain, display_step(terrain.outline.box()));
    outline_ = outline_line(terrain);
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
    snapshot_ = {now.green, document.revision(), now.ball, now.hole, now.green_speed_ft, now.past_m, units, cursor,
                 pointer, reads.answer()};
}

void Session::begin_frame(const Viewport& view) {
    refresh();
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
    Scene out = build_scene({now, surface_, outline_, layers(), reads.answer().get(), units, choice, map.raster(), map.gaps()});
    if (!now.green) return out;
    const auto keep = now.green;
    for (std::size_t k = 0; k < host.count(); ++k) {
        if (front != k && !host.item(k).show_always) continue;
        // A map of the read that was chosen stays under what a plugin draws.
        SceneCanvas canvas(out, *keep->terrain, front == k && !is_read_map(choice.ground));
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

void Session::undo() {
    try {
        document.undo();
    } catch (const std::exception& e) {
        say(std::string("Not undone: ") + e.what());
    }
}
void Session::redo() {
    try {
        document.redo();
    } catch (const std::exception& e) {
        say(std::string("Not done again: ") + e.what());
    }
}

void Session::confirm_edit(bool keep) {
    const plugin::GreenEdit* edit = host.proposed();
    if (!edit) return;
    if (keep) {
        try {
            document.apply(*edit);
        } catch (const std::exception& e) {
            say(std::string("Not kept: ") + e.what());
            keep = false;
        }
    }
    host.answer(keep);
}

}  // namespace brae::app
