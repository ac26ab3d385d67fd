# Reads a file as a raw string literal of C++, for the embed.cmake of a page.
function(read_part variable file)
  file(READ "${file}" text)
  string(FIND "${text}" ")holdwater\"" at)
  if(NOT at EQUAL -1)
    message(FATAL_ERROR "${file} contains the end mark of its text")
  endif()
  set(${variable} "R\"holdwater(${text})holdwater\"" PARENT_SCOPE)
endfunction()
