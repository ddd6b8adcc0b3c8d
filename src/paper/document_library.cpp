#include "paper/document_library.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <optional>
#include <stdexcept>
#include <utility>

#include "domain/text.h"
#include "paper/characters.h"
#include "paper/visual.h"

namespace trencher::paper {
namespace {

const char* name_of(Face face) { return face == Face::bold ? "F2" : "F1"; }

void record_error(HPDF_STATUS code, HPDF_STATUS, void* user_data) {
  auto* first = static_cast<FirstError*>(user_data);
  if (first->code == HPDF_OK) first->code = code;
}

std::string reason(HPDF_STATUS code) {
  switch (code) {
    case HPDF_FAILD_TO_ALLOC_MEM:
      return "memory ran out";
    case HPDF_FILE_OPEN_ERROR:
      return "a file could not be opened";
    case HPDF_FILE_IO_ERROR:
      return "a file could not be read";
    case HPDF_TTF_INVALID_FOMAT:
    case HPDF_TTF_MISSING_TABLE:
    case HPDF_TTF_INVALID_CMAP:
      return "a font file is damaged";
    case HPDF_TTF_CANNOT_EMBEDDING_FONT:
      return "a font does not allow embedding";
    case HPDF_PAGE_OUT_OF_RANGE:
      return "a number is out of the range that PDF allows";
    case HPDF_STRING_OUT_OF_RANGE:
      return "a text is too long for one line";
    default:
      return fmt::format("the PDF library reports {:#06x}", static_cast<unsigned long>(code));
  }
}

// Where distributions put the DejaVu fonts; Debian first.
constexpr std::array font_folders = {"/usr/share/fonts/truetype/dejavu/",
                                     "/usr/share/fonts/dejavu-sans-fonts/", "/usr/share/fonts/TTF/",
                                     "/usr/share/fonts/dejavu/", "/usr/local/share/fonts/dejavu/"};

std::string font_path(Face face) {
  const char* file = face == Face::bold ? "DejaVuSans-Bold.ttf" : "DejaVuSans.ttf";
  for (const char* folder : font_folders) {
    std::error_code unreadable;
    if (std::filesystem::is_regular_file(std::string(folder) + file, unreadable))
      return std::string(folder) + file;
  }
  throw Error::book(fmt::format("The font {}{} is missing: install the package fonts-dejavu-core.",
                                font_folders[0], file));
}

}  // namespace

Document::Library::Library(Size size) : sheet(size), height(size.height) {
  doc = HPDF_New(record_error, &first);
  if (!doc) throw Error::book("Cannot start a PDF file: memory ran out.");
}

void Document::Library::check(HPDF_STATUS status) {
  if (status == HPDF_OK && first.code == HPDF_OK) return;
  throw Error::book(
      "Cannot make the PDF file: " + reason(first.code == HPDF_OK ? status : first.code) + ".");
}

HPDF_Font Document::Library::font(Face face) {
  HPDF_Font& slot = fonts[face == Face::bold];
  if (!slot) {
    const char* name = check_made(HPDF_LoadTTFontFromFile(doc, font_path(face).c_str(), HPDF_TRUE));
    slot = check_made(HPDF_GetFont(doc, name, "UTF-8"));
  }
  return slot;
}

std::u32string Document::Library::drawable(std::string_view text, Face face) {
  std::optional<std::u32string> plain = plain_characters(text);
  std::u32string out = plain ? std::move(*plain) : visual(characters(shown(text)));
  for (char32_t& c : out)
    if (!has_glyph(c, face)) {
      lacking().insert(c);
      c = 0xFFFD;
    }
  return out;
}

int Document::Library::advance(char32_t c, Face face) {
  constexpr int lacks = -1, unasked = -2;
  if (c > 0xFFFF) return lacks;  // the library turns it into a space
  std::vector<std::int16_t>& known = advances[face == Face::bold];
  if (known.empty()) known.assign(0x10000, unasked);
  std::int16_t& slot = known[c];
  if (slot == unasked) {
    const auto code = static_cast<HPDF_UINT16>(c);
    slot = HPDF_TTFontDef_GetGlyphid(metrics(face), code) == 0
               ? std::int16_t{lacks}
               : HPDF_TTFontDef_GetCharWidth(metrics(face), code);
  }
  return slot;
}

void Document::Library::refuse(HPDF_STATUS code) {
  first.code = code;
  check(code);
  throw std::logic_error("A PDF file goes on after an error.");
}

Operators& Document::Library::out() {
  if (!canvas) throw std::logic_error("Something is drawn where there is no page.");
  return canvas->operators;
}

void Document::Library::path(const Rect& r) {
  out().rectangle(pt(r.x), y(r.y + r.height), pt(r.width), pt(r.height));
}

void Document::Library::path(std::span<const Point> points) {
  out().move(pt(points[0].x), y(points[0].y));
  for (const Point& p : points.subspan(1)) out().line(pt(p.x), y(p.y));
}

void Document::Library::fill_grey(double grey) {
  if (!(grey >= 0 && grey <= 1)) refuse(HPDF_PAGE_OUT_OF_RANGE);
  out().fill_grey(grey);
}

void Document::Library::set(const Stroke& stroke) {
  if (!(stroke.width >= 0 && stroke.grey >= 0 && stroke.grey <= 1)) refuse(HPDF_PAGE_OUT_OF_RANGE);
  out().line_width(pt(stroke.width));
  out().stroke_grey(stroke.grey);
  // Whole points only: a dash of a fraction becomes one point.
  std::vector<int> dash;
  for (const double length : stroke.dash)
    dash.push_back(static_cast<int>(std::max(1.0, length * points_per_mm + 0.5)));
  out().dash(dash);
}

void Document::Library::hand_over(Canvas& of) {
  const std::string drawn = of.operators.take();
  if (!drawn.empty()) write(of.contents, drawn);
}

void Document::Library::write(HPDF_Dict contents, const std::string& drawn) {
  check(HPDF_Stream_Write(contents->stream, reinterpret_cast<const HPDF_BYTE*>(drawn.data()),
                          static_cast<HPDF_UINT>(drawn.size())));
}

HPDF_Dict Document::Library::shared_dictionary() {
  HPDF_Dict made = check_made(HPDF_Dict_New(doc->mmgr));
  check(HPDF_Xref_Add(doc->xref, made));
  return made;
}

const char* Document::Library::use(Face face) {
  const char* name = name_of(face);
  if (!font_names) font_names = shared_dictionary();
  if (!named[face == Face::bold]) check(HPDF_Dict_Add(font_names, name, font(face)));
  named[face == Face::bold] = true;
  if (canvas->resources && !canvas->has_fonts)
    check(HPDF_Dict_Add(canvas->resources, "Font", font_names));
  canvas->has_fonts = true;
  return name;
}

std::string Document::Library::use(HPDF_Dict object) {
  if (!canvas || !canvas->resources)
    throw std::logic_error("A picture or stamp is drawn on no page.");
  if (!canvas->objects) {
    canvas->objects = check_made(HPDF_Dict_New(doc->mmgr));
    check(HPDF_Dict_Add(canvas->resources, "XObject", canvas->objects));
  }
  if (const char* name = HPDF_Dict_GetKeyByObj(canvas->objects, object)) return name;
  std::string name = fmt::format("X{}", canvas->objects->list->count + 1);
  check(HPDF_Dict_Add(canvas->objects, name.c_str(), object));
  return name;
}

HPDF_Array Document::Library::box(Size size) {
  return check_made(HPDF_Box_Array_New(
      doc->mmgr, {0, 0, static_cast<float>(pt(size.width)), static_cast<float>(pt(size.height))}));
}

Stamp Document::Library::stamp_of(Size size, Canvas& of) {
  const std::string drawn = of.operators.take();
  const auto [found, is_new] =
      known_stamps.try_emplace(fmt::format("{} {} {}", sha256_hex(drawn), size.width, size.height));
  if (is_new) {
    found->second = static_cast<Stamp>(stamps.size());
    stamps.push_back(form(size, of.has_fonts, drawn));
  }
  return found->second;
}

HPDF_Dict Document::Library::form(Size size, bool has_fonts, const std::string& drawn) {
  HPDF_Dict made = check_made(HPDF_DictStream_New(doc->mmgr, doc->xref));
  made->header.obj_class |= HPDF_OSUBCLASS_XOBJECT;
  made->filter = HPDF_STREAM_FILTER_FLATE_DECODE;
  check(HPDF_Dict_AddName(made, "Subtype", "Form"));
  check(HPDF_Dict_Add(made, "BBox", box(size)));
  if (has_fonts) {
    if (!form_resources) {
      form_resources = shared_dictionary();
      check(HPDF_Dict_Add(form_resources, "Font", font_names));
    }
    check(HPDF_Dict_Add(made, "Resources", form_resources));
  }
  write(made, drawn);
  return made;
}

}  // namespace trencher::paper
