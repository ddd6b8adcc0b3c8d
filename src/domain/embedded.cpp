#include "domain/embedded.h"

#include <stdexcept>
#include <string>

namespace trencher {

std::string_view embedded_text(std::span<const EmbeddedFile> files, std::string_view path) {
  for (const EmbeddedFile& file : files)
    if (file.path == path) return file.text;
  throw std::logic_error("not compiled in: " + std::string(path));
}

}  // namespace trencher
