// Looking at files with tools that are not ours: poppler, qpdf, zbar.
#pragma once

#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace trencher::paper {

// A private folder, gone at the end.
class Folder {
 public:
  Folder() {
    std::string pattern = std::filesystem::temp_directory_path() / "trencher-test-XXXXXX";
    if (!::mkdtemp(pattern.data())) throw std::runtime_error("no private folder");
    path_ = pattern;
  }
  ~Folder() { std::filesystem::remove_all(path_); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;

  std::filesystem::path operator/(const std::string& name) const { return path_ / name; }

  std::vector<std::string> names() const {
    std::vector<std::string> out;
    for (const auto& entry : std::filesystem::directory_iterator(path_))
      out.push_back(entry.path().filename());
    std::sort(out.begin(), out.end());
    return out;
  }

 private:
  std::filesystem::path path_;
};

inline std::string read_file(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) throw std::runtime_error("cannot read " + path.string());
  return {std::istreambuf_iterator<char>(in), {}};
}

// Standard output. Any status but 0 throws, so that a missing tool fails the test.
inline std::string run(const std::string& command) {
  FILE* pipe = ::popen(command.c_str(), "r");
  if (!pipe) throw std::runtime_error("cannot run " + command);
  std::string out;
  std::array<char, 4096> buffer;
  while (const std::size_t got = std::fread(buffer.data(), 1, buffer.size(), pipe))
    out.append(buffer.data(), got);
  if (::pclose(pipe) != 0) throw std::runtime_error(command + " failed:\n" + out);
  return out;
}

// Runs a poppler tool. Its complaint about libharu's character maps is known and harmless; any
// other complaint throws.
inline std::string poppler(const std::string& command) {
  Folder folder;
  const std::string out = run(command + " 2>" + (folder / "errors").string());
  std::istringstream errors(read_file(folder / "errors"));
  for (std::string line; std::getline(errors, line);)
    if (line.find("'begincidrange' operator in ToUnicode CMap") == std::string::npos &&
        line != "no word list")  // of an empty page
      throw std::runtime_error(command + " complains: " + line);
  return out;
}

// A word on a page, in points from the top left.
struct Word {
  int page = 0;  // from 1
  double left = 0, top = 0, right = 0, bottom = 0;
  std::string text;
};

inline std::string unescaped(std::string text) {
  for (const auto& [from, to] :
       {std::pair("&lt;", "<"), {"&gt;", ">"}, {"&quot;", "\""}, {"&#39;", "'"}, {"&amp;", "&"}})
    for (std::size_t at = 0; (at = text.find(from, at)) != std::string::npos; ++at)
      text.replace(at, std::string(from).size(), to);
  return text;
}

inline std::vector<Word> words_of(const std::filesystem::path& pdf) {
  static const std::regex word(
      R"re(<word xMin="(.*?)" yMin="(.*?)" xMax="(.*?)" yMax="(.*?)">(.*)</word>)re");
  std::istringstream lines(poppler("pdftotext -bbox " + pdf.string() + " -"));
  std::vector<Word> out;
  int page = 0;
  for (std::string line; std::getline(lines, line);) {
    if (line.find("<page ") != std::string::npos) ++page;
    std::smatch m;
    if (std::regex_search(line, m, word))
      out.push_back({page, std::stod(m[1]), std::stod(m[2]), std::stod(m[3]), std::stod(m[4]),
                     unescaped(m[5])});
  }
  return out;
}

// The words of all pages in the order in which they were drawn, one blank between.
inline std::string text_of(const std::filesystem::path& pdf) {
  std::istringstream in(poppler("pdftotext -raw " + pdf.string() + " -"));
  std::string out;
  for (std::string word; in >> word;) out += (out.empty() ? "" : " ") + word;
  return out;
}

// No-break spaces as blanks.
inline std::string with_blanks(std::string text) {
  for (std::size_t at = 0; (at = text.find("\u00A0", at)) != std::string::npos;)
    text.replace(at, 2, " ");
  return text;
}

inline int pages_of(const std::filesystem::path& pdf) {
  return std::stoi(run("qpdf --show-npages " + pdf.string()));
}

// Throws where qpdf finds a fault or a doubt.
inline void check_sound(const std::filesystem::path& pdf) { run("qpdf --check " + pdf.string()); }

// Makes page.pgm in the folder.
inline void render(const std::filesystem::path& pdf, int page, int dots_per_inch,
                   const Folder& folder) {
  const std::string number = std::to_string(page);
  poppler("pdftoppm -gray -singlefile -r " + std::to_string(dots_per_inch) + " -f " + number +
          " -l " + number + " " + pdf.string() + " " + (folder / "page").string());
}

// What each QR code on the page says, sorted. Of several on one page zbar overlooks one now and
// then, so two resolutions are looked through; each gives a code as often as it finds it.
inline std::vector<std::string> codes_on(const std::filesystem::path& pdf, int page) {
  std::vector<std::string> out;
  for (const int dots_per_inch : {300, 240}) {
    Folder folder;
    render(pdf, page, dots_per_inch, folder);
    std::istringstream lines(run("zbarimg --quiet --nodbus --raw -Sdisable -Sqrcode.enable " +
                                 (folder / "page.pgm").string()));
    std::vector<std::string> found, all;
    for (std::string line; std::getline(lines, line);) found.push_back(line);
    std::sort(found.begin(), found.end());
    std::set_union(out.begin(), out.end(), found.begin(), found.end(), std::back_inserter(all));
    out = std::move(all);
  }
  return out;
}

// Pairs of words that lie on each other, and words outside the sheet (points), as text; empty:
// none.
inline std::string collisions(const std::filesystem::path& pdf, double width, double height) {
  const std::vector<Word> words = words_of(pdf);
  std::string out;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const Word& a = words[i];
    if (a.left < 0 || a.top < 0 || a.right > width || a.bottom > height)
      out += a.text + " outside; ";
    for (std::size_t j = i + 1; j < words.size(); ++j) {
      const Word& b = words[j];
      // A tenth of a point: poppler's boxes are rounded.
      if (a.page == b.page && a.left < b.right - 0.1 && b.left < a.right - 0.1 &&
          a.top < b.bottom - 0.1 && b.top < a.bottom - 0.1)
        out += a.text + " on " + b.text + "; ";
    }
  }
  return out;
}

// One page as grey pixels, 0 black to 255 white.
struct Picture {
  int width = 0, height = 0;
  std::string pixels;
  int at(int x, int y) const {
    return static_cast<unsigned char>(pixels.at(static_cast<std::size_t>(y) * width + x));
  }
};

inline Picture picture_of(const std::filesystem::path& pdf, int page, int dots_per_inch) {
  Folder folder;
  render(pdf, page, dots_per_inch, folder);
  std::istringstream in(read_file(folder / "page.pgm"));
  std::string magic;
  int most = 0;
  Picture picture;
  in >> magic >> picture.width >> picture.height >> most;
  in.get();
  picture.pixels.assign(std::istreambuf_iterator<char>(in), {});
  return picture;
}

}  // namespace trencher::paper
