/* Notes everything that a program does to the files of one folder, so that a power cut can be played
   at any moment of it (see cuts.py). Loaded before the program with LD_PRELOAD.

   POWER_HOME: the folder; POWER_LOG: where to note. A note is: one letter, the number of the file
   (its inode), a place, a length (each of 8 bytes), then that many bytes. */

#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/sendfile.h>
#include <sys/stat.h>
#include <sys/uio.h>
#include <unistd.h>

#define REAL(name) static __typeof__(&name) real; if (!real) real = dlsym(RTLD_NEXT, #name)

static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;

static void note(char what, uint64_t id, uint64_t place, const void *data, uint64_t length) {
    static int log_fd = -1;
    int kept = errno;
    pthread_mutex_lock(&lock);
    if (log_fd < 0) log_fd = syscall(257, AT_FDCWD, getenv("POWER_LOG"), O_WRONLY | O_CREAT | O_APPEND, 0600);
    char head[25];
    head[0] = what;
    memcpy(head + 1, &id, 8); memcpy(head + 9, &place, 8); memcpy(head + 17, &length, 8);
    syscall(1, log_fd, head, 25);
    for (uint64_t done = 0; done < length;) {
        ssize_t some = syscall(1, log_fd, (const char *)data + done, length - done);
        if (some <= 0) abort();
        done += some;
    }
    pthread_mutex_unlock(&lock);
    errno = kept;
}

static int ours(const char *path) {
    const char *home = getenv("POWER_HOME");
    size_t length = home ? strlen(home) : 0;
    return length && !strncmp(path, home, length) && (path[length] == '/' || !path[length]);
}

static int whole(int dir, const char *path, char *out) {
    if (path[0] == '/') { snprintf(out, PATH_MAX, "%s", path); return ours(out); }
    char link[64];
    if (dir == AT_FDCWD) { if (!getcwd(out, PATH_MAX)) return 0; }
    else {
        snprintf(link, sizeof link, "/proc/self/fd/%d", dir);
        ssize_t n = readlink(link, out, PATH_MAX - 1);
        if (n < 0) return 0;
        out[n] = 0;
    }
    size_t at = strlen(out);
    snprintf(out + at, PATH_MAX - at, "/%s", path);
    return ours(out);
}

static uint64_t of(int fd) {  /* the file's number; 0 where it is none of ours */
    char link[64], path[PATH_MAX];
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t n = readlink(link, path, sizeof path - 1);
    if (n <= 0) return 0;
    path[n] = 0;
    struct stat is;
    return ours(path) && !fstat(fd, &is) ? is.st_ino : 0;
}

static int opened(int (*open_it)(int, const char *, int, mode_t), int dir, const char *path, int how, mode_t mode) {
    char full[PATH_MAX];
    struct stat is;
    int mine = (how & (O_CREAT | O_TRUNC)) && whole(dir, path, full);
    int was = mine && !stat(full, &is);
    int fd = open_it(dir, path, how, mode);
    if (mine && fd >= 0 && !fstat(fd, &is)) {
        if (!was) note('C', is.st_ino, 0, full, strlen(full));
        else if (how & O_TRUNC) note('T', is.st_ino, 0, "", 0);
    }
    return fd;
}

static int by_call(int dir, const char *path, int how, mode_t mode) { return syscall(257, dir, path, how, mode); }

#define MODE va_list more; va_start(more, how); mode_t mode = va_arg(more, int); va_end(more)
int open(const char *path, int how, ...) { MODE; return opened(by_call, AT_FDCWD, path, how, mode); }
int open64(const char *path, int how, ...) { MODE; return opened(by_call, AT_FDCWD, path, how, mode); }
int openat(int dir, const char *path, int how, ...) { MODE; return opened(by_call, dir, path, how, mode); }
int openat64(int dir, const char *path, int how, ...) { MODE; return opened(by_call, dir, path, how, mode); }

ssize_t pwrite64(int fd, const void *data, size_t length, off64_t place) {
    REAL(pwrite64);
    ssize_t done = real(fd, data, length, place);
    uint64_t id = done > 0 ? of(fd) : 0;
    if (id) note('W', id, place, data, done);
    return done;
}
ssize_t pwrite(int fd, const void *data, size_t length, off_t place) { return pwrite64(fd, data, length, place); }

ssize_t write(int fd, const void *data, size_t length) {
    REAL(write);
    uint64_t id = of(fd);
    ssize_t done = real(fd, data, length);
    if (id && done > 0) note('W', id, lseek(fd, 0, SEEK_CUR) - done, data, done);
    return done;
}

ssize_t sendfile64(int to, int from, off64_t *place, size_t length) {
    REAL(sendfile64);
    uint64_t id = of(to);
    ssize_t done = real(to, from, place, length);
    if (id && done > 0) {
        char *data = malloc(done);
        off64_t start = lseek(to, 0, SEEK_CUR) - done;
        char link[64];
        snprintf(link, sizeof link, "/proc/self/fd/%d", to);
        int again = syscall(257, AT_FDCWD, link, O_RDONLY, 0);
        if (pread(again, data, done, start) != done) abort();
        close(again);
        note('W', id, start, data, done);
        free(data);
    }
    return done;
}
ssize_t sendfile(int to, int from, off_t *place, size_t length) { return sendfile64(to, from, place, length); }
ssize_t copy_file_range(int a, off64_t *b, int c, off64_t *d, size_t e, unsigned f) { errno = EXDEV; return -1; }
ssize_t writev(int fd, const struct iovec *parts, int count) {
    if (of(fd)) abort();  /* nothing in the program does this; it would be missed */
    REAL(writev);
    return real(fd, parts, count);
}

int ftruncate64(int fd, off64_t length) {
    REAL(ftruncate64);
    int done = real(fd, length);
    uint64_t id = done ? 0 : of(fd);
    if (id) note('T', id, length, "", 0);
    return done;
}
int ftruncate(int fd, off_t length) { return ftruncate64(fd, length); }

int fsync(int fd) {
    REAL(fsync);
    uint64_t id = of(fd);
    int done = real(fd);
    struct stat is;
    if (id && !done && !fstat(fd, &is)) {
        if (S_ISDIR(is.st_mode)) {
            char link[64], path[PATH_MAX];
            snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
            ssize_t n = readlink(link, path, sizeof path - 1);
            note('D', id, 0, path, n > 0 ? n : 0);
        } else note('S', id, 0, "", 0);
    }
    return done;
}
int fdatasync(int fd) { return fsync(fd); }

static int two(char what, int da, const char *a, int db, const char *b, int done) {
    char both[2 * PATH_MAX + 1], other[PATH_MAX];
    if (!done && whole(db, b, other) && whole(da, a, both)) {
        size_t at = strlen(both);
        strcpy(both + at + 1, other);
        note(what, 0, 0, both, at + 1 + strlen(other));
    }
    return done;
}
int rename(const char *a, const char *b) { REAL(rename); return two('R', AT_FDCWD, a, AT_FDCWD, b, real(a, b)); }
int renameat(int da, const char *a, int db, const char *b) { REAL(renameat); return two('R', da, a, db, b, real(da, a, db, b)); }
int link(const char *a, const char *b) { REAL(link); return two('L', AT_FDCWD, a, AT_FDCWD, b, real(a, b)); }

static int one(char what, int dir, const char *path, int done) {
    char full[PATH_MAX];
    if (!done && whole(dir, path, full)) note(what, 0, 0, full, strlen(full));
    return done;
}
int unlink(const char *path) { REAL(unlink); return one('U', AT_FDCWD, path, real(path)); }
int unlinkat(int dir, const char *path, int how) { REAL(unlinkat); return one('U', dir, path, real(dir, path, how)); }
int rmdir(const char *path) { REAL(rmdir); return one('U', AT_FDCWD, path, real(path)); }
int mkdir(const char *path, mode_t mode) { REAL(mkdir); return one('M', AT_FDCWD, path, real(path, mode)); }
