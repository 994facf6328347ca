#include "app/panels/wait_card.h"

#include "app/panels/theme.h"
#include "plugins/api/panel_kit.h"

#include <algorithm>
#include <cmath>
#include <imgui.h>

namespace brae::app {
namespace {

namespace kit = plugin::kit;

constexpr ImGuiWindowFlags kCard = ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoCollapse |
                                   ImGuiWindowFlags_NoSavedSettings | ImGuiWindowFlags_NoBringToFrontOnFocus | ImGuiWindowFlags_NoFocusOnAppearing |
                                   ImGuiWindowFlags_NoScrollbar;

}  // namespace

void draw_wait_card(Session& session, const Viewport& view, float scale) {
    const auto running = session.background.running();
    const auto job = std::find_if(running.begin(), running.end(), [](const auto& r) { return r.key == "open" || r.key == "survey" || r.key == "edit"; });
    if (job == running.end()) return;
    // A card in the middle of an empty view, else along its upper edge so that the green is seen.
    const float w = std::min(420 * scale, static_cast<float>(view.width) - 40 * scale);
    const float x = static_cast<float>(view.x + view.width / 2) - w / 2;
    const float y = static_cast<float>(session.has_green() ? view.y + 70 * scale : view.y + view.height / 2 - 60 * scale);
    ImGui::SetNextWindowPos({std::round(x), std::round(y)});
    ImGui::SetNextWindowSize({w, 0});
    ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, {18 * scale, 14 * scale});
    ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 6 * scale);
    ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
    ImGui::Begin("##waiting", nullptr, kCard);
    ImGui::PushFont(kit::strong_font());
    ImGui::TextUnformatted(job->title.c_str());
    ImGui::PopFont();
    // The step's name, the bar, how far, and the way out.
    ImGui::TextDisabled("%s", job->stage.empty() ? "Starting" : kit::capital(job->stage).c_str());
    const float button = 84 * scale, digits = 48 * scale, h = ImGui::GetFrameHeight();
    const ImVec2 at = ImGui::GetCursorScreenPos();
    const float bar = ImGui::GetContentRegionAvail().x - button - digits - 8 * scale, mid = at.y + h / 2;
    ImDrawList& list = *ImGui::GetWindowDrawList();
    list.AddRectFilled({at.x, mid - 3 * scale}, {at.x + bar, mid + 3 * scale}, kHairline, 3 * scale);
    list.AddRectFilled({at.x, mid - 3 * scale}, {at.x + bar * static_cast<float>(std::clamp(job->fraction, 0.01, 1.0)), mid + 3 * scale}, kAccent, 3 * scale);
    ImGui::SetCursorPosX(ImGui::GetCursorPosX() + bar + 10 * scale);
    ImGui::AlignTextToFramePadding();
    ImGui::PushFont(kit::number_font());
    ImGui::Text("%.0f %%", 100 * std::clamp(job->fraction, 0.0, 1.0));
    ImGui::PopFont();
    ImGui::SameLine(ImGui::GetContentRegionMax().x - button);
    if (ImGui::Button("Cancel", {button, 0})) session.cancel_wait();
    ImGui::End();
    ImGui::PopStyleVar(3);
}

void draw_lock_question(Session& session, float scale) {
    // A lock of a machine that may be gone is taken over only after a question.
    if (session.lock_question() && !ImGui::IsPopupOpen("##lock")) ImGui::OpenPopup("##lock");
    ImGui::SetNextWindowPos(ImGui::GetMainViewport()->GetCenter(), ImGuiCond_Always, {0.5f, 0.5f});
    ImGui::SetNextWindowSize({440 * scale, 0});
    if (ImGui::BeginPopupModal("##lock", nullptr, ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize | ImGuiWindowFlags_NoMove)) {
        const LockHolder& holder = session.document.rights().holder;
        ImGui::PushTextWrapPos(0);
        ImGui::TextUnformatted((session.document.file().filename().string() + " is held for editing by " + words_of(holder) + ", without a change for more than " +
                                std::to_string(kForeignLockHours) + " hours. Take it over? Whoever has it open there can then no longer keep changes.").c_str());
        ImGui::PopTextWrapPos();
        ImGui::Dummy({0, 6 * scale});
        const float width = 124 * scale;
        ImGui::SetCursorPosX(ImGui::GetContentRegionMax().x - 2 * width - ImGui::GetStyle().ItemSpacing.x);
        std::optional<bool> take;
        if (ImGui::Button("Read only", {width, 0}) || ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape))) take = false;
        ImGui::SameLine();
        if (ImGui::Button("Take over", {width, 0})) take = true;
        if (take) {
            ImGui::CloseCurrentPopup();
            session.answer_lock_question(*take);
        }
        ImGui::EndPopup();
    }
}

}  // namespace brae::app
