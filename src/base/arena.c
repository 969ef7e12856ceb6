#include "base/arena.h"

#include <assert.h>
#include <stdarg.h>
#include <stdalign.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#ifndef ARENA_BLOCK
#define ARENA_BLOCK 65536
#endif

/* A block and what is handed out of it; big requests get a block of their own. */
struct block {
    struct block *next;
    size_t size, used;
    alignas(max_align_t) unsigned char bytes[];
};

struct arena {
    struct block *blocks;
};

static void *get_memory(size_t size)
{
    void *memory = calloc(1, size);
    if (!memory) {
        fputs("foreguy: out of memory\n", stderr);
        exit(2);
    }
    return memory;
}

struct arena *arena_new(void)
{
    return get_memory(sizeof(struct arena));
}

void arena_free(struct arena *arena)
{
    if (!arena)
        return;
    for (struct block *block = arena->blocks; block;) {
        struct block *next = block->next;
        free(block);
        block = next;
    }
    free(arena);
}

void *arena_alloc(struct arena *arena, size_t size)
{
    assert(size < SIZE_MAX / 2);
    const size_t align = alignof(max_align_t);
    size = (size + align - 1) / align * align;
    struct block *block = arena->blocks;
    if (!block || block->size - block->used < size) {
        size_t room = size > ARENA_BLOCK ? size : ARENA_BLOCK;
        block = get_memory(sizeof *block + room);
        block->size = room;
        block->next = arena->blocks;
        arena->blocks = block;
    }
    void *place = block->bytes + block->used;
    block->used += size;
    return place;
}

char *arena_copy(struct arena *arena, const char *text, size_t length)
{
    char *copy = arena_alloc(arena, length + 1);
    if (length)
        memcpy(copy, text, length);
    return copy;
}

char *arena_printf(struct arena *arena, const char *format, ...)
{
    va_list arguments, again;
    va_start(arguments, format);
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    assert(length >= 0);
    char *text = arena_alloc(arena, (size_t)length + 1);
    vsnprintf(text, (size_t)length + 1, format, again);
    va_end(again);
    return text;
}
