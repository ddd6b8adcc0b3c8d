/* Draws what a list says with libharu alone: the texts of trencher's own cards, and their codes.
 *
 *   bench_cards LIST OUT.pdf
 *
 * LIST: "P width height" begins a page, "T x y size text" a line, "Q x y side code" a QR code. */
#include <hpdf.h>
#include <qrencode.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void error(HPDF_STATUS code, HPDF_STATUS detail, void* data) {
  (void)data;
  fprintf(stderr, "cards: libharu %lx %lu\n", (unsigned long)code, (unsigned long)detail);
  exit(2);
}

/* One path of rows, under one matrix, as ours. */
static void draw_code(HPDF_Page page, float x, float y, float side, const char* text) {
  QRcode* code = QRcode_encodeString(text, 0, QR_ECLEVEL_M, QR_MODE_8, 1);
  if (!code) exit(2);
  const float module = side / (float)(code->width + 8);
  HPDF_Page_GSave(page);
  HPDF_Page_Concat(page, module, 0, 0, module, x, y);
  for (int row = 0; row < code->width; ++row)
    for (int at = 0; at < code->width; ++at) {
      const int from = at;
      while (at < code->width && (code->data[row * code->width + at] & 1)) ++at;
      if (at > from)
        HPDF_Page_Rectangle(page, (float)(4 + from), (float)(code->width + 3 - row),
                            (float)(at - from), 1);
    }
  HPDF_Page_Fill(page);
  HPDF_Page_GRestore(page);
  QRcode_free(code);
}

int main(int argc, char** argv) {
  if (argc != 3) return 2;
  FILE* list = fopen(argv[1], "r");
  if (!list) return 2;
  HPDF_Doc doc = HPDF_New(error, NULL);
  HPDF_UseUTFEncodings(doc);
  HPDF_SetCompressionMode(doc, HPDF_COMP_ALL);
  const char* folder = "/usr/share/fonts/truetype/dejavu/";
  char path[128];
  HPDF_Font faces[2];
  const char* files[] = {"DejaVuSans.ttf", "DejaVuSans-Bold.ttf"};
  for (int i = 0; i < 2; ++i) {
    snprintf(path, sizeof path, "%s%s", folder, files[i]);
    faces[i] = HPDF_GetFont(doc, HPDF_LoadTTFontFromFile(doc, path, HPDF_TRUE), "UTF-8");
  }
  HPDF_Page page = NULL;
  char line[4096];
  int face = 1, pages = 0, codes = 0;
  while (fgets(line, sizeof line, list)) {
    float x, y, size;
    int at = 0;
    line[strcspn(line, "\n")] = 0;
    if (line[0] == 'P' && sscanf(line, "P %f %f", &x, &y) == 2) {
      page = HPDF_AddPage(doc);
      HPDF_Page_SetWidth(page, x);
      HPDF_Page_SetHeight(page, y);
      face = 1; /* the first line of a page in bold */
      ++pages;
    } else if (sscanf(line, "%*c %f %f %f %n", &x, &y, &size, &at) >= 3 && at && page) {
      if (line[0] == 'Q') {
        draw_code(page, x, y, size, line + at);
        ++codes;
        continue;
      }
      HPDF_Page_BeginText(page);
      HPDF_Page_SetFontAndSize(page, faces[face], size);
      HPDF_Page_TextOut(page, x, y, line + at);
      HPDF_Page_EndText(page);
      face = 0;
    }
  }
  fclose(list);
  if (HPDF_SaveToFile(doc, argv[2]) != HPDF_OK) return 2;
  HPDF_Free(doc);
  printf("%d pages, %d codes\n", pages, codes);
  return 0;
}
