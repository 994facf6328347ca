// The one source of the library brae_imgui; its members come from Debian's archive, asked for by name at link time.
#include <imgui.h>

// Version that the library was linked from, so that a test can compare it with the headers'.
extern "C" const char* brae_imgui_version() { return ImGui::GetVersion(); }
