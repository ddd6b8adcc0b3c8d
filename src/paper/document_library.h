// What a Document holds of the PDF library: for document*.cpp alone.
#pragma once

#include <hpdf.h>
#include <hpdf_doc.h>
#include <hpdf_fontdef.h>

#include <array>
#include <cstdint>
#include <deque>
#include <map>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "domain/error.h"
#include "paper/document.h"
#include "paper/operators.h"

namespace trencher::paper {

inline constexpr double points_per_mm = 72 / 25.4;
inline double pt(double mm) { return mm * points_per_mm; }

// The library keeps only the last error, and that is the echo of the first.
struct FirstError {
  HPDF_STATUS code = HPDF_OK;
};

struct Document::Library {
  explicit Library(Size size);
  ~Library() { HPDF_Free(doc); }
  Library(const Library&) = delete;
  Library& operator=(const Library&) = delete;

  // Neither a status nor the handler tells of every failure: both are looked at after each call.
  void check(HPDF_STATUS status);

  template <class Handle>
  Handle check_made(Handle made) {
    check(HPDF_OK);
    if (!made)
      throw Error::book("Cannot make the PDF file: a font, page or picture could not be made.");
    return made;
  }

  // Loaded when first used: each face costs some 80 KB of file.
  HPDF_Font font(Face face);

  HPDF_FontDef metrics(Face face) { return static_cast<HPDF_FontAttr>(font(face)->attr)->fontdef; }

  // The text as it is drawn: harmless, from left to right, and U+FFFD for each character that the
  // fonts lack.
  std::u32string drawable(std::string_view text, Face face);

  // Thousandths of the size of the type; below 0: the fonts lack it. Asking the library marks the
  // glyph as one that the file needs.
  int advance(char32_t c, Face face);

  bool has_glyph(char32_t c, Face face) { return advance(c, face) >= 0; }

  double y(double down) const { return pt(height - down); }

  [[noreturn]] void refuse(HPDF_STATUS code);

  Operators& out();

  void path(const Rect& r);

  void path(std::span<const Point> points);

  void fill_grey(double grey);

  void set(const Stroke& stroke);

  // Saves the graphics state and restores it at the end, whatever happens in between.
  class Saved {
   public:
    explicit Saved(Library& lib) : lib_(lib), height_(lib.height) { lib.out().save(); }
    ~Saved() {
      lib_.canvas->operators.restore();
      lib_.height = height_;
    }
    Saved(const Saved&) = delete;
    Saved& operator=(const Saved&) = delete;

   private:
    Library& lib_;
    double height_;
  };

  // A page, or a stamp while it is drawn.
  struct Canvas {
    HPDF_Dict resources = nullptr;  // of the page; null: a stamp, which shares those of all stamps
    HPDF_Dict contents = nullptr;
    HPDF_Dict objects = nullptr;  // pictures and stamps on the page
    bool has_fonts = false;
    Operators operators;
  };

  // What was drawn on it goes to the library.
  void hand_over(Canvas& of);
  void write(HPDF_Dict contents, const std::string& drawn);

  // A dictionary in its own right, which others refer to.
  HPDF_Dict shared_dictionary();

  // The name of the font on the canvas.
  const char* use(Face face);

  // The name of a picture or a stamp on the page.
  std::string use(HPDF_Dict object);

  HPDF_Array box(Size size);  // with its corner at the origin

  // A form of its own (ISO 32000-1, 8.10), of what was drawn on the canvas; one that is there
  // already where it is the same.
  Stamp stamp_of(Size size, Canvas& of);
  HPDF_Dict form(Size size, bool has_fonts, const std::string& drawn);

  FirstError first;
  HPDF_Doc doc = nullptr;
  Size sheet;
  double height;  // of the page or of the frame, in its units
  Canvas* canvas = nullptr;
  std::deque<Canvas> pages;
  std::vector<HPDF_Dict> stamps;
  std::map<std::string, Stamp> known_stamps;  // by the hash of what is drawn, and where
  std::array<HPDF_Font, 2> fonts{};
  std::array<bool, 2> named{};  // which of them font_names holds
  HPDF_Dict font_names = nullptr, form_resources = nullptr;
  std::array<std::vector<std::int16_t>, 2> advances;
  std::map<std::string, HPDF_Image> images;  // by their bytes
};

}  // namespace trencher::paper
