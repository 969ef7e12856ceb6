#include "screens/keys.h"

#include <assert.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "screens/glyphs.h"

/* The first name of a key is the one that is shown. */
static const struct {
    uint32_t key;
    const char *name;
} names[] = {
    {PRESS_SPACE, "space"},
    {PRESS_UP, "up"},
    {PRESS_DOWN, "down"},
    {PRESS_LEFT, "left"},
    {PRESS_RIGHT, "right"},
    {PRESS_ENTER, "enter"},
    {PRESS_BACKSPACE, "backspace"},
    {PRESS_ESCAPE, "escape"},
    {PRESS_TAB, "tab"},
    {PRESS_BACK_TAB, "back-tab"},
    {PRESS_PAGE_UP, "page-up"},
    {PRESS_PAGE_DOWN, "page-down"},
    {PRESS_HOME, "home"},
    {PRESS_END, "end"},
    {PRESS_DELETE, "delete"},
    {PRESS_RESIZE, "resize"},
    {PRESS_BACKSPACE, "ctrl-h"},
    {PRESS_TAB, "ctrl-i"},
    {PRESS_ENTER, "ctrl-j"},
    {PRESS_ENTER, "ctrl-m"},
};

static const char ctrl[] = "ctrl-";

uint32_t keys_find(const char *name)
{
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (strcmp(names[i].name, name) == 0)
            return names[i].key;
    if (strncmp(name, ctrl, strlen(ctrl)) == 0) {
        const char *letter = name + strlen(ctrl);
        bool known = *letter >= 'a' && *letter <= 'z' && letter[1] == '\0';
        return known ? (uint32_t)(*letter - 'a' + PRESS_CTRL_A) : PRESS_NONE;
    }
    const char *behind = name;
    uint32_t glyph = glyph_read(&behind);
    if (*behind || glyph_clean(glyph) != glyph || glyph_width(glyph) == 0)
        return PRESS_NONE;
    /* A byte that is no UTF-8 reads as a question mark too. */
    return glyph != '?' || *name == '?' ? glyph : PRESS_NONE;
}

const char *keys_name(uint32_t key, char name[KEYS_NAME_SIZE])
{
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (names[i].key == key)
            return strcpy(name, names[i].name);
    if (key >= PRESS_CTRL_A && key <= PRESS_CTRL_Z) {
        snprintf(name, KEYS_NAME_SIZE, "%s%c", ctrl, (int)('a' + key - PRESS_CTRL_A));
        return name;
    }
    assert(key > 0 && key < PRESS_UP);
    name[glyph_write(key, name)] = '\0';
    return name;
}

/* Terminals number the shift keys held from 1: and 1 for Shift, 2 for Alt, 4 for Ctrl. */
static bool has_alt(int shifts)
{
    return shifts > 0 && (shifts - 1) & 2;
}

uint32_t keys_from_sequence(int parameter, int shifts, char final)
{
    static const struct {
        int parameter; /* -1: any */
        char final;
        uint32_t key;
    } sequences[] = {
        {-1, 'A', PRESS_UP},       {-1, 'B', PRESS_DOWN},   {-1, 'C', PRESS_RIGHT},
        {-1, 'D', PRESS_LEFT},     {-1, 'F', PRESS_END},    {-1, 'H', PRESS_HOME},
        {-1, 'Z', PRESS_BACK_TAB}, {1, '~', PRESS_HOME},    {3, '~', PRESS_DELETE},
        {4, '~', PRESS_END},       {5, '~', PRESS_PAGE_UP}, {6, '~', PRESS_PAGE_DOWN},
        {7, '~', PRESS_HOME},      {8, '~', PRESS_END},
    };
    for (size_t i = 0; i < sizeof sequences / sizeof *sequences; i++)
        if (!has_alt(shifts) && sequences[i].final == final &&
            (sequences[i].parameter == -1 || sequences[i].parameter == parameter))
            return sequences[i].key;
    return PRESS_NONE;
}

uint32_t keys_from_terminal(const char *name)
{
    /* Those in small letters have a number behind them for the shift keys held. */
    static const struct {
        const char *begin;
        uint32_t key;
    } known[] = {
        {"KEY_UP", PRESS_UP},
        {"KEY_SR", PRESS_UP},
        {"kUP", PRESS_UP},
        {"KEY_DOWN", PRESS_DOWN},
        {"KEY_SF", PRESS_DOWN},
        {"kDN", PRESS_DOWN},
        {"KEY_LEFT", PRESS_LEFT},
        {"KEY_SLEFT", PRESS_LEFT},
        {"kLFT", PRESS_LEFT},
        {"KEY_RIGHT", PRESS_RIGHT},
        {"KEY_SRIGHT", PRESS_RIGHT},
        {"kRIT", PRESS_RIGHT},
        {"KEY_HOME", PRESS_HOME},
        {"KEY_FIND", PRESS_HOME},
        {"kHOM", PRESS_HOME},
        {"KEY_END", PRESS_END},
        {"KEY_SELECT", PRESS_END},
        {"kEND", PRESS_END},
        {"KEY_PPAGE", PRESS_PAGE_UP},
        {"kPRV", PRESS_PAGE_UP},
        {"KEY_NPAGE", PRESS_PAGE_DOWN},
        {"kNXT", PRESS_PAGE_DOWN},
        {"KEY_DC", PRESS_DELETE},
        {"kDC", PRESS_DELETE},
        {"KEY_ENTER", PRESS_ENTER},
        {"KEY_BACKSPACE", PRESS_BACKSPACE},
        {"KEY_BTAB", PRESS_BACK_TAB},
    };
    if (!name)
        return PRESS_NONE;
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        size_t length = strlen(known[i].begin);
        bool small = known[i].begin[0] == 'k';
        if (strncmp(name, known[i].begin, length) == 0 && (small || !name[length]))
            return has_alt(atoi(name + length)) ? PRESS_NONE : known[i].key;
    }
    return PRESS_NONE;
}
