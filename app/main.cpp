// Starts the program.
#include "app/window/window.h"

#include <exception>
#include <iostream>
#include <malloc.h>

int main(int argc, char** argv) {
    // Software drawing frees and takes back its memory each frame; keeping it is four times as fast.
    mallopt(M_TRIM_THRESHOLD, 512 << 20);
    brae::app::WindowOptions options;
    if (argc > 1) options.file = argv[1];
    if (argc > 2) options.screenshot = argv[2];
    if (argc > 3) options.input_script = argv[3];
    options.timing = true;
    try {
        return brae::app::run_window(options);
    } catch (const std::exception& e) {
        std::cerr << "brae: " << e.what() << '\n';
        return 1;
    }
}
