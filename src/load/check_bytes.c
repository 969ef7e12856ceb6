#include "load/check_bytes.h"

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

size_t load_decode(const char *at, size_t left, uint32_t *code)
{
    const unsigned char *byte = (const unsigned char *)at;
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    size_t length = byte[0] < 0x80             ? 1
                    : (byte[0] & 0xE0) == 0xC0 ? 2
                    : (byte[0] & 0xF0) == 0xE0 ? 3
                    : (byte[0] & 0xF8) == 0xF0 ? 4
                                               : 0;
    if (!length || length > left)
        return 0;
    uint32_t value = length == 1 ? byte[0] : byte[0] & (0xFFu >> (length + 1));
    for (size_t i = 1; i < length; i++) {
        if ((byte[i] & 0xC0) != 0x80)
            return 0;
        value = value << 6 | (byte[i] & 0x3Fu);
    }
    bool surrogate = value >= 0xD800 && value <= 0xDFFF;
    if (value < least[length] || value > 0x10FFFF || surrogate)
        return 0;
    *code = value;
    return length;
}

size_t load_count_characters(const char *text)
{
    size_t count = 0;
    for (; *text; text++)
        count += ((unsigned char)*text & 0xC0) != 0x80;
    return count;
}

bool load_is_control(uint32_t code)
{
    return code < 0x20 || (code >= 0x7F && code < 0xA0) ||
           (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069);
}

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
    if (load_is_control(code) && code != '\n' && code != '\r' && code != '\t') {
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
        load_decode(source->at + place->offset, source->length - place->offset, &code);
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
