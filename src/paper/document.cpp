#include "paper/document.h"

#include <fmt/format.h>
#include <hpdf.h>
#include <hpdf_fontdef.h>
#include <utf8.h>

#include <algorithm>
#include <array>
#include <iterator>
#include <map>

#include "domain/atomic_file.h"
#include "domain/error.h"
#include "domain/text.h"
#include "paper/characters.h"
#include "paper/visual.h"

namespace trencher::paper {
namespace {

constexpr double points_per_mm = 72 / 25.4;

float pt(double mm) { return static_cast<float>(mm * points_per_mm); }

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
    case HPDF_EXCEED_GSTATE_LIMIT:
      return "frames are nested too deep";
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
  std::string drawable(std::string_view text, Face face) {
    std::string out;
    for (const char32_t c : visual(characters(shown(text)))) {
      const bool drawn = has_glyph(c, face);
      if (!drawn) lacking().insert(c);
      utf8::append(drawn ? c : char32_t{0xFFFD}, std::back_inserter(out));
    }
    return out;
  }

  // The library turns what lies beyond 16 bits into a space.
  bool has_glyph(char32_t c, Face face) {
    return c <= 0xFFFF &&
           HPDF_TTFontDef_GetGlyphid(metrics(face), static_cast<HPDF_UINT16>(c)) != 0;
  }

  float y(double down) const { return pt(height - down); }

  void path(const Rect& r) {
    check(HPDF_Page_Rectangle(page, pt(r.x), y(r.y + r.height), pt(r.width), pt(r.height)));
  }

  void path(std::span<const Point> points) {
    check(HPDF_Page_MoveTo(page, pt(points[0].x), y(points[0].y)));
    for (const Point& p : points.subspan(1)) check(HPDF_Page_LineTo(page, pt(p.x), y(p.y)));
  }

  void set(const Stroke& stroke) {
    check(HPDF_Page_SetLineWidth(page, pt(stroke.width)));
    check(HPDF_Page_SetGrayStroke(page, static_cast<float>(stroke.grey)));
    set_dash(stroke.dash);
  }

  // The library takes whole points only, so that a dash of a fraction becomes one point.
  void set_dash(const std::vector<double>& dash) {
    std::vector<HPDF_UINT16> pattern;
    for (const double length : dash)
      pattern.push_back(static_cast<HPDF_UINT16>(std::max(1.0, length * points_per_mm + 0.5)));
    check(HPDF_Page_SetDash(page, pattern.empty() ? nullptr : pattern.data(),
                            static_cast<HPDF_UINT>(pattern.size()), 0));
  }

  // Saves the graphics state and restores it at the end, whatever happens in between.
  class Saved {
   public:
    explicit Saved(Library& lib) : lib_(lib), height_(lib.height) {
      lib.check(HPDF_Page_GSave(lib.page));
    }
    ~Saved() {
      HPDF_Page_GRestore(lib_.page);
      lib_.height = height_;
    }
    Saved(const Saved&) = delete;
    Saved& operator=(const Saved&) = delete;

   private:
    Library& lib_;
    double height_;
  };

  FirstError first;
  HPDF_Doc doc = nullptr;
  Size sheet;
  double height;  // of the page or of the frame, in its units
  HPDF_Page page = nullptr;
  std::vector<HPDF_Page> pages;
  std::array<HPDF_Font, 2> fonts{};
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
  lib.page = lib.check_made(HPDF_AddPage(lib.doc));
  lib.check(HPDF_Page_SetWidth(lib.page, pt(lib.sheet.width)));
  lib.check(HPDF_Page_SetHeight(lib.page, pt(lib.sheet.height)));
  lib.pages.push_back(lib.page);
}

void Document::select_page(int page) { library_->page = library_->pages.at(page); }

double Document::width(std::string_view text, Font font) const {
  const HPDF_FontDef metrics = library_->metrics(font.face);
  double thousandths = 0;
  const std::string drawn = library_->drawable(text, font.face);
  for (const Character& c : characters(drawn))
    thousandths += HPDF_TTFontDef_GetCharWidth(metrics, static_cast<HPDF_UINT16>(c.value));
  return thousandths / 1000 * font.points / points_per_mm;
}

void Document::text(Point baseline, std::string_view text, Font font, double grey) {
  Library& lib = *library_;
  const std::string drawn = lib.drawable(text, font.face);
  lib.check(HPDF_Page_SetGrayFill(lib.page, static_cast<float>(grey)));
  lib.check(HPDF_Page_BeginText(lib.page));
  lib.check(
      HPDF_Page_SetFontAndSize(lib.page, lib.font(font.face), static_cast<float>(font.points)));
  lib.check(HPDF_Page_MoveTextPos(lib.page, pt(baseline.x), lib.y(baseline.y)));
  lib.check(HPDF_Page_ShowText(lib.page, drawn.c_str()));
  lib.check(HPDF_Page_EndText(lib.page));
}

void Document::line(Point from, Point to, const Stroke& stroke) {
  polyline(std::array{from, to}, stroke);
}

void Document::polyline(std::span<const Point> points, const Stroke& stroke) {
  if (points.size() < 2) return;
  library_->set(stroke);
  library_->path(points);
  library_->check(HPDF_Page_Stroke(library_->page));
}

void Document::outline(const Rect& rect, const Stroke& stroke) {
  library_->set(stroke);
  library_->path(rect);
  library_->check(HPDF_Page_Stroke(library_->page));
}

void Document::fill(std::span<const Rect> rects, double grey) {
  if (rects.empty()) return;
  library_->check(HPDF_Page_SetGrayFill(library_->page, static_cast<float>(grey)));
  for (const Rect& rect : rects) library_->path(rect);
  library_->check(HPDF_Page_Fill(library_->page));
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
  lib.check(HPDF_Page_DrawImage(lib.page, image, pt(left), lib.y(bottom), pt(width * scale),
                                pt(height * scale)));
}

void Document::clipped(const Rect& rect, const std::function<void()>& body) {
  Library& lib = *library_;
  const Library::Saved saved(lib);
  lib.path(rect);
  lib.check(HPDF_Page_Clip(lib.page));
  lib.check(HPDF_Page_EndPath(lib.page));
  body();
}

void Document::framed(const Frame& frame, const std::function<void()>& body) {
  Library& lib = *library_;
  const Library::Saved saved(lib);
  const Rect& at = frame.place;
  const auto s = static_cast<float>(frame.scale);
  const float left = pt(at.x);
  const float bottom = lib.y(at.y + at.height);
  const float up = frame.other_way ? -s : s;
  if (!frame.turned)
    lib.check(HPDF_Page_Concat(lib.page, s, 0, 0, s, left, bottom));
  else
    lib.check(HPDF_Page_Concat(lib.page, 0, up, -up, 0,
                               frame.other_way ? left : left + pt(at.width),
                               frame.other_way ? bottom + pt(at.height) : bottom));
  lib.height = (frame.turned ? at.width : at.height) / frame.scale;
  body();
}

std::string Document::bytes() {
  Library& lib = *library_;
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
