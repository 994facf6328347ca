// ImGui without a screen: a context, fonts, and input written into its fields, frame by frame.
#pragma once

#include "app/panels/theme.h"
#include "app/panels/workbench.h"
#include "app/session/session.h"
#include "tests/support/demo_green.h"
#include "tests/support/support.h"

#include <imgui.h>

namespace brae::test {

// A session with the demo green in a workbench of 1440 x 900, and no GL at all.
class Bench {
public:
    explicit Bench(bool with_green = true) {
        ImGui::CreateContext();
        ImGuiIO& io = ImGui::GetIO();
        io.IniFilename = nullptr;
        io.DisplaySize = {1440, 900};
        io.DeltaTime = 1.0f / 60;
        for (int k = 0; k < ImGuiKey_COUNT; ++k) io.KeyMap[k] = 300 + k;  // apart from the letters
        app::load_fonts(1);
        app::apply_theme(1);
        unsigned char* pixels = nullptr;
        int w = 0, h = 0;
        io.Fonts->GetTexDataAsAlpha8(&pixels, &w, &h);
        session = std::make_unique<app::Session>();
        session->reads.set_clock([] { return 0.0; });  // every read costs nothing, however busy the machine is
        bench = std::make_unique<app::Workbench>(*session);
        if (with_green) session->take(demo_green(), "demo.gpkg", false);
    }
    ~Bench() {
        bench.reset();
        session.reset();
        ImGui::DestroyContext();
    }
    Bench(const Bench&) = delete;
    Bench& operator=(const Bench&) = delete;

    // Returns the number of vertices that were drawn.
    int frame() {
        ImGui::NewFrame();
        bench->frame(1);
        ImGui::Render();
        return ImGui::GetDrawData()->TotalVtxCount;
    }
    void settle() {
        frame();
        session->background.wait_all();
        for (int k = 0; k < 3; ++k) frame();
    }
    void mouse(double x, double y) { ImGui::GetIO().MousePos = {static_cast<float>(x), static_cast<float>(y)}; }
    void button(bool down) { ImGui::GetIO().MouseDown[0] = down; }
    void key(char c, bool ctrl = false) {
        ImGui::GetIO().KeysDown[static_cast<int>(c)] = true;
        ImGui::GetIO().KeyCtrl = ctrl;
        frame();
        ImGui::GetIO().KeysDown[static_cast<int>(c)] = false;
        ImGui::GetIO().KeyCtrl = false;
        frame();
    }
    // Where a point of the green is on the screen.
    app::PixelPoint at(Vec2 p) {
        const double z = session->document.now().green->terrain->surface->height(p.x, p.y);
        return *session->camera.project(session->display_point({p.x, p.y, z}), bench->view());
    }

    std::unique_ptr<app::Session> session;
    std::unique_ptr<app::Workbench> bench;
};

}  // namespace brae::test
