# cmake -C .ci/presets/asan.cmake -S . -B build-asan
set(CMAKE_BUILD_TYPE RelWithDebInfo CACHE STRING "")
set(BRAE_SANITIZE address,undefined CACHE STRING "")
