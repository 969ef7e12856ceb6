/* Text that grows: what commands print, cards and JSON are written into it first.
 * The caller holds the struct, starts it as {0} and ends it with text_free; `at` is
 * NULL or NUL-terminated.  Running out of memory exits with status 2. */
#ifndef BASE_TEXT_H
#define BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct text {
    char *at;
    size_t length, room;
};

void text_free(struct text *text);

/* Appends a string. */
void text_add(struct text *text, const char *string);

/* Appends LENGTH bytes. */
void text_add_bytes(struct text *text, const char *bytes, size_t length);

/* Appends what printf would print. */
void text_printf(struct text *text, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Appends milliseconds as seconds with one decimal, without the locale: 12345 -> "12.3".
 */
void text_add_seconds(struct text *text, int64_t ms);

/* JSON (RFC 8259), written in order into a text: commas and quoting are kept here.
 * Pass key NULL for elements of an array. */
struct json {
    struct text *out;
    bool comma; /* a value stands before the next one at this depth */
};

void json_open(struct json *json, const char *key, char bracket); /* '{' or '[' */
void json_close(struct json *json, char bracket);                 /* '}' or ']' */
void json_string(struct json *json, const char *key, const char *value);
void json_integer(struct json *json, const char *key, int64_t value);
/* A finite number with so many DECIMALS. */
void json_figure(struct json *json, const char *key, double value, int decimals);
void json_bool(struct json *json, const char *key, bool value);
void json_null(struct json *json, const char *key);
/* Ends the document with a newline. */
void json_end(struct json *json);

#endif
