/* Stands before the C library (LD_PRELOAD): makes one call on files below a folder fail, and records them all.

   Python reaches it through ctypes: shim_below, shim_arm, shim_count, shim_record, shim_mark. One thread. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

enum { SHORT = -1, TORN = -2 };

static char below[PATH_MAX];
static char ours[4096], folder[4096];
static int record = -1;
static long calls, turn = -1;
static int how, stays;

#define REAL(name) \
  static __typeof__(name) *real; \
  if (!real) real = (__typeof__(name) *)dlsym(RTLD_NEXT, #name)

void shim_below(const char *path) { snprintf(below, sizeof below, "%s/", path); }
void shim_arm(long at, int error, int forever) { calls = 0; turn = at; how = error; stays = forever; }
long shim_count(void) { return calls; }
void shim_record(const char *path) {
  record = path && *path ? (int)syscall(SYS_openat, AT_FDCWD, path, O_WRONLY | O_CREAT | O_TRUNC, 0600) : -1;
}

/* One operation: kind, file, place, and the bytes that follow. */
static void note(char kind, uint64_t file, uint64_t place, const void *data, uint32_t size) {
  if (record < 0) return;
  char head[21];
  head[0] = kind;
  memcpy(head + 1, &file, 8);
  memcpy(head + 9, &place, 8);
  memcpy(head + 17, &size, 4);
  syscall(SYS_write, record, head, sizeof head);
  for (uint32_t done = 0; done < size;) {
    long some = syscall(SYS_write, record, (const char *)data + done, size - done);
    if (some <= 0) abort();
    done += (uint32_t)some;
  }
}

void shim_mark(uint64_t number) { note('M', number, 0, "", 0); }

static uint64_t file_of(int handle) {
  struct stat status;
  return fstat(handle, &status) ? 0 : (uint64_t)status.st_ino;
}

static int is_ours(const char *path) {
  return *below && path && !strncmp(path, below, strlen(below));
}

/* The folder itself, too: its list of names is synchronised. */
static int is_folder(const char *path) {
  size_t length = strlen(below);
  return *below && path && strlen(path) == length - 1 && !strncmp(path, below, length - 1);
}

static int holds(int handle) { return handle >= 0 && handle < 4096 && ours[handle]; }

/* 0: do it; else the error, SHORT or TORN. Those two only befall writes, and only writes are counted then. */
static int fault(int is_write) {
  if (how < 0 && !is_write) return 0;
  long number = calls++;
  return turn >= 0 && (number == turn || (stays && number > turn)) ? how : 0;
}

static int opened(const char *path, int flags, int mode, int base, __typeof__(openat) *real) {
  int mine = is_ours(path), whole = is_folder(path);
  if (mine || whole) {
    int error = fault(0);
    if (error) { errno = error; return -1; }
  }
  struct stat status;
  int fresh = mine && (flags & O_CREAT) && stat(path, &status);
  int handle = real(base, path, flags, mode);
  if (handle >= 0 && handle < 4096) {
    /* A folder below it holds what is not yet in its place: it is synchronised to no end. */
    if (mine && !fstat(handle, &status) && S_ISDIR(status.st_mode)) mine = 0;
    ours[handle] = (char)(mine || whole);
    folder[handle] = (char)whole;
    if (fresh) note('C', file_of(handle), 0, path, (uint32_t)strlen(path));
    else if (mine && (flags & O_TRUNC)) note('T', file_of(handle), 0, "", 0);
  }
  return handle;
}

#define OPEN(name) \
  int name(const char *path, int flags, ...) { \
    static __typeof__(openat) *real; \
    if (!real) real = (__typeof__(openat) *)dlsym(RTLD_NEXT, "openat64"); \
    int mode = 0; \
    if (flags & (O_CREAT | O_TMPFILE)) { va_list more; va_start(more, flags); mode = va_arg(more, int); va_end(more); } \
    return opened(path, flags, mode, AT_FDCWD, real); \
  }
OPEN(open)
OPEN(open64)

static ssize_t written(int handle, const void *data, size_t size, off64_t place, int at) {
  static __typeof__(write) *plain;
  static __typeof__(pwrite64) *placed;
  if (!plain) plain = (__typeof__(write) *)dlsym(RTLD_NEXT, "write");
  if (!placed) placed = (__typeof__(pwrite64) *)dlsym(RTLD_NEXT, "pwrite64");
  int error = 0;
  size_t wanted = size;
  if (holds(handle) && !folder[handle]) {
    error = fault(1);
    if (error > 0) { errno = error; return -1; }
    if (error && size > 1) size /= 2;
  }
  if (!at && holds(handle)) place = lseek64(handle, 0, SEEK_CUR);
  ssize_t done = at ? placed(handle, data, size, place) : plain(handle, data, size);
  if (done > 0 && holds(handle)) note('W', file_of(handle), (uint64_t)place, data, (uint32_t)done);
  if (error == TORN && wanted) { errno = EIO; return -1; }
  return done;
}

ssize_t write(int handle, const void *data, size_t size) { return written(handle, data, size, 0, 0); }
ssize_t pwrite(int handle, const void *data, size_t size, off_t place) { return written(handle, data, size, place, 1); }
ssize_t pwrite64(int handle, const void *data, size_t size, off64_t place) { return written(handle, data, size, place, 1); }

#define SYNC(name) \
  int name(int handle) { \
    REAL(name); \
    if (!holds(handle)) return real(handle); \
    int error = fault(0); \
    if (error) { errno = error; return -1; } \
    int done = real(handle); \
    if (!done) note(folder[handle] ? 'D' : 'S', file_of(handle), 0, "", 0); \
    return done; \
  }
SYNC(fsync)
SYNC(fdatasync)

#define TRUNCATE(name, type) \
  int name(int handle, type size) { \
    REAL(name); \
    if (!holds(handle)) return real(handle, size); \
    int error = fault(0); \
    if (error) { errno = error; return -1; } \
    int done = real(handle, size); \
    if (!done) note('T', file_of(handle), (uint64_t)size, "", 0); \
    return done; \
  }
TRUNCATE(ftruncate, off_t)
TRUNCATE(ftruncate64, off64_t)

int close(int handle) {
  REAL(close);
  int error = holds(handle) ? fault(0) : 0;
  if (handle >= 0 && handle < 4096) ours[handle] = folder[handle] = 0;
  int done = real(handle);
  if (error) { errno = error; return -1; }
  return done;
}

int rename(const char *from, const char *to) {
  REAL(rename);
  if (!is_ours(from)) return real(from, to);
  int error = fault(0);
  if (error) { errno = error; return -1; }
  int done = real(from, to);
  if (!done) {
    char both[2 * PATH_MAX];
    int size = snprintf(both, sizeof both, "%s%c%s", from, 0, to);
    note('R', 0, 0, both, (uint32_t)size);
  }
  return done;
}

#define NAMED(name, arguments, given, kind) \
  int name arguments { \
    REAL(name); \
    if (!is_ours(path)) return real given; \
    int error = fault(0); \
    if (error) { errno = error; return -1; } \
    int done = real given; \
    if (!done && kind) note(kind, 0, 0, path, (uint32_t)strlen(path)); \
    return done; \
  }
NAMED(unlink, (const char *path), (path), 'U')
NAMED(mkdir, (const char *path, mode_t mode), (path, mode), 0)
NAMED(chmod, (const char *path, mode_t mode), (path, mode), 0)
