/* A disk that can be told to fail: a layer around the database's own file functions that
 * counts what would change a file.  Made the default by failing_disk_start; every
 * database opened after that lives on it. */
#ifndef UNIT_FAILING_DISK_H
#define UNIT_FAILING_DISK_H

#include <assert.h>
#include <signal.h>
#include <sqlite3.h>
#include <stdbool.h>
#include <string.h>
#include <unistd.h>

enum disk_trouble {
    DISK_FAILS,    /* an I/O error; half of a write is done */
    DISK_IS_FULL,  /* nothing is written */
    DISK_KILLS,    /* half of the write, and the program is gone */
    DISK_READ_ONLY /* files open for reading only */
};

struct failing_disk {
    sqlite3_vfs own;
    sqlite3_vfs *real;
    enum disk_trouble trouble;
    int count, syncs;    /* changes so far, and syncs that were done */
    int first, how_many; /* changes that meet the trouble, from 1; first 0: none */
};

struct failing_file {
    sqlite3_file base;
    struct failing_disk *disk;
    sqlite3_file *real;
};

static inline sqlite3_file *real_file(sqlite3_file *file)
{
    return ((struct failing_file *)file)->real;
}

/* Counts one change; true when it meets the trouble. */
static inline bool disk_meets(sqlite3_file *file)
{
    struct failing_disk *disk = ((struct failing_file *)file)->disk;
    disk->count++;
    return disk->first && disk->count >= disk->first &&
           disk->count < disk->first + disk->how_many;
}

static inline int disk_error(sqlite3_file *file, int code)
{
    struct failing_disk *disk = ((struct failing_file *)file)->disk;
    if (disk->trouble == DISK_KILLS)
        kill(getpid(), SIGKILL);
    return disk->trouble == DISK_IS_FULL ? SQLITE_FULL : code;
}

static inline int disk_write(sqlite3_file *file, const void *bytes, int size,
                             sqlite3_int64 at)
{
    sqlite3_file *real = real_file(file);
    if (!disk_meets(file))
        return real->pMethods->xWrite(real, bytes, size, at);
    if (((struct failing_file *)file)->disk->trouble != DISK_IS_FULL)
        real->pMethods->xWrite(real, bytes, size / 2, at);
    return disk_error(file, SQLITE_IOERR_WRITE);
}

static inline int disk_truncate(sqlite3_file *file, sqlite3_int64 size)
{
    sqlite3_file *real = real_file(file);
    return disk_meets(file) ? disk_error(file, SQLITE_IOERR_TRUNCATE)
                            : real->pMethods->xTruncate(real, size);
}

/* What was written stays written: the worst that a failing sync can leave behind. */
static inline int disk_sync(sqlite3_file *file, int flags)
{
    sqlite3_file *real = real_file(file);
    if (disk_meets(file))
        return disk_error(file, SQLITE_IOERR_FSYNC);
    ((struct failing_file *)file)->disk->syncs++;
    return real->pMethods->xSync(real, flags);
}

static inline int disk_close(sqlite3_file *file)
{
    return real_file(file)->pMethods->xClose(real_file(file));
}

static inline int disk_read(sqlite3_file *file, void *out, int size, sqlite3_int64 at)
{
    return real_file(file)->pMethods->xRead(real_file(file), out, size, at);
}

static inline int disk_size(sqlite3_file *file, sqlite3_int64 *out)
{
    return real_file(file)->pMethods->xFileSize(real_file(file), out);
}

static inline int disk_lock(sqlite3_file *file, int lock)
{
    return real_file(file)->pMethods->xLock(real_file(file), lock);
}

static inline int disk_unlock(sqlite3_file *file, int lock)
{
    return real_file(file)->pMethods->xUnlock(real_file(file), lock);
}

static inline int disk_reserved(sqlite3_file *file, int *out)
{
    return real_file(file)->pMethods->xCheckReservedLock(real_file(file), out);
}

static inline int disk_control(sqlite3_file *file, int what, void *argument)
{
    return real_file(file)->pMethods->xFileControl(real_file(file), what, argument);
}

static inline int disk_sector(sqlite3_file *file)
{
    return real_file(file)->pMethods->xSectorSize(real_file(file));
}

static inline int disk_traits(sqlite3_file *file)
{
    return real_file(file)->pMethods->xDeviceCharacteristics(real_file(file));
}

static inline int disk_shm_map(sqlite3_file *file, int page, int size, int extend,
                               void volatile **out)
{
    return real_file(file)->pMethods->xShmMap(real_file(file), page, size, extend, out);
}

static inline int disk_shm_lock(sqlite3_file *file, int offset, int n, int flags)
{
    return real_file(file)->pMethods->xShmLock(real_file(file), offset, n, flags);
}

static inline void disk_shm_barrier(sqlite3_file *file)
{
    real_file(file)->pMethods->xShmBarrier(real_file(file));
}

static inline int disk_shm_unmap(sqlite3_file *file, int erase)
{
    return real_file(file)->pMethods->xShmUnmap(real_file(file), erase);
}

static const sqlite3_io_methods failing_methods = {
    .iVersion = 2,
    .xClose = disk_close,
    .xRead = disk_read,
    .xWrite = disk_write,
    .xTruncate = disk_truncate,
    .xSync = disk_sync,
    .xFileSize = disk_size,
    .xLock = disk_lock,
    .xUnlock = disk_unlock,
    .xCheckReservedLock = disk_reserved,
    .xFileControl = disk_control,
    .xSectorSize = disk_sector,
    .xDeviceCharacteristics = disk_traits,
    .xShmMap = disk_shm_map,
    .xShmLock = disk_shm_lock,
    .xShmBarrier = disk_shm_barrier,
    .xShmUnmap = disk_shm_unmap,
};

static inline int disk_open(sqlite3_vfs *own, const char *name, sqlite3_file *file,
                            int flags, int *out)
{
    struct failing_disk *disk = (struct failing_disk *)own;
    struct failing_file *failing = (struct failing_file *)file;
    failing->disk = disk;
    failing->real = (sqlite3_file *)(failing + 1);
    if (disk->trouble == DISK_READ_ONLY)
        flags = (flags & ~(SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE)) |
                SQLITE_OPEN_READONLY;
    int code = disk->real->xOpen(disk->real, name, failing->real, flags, out);
    failing->base.pMethods = code == SQLITE_OK ? &failing_methods : NULL;
    return code;
}

static inline void failing_disk_start(struct failing_disk *disk)
{
    sqlite3_vfs *real = sqlite3_vfs_find(NULL);
    *disk = (struct failing_disk){.own = *real, .real = real};
    disk->own.zName = "failing";
    disk->own.pNext = NULL;
    disk->own.szOsFile = (int)sizeof(struct failing_file) + real->szOsFile;
    disk->own.xOpen = disk_open;
    int code = sqlite3_vfs_register(&disk->own, 1);
    assert(code == SQLITE_OK);
    (void)code;
}

/* From the N-th change on, HOW_MANY of them meet TROUBLE. */
static inline void failing_disk_fail(struct failing_disk *disk, enum disk_trouble trouble,
                                     int n, int how_many)
{
    disk->trouble = trouble;
    disk->count = 0;
    disk->first = n;
    disk->how_many = how_many;
}

static inline void failing_disk_heal(struct failing_disk *disk)
{
    disk->trouble = DISK_FAILS;
    disk->first = 0;
}

#endif
