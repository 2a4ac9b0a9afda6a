# Where `cmake --install` lays things. Each folder says what of it goes there; the components are ellwandd, ellwand, library
# and development, a Debian package each (package.cmake).

# On Debian libraries lie in the folder of their architecture, also below /usr/local.
if(NOT DEFINED CMAKE_INSTALL_LIBDIR AND CMAKE_LIBRARY_ARCHITECTURE AND EXISTS /etc/debian_version)
    set(CMAKE_INSTALL_LIBDIR lib/${CMAKE_LIBRARY_ARCHITECTURE} CACHE PATH "libraries, below the prefix")
endif()
include(GNUInstallDirs)

# The number in the client library's name; when it goes up is told in include/ellwand/version.h.
set(ELLWAND_CLIENT_SOVERSION 0)

# ellwand_install_configured(NAME.in DESTINATION COMPONENT): the file with @PREFIX@ and so on filled in when it is
# installed: only then is the prefix known for good.
function(ellwand_install_configured from destination component)
    get_filename_component(name ${from} NAME_WLE)
    set(made ${CMAKE_CURRENT_BINARY_DIR}/install/${name})
    install(CODE "
        set(PREFIX \"\${CMAKE_INSTALL_PREFIX}\")
        set(SBINDIR \"${CMAKE_INSTALL_SBINDIR}\")
        set(LIBDIR \"${CMAKE_INSTALL_LIBDIR}\")
        set(INCLUDEDIR \"${CMAKE_INSTALL_INCLUDEDIR}\")
        set(VERSION \"${PROJECT_VERSION}\")
        configure_file(\"${CMAKE_CURRENT_SOURCE_DIR}/${from}\" \"${made}\" @ONLY)
        file(INSTALL DESTINATION \"\${CMAKE_INSTALL_PREFIX}/${destination}\" TYPE FILE FILES \"${made}\")"
        COMPONENT ${component})
endfunction()
