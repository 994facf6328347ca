#include "app/render/picture.h"

#include "app/panels/theme.h"
#include "app/panels/view_marks.h"
#include "app/read/green_map.h"
#include "app/read/ground_layers.h"
#include "app/render/renderer.h"
#include "app/scene/surface_mesh.h"
#include "core/base/error.h"
#include "plugins/api/panel_kit.h"

#include <backends/imgui_impl_opengl3.h>
#include <epoxy/gl.h>
#include <imgui.h>

namespace brae::app {
namespace {

namespace kit = plugin::kit;

// An ImGui of its own for one picture; a context that was there comes back.
class PictureText {
public:
    PictureText(int width, int height, float scale) : before_(ImGui::GetCurrentContext()), own_(ImGui::CreateContext()) {
        ImGui::SetCurrentContext(own_);
        ImGuiIO& io = ImGui::GetIO();
        io.IniFilename = nullptr;
        io.DisplaySize = {static_cast<float>(width), static_cast<float>(height)};
        io.DeltaTime = 1.0f / 60;
        load_fonts(scale);
        apply_theme(scale);
        ImGui_ImplOpenGL3_Init("#version 330 core");
    }
    ~PictureText() {
        ImGui_ImplOpenGL3_Shutdown();
        ImGui::DestroyContext(own_);
        ImGui::SetCurrentContext(before_);
    }
    PictureText(const PictureText&) = delete;
    PictureText& operator=(const PictureText&) = delete;

private:
    ImGuiContext *before_, *own_;
};

// Name, then the day's numbers and the read, in two quiet lines.
void draw_caption(ImDrawList& list, const Green& green, const PictureOptions& options, const PuttAnswer* answer, bool putt) {
    const float s = options.scale;
    const ImVec2 at{20 * s, 16 * s};
    ImFont* title = kit::title_font();
    list.AddText(title, title->FontSize, at, kInk, green.name.empty() ? "Unnamed green" : green.name.c_str());
    std::string words;
    if (putt) {
        words = "green speed " + kit::number("%.1f", options.green_speed_ft, "ft") + ", pace " +
                (options.units == plugin::Units::metric ? kit::number("%.0f", 100 * options.past_m, "cm") : kit::number("%.1f", inches_from_metres(options.past_m), "in")) + " past";
        if (answer && !answer->solutions.empty())
            words += "  \u00b7  " + kit::distance(distance(*options.ball, *options.hole), options.units) + ", " +
                     aim_words(answer->solutions.front(), options.units) + ", " + to_text(answer->solutions.front().side);
        else if (answer) words += "  \u00b7  " + answer->why_none;
    }
    list.AddText({at.x, at.y + title->FontSize + 5 * s}, kQuietInk, words.c_str());
}

}  // namespace

std::optional<ViewKind> view_of_words(const std::string& words) {
    if (words == "fit") return ViewKind::orbit;
    if (words == "above") return ViewKind::above;
    if (words == "behind") return ViewKind::behind_ball;
    return std::nullopt;
}

render::Pixels picture_pixels(const Green& green, const PictureOptions& asked, Progress& progress) {
    PictureOptions options = asked;
    if (options.width < 200 || options.height < 200 || options.width > 8192 || options.height > 8192)
        throw usage_error("a picture of " + std::to_string(options.width) + " x " + std::to_string(options.height) + " pixels was asked for; 200 to 8192 each way is wanted");
    if (!green.terrain || !green.terrain->surface) throw Error("the green has no surface to draw");
    const TerrainModel& terrain = *green.terrain;
    if (!options.hole && green.todays_hole()) options.hole = green.todays_hole()->p;
    for (const auto& [p, what] : {std::pair{options.ball, "ball"}, std::pair{options.hole, "hole"}})
        if (p && !terrain.outline.contains(*p)) throw usage_error(std::string("the ") + what + " lies off the green");
    const bool putt = options.ball && options.hole;
    if (options.view == ViewKind::behind_ball && !putt) throw usage_error("a view from behind the ball wants a ball and a hole");

    // The scene, as in the window.
    progress.step(0.05, "surface");
    const auto surface = build_surface_mesh(terrain, display_step(terrain.outline.box()));
    Progress layers_progress([&](double f, const std::string& stage) { progress.step(0.1 + 0.5 * f, stage); });
    const GroundLayers layers = work_out_layers(terrain, surface->z_range, options.units, layers_progress);
    PuttAnswer answer;
    if (putt) {
        PuttOptions putt_options;
        putt_options.window = false;
        putt_options.green_speed_sigma_ft = 0;
        answer = solve_putt(*terrain.surface, terrain.outline, {*options.ball, *options.hole, options.green_speed_ft, options.past_m}, putt_options);
    }
    // The map of every ball spot.
    std::optional<plugin::OverlayRaster> map;
    bool gaps = false;
    if (is_read_map(options.choice.ground)) {
        if (!options.hole) throw usage_error("a map of reads wants a hole");
        progress.step(0.6, "reads");
        const GreenReads reads = read_green(*terrain.surface, terrain.outline, {*options.hole, options.green_speed_ft, options.past_m}, {}, progress);
        if (!reads.why_none.empty()) throw Error(reads.why_none);
        gaps = reads.solved < reads.spots;
        map = read_map_picture(reads, options.choice.ground, options.units);
    }
    progress.step(0.7, "drawing");
    DocumentValue document;
    document.green = std::make_shared<const Green>(green);
    document.ball = options.ball;
    document.hole = options.hole;
    document.green_speed_ft = options.green_speed_ft;
    document.past_m = options.past_m;
    const Scene scene = build_scene({document, surface, outline_line(terrain), &layers, putt ? &answer : nullptr, options.units, options.choice, map ? &*map : nullptr, gaps});

    // The camera leaves room for the caption.
    const Viewport view{0, 0, static_cast<double>(options.width), static_cast<double>(options.height)};
    Camera camera;
    const double foot = static_cast<double>(86 * options.scale), head = options.caption ? static_cast<double>(64 * options.scale) : 0;
    camera.set_exaggeration(options.exaggeration);
    const auto over = [&](Vec2 p) { return terrain.surface->height(p.x, p.y) - surface->z_ref; };
    if (options.view == ViewKind::orbit) camera.fit(points_to_fit(terrain, *surface, green.marks), view, foot, head);
    if (options.view == ViewKind::above) camera.look_from_above(points_to_fit(terrain, *surface, green.marks), view, foot, head);
    if (options.view == ViewKind::behind_ball) camera.look_from_behind(*options.ball, over(*options.ball), *options.hole, over(*options.hole));

    // Pixels.
    const render::HeadlessContext context;
    const render::Framebuffer frame(options.width, options.height);
    render::Renderer renderer;
    const PictureText text(options.width, options.height, options.scale);
    ImGui_ImplOpenGL3_NewFrame();
    ImGui::NewFrame();
    ImDrawList& list = *ImGui::GetBackgroundDrawList();
    draw_view_marks(list, {scene, camera, view, options.scale, options.units, options.choice.contours ? layers.contour_interval_m : 0, options.choice.fall_lines});
    if (options.caption) draw_caption(list, green, options, putt ? &answer : nullptr, putt);
    ImGui::Render();
    renderer.draw(scene, camera, view, options.width, options.height, options.scale);
    glViewport(0, 0, options.width, options.height);
    ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
    render::Pixels pixels = render::read_pixels(options.width, options.height);
    progress.step(0.95, "writing");
    return pixels;
}

void render_picture(const Green& green, const PictureOptions& options, const std::filesystem::path& file, Progress& progress) {
    render::write_png(picture_pixels(green, options, progress), file);
}

}  // namespace brae::app
