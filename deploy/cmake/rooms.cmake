# How rooms, programs and tests are built. A room is a folder under daemon/ with one static library; what it may
# include is what it links, so an arrow that runs the wrong way does not link.
option(ELLWAND_TESTS "build the tests (benchmarks are always built)" ON)
option(ELLWAND_SANITIZE "AddressSanitizer and UndefinedBehaviorSanitizer" OFF)
option(ELLWAND_FUZZ "build the fuzzers with clang's libFuzzer (target `fuzzers`)" OFF)

set(CMAKE_C_STANDARD 17)
set(CMAKE_C_STANDARD_REQUIRED ON)
set(CMAKE_C_EXTENSIONS ON)
set(CMAKE_EXPORT_COMPILE_COMMANDS ON)
if(NOT CMAKE_BUILD_TYPE)
    set(CMAKE_BUILD_TYPE Release)
endif()
set(CMAKE_C_FLAGS_RELEASE "-O2 -g -DNDEBUG")
set(CMAKE_C_FLAGS_DEBUG "-O1 -g")

# Warnings are errors, but for whoever packages with a compiler of later years: cmake --compile-no-warning-as-error.
# gcc is the judge of them; those of the fuzzers' clang differ from version to version.
if(NOT DEFINED CMAKE_COMPILE_WARNING_AS_ERROR AND NOT ELLWAND_FUZZ)
    set(CMAKE_COMPILE_WARNING_AS_ERROR ON)
endif()
add_compile_definitions(_GNU_SOURCE)
add_compile_options(-Wall -Wextra -Wshadow -Wconversion -Wno-sign-conversion -Wstrict-prototypes
    -Wmissing-prototypes -Wpointer-arith -Wundef -Wvla -Wformat=2 -Wwrite-strings -fno-omit-frame-pointer)
if(ELLWAND_SANITIZE)
    add_compile_options(-fsanitize=address,undefined -fno-sanitize-recover=all)
    add_link_options(-fsanitize=address,undefined)
endif()
if(ELLWAND_FUZZ)
    add_compile_options(-fsanitize=fuzzer-no-link)
endif()

# What is shipped: a fault that is left is harder to make use of, and the folder of the build does not show in it. Checked
# by tests/system/installed.
set(shipped $<CONFIG:Release,RelWithDebInfo,MinSizeRel>)
add_compile_options($<${shipped}:-D_FORTIFY_SOURCE=2> $<${shipped}:-fstack-protector-strong>
    # The last one that fits counts.
    $<${shipped}:-ffile-prefix-map=${CMAKE_SOURCE_DIR}=.> $<${shipped}:-ffile-prefix-map=${CMAKE_BINARY_DIR}=.>)
if(CMAKE_SYSTEM_PROCESSOR MATCHES "x86_64|AMD64")
    add_compile_options($<${shipped}:-fstack-clash-protection> $<${shipped}:-fcf-protection>)
endif()
add_link_options($<${shipped}:-Wl,-z,relro,-z,now>)
include(CheckPIESupported)
check_pie_supported()
set(CMAKE_POSITION_INDEPENDENT_CODE ON)

find_package(PkgConfig REQUIRED)
find_package(Threads REQUIRED)

# ellwand_package(NAME MODULE): an imported target pkg::NAME from pkg-config.
function(ellwand_package name module)
    pkg_check_modules(${name} REQUIRED IMPORTED_TARGET GLOBAL ${module})
    add_library(pkg::${name} ALIAS PkgConfig::${name})
endfunction()

# ellwand_room(NAME LINKS ...): the library room_NAME from every .c file of this folder.
function(ellwand_room name)
    cmake_parse_arguments(ARG "" "" "LINKS;SOURCES" ${ARGN})
    file(GLOB sources CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/*.c)
    add_library(room_${name} STATIC ${sources} ${ARG_SOURCES})
    target_include_directories(room_${name} PUBLIC ${CMAKE_SOURCE_DIR}/daemon ${CMAKE_SOURCE_DIR}/include)
    target_link_libraries(room_${name} PUBLIC ${ARG_LINKS})
endfunction()

# `programs` is everything a person runs; `fuzzers` the libFuzzer programs of an ELLWAND_FUZZ tree.
add_custom_target(programs)
add_custom_target(fuzzers)

# ellwand_program(NAME SOURCES ... LINKS ...): the program NAME at the top of the build tree.
function(ellwand_program name)
    cmake_parse_arguments(ARG "" "" "SOURCES;LINKS" ${ARGN})
    add_executable(${name} ${ARG_SOURCES})
    target_include_directories(${name} PRIVATE ${CMAKE_SOURCE_DIR}/daemon ${CMAKE_SOURCE_DIR}/include)
    target_link_libraries(${name} PRIVATE ${ARG_LINKS})
    set_target_properties(${name} PROPERTIES RUNTIME_OUTPUT_DIRECTORY ${CMAKE_BINARY_DIR})
    add_dependencies(programs ${name})
endfunction()

# ellwand_bench(NAME SOURCES ... LINKS ...): the benchmark program bench/NAME of the build tree.
function(ellwand_bench name)
    cmake_parse_arguments(ARG "" "" "SOURCES;LINKS" ${ARGN})
    add_executable(bench_${name} ${ARG_SOURCES})
    target_link_libraries(bench_${name} PRIVATE ${ARG_LINKS})
    set_target_properties(bench_${name} PROPERTIES OUTPUT_NAME ${name}
        RUNTIME_OUTPUT_DIRECTORY ${CMAKE_BINARY_DIR}/bench)
    add_dependencies(programs bench_${name})
endfunction()

# ellwand_system_test(NAME COMMAND ... [TIMEOUT seconds]): a test with its private PostgreSQL, print scheduler and
# printer (see deploy/with-services). It finds the build tree in ELLWAND_BUILD_DIR.
function(ellwand_system_test name)
    cmake_parse_arguments(ARG "" "TIMEOUT" "COMMAND" ${ARGN})
    if(NOT ARG_TIMEOUT)
        set(ARG_TIMEOUT 300)
    endif()
    add_test(NAME ${name} COMMAND ${CMAKE_SOURCE_DIR}/deploy/with-services ${ARG_COMMAND}
        WORKING_DIRECTORY ${CMAKE_CURRENT_SOURCE_DIR})
    set_tests_properties(${name} PROPERTIES LABELS system TIMEOUT ${ARG_TIMEOUT}
        ENVIRONMENT "ELLWAND_BUILD_DIR=${CMAKE_BINARY_DIR};PYTHONDONTWRITEBYTECODE=1"
        FAIL_REGULAR_EXPRESSION "${ELLWAND_TEST_FAILURES}")
endfunction()

# What a test prints when it did not really pass: leaks leave Criterion's exit code at 0.
set(ELLWAND_TEST_FAILURES "LeakSanitizer|AddressSanitizer|runtime error:|Tested: 0 ")

# ellwand_criterion_tests(PREFIX LINKS ... LABELS ... [WITHIN PROGRAM]): each test_*.c of this folder becomes one program
# and one ctest.
function(ellwand_criterion_tests prefix)
    if(NOT ELLWAND_TESTS)
        return()
    endif()
    cmake_parse_arguments(ARG "" "TIMEOUT;WITHIN" "LINKS;LABELS;DEFINITIONS" ${ARGN})
    if(NOT ARG_TIMEOUT)
        set(ARG_TIMEOUT 300)
    endif()
    file(GLOB tests CONFIGURE_DEPENDS ${CMAKE_CURRENT_SOURCE_DIR}/test_*.c)
    foreach(source ${tests})
        get_filename_component(stem ${source} NAME_WE)
        string(REGEX REPLACE "^test_" "" stem ${stem})
        string(REPLACE "/" "_" target ${prefix}_${stem})
        add_executable(${target} ${source})
        target_compile_definitions(${target} PRIVATE ELLWAND_SOURCE_DIR="${CMAKE_SOURCE_DIR}"
            ELLWAND_BINARY_DIR="${CMAKE_BINARY_DIR}" ${ARG_DEFINITIONS})
        target_link_libraries(${target} PRIVATE ${ARG_LINKS} pkg::criterion)
        if(ARG_WITHIN) # the program that starts what the tests need; those of one program share it, so one runs at a time
            add_test(NAME ${prefix}/${stem} COMMAND ${ARG_WITHIN} $<TARGET_FILE:${target}> --jobs 1)
        else()
            add_test(NAME ${prefix}/${stem} COMMAND ${target})
        endif()
        set_tests_properties(${prefix}/${stem} PROPERTIES TIMEOUT ${ARG_TIMEOUT} LABELS "${ARG_LABELS}"
            ENVIRONMENT "ASAN_OPTIONS=abort_on_error=1:detect_leaks=1"
            FAIL_REGULAR_EXPRESSION "${ELLWAND_TEST_FAILURES}")
    endforeach()
endfunction()
