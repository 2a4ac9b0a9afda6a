# Run by CPack between laying the files down and packing them. Debian wants pages and changelogs compressed, and has the
# licence itself.
file(GLOB_RECURSE files "${CPACK_TEMPORARY_DIRECTORY}/*")
foreach(file IN LISTS files)
    if(file MATCHES "/share/man/man[0-9]/[^/]*[0-9]$|/share/doc/[^/]*/changelog$")
        execute_process(COMMAND gzip -9n ${file} COMMAND_ERROR_IS_FATAL ANY)
    elseif(file MATCHES "/share/doc/[^/]*/LICENSE$")
        file(REMOVE ${file})
    endif()
endforeach()
