/* The bytes of a file before anyone reads them as YAML: size, encoding, control
 * characters, line breaks and tabs in the indentation.  After this every character of
 * the text is one that can be shown. */
#ifndef LOAD_CHECK_BYTES_H
#define LOAD_CHECK_BYTES_H

#include "base/diag.h"

/* False where the text cannot be read further; the reason is in DIAGS. */
bool load_check_bytes(const struct source *source, struct diags *diags);

#endif
