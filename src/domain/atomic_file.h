// Writing a whole file so that its name never holds half of it.
#pragma once

#include <filesystem>
#include <string_view>

namespace trencher {

// Writes `bytes` to a new file beside `path` (mode 0600), flushes it to disk, and renames it over
// `path`. On any failure the new file is removed, `path` is as it was, and Error book names the
// file and the reason.
void write_file_whole(const std::filesystem::path& path, std::string_view bytes);

}  // namespace trencher
