// The window: GLFW and OpenGL round the workbench. Drawing rests while nothing changes.
#pragma once

#include <string>

namespace brae::app {

struct WindowOptions {
    std::string file;                 // a green, survey or elevation file to open; empty: none
    std::string size = "1440x900";    // in pixels; the default grows with the screen's scale
    int frames = 0;                   // > 0: ends once so many frames are drawn and recorded input is done
    std::string screenshot;           // a PNG of the window, written once the work is done; then it ends
    std::string input_script;         // recorded input, see input_script.h
    bool timing = false;              // says how long the first frame of the green took, and how many were drawn
};

// Exit code: 0; 1 where `file` could not be opened and the window was to end by itself. Throws Error(usage) for a size
// that is none, Error where there is no display or no OpenGL 3.3. Call from the main thread.
int run_window(const WindowOptions& options);

}  // namespace brae::app
