# How rooms, programs and tests are built. A room is a folder under daemon/ with one static library; what it may
# include is what it links, so an arrow that runs the wrong way does not link.
option(ELLWAND_TESTS "build tests, fuzzers and benchmarks" ON)
option(ELLWAND_SANITIZE "AddressSanitizer and UndefinedBehaviorSanitizer" OFF)

set(CMAKE_C_STANDARD 17)
set(CMAKE_C_STANDARD_REQUIRED ON)
set(CMAKE_C_EXTENSIONS ON)
set(CMAKE_EXPORT_COMPILE_COMMANDS ON)
if(NOT CMAKE_BUILD_TYPE)
    set(CMAKE_BUILD_TYPE Release)
endif()
set(CMAKE_C_FLAGS_RELEASE "-O2 -g -DNDEBUG")
set(CMAKE_C_FLAGS_DEBUG "-O1 -g")

add_compile_definitions(_GNU_SOURCE ELLWAND_VERSION="${PROJECT_VERSION}")
add_compile_options(-Wall -Wextra -Werror -Wshadow -Wconversion -Wno-sign-conversion -Wstrict-prototypes
    -Wmissing-prototypes -Wpointer-arith -Wundef -Wvla -Wformat=2 -Wwrite-strings -fno-omit-frame-pointer)
if(ELLWAND_SANITIZE)
    add_compile_options(-fsanitize=address,undefined -fno-sanitize-recover=all)
    add_link_options(-fsanitize=address,undefined)
endif()

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

# What a test prints when it did not really pass: leaks leave Criterion's exit code at 0.
set(ELLWAND_TEST_FAILURES "LeakSanitizer|AddressSanitizer|runtime error:|Tested: 0 ")

# ellwand_criterion_tests(PREFIX LINKS ... LABELS ...): each test_*.c of this folder becomes one program and one ctest.
function(ellwand_criterion_tests prefix)
    cmake_parse_arguments(ARG "" "TIMEOUT" "LINKS;LABELS;DEFINITIONS" ${ARGN})
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
        add_test(NAME ${prefix}/${stem} COMMAND ${target})
        set_tests_properties(${prefix}/${stem} PROPERTIES TIMEOUT ${ARG_TIMEOUT} LABELS "${ARG_LABELS}"
            ENVIRONMENT "ASAN_OPTIONS=abort_on_error=1:detect_leaks=1"
            FAIL_REGULAR_EXPRESSION "${ELLWAND_TEST_FAILURES}")
    endforeach()
endfunction()
