# Debian packages by CPack, one for each component: deploy/package makes them.
set(CPACK_GENERATOR DEB)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_COMPONENTS_ALL ellwandd ellwand library development)
set(CPACK_PACKAGE_NAME ellwand)
set(CPACK_PACKAGE_VENDOR Ellwand)
# The prefix goes into the unit and the pkg-config file, so files are laid down for /usr below a folder of their own.
set(CPACK_SET_DESTDIR ON)
set(CPACK_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE
    WORLD_READ WORLD_EXECUTE)
set(CPACK_PRE_BUILD_SCRIPTS ${CMAKE_CURRENT_LIST_DIR}/package_finish.cmake)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_COMPRESSION_TYPE xz)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_GENERATE_SHLIBS ON)
set(CPACK_DEBIAN_PACKAGE_GENERATE_SHLIBS_POLICY ">=")
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
set(CPACK_DEBIAN_PACKAGE_MAINTAINER "Ellwand <ellwand@example.invalid>")
set(CPACK_DEBIAN_PACKAGE_PRIORITY optional)
set(client libellwand-client${ELLWAND_CLIENT_SOVERSION})

# The faces that `ellwandd` asks for before it starts (daemon/label): labels carry names in any script.
set(CPACK_DEBIAN_ELLWANDD_PACKAGE_NAME ellwandd)
set(CPACK_DEBIAN_ELLWANDD_PACKAGE_SECTION misc)
set(CPACK_DEBIAN_ELLWANDD_PACKAGE_DEPENDS "fonts-dejavu-core, fonts-noto-core, fonts-wqy-microhei, systemd | systemd-standalone-sysusers, systemd | systemd-standalone-tmpfiles")
set(CPACK_DEBIAN_ELLWANDD_PACKAGE_RECOMMENDS "ellwand, postgresql (>= 15), cups-daemon")
set(CPACK_DEBIAN_ELLWANDD_PACKAGE_CONTROL_EXTRA "${CMAKE_SOURCE_DIR}/deploy/debian/postinst;${CMAKE_SOURCE_DIR}/deploy/debian/prerm;${CMAKE_SOURCE_DIR}/deploy/debian/postrm")
set(CPACK_DEBIAN_ELLWANDD_DESCRIPTION "service of a workshop that makes curtain tracks
 Takes orders, works out tracks and their parts, plans cuts with least loss,
 keeps the stock, prints labels. Keeps its state in PostgreSQL, prints by CUPS,
 and serves its clients over ZeroMQ with CURVE.")

set(CPACK_DEBIAN_ELLWAND_PACKAGE_NAME ellwand)
set(CPACK_DEBIAN_ELLWAND_PACKAGE_SECTION misc)
set(CPACK_DEBIAN_ELLWAND_PACKAGE_DEPENDS fonts-dejavu-core)
set(CPACK_DEBIAN_ELLWAND_PACKAGE_SUGGESTS "ellwandd, bash-completion")
set(CPACK_DEBIAN_ELLWAND_DESCRIPTION "curtain tracks from the survey to the packed kit
 The command that people type at the order desk, the saw and in the stores of a
 workshop that makes curtain tracks. Works out tracks and cutting lists on its
 own, and asks the workshop's ellwandd for all else.")

set(CPACK_DEBIAN_LIBRARY_PACKAGE_NAME ${client})
set(CPACK_DEBIAN_LIBRARY_PACKAGE_SECTION libs)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_CONTROL_EXTRA ${CMAKE_SOURCE_DIR}/deploy/debian/triggers)
set(CPACK_DEBIAN_LIBRARY_DESCRIPTION "client library of a curtain track workshop
 Lets programs ask an ellwandd for things and hear its events.")

set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME libellwand-client-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS "${client} (= ${PROJECT_VERSION}), libzmq3-dev, libjansson-dev, uuid-dev")
set(CPACK_DEBIAN_DEVELOPMENT_DESCRIPTION "client library of a curtain track workshop, for development
 Headers, static library, pkg-config and CMake files of libellwand-client, and
 the page that describes the protocol.")

# What Debian wants in every package.
configure_file(${CMAKE_SOURCE_DIR}/deploy/debian/changelog.in changelog @ONLY)
foreach(pair ellwandd:ellwandd ellwand:ellwand library:${client} development:libellwand-client-dev)
    string(REPLACE ":" ";" pair ${pair})
    list(GET pair 0 component)
    list(GET pair 1 name)
    install(FILES ${CMAKE_SOURCE_DIR}/deploy/debian/copyright ${CMAKE_CURRENT_BINARY_DIR}/changelog DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/${name}
        COMPONENT ${component})
endforeach()

include(CPack)
