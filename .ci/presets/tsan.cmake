# cmake -C .ci/presets/tsan.cmake -S . -B build-tsan
set(CMAKE_BUILD_TYPE RelWithDebInfo CACHE STRING "")
set(BRAE_SANITIZE thread CACHE STRING "")
