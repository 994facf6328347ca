# Writes the build id header: -DOUT= -DCOMPILER= -DVERSION= -DFLAGS= -DROOT=
# The headers that cross the boundary are part of it, so a plugin built against other ones is refused, not crashed.
file(GLOB_RECURSE headers ${ROOT}/core/*.h ${ROOT}/plugins/api/*.h)
list(SORT headers)
set(all "")
foreach(header ${headers})
  file(SHA256 ${header} one)
  string(APPEND all ${one})
endforeach()
string(SHA256 hash "${all}${FLAGS}")
string(SUBSTRING ${hash} 0 12 hash)
set(text "// Generated. Compiler, core version, headers; the C++ library adds itself below.
#pragma once
#include <version>
#define BRAE_BUILD_TEXT_(x) #x
#define BRAE_BUILD_TEXT(x) BRAE_BUILD_TEXT_(x)
#define BRAE_BUILD_ID \"${COMPILER}, libstdc++ \" BRAE_BUILD_TEXT(__GLIBCXX__) \", brae ${VERSION}-${hash}\"
")
set(old "")
if(EXISTS ${OUT})
  file(READ ${OUT} old)
endif()
if(NOT old STREQUAL text)
  file(WRITE ${OUT} "${text}")
endif()
