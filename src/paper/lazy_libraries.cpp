// libharu, libjpeg and libqrencode are loaded when a paper first needs one of them: most commands
// print none, and at the start of every process these three and what they load in turn (libpng,
// zlib) cost as much as reading the book. What is called of them stands here under its own name and
// goes on to the library; a call that is missing here does not link.
#include <dlfcn.h>
#include <fmt/format.h>
#include <hpdf.h>
#include <hpdf_doc.h>
#include <hpdf_fontdef.h>
#include <jpeglib.h>
#include <qrencode.h>

#include <cstddef>
#include <cstdio>  // jpeglib.h needs it
#include <tuple>

#include "domain/error.h"

namespace {

void* load(const char* file) {
  if (void* library = ::dlopen(file, RTLD_LAZY | RTLD_LOCAL)) return library;
  throw trencher::Error::book(
      fmt::format("The library {} cannot be loaded, which papers need: {}.", file, ::dlerror()));
}

// Never unloaded: what it made may live to the end.
void* libharu() {
  static void* const library = load(TRENCHER_LIBHARU);
  return library;
}
void* libjpeg() {
  static void* const library = load(TRENCHER_LIBJPEG);
  return library;
}
void* libqrencode() {
  static void* const library = load(TRENCHER_LIBQRENCODE);
  return library;
}

template <typename Function>
Function* find(void* library, const char* name) {
  if (void* found = ::dlsym(library, name)) return reinterpret_cast<Function*>(found);
  throw trencher::Error::book(fmt::format("The library that papers need lacks {}.", name));
}

template <typename Function>
struct Parts;
template <typename R, typename... A>
struct Parts<R(A...)> {
  using Result = R;
  template <std::size_t I>
  using Argument = std::tuple_element_t<I, std::tuple<A...>>;
};

}  // namespace

// By the headers' own types; the number is that of the arguments.
#define RESULT(name) Parts<decltype(name)>::Result
#define TAKE(name, i) Parts<decltype(name)>::Argument<i> a##i
#define GO_ON(library, name, ...)                                 \
  static auto* const real = find<decltype(name)>(library, #name); \
  return real(__VA_ARGS__)
#define LAZY_1(library, name) \
  RESULT(name) name(TAKE(name, 0)) { GO_ON(library, name, a0); }
#define LAZY_2(library, name) \
  RESULT(name) name(TAKE(name, 0), TAKE(name, 1)) { GO_ON(library, name, a0, a1); }
#define LAZY_3(library, name)                                      \
  RESULT(name) name(TAKE(name, 0), TAKE(name, 1), TAKE(name, 2)) { \
    GO_ON(library, name, a0, a1, a2);                              \
  }
#define LAZY_4(library, name)                                                     \
  RESULT(name) name(TAKE(name, 0), TAKE(name, 1), TAKE(name, 2), TAKE(name, 3)) { \
    GO_ON(library, name, a0, a1, a2, a3);                                         \
  }
#define LAZY_5(library, name)                                                       \
  RESULT(name)                                                                      \
  name(TAKE(name, 0), TAKE(name, 1), TAKE(name, 2), TAKE(name, 3), TAKE(name, 4)) { \
    GO_ON(library, name, a0, a1, a2, a3, a4);                                       \
  }
#define LAZY_6(library, name)                                                                      \
  RESULT(name)                                                                                     \
  name(TAKE(name, 0), TAKE(name, 1), TAKE(name, 2), TAKE(name, 3), TAKE(name, 4), TAKE(name, 5)) { \
    GO_ON(library, name, a0, a1, a2, a3, a4, a5);                                                  \
  }
#define LAZY_7(library, name)                                                                    \
  RESULT(name)                                                                                   \
  name(TAKE(name, 0), TAKE(name, 1), TAKE(name, 2), TAKE(name, 3), TAKE(name, 4), TAKE(name, 5), \
       TAKE(name, 6)) {                                                                          \
    GO_ON(library, name, a0, a1, a2, a3, a4, a5, a6);                                            \
  }

extern "C" {

LAZY_1(libharu(), HPDF_AddPage)
LAZY_2(libharu(), HPDF_Box_Array_New)
LAZY_2(libharu(), HPDF_DictStream_New)
LAZY_3(libharu(), HPDF_Dict_Add)
LAZY_3(libharu(), HPDF_Dict_AddName)
LAZY_3(libharu(), HPDF_Dict_GetItem)
LAZY_2(libharu(), HPDF_Dict_GetKeyByObj)
LAZY_1(libharu(), HPDF_Dict_New)
LAZY_2(libharu(), HPDF_Dict_RemoveElement)
LAZY_1(libharu(), HPDF_Free)
LAZY_3(libharu(), HPDF_GetFont)
LAZY_1(libharu(), HPDF_Image_GetHeight)
LAZY_1(libharu(), HPDF_Image_GetWidth)
LAZY_3(libharu(), HPDF_LoadJpegImageFromMem)
LAZY_3(libharu(), HPDF_LoadTTFontFromFile)
LAZY_2(libharu(), HPDF_New)
LAZY_2(libharu(), HPDF_Page_SetHeight)
LAZY_2(libharu(), HPDF_Page_SetWidth)
LAZY_3(libharu(), HPDF_ReadFromStream)
LAZY_1(libharu(), HPDF_ResetStream)
LAZY_1(libharu(), HPDF_SaveToStream)
LAZY_2(libharu(), HPDF_SetCompressionMode)
LAZY_2(libharu(), HPDF_SetCurrentEncoder)
LAZY_3(libharu(), HPDF_SetInfoAttr)
LAZY_3(libharu(), HPDF_SetInfoDateAttr)
LAZY_3(libharu(), HPDF_Stream_Write)
LAZY_2(libharu(), HPDF_TTFontDef_GetCharWidth)
LAZY_2(libharu(), HPDF_TTFontDef_GetGlyphid)
LAZY_1(libharu(), HPDF_UseUTFEncodings)
LAZY_2(libharu(), HPDF_Xref_Add)

LAZY_5(libqrencode(), QRcode_encodeString)
LAZY_1(libqrencode(), QRcode_free)

LAZY_3(libjpeg(), jpeg_CreateCompress)
LAZY_3(libjpeg(), jpeg_CreateDecompress)
LAZY_1(libjpeg(), jpeg_destroy_compress)
LAZY_1(libjpeg(), jpeg_destroy_decompress)
LAZY_1(libjpeg(), jpeg_finish_compress)
LAZY_1(libjpeg(), jpeg_finish_decompress)
LAZY_3(libjpeg(), jpeg_mem_dest)
LAZY_3(libjpeg(), jpeg_mem_src)
LAZY_2(libjpeg(), jpeg_read_header)
LAZY_3(libjpeg(), jpeg_read_scanlines)
LAZY_3(libjpeg(), jpeg_save_markers)
LAZY_1(libjpeg(), jpeg_set_defaults)
LAZY_3(libjpeg(), jpeg_set_quality)
LAZY_2(libjpeg(), jpeg_start_compress)
LAZY_1(libjpeg(), jpeg_start_decompress)
LAZY_1(libjpeg(), jpeg_std_error)
LAZY_3(libjpeg(), jpeg_write_scanlines)

}  // extern "C"
