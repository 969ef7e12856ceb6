/* Characters of UTF-8 text. */
#ifndef BASE_UTF8_H
#define BASE_UTF8_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* The character that begins at AT, in *CODE; returns its bytes, 0 where it is not UTF-8
 * or needs more than LEFT. */
size_t utf8_decode(const char *at, size_t left, uint32_t *code);

/* True for characters that are no text: control characters, and those that turn the
 * direction of writing round. */
bool utf8_is_control(uint32_t code);

/* The number of characters of a string. */
size_t utf8_count(const char *text);

#endif
