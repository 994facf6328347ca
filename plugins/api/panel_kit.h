// The look of a panel: rows of label and value, headings, quiet remarks, and lengths as people say them.
// Used by the program's own panels and by plugins, so that they line up. Header-only, plain ImGui.
#pragma once

#include "core/base/units.h"
#include "plugins/api/services.h"

#include <cmath>
#include <cstdio>
#include <imgui.h>
#include <string>

namespace brae::plugin::kit {

// Printf into a string; a number that is not finite becomes an en dash, so NaN is never shown.
inline std::string number(const char* format, double value, const char* unit = "") {
    if (!std::isfinite(value)) return "\u2013";
    char text[64];
    std::snprintf(text, sizeof text, format, value);
    // No minus zero.
    bool zero = text[0] == '-';
    for (const char* c = text; zero && *c; ++c) zero = *c < '1' || *c > '9';
    std::string out = zero ? text + 1 : text;
    return *unit ? out + " " + unit : out;
}
// Distances over the green: 3.05 m or 10.0 ft.
inline std::string distance(double metres, Units units) {
    return units == Units::metric ? number("%.2f", metres, "m") : number("%.1f", feet_from_metres(metres), "ft");
}
// Offsets and breaks: 40 cm or 15.7 in.
inline std::string offset(double metres, Units units) {
    return units == Units::metric ? number("%.0f", 100 * metres, "cm")
                                  : number("%.1f", inches_from_metres(metres), "in");
}
// Height differences: 12 mm or 0.5 in.
inline std::string height(double metres, Units units) {
    return units == Units::metric ? number("%.0f", 1000 * metres, "mm")
                                  : number("%.1f", inches_from_metres(metres), "in");
}
inline std::string speed(double mps, Units units) {
    return units == Units::metric ? number("%.2f", mps, "m/s") : number("%.1f", feet_from_metres(mps), "ft/s");
}
inline std::string slope(double ratio) { return number("%.1f", percent(ratio), "%"); }

// Fonts of the host: text, numbers (digits line up), strong, title. Falls back to the current font in a bare context.
inline ImFont* font(int index) {
    ImFontAtlas* fonts = ImGui::GetIO().Fonts;
    return index < fonts->Fonts.Size ? fonts->Fonts[index] : ImGui::GetFont();
}
inline ImFont* number_font() { return font(1); }
inline ImFont* strong_font() { return font(2); }
inline ImFont* title_font() { return font(3); }
inline ImFont* small_font() { return font(4); }
inline ImFont* small_number_font() { return font(5); }

inline void heading(const char* text) {
    ImGui::Spacing();
    ImGui::PushFont(strong_font());
    ImGui::TextUnformatted(text);
    ImGui::PopFont();
    ImGui::Spacing();
}
// A sentence in the ordinary ink, broken at spaces only: a number keeps its decimals and its unit.
inline void wrapped(const std::string& text) {
    const float width = ImGui::GetContentRegionAvail().x;
    const auto is_number = [](const std::string& word) { return !word.empty() && (word.back() >= '0' && word.back() <= '9'); };
    ImGui::BeginGroup();
    ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, {ImGui::GetStyle().ItemSpacing.x, 1});
    std::string line, word, held;
    const auto put = [&] {
        const std::string longer = line.empty() ? held : line + " " + held;
        if (!line.empty() && ImGui::CalcTextSize(longer.c_str()).x > width) {
            ImGui::TextUnformatted(line.c_str());
            line = held;
        } else {
            line = longer;
        }
        held.clear();
    };
    for (std::size_t k = 0; k <= text.size(); ++k) {
        if (k < text.size() && text[k] != ' ') {
            word += text[k];
            continue;
        }
        // What follows a number stays beside it.
        const bool joins = is_number(held) && !is_number(word) && word.size() <= 8;
        if (!held.empty() && !joins) put();
        held += (held.empty() ? "" : " ") + word;
        word.clear();
    }
    if (!held.empty()) put();
    if (!line.empty()) ImGui::TextUnformatted(line.c_str());
    ImGui::PopStyleVar();
    ImGui::EndGroup();
}
// The same in a quieter ink.
inline void remark(const std::string& text) {
    ImGui::PushStyleColor(ImGuiCol_Text, ImGui::GetStyleColorVec4(ImGuiCol_TextDisabled));
    wrapped(text);
    ImGui::PopStyleColor();
}
// A sentence of the core, which begins small, at the start of a line.
inline std::string capital(std::string text) {
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
    return text;
}
// One line: label left, value at the right edge in the number font.
inline void row(const char* label, const std::string& value) {
    ImGui::PushStyleColor(ImGuiCol_Text, ImGui::GetStyleColorVec4(ImGuiCol_TextDisabled));
    ImGui::TextUnformatted(label);
    ImGui::PopStyleColor();
    ImGui::SameLine();
    ImGui::PushFont(number_font());
    const float width = ImGui::CalcTextSize(value.c_str()).x;
    const float x = ImGui::GetCursorPosX() + ImGui::GetContentRegionAvail().x - width;
    if (x > ImGui::GetCursorPosX()) ImGui::SetCursorPosX(x);
    ImGui::TextUnformatted(value.c_str());
    ImGui::PopFont();
}
// The bar of work that runs, with Cancel beside it; true when that is pressed.
inline bool work_bar(double done, const char* what) {
    ImGui::ProgressBar(static_cast<float>(done), {ImGui::GetContentRegionAvail().x * 0.7f, 0}, what);
    ImGui::SameLine();
    return ImGui::Button("Cancel", {-1, 0});
}

}  // namespace brae::plugin::kit
