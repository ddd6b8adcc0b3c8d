#include "paper/document.h"

#include <algorithm>
#include <array>
#include <utility>

#include "domain/atomic_file.h"
#include "domain/error.h"
#include "domain/text.h"
#include "paper/document_library.h"

namespace trencher::paper {
namespace {

constexpr std::size_t longest_text = 16'383;  // characters: a string of PDF holds 32,767 bytes

}  // namespace

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
  // All pages are alike, and have it from their list.
  lib.check(HPDF_Dict_RemoveElement(page, "MediaBox"));
  if (lib.pages.empty())
    lib.check(HPDF_Dict_Add(lib.doc->root_pages, "MediaBox", lib.box(lib.sheet)));
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
  // Plain ASCII is drawn as it stands.
  const bool as_it_stands = std::all_of(text.begin(), text.end(), [&](char c) {
    const int advance =
        c >= 0x20 && c < 0x7F ? lib.advance(static_cast<char32_t>(c), font.face) : -1;
    thousandths += advance;
    return advance >= 0;
  });
  if (!as_it_stands) {
    thousandths = 0;
    for (const char32_t c : lib.drawable(text, font.face)) thousandths += lib.advance(c, font.face);
  }
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
  Stamp out{};
  const auto go_back = [&] {
    lib.canvas = page;
    lib.height = height;
  };
  try {
    body();
    out = lib.stamp_of(size, made);
  } catch (...) {
    go_back();
    throw;
  }
  go_back();
  return out;
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
