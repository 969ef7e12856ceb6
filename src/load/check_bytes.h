/* The bytes of a file before anyone reads them as YAML: size, encoding, control
 * characters, line breaks and tabs in the indentation.  After this every character of
 * the text is one that can be shown. */
#ifndef LOAD_CHECK_BYTES_H
#define LOAD_CHECK_BYTES_H

#include "base/diag.h"

/* False where the text cannot be read further; the reason is in DIAGS. */
bool load_check_bytes(const struct source *source, struct diags *diags);

/* True for characters that are no text: control characters, and those that turn the
 * direction of writing round. */
bool load_is_control(uint32_t code);

/* The character that begins at AT, in *CODE; returns its bytes, 0 where it is not UTF-8
 * or needs more than LEFT. */
size_t load_decode(const char *at, size_t left, uint32_t *code);

/* The number of characters of UTF-8 text. */
size_t load_count_characters(const char *text);

#endif
