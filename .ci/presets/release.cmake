# cmake -C .ci/presets/release.cmake -S . -B build
set(CMAKE_BUILD_TYPE Release CACHE STRING "")
