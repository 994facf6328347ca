// Starts the program.
#include "app/commands/command_line.h"

#include <csignal>
#include <malloc.h>

int main(int argc, char** argv) {
    // Software drawing frees and takes back its memory each frame; keeping it is four times as fast.
    mallopt(M_TRIM_THRESHOLD, 512 << 20);
    // A limit on the size of files is a write that fails, with a sentence, not the end of the program.
    std::signal(SIGXFSZ, SIG_IGN);
    return brae::app::run_command_line(argc, argv);
}
