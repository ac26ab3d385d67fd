# Debian's emscripten, or one line that says how to get it.
set(emscripten /usr/share/emscripten/cmake/Modules/Platform/Emscripten.cmake)
if(NOT EXISTS ${emscripten})
  message(FATAL_ERROR "The web build needs emscripten: tools/prerequisites --web installs it")
endif()
include(${emscripten})
