/* Times two commands in alternation, A B A B ..., in one run:
 *
 *   timer PAIRS OUT_A OUT_B -- A words ... ++ B words ...
 *   timer PAIRS OUT_A OUT_B --before 'rm -f x' -- ...
 *
 * In a word, @@ stands for the pair's line of the file $TIMER_LIST (the first is the warm-up's).
 * What a command prints goes to OUT_A or OUT_B, of its last run. Prints JSON: {"a":[[wall,
 * user+sys, peak],...],"b":[...]}, seconds and KiB. A command that fails ends all with its number
 * and status. posix_spawn and wait4: little memory of ours is copied into what is measured. */
#define _GNU_SOURCE
#include <fcntl.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

extern char** environ;

struct run {
  double wall, cpu;
  long peak;
};

static double now(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

static double seconds(struct timeval t) { return (double)t.tv_sec + (double)t.tv_usec / 1e6; }

static char* filled_in(const char* word, int pair) {
  const char* mark = strstr(word, "@@");
  char* out;
  char line[256] = "";
  if (!mark) return strdup(word);
  FILE* list = fopen(getenv("TIMER_LIST") ? getenv("TIMER_LIST") : "", "r");
  if (!list) abort();
  for (int i = 0; i <= pair; ++i)
    if (!fgets(line, sizeof line, list)) abort();
  fclose(list);
  line[strcspn(line, "\n")] = 0;
  if (asprintf(&out, "%.*s%s%s", (int)(mark - word), word, line, mark + 2) < 0) abort();
  return out;
}

static struct run once(char** words, int pair, const char* out) {
  char* argv[4096];
  int count = 0;
  for (; words[count] && count < 4095; ++count) argv[count] = filled_in(words[count], pair);
  argv[count] = NULL;
  posix_spawn_file_actions_t files;
  posix_spawn_file_actions_init(&files);
  posix_spawn_file_actions_addopen(&files, 0, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_addopen(&files, 1, out, O_WRONLY | O_CREAT | O_TRUNC, 0600);
  struct run run;
  struct rusage used;
  int status;
  pid_t child;
  const double begun = now();
  if (posix_spawnp(&child, argv[0], &files, NULL, argv, environ) != 0) {
    fprintf(stderr, "timer: %s cannot be started.\n", argv[0]);
    exit(2);
  }
  if (wait4(child, &status, 0, &used) != child) abort();
  run.wall = now() - begun;
  if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) {
    fprintf(stderr, "timer: %s %s failed, status %d.\n", argv[0], argv[1] ? argv[1] : "",
            WIFEXITED(status) ? WEXITSTATUS(status) : -1);
    exit(2);
  }
  run.cpu = seconds(used.ru_utime) + seconds(used.ru_stime);
  run.peak = used.ru_maxrss;
  posix_spawn_file_actions_destroy(&files);
  while (count > 0) free(argv[--count]);
  return run;
}

static void print(const char* name, const struct run* runs, int count) {
  printf("\"%s\":[", name);
  for (int i = 0; i < count; ++i)
    printf("%s[%.9f,%.6f,%ld]", i ? "," : "", runs[i].wall, runs[i].cpu, runs[i].peak);
  printf("]");
}

int main(int argc, char** argv) {
  int at = 4;
  const char* before = NULL;
  if (argc < 6) return 2;
  const int pairs = atoi(argv[1]);
  if (strcmp(argv[at], "--before") == 0) {
    before = argv[at + 1];
    at += 2;
  }
  char** a = argv + at + 1; /* behind the -- */
  char** b = NULL;
  for (int i = at + 1; i < argc; ++i)
    if (strcmp(argv[i], "++") == 0) {
      argv[i] = NULL;
      b = argv + i + 1;
    }
  if (pairs < 1 || !*a) return 2;
  struct run* runs[2] = {calloc((size_t)pairs, sizeof(struct run)),
                         calloc((size_t)pairs, sizeof(struct run))};
  for (int pair = 0; pair <= pairs; ++pair)
    for (int which = 0; which < (b ? 2 : 1); ++which) {
      if (before && system(before) != 0) return 2;
      const struct run run = once(which ? b : a, pair, argv[2 + which]);
      if (pair) runs[which][pair - 1] = run;
    }
  printf("{");
  print("a", runs[0], pairs);
  if (b) {
    printf(",");
    print("b", runs[1], pairs);
  }
  printf("}\n");
  return 0;
}
