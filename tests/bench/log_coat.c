/* What a program with nothing but sqlite3 and a SHA-256 writes for `log coat`: the same rows in one
 * transaction, under the same pragmas, and the folder's sync behind it.
 *
 *   bench_log_coat BOOK BATCH TIN MICROLITRES
 *
 * It looks up that batch and tin are there; it judges nothing: no wait, no window, no temperature.
 */
#define _GNU_SOURCE
#include <fcntl.h>
#include <nettle/sha2.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

static sqlite3* db;

static void need(int good) {
  if (good) return;
  fprintf(stderr, "log_coat: %s\n", sqlite3_errmsg(db));
  exit(2);
}

static sqlite3_stmt* prepared(const char* sql) {
  sqlite3_stmt* out = NULL;
  need(sqlite3_prepare_v2(db, sql, -1, &out, NULL) == SQLITE_OK);
  return out;
}

static void text(sqlite3_stmt* statement, int place, const char* value) {
  need(sqlite3_bind_text(statement, place, value, -1, SQLITE_STATIC) == SQLITE_OK);
}

static void run(sqlite3_stmt* statement) {
  need(sqlite3_step(statement) == SQLITE_DONE);
  sqlite3_finalize(statement);
}

static void need_row(const char* sql, const char* id) {
  sqlite3_stmt* look = prepared(sql);
  text(look, 1, id);
  need(sqlite3_step(look) == SQLITE_ROW);
  sqlite3_finalize(look);
}

static void add(struct sha256_ctx* hash, const char* field) {
  char head[32];
  const int size = snprintf(head, sizeof head, "%zu:", strlen(field));
  sha256_update(hash, (size_t)size, (const uint8_t*)head);
  sha256_update(hash, strlen(field), (const uint8_t*)field);
  sha256_update(hash, 1, (const uint8_t*)",");
}

static void mention(const char* id, sqlite3_int64 number) {
  sqlite3_stmt* put = prepared("INSERT INTO mention VALUES (?, ?, 'coat', 0)");
  text(put, 1, id);
  sqlite3_bind_int64(put, 2, number);
  run(put);
}

int main(int argc, char** argv) {
  if (argc != 5) return 2;
  need(sqlite3_open_v2(argv[1], &db, SQLITE_OPEN_READWRITE, NULL) == SQLITE_OK);
  sqlite3_busy_timeout(db, 5000);
  need(sqlite3_exec(db,
                    "PRAGMA synchronous=FULL; PRAGMA secure_delete=ON; PRAGMA temp_store=MEMORY;"
                    "PRAGMA recursive_triggers=ON; PRAGMA mmap_size=0; BEGIN IMMEDIATE",
                    NULL, NULL, NULL) == SQLITE_OK);
  need_row("SELECT 1 FROM thing WHERE id = ? AND class = 'batch'", argv[2]);
  need_row("SELECT 1 FROM thing WHERE id = ? AND class = 'finish'", argv[3]);

  sqlite3_stmt* where = prepared(
      "SELECT body ->> 'place' FROM entry WHERE number = (SELECT entry FROM thing WHERE id = ?)");
  text(where, 1, argv[2]);
  need(sqlite3_step(where) == SQLITE_ROW);
  char place[64], place_id[80];
  snprintf(place, sizeof place, "%s", (const char*)sqlite3_column_text(where, 0));
  snprintf(place_id, sizeof place_id, "place:%s", place);
  sqlite3_finalize(where);

  sqlite3_stmt* last = prepared("SELECT number, hash FROM entry ORDER BY number DESC LIMIT 1");
  need(sqlite3_step(last) == SQLITE_ROW);
  const sqlite3_int64 number = sqlite3_column_int64(last, 0) + 1;
  char previous[65], now[32], numbered[32], body[512], hex[65];
  snprintf(previous, sizeof previous, "%s", (const char*)sqlite3_column_text(last, 1));
  sqlite3_finalize(last);
  const time_t clock = time(NULL);
  strftime(now, sizeof now, "%Y-%m-%dT%H:%M:%SZ", gmtime(&clock));
  snprintf(numbered, sizeof numbered, "%lld", (long long)number);
  snprintf(body, sizeof body,
           "{\"batch\":\"%s\",\"drawn\":[{\"amount_ul\":%s,\"tin\":\"%s\"}],\"place\":\"%s\","
           "\"rh_permille\":500,\"temp_mc\":19000}",
           argv[2], argv[4], argv[3], place);
  struct sha256_ctx hash;
  uint8_t digest[32];
  sha256_init(&hash);
  const char* fields[] = {"trencher-1", previous, numbered, now, "0", now, "1", "coat", "2", body};
  for (size_t i = 0; i < sizeof fields / sizeof *fields; ++i) add(&hash, fields[i]);
  sha256_digest(&hash, sizeof digest, digest);
  for (int i = 0; i < 32; ++i) snprintf(hex + 2 * i, 3, "%02x", digest[i]);

  sqlite3_stmt* put = prepared("INSERT INTO entry VALUES (?, ?, 0, ?, 1, 'coat', 2, ?, ?)");
  sqlite3_bind_int64(put, 1, number);
  text(put, 2, now);
  text(put, 3, now);
  text(put, 4, body);
  text(put, 5, hex);
  run(put);
  mention(argv[2], number);
  mention(argv[3], number);
  mention(place_id, number);
  sqlite3_stmt* air = prepared("INSERT INTO noted_air VALUES (?, 1, ?, ?, 19000, 500)");
  text(air, 1, place);
  sqlite3_bind_int64(air, 2, clock);
  sqlite3_bind_int64(air, 3, number);
  run(air);
  sqlite3_stmt* use = prepared(
      "INSERT INTO tin_use VALUES (?1, CAST(?2 AS INTEGER), 0, ?3, 0) ON CONFLICT (tin)"
      " DO UPDATE SET drawn_ul = drawn_ul + excluded.drawn_ul");
  text(use, 1, argv[3]);
  text(use, 2, argv[4]);
  sqlite3_bind_int64(use, 3, clock);
  run(use);
  sqlite3_stmt* reopen = prepared(
      "UPDATE piece SET signed_off = NULL, signed_off_at = NULL"
      " WHERE batch = ? AND signed_off IS NOT NULL AND signed_off_at > ?");
  text(reopen, 1, argv[2]);
  text(reopen, 2, now);
  run(reopen);
  need(sqlite3_exec(db, "COMMIT", NULL, NULL, NULL) == SQLITE_OK);
  sqlite3_close(db);

  char* slash = strrchr(argv[1], '/');
  if (slash) *slash = 0;
  const int folder = open(slash ? argv[1] : ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (folder < 0 || fsync(folder) != 0) return 2;
  close(folder);
  printf("Entry %lld.\n", (long long)number);
  return 0;
}
