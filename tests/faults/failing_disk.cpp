// A disk that fails when told to, for LD_PRELOAD: it stands below SQLite's own file layer, so that
// the book, papers, exports and folders are all reached by the same faults.
//
//   DISK_ROOT   only what lies under this folder is touched
//   DISK_TRACE  a file for a record of every operation on it, bytes included (power_cut.py reads
//   it) DISK_AT     the operation, counted from 1, that fails DISK_HOW    full | io | read-only |
//   gone | kill, or no-links from the beginning on DISK_ONCE   set: that operation alone fails,
//   else all that a disk in that state refuses
//
// A record of the trace: one letter, the number of fields, then each field's length and bytes.
#include <dlfcn.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/uio.h>
#include <unistd.h>

#include <cerrno>
#include <climits>
#include <csignal>
#include <cstdarg>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <initializer_list>
#include <string>
#include <string_view>

namespace {

enum class How { none, full, io, read_only, gone, kill, no_links };

struct Settings {
  std::string root;
  int trace = -1;
  long at = 0;
  How how = How::none;
  bool once = false;
};

How how_of(const char* word) {
  const std::string_view name = word ? word : "";
  if (name == "full") return How::full;
  if (name == "io") return How::io;
  if (name == "read-only") return How::read_only;
  if (name == "gone") return How::gone;
  if (name == "kill") return How::kill;
  if (name == "no-links") return How::no_links;
  return How::none;
}

Settings& settings() {
  static Settings all = [] {
    Settings out;
    if (const char* root = std::getenv("DISK_ROOT")) out.root = root;
    if (const char* trace = std::getenv("DISK_TRACE"))
      out.trace = static_cast<int>(
          ::syscall(SYS_open, trace, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600));
    if (const char* at = std::getenv("DISK_AT")) out.at = std::atol(at);
    out.how = how_of(std::getenv("DISK_HOW"));
    out.once = std::getenv("DISK_ONCE") != nullptr;
    return out;
  }();
  return all;
}

constexpr int most_files = 4096;
bool ours[most_files];  // by descriptor: whether it lies under the root
long done = 0;          // operations so far

bool is_ours(int descriptor) {
  return descriptor >= 0 && descriptor < most_files && ours[descriptor];
}

void mark(int descriptor, bool under) {
  if (descriptor >= 0 && descriptor < most_files) ours[descriptor] = under;
}

std::string of_descriptor(int descriptor) {
  char path[PATH_MAX];
  const std::string link = "/proc/self/fd/" + std::to_string(descriptor);
  const long length = ::syscall(SYS_readlink, link.c_str(), path, sizeof path);
  return length > 0 ? std::string(path, static_cast<std::size_t>(length)) : std::string();
}

std::string absolute(int folder, const char* path) {
  if (path[0] == '/') return path;
  if (folder != AT_FDCWD) return of_descriptor(folder) + "/" + path;
  char here[PATH_MAX];
  return ::getcwd(here, sizeof here) ? std::string(here) + "/" + path : std::string(path);
}

bool under_root(const std::string& path) {
  const std::string& root = settings().root;
  return !root.empty() && path.compare(0, root.size(), root) == 0 &&
         (path.size() == root.size() || path[root.size()] == '/');
}

void put(const void* bytes, std::size_t size) {
  const auto* at = static_cast<const char*>(bytes);
  while (size > 0) {
    const long taken = ::syscall(SYS_write, settings().trace, at, size);
    if (taken <= 0) ::_exit(99);
    at += taken;
    size -= static_cast<std::size_t>(taken);
  }
}

void trace(char letter, std::initializer_list<std::string_view> fields) {
  if (settings().trace < 0) return;
  std::string record(1, letter);
  record += static_cast<char>(fields.size());
  for (const std::string_view field : fields) {
    const auto size = static_cast<std::uint32_t>(field.size());
    record.append(reinterpret_cast<const char*>(&size), sizeof size);
    record.append(field);
  }
  put(record.data(), record.size());
}

// What a fault in this operation sets errno to; 0: it goes through. `grows` where it needs room.
int fault(const char* what, bool grows) {
  ++done;
  trace('k', {what});
  const Settings& now = settings();
  if (now.how == How::none || now.how == How::no_links || now.at == 0) return 0;
  if (now.once ? done != now.at : done < now.at) return 0;
  switch (now.how) {
    case How::kill:
      ::raise(SIGKILL);
      return 0;
    case How::full:
      return grows ? ENOSPC : 0;
    case How::read_only:
      return EROFS;
    default:
      return EIO;
  }
}

// Reading fails only where the disk is gone; it is no operation of its own.
bool is_gone() {
  const Settings& now = settings();
  return now.how == How::gone && now.at > 0 && done >= now.at;
}

template <typename Function>
Function next(const char* name) {
  return reinterpret_cast<Function>(::dlsym(RTLD_NEXT, name));
}

int refuse(int reason) {
  errno = reason;
  return -1;
}

std::string number(long long value) { return std::to_string(value); }

int opened(int folder, const char* path, int flags, mode_t mode) {
  const std::string full = absolute(folder, path);
  const bool under = under_root(full);
  const bool writes = (flags & (O_CREAT | O_TRUNC)) || (flags & O_ACCMODE) != O_RDONLY;
  bool made = false;
  if (under) {
    if (is_gone()) return refuse(EIO);
    if (writes) {
      if (const int reason = fault("open", (flags & O_CREAT) != 0)) return refuse(reason);
      made = (flags & O_CREAT) && ::syscall(SYS_access, full.c_str(), F_OK) != 0;
    }
  }
  const int out = static_cast<int>(::syscall(SYS_openat, folder, path, flags, mode));
  if (out < 0) return out;
  mark(out, under);
  if (under)
    trace('o', {number(out), full, number(made), number((flags & O_TRUNC) != 0),
                number((flags & O_DIRECTORY) != 0)});
  return out;
}

mode_t mode_argument(int flags, va_list& rest) {
  return (flags & O_CREAT) ? static_cast<mode_t>(va_arg(rest, int)) : 0;
}

ssize_t written(int descriptor, const void* bytes, std::size_t size, off_t at) {
  if (const int reason = fault("write", true)) return refuse(reason);
  const std::string_view taken(static_cast<const char*>(bytes), size);
  off_t from = at;
  if (at < 0) from = ::syscall(SYS_lseek, descriptor, 0, SEEK_CUR);
  const ssize_t out = at < 0 ? ::syscall(SYS_write, descriptor, bytes, size)
                             : ::syscall(SYS_pwrite64, descriptor, bytes, size, at);
  if (out > 0)
    trace('w', {number(descriptor), number(from), taken.substr(0, static_cast<std::size_t>(out))});
  return out;
}

// A new name out of `pattern`, as mkostemp and mkdtemp make it.
char* fill(char* pattern, std::size_t suffix = 0) {
  static const char letters[] = "abcdefghijklmnopqrstuvwxyz0123456789";
  char* at = pattern + std::strlen(pattern) - suffix - 6;
  unsigned char random[6];
  if (::syscall(SYS_getrandom, random, sizeof random, 0) != sizeof random) return nullptr;
  for (int i = 0; i < 6; ++i) at[i] = letters[random[i] % (sizeof letters - 1)];
  return pattern;
}

// Whether a name there may be made or taken away: 0, or the reason why not.
int may_name(const char* what, const std::string& one, const std::string& two) {
  if (!under_root(one) && !under_root(two)) return 0;
  return is_gone() ? EIO : fault(what, std::string_view(what) != "remove");
}

int named_now(char letter, int out, const std::string& one, const std::string& two) {
  if (out == 0 && (under_root(one) || under_root(two))) trace(letter, {one, two});
  return out;
}

int taken_away(int folder, const char* path, int flags) {
  const std::string full = absolute(folder, path);
  if (const int reason = may_name("remove", full, full)) return refuse(reason);
  return named_now('u', static_cast<int>(::syscall(SYS_unlinkat, folder, path, flags)), full, full);
}

int synced(int descriptor, long call) {
  if (is_ours(descriptor)) {
    if (is_gone()) return refuse(EIO);
    if (const int reason = fault("sync", false)) return refuse(reason);
  }
  const int out = static_cast<int>(::syscall(call, descriptor));
  if (out == 0 && is_ours(descriptor)) trace('s', {number(descriptor)});
  return out;
}

int cut(int descriptor, off_t size) {
  if (is_ours(descriptor))
    if (const int reason = fault("cut", false)) return refuse(reason);
  const int out = static_cast<int>(::syscall(SYS_ftruncate, descriptor, size));
  if (out == 0 && is_ours(descriptor)) trace('t', {number(descriptor), number(size)});
  return out;
}

int made_folder(const char* path, mode_t mode) {
  const std::string full = absolute(AT_FDCWD, path);
  if (under_root(full)) {
    if (is_gone()) return refuse(EIO);
    if (const int reason = fault("folder", true)) return refuse(reason);
  }
  const int out = static_cast<int>(::syscall(SYS_mkdir, path, mode));
  if (out == 0 && under_root(full)) trace('m', {full});
  return out;
}

}  // namespace

extern "C" {

int open(const char* path, int flags, ...) {
  va_list rest;
  va_start(rest, flags);
  const mode_t mode = mode_argument(flags, rest);
  va_end(rest);
  return opened(AT_FDCWD, path, flags, mode);
}
int open64(const char* path, int flags, ...) {
  va_list rest;
  va_start(rest, flags);
  const mode_t mode = mode_argument(flags, rest);
  va_end(rest);
  return opened(AT_FDCWD, path, flags, mode);
}
int openat(int folder, const char* path, int flags, ...) {
  va_list rest;
  va_start(rest, flags);
  const mode_t mode = mode_argument(flags, rest);
  va_end(rest);
  return opened(folder, path, flags, mode);
}
int openat64(int folder, const char* path, int flags, ...) {
  va_list rest;
  va_start(rest, flags);
  const mode_t mode = mode_argument(flags, rest);
  va_end(rest);
  return opened(folder, path, flags, mode);
}

// libstdc++ opens files by fopen, whose own call of open cannot be reached from here.
FILE* fopen64(const char* path, const char* how) {
  const std::string_view mode = how;
  int flags = mode.find('+') != std::string_view::npos ? O_RDWR
              : mode[0] == 'r'                         ? O_RDONLY
                                                       : O_WRONLY;
  if (mode[0] == 'w') flags |= O_CREAT | O_TRUNC;
  if (mode[0] == 'a') flags |= O_CREAT | O_APPEND;
  const int descriptor = opened(AT_FDCWD, path, flags | O_CLOEXEC, 0666);
  return descriptor < 0 ? nullptr : ::fdopen(descriptor, how);
}
FILE* fopen(const char* path, const char* how) { return fopen64(path, how); }

int mkostemp64(char* pattern, int flags) {
  if (!fill(pattern)) return -1;
  return opened(AT_FDCWD, pattern, flags | O_CREAT | O_EXCL | O_RDWR, 0600);
}
int mkostemp(char* pattern, int flags) { return mkostemp64(pattern, flags); }
int mkstemp(char* pattern) { return mkostemp64(pattern, 0); }
int mkstemp64(char* pattern) { return mkostemp64(pattern, 0); }
char* mkdtemp(char* pattern) {
  if (!fill(pattern)) return nullptr;
  return made_folder(pattern, 0700) == 0 ? pattern : nullptr;
}

int close(int descriptor) {
  if (is_ours(descriptor)) trace('c', {number(descriptor)});
  mark(descriptor, false);
  return static_cast<int>(::syscall(SYS_close, descriptor));
}

ssize_t write(int descriptor, const void* bytes, std::size_t size) {
  if (!is_ours(descriptor)) {
    const long out = ::syscall(SYS_write, descriptor, bytes, size);
    if (descriptor == 1 && out > 0) trace('r', {});  // success was reported
    return out;
  }
  return written(descriptor, bytes, size, -1);
}
ssize_t writev(int descriptor, const iovec* parts, int count) {
  if (!is_ours(descriptor)) {
    const long out = ::syscall(SYS_writev, descriptor, parts, count);
    if (descriptor == 1 && out > 0) trace('r', {});
    return out;
  }
  std::string all;
  for (int i = 0; i < count; ++i)
    all.append(static_cast<const char*>(parts[i].iov_base), parts[i].iov_len);
  return written(descriptor, all.data(), all.size(), -1);
}
ssize_t pwrite64(int descriptor, const void* bytes, std::size_t size, off_t at) {
  if (!is_ours(descriptor)) return ::syscall(SYS_pwrite64, descriptor, bytes, size, at);
  return written(descriptor, bytes, size, at);
}
ssize_t pwrite(int descriptor, const void* bytes, std::size_t size, off_t at) {
  return pwrite64(descriptor, bytes, size, at);
}

ssize_t read(int descriptor, void* bytes, std::size_t size) {
  if (is_ours(descriptor) && is_gone()) return refuse(EIO);
  return ::syscall(SYS_read, descriptor, bytes, size);
}
ssize_t pread64(int descriptor, void* bytes, std::size_t size, off_t at) {
  if (is_ours(descriptor) && is_gone()) return refuse(EIO);
  return ::syscall(SYS_pread64, descriptor, bytes, size, at);
}
ssize_t pread(int descriptor, void* bytes, std::size_t size, off_t at) {
  return pread64(descriptor, bytes, size, at);
}

int fsync(int descriptor) { return synced(descriptor, SYS_fsync); }
int fdatasync(int descriptor) { return synced(descriptor, SYS_fdatasync); }
int ftruncate(int descriptor, off_t size) { return cut(descriptor, size); }
int ftruncate64(int descriptor, off_t size) { return cut(descriptor, size); }

int unlink(const char* path) { return taken_away(AT_FDCWD, path, 0); }
int unlinkat(int folder, const char* path, int flags) { return taken_away(folder, path, flags); }
int rmdir(const char* path) { return taken_away(AT_FDCWD, path, AT_REMOVEDIR); }
int remove(const char* path) {
  struct stat found {};
  const bool folder = ::lstat(path, &found) == 0 && S_ISDIR(found.st_mode);
  return folder ? rmdir(path) : unlink(path);
}
int renameat2(int from_folder, const char* from, int to_folder, const char* to, unsigned flags) {
  if (settings().how == How::no_links) return refuse(EINVAL);
  if (const int reason = may_name("name", absolute(from_folder, from), absolute(to_folder, to)))
    return refuse(reason);
  const int out =
      static_cast<int>(::syscall(SYS_renameat2, from_folder, from, to_folder, to, flags));
  return named_now('n', out, absolute(from_folder, from), absolute(to_folder, to));
}
int rename(const char* from, const char* to) {
  const std::string one = absolute(AT_FDCWD, from), two = absolute(AT_FDCWD, to);
  if (const int reason = may_name("name", one, two)) return refuse(reason);
  return named_now('n', static_cast<int>(::syscall(SYS_rename, from, to)), one, two);
}
int link(const char* from, const char* to) {
  if (settings().how == How::no_links) return refuse(EPERM);
  const std::string one = absolute(AT_FDCWD, from), two = absolute(AT_FDCWD, to);
  if (const int reason = may_name("name", one, two)) return refuse(reason);
  return named_now('l', static_cast<int>(::syscall(SYS_link, from, to)), one, two);
}
int mkdir(const char* path, mode_t mode) { return made_folder(path, mode); }

int chmod(const char* path, mode_t mode) {
  if (under_root(absolute(AT_FDCWD, path)))
    if (const int reason = fault("mode", false)) return refuse(reason);
  return static_cast<int>(::syscall(SYS_chmod, path, mode));
}
int fchmod(int descriptor, mode_t mode) {
  if (is_ours(descriptor))
    if (const int reason = fault("mode", false)) return refuse(reason);
  return static_cast<int>(::syscall(SYS_fchmod, descriptor, mode));
}

// How many operations there were, for whoever counts.
__attribute__((destructor)) void tell() { trace('z', {number(done)}); }
}
