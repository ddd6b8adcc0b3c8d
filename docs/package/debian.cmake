# The Debian package: `cpack -G DEB` in the build folder.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME trencher)
set(CPACK_PACKAGE_CONTACT "Trencher maintainers <maintainers@trencher.invalid>")
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "logbook of a workshop that makes cutting and serving boards")
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION
"Trencher keeps what went into every board: wood, glue, finish, each coat and
the air that it dried in. It works out when the next coat is due and when food
may first touch a board, prints care cards and batch records, and answers what
is on a board. It keeps a record and nothing more: local food-contact and
market rules, doctors and the product's own label come first.")
set(CPACK_DEBIAN_PACKAGE_SECTION misc)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
# Loaded with the first paper (paper/lazy_libraries.cpp), so that no tool finds them; fonts and zones
# are read by their path.
set(CPACK_DEBIAN_PACKAGE_DEPENDS
    "libhpdf-2.3.0, libqrencode4, libjpeg62-turbo, fonts-dejavu-core, tzdata")
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ
    GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)
set(changelog ${CMAKE_CURRENT_BINARY_DIR}/changelog.gz)
configure_file(docs/package/changelog.Debian changelog COPYONLY)
execute_process(COMMAND gzip -9nfk ${CMAKE_CURRENT_BINARY_DIR}/changelog COMMAND_ERROR_IS_FATAL ANY)
install(FILES docs/package/copyright ${changelog} DESTINATION ${CMAKE_INSTALL_DOCDIR})
include(CPack)
