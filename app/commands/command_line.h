// From the words of the command line to a verb or the window, and from failures to sentences and exit codes.
#pragma once

namespace brae::app {

// Exit code: 0 done, 1 no answer or failed, 2 wrong use.
int run_command_line(int argc, char** argv);

}  // namespace brae::app
