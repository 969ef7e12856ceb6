#include "logbook/internal.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static bool refuse(struct text *why, const char *what, const char *path)
{
    text_printf(why, "%s %s: %s", what, path, strerror(errno));
    return false;
}

/* A new name is on the disk only when its folder is. */
static void sync_folder_of(const char *path)
{
    char folder[PATH_MAX];
    snprintf(folder, sizeof folder, "%s", path);
    char *slash = strrchr(folder, '/');
    if (slash)
        slash[slash == folder] = '\0';
    int fd = open(slash ? folder : ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (fd < 0)
        return;
    fsync(fd);
    close(fd);
}

static bool make_folder(const char *path, struct text *why)
{
    if (mkdir(path, 0700) == 0) {
        sync_folder_of(path);
        return chmod(path, 0700) == 0 || refuse(why, "cannot protect the folder", path);
    }
    struct stat found;
    if (errno == EEXIST && stat(path, &found) == 0) {
        if (S_ISDIR(found.st_mode))
            return true;
        errno = ENOTDIR;
    }
    return refuse(why, "cannot make the folder", path);
}

static bool make_folders(const char *path, struct text *why)
{
    char folder[PATH_MAX];
    snprintf(folder, sizeof folder, "%s", path);
    for (char *slash = strchr(folder + 1, '/'); slash; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        if (!make_folder(folder, why))
            return false;
        *slash = '/';
    }
    return true;
}

/* The database makes its two files beside this one with the same permissions.  A file
 * that exists is not opened here: closing it would drop the locks that another
 * connection of this process holds on it. */
bool logbook_make_file(const char *path, struct text *why)
{
    if (!*path || strlen(path) >= PATH_MAX - 8) {
        text_add(why, "the logbook's path is empty or too long");
        return false;
    }
    struct stat found;
    if (stat(path, &found) == 0) {
        /* The database takes a file of one byte for an empty one. */
        if (S_ISREG(found.st_mode) && found.st_size != 1)
            return true;
        text_printf(why, "the logbook %s cannot be used: not a logbook", path);
        return false;
    }
    if (!make_folders(path, why))
        return false;
    int fd = open(path, O_RDWR | O_CREAT | O_CLOEXEC, 0600);
    if (fd < 0)
        return refuse(why, "cannot make the logbook", path);
    bool made = fchmod(fd, 0600) == 0;
    close(fd);
    return made || refuse(why, "cannot protect the logbook", path);
}

void logbook_write_uri(const char *path, struct text *out)
{
    text_add(out, "file:");
    if (*path != '/')
        text_add(out, "./");
    for (; *path; path++)
        text_printf(out, "%%%02X", (unsigned)(unsigned char)*path);
}

bool logbook_has_log(const char *path)
{
    char log[PATH_MAX];
    snprintf(log, sizeof log, "%s-wal", path);
    struct stat found;
    return stat(log, &found) == 0 && found.st_size > 0;
}
