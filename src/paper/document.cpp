#include "paper/document.h"

#include <fmt/format.h>
#include <hpdf.h>
#include <hpdf_doc.h>
#include <hpdf_fontdef.h>

#include <algorithm>
#include <array>
#include <deque>
#include <map>
#include <optional>
#include <stdexcept>
#include <utility>

#include "domain/atomic_file.h"
#include "domain/error.h"
#include "domain/text.h"
#include "paper/characters.h"
#include "paper/operators.h"
#include "paper/visual.h"

namespace trencher::paper {
namespace {

constexpr double points_per_mm = 72 / 25.4;

double pt(double mm) { return mm * points_per_mm; }

constexpr std::size_t longest_text = 16'383;  // characters: a string of PDF holds 32,767 bytes

const char* name_of(Face face) { return face == Face::bold ? "F2" : "F1"; }

// The library keeps only the last error, and that is the echo of the first.
struct FirstError {
  HPDF_STATUS code = HPDF_OK;
};

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

struct Document::Library {
  explicit Library(Size size) : sheet(size), height(size.height) {
    doc = HPDF_New(record_error, &first);
    if (!doc) throw Error::book("Cannot start a PDF file: memory ran out.");
  }
  ~Library() { HPDF_Free(doc); }
  Library(const Library&) = delete;
  Library& operator=(const Library&) = delete;

  // Neither a status nor the handler tells of every failure: both are looked at after each call.
  void check(HPDF_STATUS status) {
    if (status == HPDF_OK && first.code == HPDF_OK) return;
    throw Error::book(
        "Cannot make the PDF file: " + reason(first.code == HPDF_OK ? status : first.code) + ".");
  }

  template <class Handle>
  Handle check_made(Handle made) {
    check(HPDF_OK);
    if (!made)
      throw Error::book("Cannot make the PDF file: a font, page or picture could not be made.");
    return made;
  }

  // Loaded when first used: each face costs some 80 KB of file.
  HPDF_Font font(Face face) {
    HPDF_Font& slot = fonts[face == Face::bold];
    if (!slot) {
      const char* name =
          check_made(HPDF_LoadTTFontFromFile(doc, font_path(face).c_str(), HPDF_TRUE));
      slot = check_made(HPDF_GetFont(doc, name, "UTF-8"));
    }
    return slot;
  }

  HPDF_FontDef metrics(Face face) { return static_cast<HPDF_FontAttr>(font(face)->attr)->fontdef; }

  // The text as it is drawn: harmless, from left to right, and U+FFFD for each character that the
  // fonts lack.
  std::u32string drawable(std::string_view text, Face face) {
    std::optional<std::u32string> plain = plain_characters(text);
    std::u32string out = plain ? std::move(*plain) : visual(characters(shown(text)));
    for (char32_t& c : out)
      if (!has_glyph(c, face)) {
        lacking().insert(c);
        c = 0xFFFD;
      }
    return out;
  }

  // Thousandths of the size of the type. Asking the library marks the glyph as one that the file
  // needs.
  int advance(char32_t c, Face face) {
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

  bool has_glyph(char32_t c, Face face) { return advance(c, face) >= 0; }

  double y(double down) const { return pt(height - down); }

  [[noreturn]] void refuse(HPDF_STATUS code) {
    first.code = code;
    check(code);
    throw std::logic_error("A PDF file goes on after an error.");
  }

  Operators& out() {
    if (!canvas) throw std::logic_error("Something is drawn where there is no page.");
    return canvas->operators;
  }

  void path(const Rect& r) {
    out().rectangle(pt(r.x), y(r.y + r.height), pt(r.width), pt(r.height));
  }

  void path(std::span<const Point> points) {
    out().move(pt(points[0].x), y(points[0].y));
    for (const Point& p : points.subspan(1)) out().line(pt(p.x), y(p.y));
  }

  void fill_grey(double grey) {
    if (!(grey >= 0 && grey <= 1)) refuse(HPDF_PAGE_OUT_OF_RANGE);
    out().fill_grey(grey);
  }

  void set(const Stroke& stroke) {
    if (!(stroke.width >= 0 && stroke.grey >= 0 && stroke.grey <= 1))
      refuse(HPDF_PAGE_OUT_OF_RANGE);
    out().line_width(pt(stroke.width));
    out().stroke_grey(stroke.grey);
    // Whole points only: a dash of a fraction becomes one point.
    std::vector<int> dash;
    for (const double length : stroke.dash)
      dash.push_back(static_cast<int>(std::max(1.0, length * points_per_mm + 0.5)));
    out().dash(dash);
  }

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
  void hand_over(Canvas& of) {
    const std::string bytes = of.operators.take();
    if (!bytes.empty())
      check(HPDF_Stream_Write(of.contents->stream, reinterpret_cast<const HPDF_BYTE*>(bytes.data()),
                              static_cast<HPDF_UINT>(bytes.size())));
  }

  // A dictionary in its own right, which others refer to.
  HPDF_Dict shared_dictionary() {
    HPDF_Dict made = check_made(HPDF_Dict_New(doc->mmgr));
    check(HPDF_Xref_Add(doc->xref, made));
    return made;
  }

  // The name of the font on the canvas.
  const char* use(Face face) {
    const char* name = name_of(face);
    if (!font_names) font_names = shared_dictionary();
    if (!named[face == Face::bold]) check(HPDF_Dict_Add(font_names, name, font(face)));
    named[face == Face::bold] = true;
    if (canvas->resources && !canvas->has_fonts)
      check(HPDF_Dict_Add(canvas->resources, "Font", font_names));
    canvas->has_fonts = true;
    return name;
  }

  // The name of a picture or a stamp on the page.
  std::string use(HPDF_Dict object) {
    if (!canvas || !canvas->resources)
      throw std::logic_error("A picture or stamp is drawn on no page.");
    if (!canvas->objects) {
      canvas->objects = check_made(HPDF_Dict_New(doc->mmgr));
      check(HPDF_Dict_Add(canvas->resources, "XObject", canvas->objects));
    }
    if (const char* name = HPDF_Dict_GetKeyByObj(canvas->objects, object)) return name;
    const std::string name = fmt::format("X{}", canvas->objects->list->count + 1);
    check(HPDF_Dict_Add(canvas->objects, name.c_str(), object));
    return name;
  }

  // A form of its own (ISO 32000-1, 8.10), of what was drawn on the canvas.
  HPDF_Dict form(Size size, Canvas& of) {
    HPDF_Dict made = check_made(HPDF_DictStream_New(doc->mmgr, doc->xref));
    made->header.obj_class |= HPDF_OSUBCLASS_XOBJECT;
    made->filter = HPDF_STREAM_FILTER_FLATE_DECODE;
    check(HPDF_Dict_AddName(made, "Subtype", "Form"));
    const HPDF_Box box{0, 0, static_cast<float>(pt(size.width)),
                       static_cast<float>(pt(size.height))};
    check(HPDF_Dict_Add(made, "BBox", check_made(HPDF_Box_Array_New(doc->mmgr, box))));
    if (of.has_fonts) {
      if (!form_resources) {
        form_resources = shared_dictionary();
        check(HPDF_Dict_Add(form_resources, "Font", font_names));
      }
      check(HPDF_Dict_Add(made, "Resources", form_resources));
    }
    of.contents = made;
    hand_over(of);
    return made;
  }

  FirstError first;
  HPDF_Doc doc = nullptr;
  Size sheet;
  double height;  // of the page or of the frame, in its units
  Canvas* canvas = nullptr;
  std::deque<Canvas> pages;
  std::vector<HPDF_Dict> stamps;
  std::array<HPDF_Font, 2> fonts{};
  std::array<bool, 2> named{};  // which of them font_names holds
  HPDF_Dict font_names = nullptr, form_resources = nullptr;
  std::array<std::vector<std::int16_t>, 2> advances;
  std::map<std::string, HPDF_Image> images;  // by their bytes
};

Document::Document(Size sheet, const std::string& title, std::chrono::sys_seconds made_at)
    : library_(std::make_unique<Library>(sheet)) {
  Library& lib = *library_;
  lib.check(HPDF_SetCompressionMode(lib.doc, HPDF_COMP_ALL));
  lib.check(HPDF_UseUTFEncodings(lib.doc));
  lib.check(HPDF_SetCurrentEncoder(lib.doc, "UTF-8"));  // else the title is taken for Latin-1
  lib.check(HPDF_SetInfoAttr(lib.doc, HPDF_INFO_TITLE, shown(title).c_str()));

  const auto day = std::chrono::floor<std::chrono::days>(made_at);
  const std::chrono::year_month_day date(day);
  const std::chrono::hh_mm_ss time(made_at - day);
  HPDF_Date made{};
  made.year = int(date.year());
  made.month = static_cast<int>(unsigned(date.month()));
  made.day = static_cast<int>(unsigned(date.day()));
  made.hour = static_cast<int>(time.hours().count());
  made.minutes = static_cast<int>(time.minutes().count());
  made.seconds = static_cast<int>(time.seconds().count());
  made.ind = 'Z';
  lib.check(HPDF_SetInfoDateAttr(lib.doc, HPDF_INFO_CREATION_DATE, made));
}

Document::~Document() = default;

Size Document::sheet() const { return library_->sheet; }

int Document::pages() const { return static_cast<int>(library_->pages.size()); }

void Document::add_page() {
  Library& lib = *library_;
  if (lib.canvas) lib.hand_over(*lib.canvas);
  HPDF_Page page = lib.check_made(HPDF_AddPage(lib.doc));
  lib.check(HPDF_Page_SetWidth(page, static_cast<float>(pt(lib.sheet.width))));
  lib.check(HPDF_Page_SetHeight(page, static_cast<float>(pt(lib.sheet.height))));
  const auto part = [&](const char* name) {
    return lib.check_made(static_cast<HPDF_Dict>(HPDF_Dict_GetItem(page, name, HPDF_OCLASS_DICT)));
  };
  Library::Canvas& made = lib.pages.emplace_back();
  made.resources = part("Resources");
  made.contents = part("Contents");
  // Of no use since PDF 1.4, and 50 bytes.
  lib.check(HPDF_Dict_RemoveElement(made.resources, "ProcSet"));
  lib.canvas = &made;
}

void Document::select_page(int page) {
  Library& lib = *library_;
  lib.hand_over(*lib.canvas);
  lib.canvas = &lib.pages.at(static_cast<std::size_t>(page));
}

double Document::width(std::string_view text, Font font) const {
  Library& lib = *library_;
  double thousandths = 0;
  for (const char32_t c : lib.drawable(text, font.face)) thousandths += lib.advance(c, font.face);
  return thousandths / 1000 * font.points / points_per_mm;
}

void Document::text(Point baseline, std::string_view text, Font font, double grey) {
  Library& lib = *library_;
  const std::u32string drawn = lib.drawable(text, font.face);
  if (drawn.size() > longest_text) lib.refuse(HPDF_STRING_OUT_OF_RANGE);
  lib.fill_grey(grey);
  lib.out().text(pt(baseline.x), lib.y(baseline.y), lib.use(font.face), font.points, drawn);
}

Stamp Document::stamp(Size size, const std::function<void()>& body) {
  Library& lib = *library_;
  Library::Canvas made;
  Library::Canvas* const page = std::exchange(lib.canvas, &made);
  const double height = std::exchange(lib.height, size.height);
  const auto go_back = [&] {
    lib.canvas = page;
    lib.height = height;
  };
  try {
    body();
    lib.stamps.push_back(lib.form(size, made));
  } catch (...) {
    go_back();
    throw;
  }
  go_back();
  return static_cast<Stamp>(lib.stamps.size() - 1);
}

void Document::draw(Stamp stamp) {
  Library& lib = *library_;
  const std::string name = lib.use(lib.stamps.at(static_cast<std::size_t>(stamp)));
  lib.out().object(name);
}

void Document::line(Point from, Point to, const Stroke& stroke) {
  polyline(std::array{from, to}, stroke);
}

void Document::polyline(std::span<const Point> points, const Stroke& stroke) {
  if (points.size() < 2) return;
  library_->set(stroke);
  library_->path(points);
  library_->out().stroke();
}

void Document::outline(const Rect& rect, const Stroke& stroke) {
  library_->set(stroke);
  library_->path(rect);
  library_->out().stroke();
}

void Document::fill(std::span<const Rect> rects, double grey) {
  if (rects.empty()) return;
  library_->fill_grey(grey);
  for (const Rect& rect : rects) library_->path(rect);
  library_->out().fill();
}

void Document::fill_cells(Point top_left, double side, std::span<const Rect> cells) {
  if (cells.empty()) return;
  Library& lib = *library_;
  const Library::Saved saved(lib);
  const double unit = pt(side);
  lib.fill_grey(0);
  lib.out().matrix(unit, 0, 0, -unit, pt(top_left.x), lib.y(top_left.y));
  for (const Rect& cell : cells) lib.out().rectangle(cell.x, cell.y, cell.width, cell.height);
  lib.out().fill();
}

void Document::fill(const Rect& rect, double grey) { fill(std::span(&rect, 1), grey); }

void Document::picture(const Rect& rect, std::string_view plain_jpeg) {
  Library& lib = *library_;
  HPDF_Image& image = lib.images[std::string(plain_jpeg)];
  if (!image)
    image = lib.check_made(
        HPDF_LoadJpegImageFromMem(lib.doc, reinterpret_cast<const HPDF_BYTE*>(plain_jpeg.data()),
                                  static_cast<HPDF_UINT>(plain_jpeg.size())));
  const double width = HPDF_Image_GetWidth(image), height = HPDF_Image_GetHeight(image);
  lib.check(HPDF_OK);
  const double scale = std::min(rect.width / width, rect.height / height);
  const double left = rect.x + (rect.width - width * scale) / 2;
  const double bottom = rect.y + (rect.height + height * scale) / 2;
  const std::string name = lib.use(image);
  const Library::Saved saved(lib);
  lib.out().matrix(pt(width * scale), 0, 0, pt(height * scale), pt(left), lib.y(bottom));
  lib.out().object(name);
}

void Document::clipped(const Rect& rect, const std::function<void()>& body) {
  Library& lib = *library_;
  const Library::Saved saved(lib);
  lib.path(rect);
  lib.out().clip();
  body();
}

void Document::framed(const Frame& frame, const std::function<void()>& body) {
  Library& lib = *library_;
  const Library::Saved saved(lib);
  const Rect& at = frame.place;
  const double s = frame.scale;
  const double left = pt(at.x);
  const double bottom = lib.y(at.y + at.height);
  const double up = frame.other_way ? -s : s;
  if (!frame.turned)
    lib.out().matrix(s, 0, 0, s, left, bottom);
  else
    lib.out().matrix(0, up, -up, 0, frame.other_way ? left : left + pt(at.width),
                     frame.other_way ? bottom + pt(at.height) : bottom);
  lib.height = (frame.turned ? at.width : at.height) / frame.scale;
  body();
}

std::string Document::bytes() {
  Library& lib = *library_;
  if (lib.canvas) lib.hand_over(*lib.canvas);
  lib.check(HPDF_SaveToStream(lib.doc));
  lib.check(HPDF_ResetStream(lib.doc));
  std::string out;
  std::array<HPDF_BYTE, 65536> buffer;
  for (;;) {
    auto size = static_cast<HPDF_UINT32>(buffer.size());
    const HPDF_STATUS status = HPDF_ReadFromStream(lib.doc, buffer.data(), &size);
    // The last read reports the end together with its bytes.
    out.append(reinterpret_cast<const char*>(buffer.data()), size);
    if (status == HPDF_STREAM_EOF) return out;
    lib.check(status);
    if (size == 0) return out;
  }
}

void Document::save(const std::filesystem::path& path) { write_file_whole(path, bytes()); }

}  // namespace trencher::paper
