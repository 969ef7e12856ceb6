#include "base/text.h"

#include <assert.h>
#include <inttypes.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void make_room(struct text *text, size_t more)
{
    size_t needed = text->length + more + 1;
    if (needed <= text->room)
        return;
    size_t room = text->room ? text->room : 256;
    while (room < needed)
        room *= 2;
    char *grown = realloc(text->at, room);
    if (!grown) {
        fputs("foreguy: out of memory\n", stderr);
        exit(2);
    }
    text->at = grown;
    text->room = room;
}

void text_free(struct text *text)
{
    free(text->at);
    *text = (struct text){0};
}

void text_add_bytes(struct text *text, const char *bytes, size_t length)
{
    make_room(text, length);
    if (length)
        memcpy(text->at + text->length, bytes, length);
    text->length += length;
    text->at[text->length] = '\0';
}

void text_add(struct text *text, const char *string)
{
    text_add_bytes(text, string, strlen(string));
}

void text_printf(struct text *text, const char *format, ...)
{
    va_list arguments, again;
    va_start(arguments, format);
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    assert(length >= 0);
    make_room(text, (size_t)length);
    vsnprintf(text->at + text->length, (size_t)length + 1, format, again);
    va_end(again);
    text->length += (size_t)length;
}

void text_add_seconds(struct text *text, int64_t ms)
{
    int64_t tenths = (ms < 0 ? -ms : ms) / 100;
    text_printf(text, "%s%" PRId64 ".%" PRId64, ms < 0 && tenths ? "-" : "", tenths / 10,
                tenths % 10);
}

static void json_quote(struct text *out, const char *value)
{
    text_add_bytes(out, "\"", 1);
    for (const char *c = value; *c; c++) {
        unsigned char byte = (unsigned char)*c;
        if (byte == '"' || byte == '\\')
            text_printf(out, "\\%c", byte);
        else if (byte == '\n')
            text_add(out, "\\n");
        else if (byte < 0x20)
            text_printf(out, "\\u%04x", byte);
        else
            text_add_bytes(out, c, 1);
    }
    text_add_bytes(out, "\"", 1);
}

static void json_key(struct json *json, const char *key)
{
    if (json->comma)
        text_add(json->out, ", ");
    json->comma = true;
    if (key) {
        json_quote(json->out, key);
        text_add(json->out, ": ");
    }
}

void json_open(struct json *json, const char *key, char bracket)
{
    json_key(json, key);
    text_add_bytes(json->out, &bracket, 1);
    json->comma = false;
}

void json_close(struct json *json, char bracket)
{
    text_add_bytes(json->out, &bracket, 1);
    json->comma = true;
}

void json_string(struct json *json, const char *key, const char *value)
{
    json_key(json, key);
    json_quote(json->out, value);
}

void json_integer(struct json *json, const char *key, int64_t value)
{
    json_key(json, key);
    text_printf(json->out, "%" PRId64, value);
}

void json_figure(struct json *json, const char *key, double value, int decimals)
{
    assert(isfinite(value));
    json_key(json, key);
    bool is_none = fabs(value) < 0.5 * pow(10, -decimals); /* no "-0.0" */
    text_printf(json->out, "%.*f", decimals, is_none ? 0 : value);
}

void json_bool(struct json *json, const char *key, bool value)
{
    json_key(json, key);
    text_add(json->out, value ? "true" : "false");
}

void json_null(struct json *json, const char *key)
{
    json_key(json, key);
    text_add(json->out, "null");
}

void json_end(struct json *json)
{
    text_add(json->out, "\n");
    json->comma = false;
}
