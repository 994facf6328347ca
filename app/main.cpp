// Starts the program.
#include "app/window/window.h"

#include <exception>
#include <iostream>
#include <malloc.h>
#include <string>

int main(int argc, char** argv) {
    // Software drawing frees and takes back its memory each frame; keeping it is four times as fast.
    mallopt(M_TRIM_THRESHOLD, 512 << 20);
    brae::app::WindowOptions options;
    for (int k = 1; k < argc; ++k) {
        const std::string word = argv[k];
        const bool more = k + 1 < argc;
        if (word == "--screenshot" && more) options.screenshot = argv[++k];
        else if (word == "--input" && more) options.input_script = argv[++k];
        else if (word == "--size" && more) options.size = argv[++k];
        else if (word == "--frames" && more) options.frames = std::stoi(argv[++k]);
        else options.file = word;
    }
    try {
        return brae::app::run_window(options);
    } catch (const std::exception& e) {
        std::cerr << "brae: " << e.what() << '\n';
        return 1;
    }
}
