// What the fuzz targets share. A target reads the bytes, lets the program have them, and demands
// what must hold of the outcome; Error is an outcome, any other exception a finding.
#pragma once

#include <unistd.h>

#include <algorithm>
#include <concepts>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/error.h"

namespace fuzz {

inline std::string_view text_of(const std::uint8_t* data, std::size_t size) {
  return {reinterpret_cast<const char*>(data), size};
}

// Takes bytes off the front, for choices; 0 where there are none left.
class Bytes {
 public:
  Bytes(const std::uint8_t* data, std::size_t size) : rest_(text_of(data, size)) {}
  unsigned byte() {
    if (rest_.empty()) return 0;
    const auto out = static_cast<unsigned char>(rest_.front());
    rest_.remove_prefix(1);
    return out;
  }
  std::uint32_t number() {
    std::uint32_t out = 0;
    for (int i = 0; i < 4; ++i) out = out << 8 | byte();
    return out;
  }
  template <typename List>
  const auto& choice(const List& of) {
    return of[byte() % std::size(of)];
  }
  // Up to the next line end, without a NUL: no argument and no text of a book has one.
  std::string line() {
    const auto end = std::min(rest_.find('\n'), rest_.size());
    std::string out(rest_.substr(0, end));
    rest_.remove_prefix(std::min(end + 1, rest_.size()));
    std::replace(out.begin(), out.end(), '\0', '0');
    return out;
  }
  std::string_view rest() const { return rest_; }
  bool empty() const { return rest_.empty(); }

 private:
  std::string_view rest_;
};

[[noreturn]] inline void fail(const char* rule, const std::string& shown) {
  std::fprintf(stderr, "fuzz: %s: %s\n", rule, shown.c_str());
  std::abort();
}

inline void demand(bool held, const char* rule, const std::string& shown = {}) {
  if (!held) fail(rule, shown);
}

// Has no control character of ASCII but those.
inline bool is_plain(std::string_view text, std::string_view but = {}) {
  return std::all_of(text.begin(), text.end(), [&](char c) {
    return (static_cast<unsigned char>(c) >= 0x20 && c != 0x7F) || but.find(c) != but.npos;
  });
}

// What `read` makes of the input, or nothing where it refuses it in one sentence.
template <typename Read>
auto accepted(Read read, std::string* why = nullptr) -> std::optional<decltype(read())> {
  try {
    return read();
  } catch (const trencher::Error& refusal) {
    const std::string sentence = refusal.what();
    demand(sentence.ends_with('.') || sentence.ends_with('?'), "a refusal is a sentence", sentence);
    if (why) *why = sentence;
    return std::nullopt;
  }
}

// A private folder in memory, gone at the end. Entered only while an input runs, since the fuzzer
// itself may have been given relative paths.
class Scratch {
 public:
  Scratch() {
    std::string name = std::filesystem::exists("/dev/shm") ? "/dev/shm" : "/tmp";
    name += "/trencher-fuzz-XXXXXX";
    if (!::mkdtemp(name.data())) fail("a scratch folder is made", name);
    path_ = name;
  }
  ~Scratch() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;

  const std::filesystem::path& path() const { return path_; }
  std::vector<std::string> names() const {
    std::vector<std::string> out;
    for (const auto& item : std::filesystem::directory_iterator(path_))
      out.push_back(item.path().filename().string());
    return out;
  }

 private:
  std::filesystem::path path_;
};

inline void put(const std::filesystem::path& path, std::string_view bytes) {
  std::ofstream out(path, std::ios::binary | std::ios::trunc);
  out << bytes;
  demand(bool(out.flush()), "a scratch file is written", path.string());
}

inline std::string bytes_of(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace fuzz
