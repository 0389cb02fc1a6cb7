# The command against the slow pricer, the products, and snapshots of its answers.
add_test(NAME oracle.by_hand COMMAND ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/oracle/test_oracle.py)
add_test(NAME oracle.lists COMMAND ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/oracle/test_lists.py)
add_test(NAME oracle.wishes COMMAND ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/oracle/test_wishes.py)
add_test(NAME oracle.consignment COMMAND ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/oracle/test_consignment.py)
add_test(NAME oracle.files COMMAND ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/oracle/test_files.py)
add_test(NAME oracle.packing COMMAND ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/oracle/test_packing.py)
add_test(NAME oracle.flat COMMAND ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/oracle/test_flat.py)
add_test(NAME oracle.plans_by_hand COMMAND ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/oracle/test_plans.py)
add_test(NAME oracle.catalogues_by_hand COMMAND ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/oracle/test_catalogues.py)
if(TW_BUILD_COMMAND)
  set(oracle ${CMAKE_CURRENT_SOURCE_DIR}/oracle)
  set(command --command $<TARGET_FILE:tarewise_command>)
  add_test(NAME oracle.rankings COMMAND ${Python3_EXECUTABLE} ${oracle}/compare.py ${worlds} ${command})
  set_tests_properties(oracle.rankings PROPERTIES FIXTURES_REQUIRED random_worlds TIMEOUT 900)

  set(orders ${CMAKE_CURRENT_BINARY_DIR}/random_orders)
  add_test(NAME oracle.clear_orders COMMAND ${CMAKE_COMMAND} -E rm -rf ${orders})
  set_tests_properties(oracle.clear_orders PROPERTIES FIXTURES_SETUP no_orders)
  add_test(NAME oracle.make_orders
    COMMAND ${Python3_EXECUTABLE} ${oracle}/random_orders.py --seed 20260805 --cases 400 --each 10 --out ${orders})
  set_tests_properties(oracle.make_orders PROPERTIES FIXTURES_SETUP random_orders FIXTURES_REQUIRED no_orders TIMEOUT 600)
  add_test(NAME oracle.plans COMMAND ${Python3_EXECUTABLE} ${oracle}/plans.py ${orders} ${command})
  set_tests_properties(oracle.plans PROPERTIES FIXTURES_REQUIRED random_orders TIMEOUT 900)

  set(catalogues ${CMAKE_CURRENT_BINARY_DIR}/random_catalogues)
  add_test(NAME oracle.clear_catalogues COMMAND ${CMAKE_COMMAND} -E rm -rf ${catalogues})
  set_tests_properties(oracle.clear_catalogues PROPERTIES FIXTURES_SETUP no_catalogues)
  add_test(NAME oracle.make_catalogues
    COMMAND ${Python3_EXECUTABLE} ${oracle}/random_catalogues.py --seed 20261127 --cases 600 --out ${catalogues})
  set_tests_properties(oracle.make_catalogues PROPERTIES FIXTURES_SETUP random_catalogues FIXTURES_REQUIRED no_catalogues TIMEOUT 600)
  add_test(NAME oracle.catalogues COMMAND ${Python3_EXECUTABLE} ${oracle}/catalogues.py ${catalogues} ${command})
  set_tests_properties(oracle.catalogues PROPERTIES FIXTURES_REQUIRED random_catalogues TIMEOUT 900)

  # Thresholds take the slow pricer long, so of fewer worlds and requests.
  set(few_worlds ${CMAKE_CURRENT_BINARY_DIR}/few_worlds)
  add_test(NAME oracle.clear_few_worlds COMMAND ${CMAKE_COMMAND} -E rm -rf ${few_worlds})
  set_tests_properties(oracle.clear_few_worlds PROPERTIES FIXTURES_SETUP no_few_worlds)
  add_test(NAME oracle.make_few_worlds
    COMMAND ${Python3_EXECUTABLE} ${oracle}/random_world.py --seed 20260804 --cases 400 --each 10 --out ${few_worlds})
  set_tests_properties(oracle.make_few_worlds PROPERTIES FIXTURES_SETUP few_worlds FIXTURES_REQUIRED no_few_worlds
                       TIMEOUT 600)
  add_test(NAME oracle.thresholds
    COMMAND ${Python3_EXECUTABLE} ${oracle}/thresholds.py ${few_worlds} ${command} --cases 1 --offers 1)
  add_test(NAME oracle.ranges
    COMMAND ${Python3_EXECUTABLE} ${oracle}/thresholds.py ${few_worlds} ${command} --cases 1 --offers 1 --ranges)
  set_tests_properties(oracle.thresholds oracle.ranges PROPERTIES FIXTURES_REQUIRED few_worlds TIMEOUT 1200)

  foreach(lane IN ITEMS near far abroad)
    add_test(NAME products.${lane}
      COMMAND ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/data/check_products.py ${command}
        --tables ${PROJECT_SOURCE_DIR}/tables/demo --lane ${lane})
    set_tests_properties(products.${lane} PROPERTIES TIMEOUT 900)
  endforeach()

  set(snapshots ${Python3_EXECUTABLE} ${CMAKE_CURRENT_SOURCE_DIR}/snapshots/snapshots.py ${command})
  add_test(NAME snapshots COMMAND ${snapshots})
  add_custom_target(snapshots COMMAND ${snapshots} --write USES_TERMINAL VERBATIM
    COMMENT "Writing tests/snapshots/ again: read the diff")
endif()
