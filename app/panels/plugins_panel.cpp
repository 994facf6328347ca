#include "app/panels/panels.h"

#include "plugins/api/panel_kit.h"

namespace brae::app {

namespace kit = plugin::kit;

void draw_plugins_panel(Session& session, float scale) {
    PluginHost& host = session.host;
    if (host.count() == 0)
        kit::remark("No plugins were found. They are looked for beside the program in lib/brae/plugins, then in the folders of BRAE_PLUGIN_PATH.");
    for (std::size_t k = 0; k < host.count(); ++k) {
        const PluginHost::Item& item = host.item(k);
        ImGui::PushID(static_cast<int>(k));
        ImGui::PushFont(kit::strong_font());
        ImGui::TextUnformatted(item.title.c_str());
        ImGui::PopFont();
        ImGui::SameLine();
        ImGui::TextDisabled("%s", item.version.c_str());

        // A switch where it can be switched.
        const char* word = item.on ? "Switch off" : "Switch on";
        if (item.on || !item.version.empty()) {
            const float width = 92 * scale;
            ImGui::SameLine(ImGui::GetContentRegionMax().x - width);
            if (ImGui::Button(word, {width, 0})) {
                if (item.on) host.switch_off(k, "switched off by hand");
                else host.switch_on(k);
            }
        }
        if (!item.on) {
            kit::remark("Off: " + item.reason);
        } else {
            bool show = item.show_always;
            if (ImGui::Checkbox("On the green from every tab", &show)) host.show_always(k, show);
            for (const plugin::Shortcut& s : item.shortcuts)
                kit::row(s.does.c_str(), std::string(s.ctrl ? "Ctrl+" : "") + (s.shift ? "Shift+" : "") + s.key);
        }
        if (ImGui::IsItemHovered()) ImGui::SetTooltip("%s", item.file.c_str());
        ImGui::Dummy({0, 8 * scale});
        ImGui::PopID();
    }
    if (!host.log().empty()) {
        kit::heading("Messages");
        for (const std::string& line : host.log()) kit::remark(line);
    }
}

}  // namespace brae::app
