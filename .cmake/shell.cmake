# Asks the built program for its manual pages and completions and writes them into OUT: man/*.1 (packed where there is
# gzip), sprue (bash), _sprue (zsh), sprue.fish.
function(ask)
  execute_process(COMMAND ${SPRUE} ${ARGN} RESULT_VARIABLE result ERROR_VARIABLE problem)
  if(NOT result EQUAL 0)
    message(FATAL_ERROR "sprue ${ARGN}: ${problem}")
  endif()
endfunction()

file(REMOVE_RECURSE ${OUT})
file(MAKE_DIRECTORY ${OUT}/man)
ask(manual --out ${OUT}/man)
ask(completion bash --out ${OUT}/sprue)
ask(completion zsh --out ${OUT}/_sprue)
ask(completion fish --out ${OUT}/sprue.fish)
if(GZIP)
  file(GLOB pages ${OUT}/man/*.1)
  # Without name and time, so that the same page gives the same bytes.
  execute_process(COMMAND ${GZIP} -9n ${pages} COMMAND_ERROR_IS_FATAL ANY)
endif()
file(TOUCH ${OUT}/made)
