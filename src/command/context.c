#include "command/context.h"

#include "base/text.h"

#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>

static int64_t now_ms(void *self)
{
    (void)self;
    struct timespec now;
#ifdef CLOCK_BOOTTIME
    clock_gettime(CLOCK_BOOTTIME, &now);
#else
    clock_gettime(CLOCK_MONOTONIC, &now);
#endif
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

static int64_t wall_ms(void *self)
{
    (void)self;
    struct timespec now;
    clock_gettime(CLOCK_REALTIME, &now);
    return (int64_t)now.tv_sec * 1000 + now.tv_nsec / 1000000;
}

static void read_boot_id(char *out, size_t room)
{
    snprintf(out, room, "unknown");
    FILE *file = fopen("/proc/sys/kernel/random/boot_id", "r");
    if (!file)
        return;
    if (fgets(out, (int)room, file))
        out[strcspn(out, "\n")] = '\0';
    fclose(file);
}

void context_start(struct context *context)
{
    memset(context, 0, sizeof *context);
    context->arena = arena_new();
    context->diags = diags_new(context->arena);
    context->clock = (struct clock){now_ms, wall_ms, NULL};
    read_boot_id(context->boot_id, sizeof context->boot_id);
}

void context_end(struct context *context)
{
    arena_free(context->arena);
}

bool context_report(struct context *context)
{
    struct text out = {0};
    diags_write(context->diags, &out);
    if (out.at)
        fputs(out.at, stderr);
    text_free(&out);
    return diags_errors(context->diags) > 0;
}

static bool read_all(FILE *file, struct text *out)
{
    char buffer[65536];
    size_t got;
    /* a little more than the limit is read, so that the loader can say it is over */
    while (out->length <= FILE_BYTES_MAX &&
           (got = fread(buffer, 1, sizeof buffer, file)) > 0)
        text_add_bytes(out, buffer, got);
    return !ferror(file);
}

const struct source *context_read(struct context *context, const char *path)
{
    struct text text = {0};
    FILE *file = fopen(path, "rb");
    bool fine = file && read_all(file, &text);
    int error = errno;
    if (file)
        fclose(file);
    struct source *named = arena_alloc(context->arena, sizeof *named);
    named->name = arena_copy(context->arena, path, strlen(path));
    const struct source *source = NULL;
    if (fine)
        source = source_new(context->arena, path, text.at ? text.at : "", text.length);
    else
        diag_add(context->diags, MESSAGE_UNREADABLE, (struct span){.source = named},
                 strerror(error));
    text_free(&text);
    return source;
}

static const char *home_folder(struct context *context, const char *variable,
                               const char *fallback)
{
    const char *folder = getenv(variable);
    if (folder && folder[0] == '/') /* relative ones are invalid by the XDG rules */
        return folder;
    const char *home = getenv("HOME");
    bool has_home = home && home[0] == '/'; /* without, nothing is found and none made */
    return arena_printf(context->arena, "%s/%s", has_home ? home : "/dev/null", fallback);
}

enum { FOLDERS_MAX = 16 };

static int data_folders(struct context *context, const char *out[FOLDERS_MAX])
{
    int count = 0;
    const char *own = getenv("FOREGUY_DATA");
    if (own && *own)
        out[count++] = own;
    out[count++] = arena_printf(context->arena, "%s/foreguy",
                                home_folder(context, "XDG_DATA_HOME", ".local/share"));
    const char *shared = getenv("XDG_DATA_DIRS");
    if (!shared || !*shared)
        shared = "/usr/local/share:/usr/share";
    while (*shared && count < FOLDERS_MAX - 1) {
        size_t length = strcspn(shared, ":");
        if (*shared == '/')
            out[count++] =
                arena_printf(context->arena, "%.*s/foreguy", (int)length, shared);
        shared += length + (shared[length] == ':');
    }
    out[count++] = FOREGUY_DATADIR;
    return count;
}

static bool already_there(const struct context *context, const char *name, bool is_rig)
{
    const struct library *library = &context->library;
    int count = is_rig ? library->rig_count : library->procedure_count;
    for (int i = 0; i < count; i++) {
        const struct source *source = is_rig ? library->rigs[i] : library->procedures[i];
        const char *slash = strrchr(source->name, '/');
        if (strcmp(slash ? slash + 1 : source->name, name) == 0)
            return true;
    }
    return false;
}

static void add_folder(struct context *context, const char *folder, bool is_rig)
{
    DIR *listing = opendir(folder);
    if (!listing)
        return;
    for (struct dirent *entry; (entry = readdir(listing));) {
        size_t length = strlen(entry->d_name);
        if (length < 6 || strcmp(entry->d_name + length - 5, ".yaml") != 0 ||
            already_there(context, entry->d_name, is_rig))
            continue;
        const struct source *source = context_read(
            context, arena_printf(context->arena, "%s/%s", folder, entry->d_name));
        if (source)
            library_add(&context->library, source, is_rig);
    }
    closedir(listing);
}

void context_fill_library(struct context *context)
{
    const char *folders[FOLDERS_MAX];
    int count = data_folders(context, folders);
    for (int i = 0; i < count; i++) {
        add_folder(context, arena_printf(context->arena, "%s/procedures", folders[i]),
                   false);
        add_folder(context, arena_printf(context->arena, "%s/procedures/rig", folders[i]),
                   true);
    }
    library_sort(&context->library);
}

static bool exists(const char *path)
{
    struct stat status;
    return stat(path, &status) == 0 && S_ISREG(status.st_mode);
}

const char *context_find_data(struct context *context, const char *name)
{
    const char *folders[FOLDERS_MAX];
    int count = data_folders(context, folders);
    for (int i = 0; i < count; i++) {
        const char *path = arena_printf(context->arena, "%s/%s", folders[i], name);
        if (exists(path))
            return path;
    }
    return NULL;
}

const char *context_find_config(struct context *context, const char *name)
{
    const char *path =
        arena_printf(context->arena, "%s/foreguy/%s",
                     home_folder(context, "XDG_CONFIG_HOME", ".config"), name);
    return exists(path) ? path : NULL;
}

const char *context_logbook_path(struct context *context)
{
    return arena_printf(context->arena, "%s/foreguy/logbook.db",
                        home_folder(context, "XDG_DATA_HOME", ".local/share"));
}

const struct source *context_procedure(struct context *context, const char *name)
{
    size_t length = strlen(name);
    if (strchr(name, '/') || (length > 5 && strcmp(name + length - 5, ".yaml") == 0))
        return context_read(context, name);
    int i = library_find(&context->library, name);
    if (i >= 0)
        return context->library.procedures[i];
    fprintf(stderr, "foreguy: there is no procedure '%s'; %s\n", name,
            library_advice(&context->library, name, context->arena));
    return NULL;
}

bool context_print(const struct text *text)
{
    if (text->at)
        fwrite(text->at, 1, text->length, stdout);
    if (fflush(stdout) == 0 && !ferror(stdout))
        return true;
    fprintf(stderr, "foreguy: cannot write the output: %s\n", strerror(errno));
    return false;
}
