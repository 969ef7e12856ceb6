#include "load/check_bytes.h"

#include "base/utf8.h"
#include "model/limits.h"

struct place {
    const struct source *source;
    struct diags *diags;
    size_t offset;
    uint32_t line, column;
    bool indenting; /* nothing but blanks so far on this line */
    struct span first_tab;
    int tab_lines;
};

static struct span here(const struct place *place)
{
    return (struct span){place->source, place->line, place->column, 1};
}

static bool odd_break(const struct place *place, uint32_t code)
{
    const char *at = place->source->at + place->offset;
    return code == 0x85 || code == 0x2028 || code == 0x2029 ||
           (code == '\r' && at[1] != '\n');
}

static void note_tab(struct place *place)
{
    if (!place->tab_lines++)
        place->first_tab = here(place);
    place->indenting = false;
}

static bool check_character(struct place *place, uint32_t code)
{
    if (odd_break(place, code)) {
        diag_add(place->diags, MESSAGE_ODD_BREAK, here(place));
        return false;
    }
    if (utf8_is_control(code) && code != '\n' && code != '\r' && code != '\t') {
        diag_add(place->diags, MESSAGE_CONTROL, here(place), (unsigned)code);
        return false;
    }
    if (code == '\t' && place->indenting)
        note_tab(place);
    else if (code != ' ')
        place->indenting = false;
    return true;
}

/* Goes over one character; false where reading must stop. */
static bool step_over(struct place *place)
{
    const struct source *source = place->source;
    uint32_t code;
    size_t length =
        utf8_decode(source->at + place->offset, source->length - place->offset, &code);
    if (!length) {
        diag_add(place->diags, MESSAGE_NOT_UTF8, here(place));
        return false;
    }
    if (code == 0xFEFF && place->offset == 0) {
        place->offset += length;
        return true;
    }
    if (!check_character(place, code))
        return false;
    place->offset += length;
    place->column++;
    if (code == '\n') {
        place->line++;
        place->column = 1;
        place->indenting = true;
    }
    return true;
}

bool load_check_bytes(const struct source *source, struct diags *diags)
{
    struct place place = {source, diags, 0, 1, 1, true, {source, 0, 0, 0}, 0};
    const struct span whole = {source, 0, 0, 0};
    if (source->length > FILE_BYTES_MAX) {
        diag_add(diags, MESSAGE_TOO_BIG, whole, FILE_BYTES_MAX / 1024 / 1024);
        return false;
    }
    if (!source->length) {
        diag_add(diags, MESSAGE_EMPTY, whole);
        return false;
    }
    while (place.offset < source->length)
        if (!step_over(&place))
            return false;
    if (place.tab_lines)
        diag_add(diags, MESSAGE_TAB, place.first_tab, place.tab_lines);
    return !place.tab_lines;
}
