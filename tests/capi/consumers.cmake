# Installs the build into a fresh prefix and runs tests/consume/run.sh on it.
file(REMOVE_RECURSE ${WORK})
execute_process(COMMAND ${CMAKE_COMMAND} --install ${BUILD} --prefix ${WORK}/prefix OUTPUT_QUIET COMMAND_ERROR_IS_FATAL ANY)
execute_process(
  COMMAND ${CMAKE_COMMAND} -E env TW_SOURCE_DIR=${SOURCE} TW_CONSUME_PYTHON=${PYTHON}
          ${SOURCE}/tests/consume/run.sh ${WORK}/prefix ${WORK}/build
  COMMAND_ERROR_IS_FATAL ANY)
