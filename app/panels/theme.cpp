#include "app/panels/theme.h"

#include <filesystem>
#include <imgui_freetype.h>

namespace brae::app {
namespace {

constexpr const char* kInter = "/usr/share/fonts/opentype/inter/";
constexpr const char* kDejaVu = "/usr/share/fonts/truetype/dejavu/";

ImVec4 rgb(int r, int g, int b, float a = 1) {
    return {static_cast<float>(r) / 255.0f, static_cast<float>(g) / 255.0f, static_cast<float>(b) / 255.0f, a};
}

}  // namespace

void load_fonts(float scale) {
    ImGuiIO& io = ImGui::GetIO();
    io.Fonts->FontBuilderIO = ImGuiFreeType::GetBuilderForFreeType();
    // Latin, Greek, punctuation, arrows and signs.
    static const ImWchar ranges[] = {0x20, 0x17F, 0x370, 0x3FF, 0x2000, 0x22FF, 0};
    const auto add = [&](const std::string& file, float px) {
        std::error_code ignored;
        if (!std::filesystem::exists(file, ignored) ||
            !io.Fonts->AddFontFromFileTTF(file.c_str(), px * scale, nullptr, ranges)) {
            ImFontConfig config;
            config.SizePixels = px * scale;
            io.Fonts->AddFontDefault(&config);
        }
    };
    add(std::string(kInter) + "Inter-Regular.otf", 15);
    add(std::string(kDejaVu) + "DejaVuSans.ttf", 13.5f);  // digits of one width, so numbers line up
    add(std::string(kInter) + "Inter-SemiBold.otf", 15);
    add(std::string(kInter) + "Inter-SemiBold.otf", 22);
    add(std::string(kInter) + "Inter-Regular.otf", 13.5f);
    add(std::string(kDejaVu) + "DejaVuSans.ttf", 11.5f);
}

void apply_theme(float scale) {
    ImGuiStyle style;
    style.WindowPadding = {16, 12};
    style.FramePadding = {9, 5};
    style.ItemSpacing = {8, 5};
    style.ItemInnerSpacing = {7, 5};
    style.ScrollbarSize = 10;
    style.GrabMinSize = 14;
    style.WindowRounding = style.ChildRounding = 0;
    style.FrameRounding = style.GrabRounding = 4;
    style.PopupRounding = 6;
    style.ScrollbarRounding = 5;
    style.WindowBorderSize = 0;
    style.ChildBorderSize = 0;
    style.FrameBorderSize = 1;
    style.PopupBorderSize = 1;
    style.WindowMinSize = {8, 8};
    style.DisabledAlpha = 0.45f;

    // Paper, ink, one accent.
    ImVec4* c = style.Colors;
    c[ImGuiCol_Text] = rgb(31, 37, 41);
    c[ImGuiCol_TextDisabled] = rgb(98, 106, 112);
    c[ImGuiCol_WindowBg] = rgb(252, 252, 250);
    c[ImGuiCol_ChildBg] = rgb(252, 252, 250, 0);
    c[ImGuiCol_PopupBg] = rgb(253, 253, 252);
    c[ImGuiCol_Border] = rgb(214, 218, 214);
    c[ImGuiCol_BorderShadow] = rgb(0, 0, 0, 0);
    c[ImGuiCol_FrameBg] = rgb(255, 255, 255);
    c[ImGuiCol_FrameBgHovered] = rgb(244, 247, 248);
    c[ImGuiCol_FrameBgActive] = rgb(236, 242, 245);
    c[ImGuiCol_TitleBg] = c[ImGuiCol_TitleBgActive] = c[ImGuiCol_TitleBgCollapsed] = rgb(244, 245, 243);
    c[ImGuiCol_MenuBarBg] = rgb(244, 245, 243);
    c[ImGuiCol_ScrollbarBg] = rgb(252, 252, 250, 0);
    c[ImGuiCol_ScrollbarGrab] = rgb(208, 212, 208);
    c[ImGuiCol_ScrollbarGrabHovered] = rgb(180, 186, 182);
    c[ImGuiCol_ScrollbarGrabActive] = rgb(150, 158, 154);
    c[ImGuiCol_CheckMark] = rgb(0, 82, 136);
    c[ImGuiCol_SliderGrab] = rgb(92, 134, 166);
    c[ImGuiCol_SliderGrabActive] = rgb(0, 82, 136);
    c[ImGuiCol_Button] = rgb(255, 255, 255);
    c[ImGuiCol_ButtonHovered] = rgb(240, 245, 248);
    c[ImGuiCol_ButtonActive] = rgb(220, 232, 240);
    c[ImGuiCol_Header] = rgb(226, 236, 243);
    c[ImGuiCol_HeaderHovered] = rgb(236, 242, 246);
    c[ImGuiCol_HeaderActive] = rgb(214, 228, 238);
    c[ImGuiCol_Separator] = rgb(228, 231, 227);
    c[ImGuiCol_SeparatorHovered] = c[ImGuiCol_SeparatorActive] = rgb(180, 190, 196);
    c[ImGuiCol_ResizeGrip] = c[ImGuiCol_ResizeGripHovered] = c[ImGuiCol_ResizeGripActive] = rgb(0, 0, 0, 0);
    c[ImGuiCol_Tab] = rgb(252, 252, 250);
    c[ImGuiCol_TabHovered] = rgb(236, 242, 246);
    c[ImGuiCol_TabActive] = rgb(226, 236, 243);
    c[ImGuiCol_PlotLines] = rgb(60, 90, 115);
    c[ImGuiCol_PlotHistogram] = rgb(92, 134, 166);
    c[ImGuiCol_TableHeaderBg] = rgb(244, 245, 243);
    c[ImGuiCol_TableBorderStrong] = rgb(214, 218, 214);
    c[ImGuiCol_TableBorderLight] = rgb(232, 234, 231);
    c[ImGuiCol_TableRowBg] = rgb(0, 0, 0, 0);
    c[ImGuiCol_TableRowBgAlt] = rgb(247, 248, 246);
    c[ImGuiCol_TextSelectedBg] = rgb(190, 214, 232);
    c[ImGuiCol_NavHighlight] = rgb(92, 134, 166);
    c[ImGuiCol_ModalWindowDimBg] = rgb(60, 66, 70, 0.25f);
    style.ScaleAllSizes(scale);
    // Hairlines stay hairlines.
    style.FrameBorderSize = style.PopupBorderSize = 1;
    ImGui::GetStyle() = style;
}

}  // namespace brae::app
