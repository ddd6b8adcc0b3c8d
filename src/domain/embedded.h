// Files of schema/, templates/ and docs/ that are compiled in, by their path in the source tree.
#pragma once

#include <span>
#include <string_view>

namespace trencher {

struct EmbeddedFile {
  std::string_view path;  // "schema/reference/species.csv"
  std::string_view text;
};

std::span<const EmbeddedFile>
embedded_reference();                            // schema/reference/*.csv, schema/schedules/*.toml
std::span<const EmbeddedFile> embedded_book();   // schema/*.sql
std::span<const EmbeddedFile> embedded_paper();  // templates/*/*
std::span<const EmbeddedFile> embedded_commands();  // what the tour plays

// The text of `path` among `files`. Throws std::logic_error where it was not compiled in.
std::string_view embedded_text(std::span<const EmbeddedFile> files, std::string_view path);

}  // namespace trencher
