/* What a program with nothing but sqlite3 does for `answer`: open the book, look the piece up, then
 * the entries that speak of it, of its batch and of what went into it, with the papers about those,
 * and print them, bodies and all. No sentence is made, no allergen judged. */
#include <sqlite3.h>
#include <stdio.h>
#include <string.h>

static sqlite3* db;

static int fail(void) {
  fprintf(stderr, "answer: %s\n", sqlite3_errmsg(db));
  return 2;
}

static sqlite3_stmt* prepared(const char* sql) {
  sqlite3_stmt* out = NULL;
  sqlite3_prepare_v2(db, sql, -1, &out, NULL);
  return out;
}

int main(int argc, char** argv) {
  if (argc != 3) return 2;
  if (sqlite3_open_v2(argv[1], &db, SQLITE_OPEN_READONLY, NULL) != SQLITE_OK ||
      sqlite3_exec(db, "BEGIN", NULL, NULL, NULL) != SQLITE_OK)
    return fail();
  sqlite3_stmt* piece =
      prepared("SELECT batch, number, signed_off, given FROM piece WHERE code = ?");
  if (!piece) return fail();
  sqlite3_bind_text(piece, 1, argv[2], -1, SQLITE_STATIC);
  if (sqlite3_step(piece) != SQLITE_ROW) return fail();
  char batch[32];
  snprintf(batch, sizeof batch, "%s", (const char*)sqlite3_column_text(piece, 0));
  printf("%s of %s\n", argv[2], batch);
  sqlite3_finalize(piece);

  /* What the batch's entries name: tins, lots, place; of the tins their product. */
  sqlite3_stmt* all = prepared(
#include "answer_sql.inc"
  );
  if (!all) return fail();
  sqlite3_bind_text(all, 1, batch, -1, SQLITE_STATIC);
  sqlite3_bind_text(all, 2, argv[2], -1, SQLITE_STATIC);
  int step;
  while ((step = sqlite3_step(all)) == SQLITE_ROW)
    printf("%lld|%s|%s|%s\n", (long long)sqlite3_column_int64(all, 0), sqlite3_column_text(all, 1),
           sqlite3_column_text(all, 2), sqlite3_column_text(all, 3));
  if (step != SQLITE_DONE) return fail();
  sqlite3_finalize(all);
  sqlite3_exec(db, "COMMIT", NULL, NULL, NULL);
  sqlite3_close(db);
  return fflush(stdout) == 0 ? 0 : 2;
}
