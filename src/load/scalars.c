#include "load/scalars.h"

#include "base/utf8.h"

#include <ctype.h>
#include <string.h>

enum { NAME_LENGTH_MAX = 40, DIGITS_MAX = 15 };

struct unit_words {
    const char *suffix;
    const char *name;
    const char *example;
    const char *other; /* a unit taken as well; NULL: none */
    double factor;     /* of the other one in this one */
};

static const struct unit_words units[] = {
    [UNIT_NONE] = {"", "", "40", NULL, 0},
    [UNIT_S] = {"s", "s or m (seconds, minutes)", "4 s", NULL, 0},
    [UNIT_KN] = {"kn", "kn (knots)", "12 kn", "mph", 1609.344 / 1852},
    [UNIT_M] = {"m", "m (metres)", "9.5 m", "ft", 0.3048},
    [UNIT_DEG] = {"deg", "deg (degrees)", "15 deg", NULL, 0},
    [UNIT_M2] = {"m2", "m2 (square metres)", "85 m2", "ft2", 0.3048 * 0.3048},
    [UNIT_M_S] = {"m/s", "m/s (metres a second)", "1.2 m/s", "ft/s", 0.3048},
    [UNIT_N] = {"N", "N (newtons)", "400 N", "lbf", 4.4482216152605},
};

static const char *const kind_words[] = {"one value", "a list", "names with values",
                                         "nothing"};

bool load_is(struct load *load, const struct node *node, enum node_kind kind,
             const char *example)
{
    if (node->kind == NODE_BROKEN)
        return false;
    if (node->kind == kind)
        return true;
    bool empty = node->kind == NODE_TEXT && !*node->text;
    diag_add(load->diags, MESSAGE_WRONG_KIND, node->where, kind_words[kind],
             empty ? "nothing" : kind_words[node->kind], example);
    return false;
}

static bool name_character(char c, bool first)
{
    bool letter = c >= 'a' && c <= 'z';
    return letter || (!first && ((c >= '0' && c <= '9') || c == '-'));
}

bool load_name(struct load *load, const struct node *node, const char **out)
{
    if (!load_is(load, node, NODE_TEXT, "a-name"))
        return false;
    size_t length = strlen(node->text);
    bool good = length >= 1 && length <= NAME_LENGTH_MAX;
    for (size_t i = 0; good && i < length; i++)
        good = name_character(node->text[i], i == 0);
    if (good)
        *out = node->text;
    else
        diag_add(load->diags, MESSAGE_NAME, node->where,
                 load_shown(load->arena, node->text), NAME_LENGTH_MAX);
    return good;
}

static bool has_control(const char *text)
{
    size_t left = strlen(text);
    while (left) {
        uint32_t code = 0;
        size_t length = utf8_decode(text, left, &code);
        if (!length || utf8_is_control(code))
            return true;
        text += length;
        left -= length;
    }
    return false;
}

/* Blanks and line ends at the end of a block are no part of what was meant. */
static const char *trimmed(struct load *load, const char *text)
{
    size_t length = strlen(text);
    while (length && (text[length - 1] == '\n' || text[length - 1] == ' '))
        length--;
    while (length && *text == ' ') {
        text++;
        length--;
    }
    return arena_copy(load->arena, text, length);
}

bool load_text(struct load *load, const struct node *node, size_t most, const char **out)
{
    if (!load_is(load, node, NODE_TEXT, "a line of text"))
        return false;
    const char *text = trimmed(load, node->text);
    size_t length = utf8_count(text);
    if (!length)
        diag_add(load->diags, MESSAGE_NO_TEXT, node->where);
    else if (has_control(text))
        diag_add(load->diags, MESSAGE_TEXT_CONTROL, node->where);
    else if (length > most)
        diag_add(load->diags, MESSAGE_TEXT_LENGTH, node->where, length, most);
    else
        *out = text;
    return *out == text;
}

bool load_yes(struct load *load, const struct node *node, bool *out)
{
    static const char *const for_yes[] = {"true", "on", "y", "1", "yes"};
    static const char *const for_no[] = {"false", "off", "n", "0", "no"};
    if (!load_is(load, node, NODE_TEXT, "yes"))
        return false;
    if (strcmp(node->text, "yes") == 0 || strcmp(node->text, "no") == 0) {
        *out = node->text[0] == 'y';
        return true;
    }
    char lower[8] = "";
    for (size_t i = 0; i + 1 < sizeof lower && node->text[i]; i++)
        lower[i] = (char)tolower((unsigned char)node->text[i]);
    const char *hint = "yes or no";
    for (size_t i = 0; i < sizeof for_yes / sizeof *for_yes; i++) {
        if (strcmp(lower, for_yes[i]) == 0)
            hint = "yes";
        else if (strcmp(lower, for_no[i]) == 0)
            hint = "no";
    }
    diag_add(load->diags, MESSAGE_YES_NO, node->where,
             load_shown(load->arena, node->text), hint);
    return false;
}

/* Digits with at most one point from *AT, which moves behind them.  No exponent, no sign
 * but a leading minus; the same in every locale. */
static bool scan_number(const char **at, double *out)
{
    const char *c = *at;
    bool minus = *c == '-';
    c += minus;
    double value = 0, scale = 1;
    int digits = 0;
    for (; *c >= '0' && *c <= '9' && digits < DIGITS_MAX; c++, digits++)
        value = value * 10 + (*c - '0');
    if (!digits)
        return false;
    if (*c == '.' && c[1] >= '0' && c[1] <= '9')
        for (c++; *c >= '0' && *c <= '9' && digits < DIGITS_MAX; c++, digits++) {
            value = value * 10 + (*c - '0');
            scale *= 10;
        }
    *at = c;
    *out = (minus ? -value : value) / scale;
    return !(*c >= '0' && *c <= '9');
}

static const char *skip_blanks(const char *at)
{
    while (*at == ' ')
        at++;
    return at;
}

/* 4 s, 4s, 2m, 1m30s */
static bool scan_duration(const char *text, double *out)
{
    double first, second = 0;
    if (!scan_number(&text, &first))
        return false;
    text = skip_blanks(text);
    if (strcmp(text, "s") == 0) {
        *out = first;
        return true;
    }
    if (*text != 'm')
        return false;
    text = skip_blanks(text + 1);
    if (*text && (*text == '-' || !scan_number(&text, &second)))
        return false;
    text = skip_blanks(text);
    *out = first * 60 + second;
    return !*text || strcmp(text, "s") == 0;
}

static bool scan_quantity(const char *text, enum unit unit, double *out)
{
    if (unit == UNIT_S)
        return scan_duration(text, out);
    if (!scan_number(&text, out))
        return false;
    text = skip_blanks(text);
    if (units[unit].other && strcmp(text, units[unit].other) == 0)
        *out *= units[unit].factor;
    else if (strcmp(text, units[unit].suffix) != 0)
        return false;
    return true;
}

/* 1:30 */
static bool looks_like_clock(const char *text)
{
    size_t digits = strspn(text, "0123456789");
    return digits && text[digits] == ':' && strspn(text, "0123456789:.") == strlen(text);
}

static void report_quantity(struct load *load, const struct node *node, enum unit unit)
{
    const char *shown = load_shown(load->arena, node->text);
    const char *at = node->text;
    double value;
    bool number = scan_number(&at, &value);
    if (unit == UNIT_NONE)
        diag_add(load->diags, MESSAGE_NOT_PLAIN, node->where, shown, units[unit].example);
    else if (unit == UNIT_S && looks_like_clock(node->text))
        diag_add(load->diags, MESSAGE_CLOCK_TIME, node->where, shown);
    else if (number && !*at)
        diag_add(load->diags, MESSAGE_NO_UNIT, node->where, shown, shown,
                 units[unit].suffix);
    else if (number && *at != ',')
        diag_add(load->diags, MESSAGE_WRONG_UNIT, node->where, shown, units[unit].name,
                 units[unit].example);
    else
        diag_add(load->diags, MESSAGE_NOT_A_NUMBER, node->where, shown,
                 units[unit].example);
}

bool load_quantity(struct load *load, const struct node *node, const struct range *range,
                   double *out)
{
    double value;
    if (!load_is(load, node, NODE_TEXT, units[range->unit].example))
        return false;
    if (!scan_quantity(node->text, range->unit, &value)) {
        report_quantity(load, node, range->unit);
        return false;
    }
    if (value < range->least || value > range->most) {
        diag_add(load->diags, MESSAGE_OUT_OF_RANGE, node->where,
                 load_shown(load->arena, node->text), range->words);
        return false;
    }
    *out = value;
    return true;
}

bool load_whole(struct load *load, const struct node *node, const struct range *range,
                int *out)
{
    double value;
    const char *at = node->text;
    if (!load_is(load, node, NODE_TEXT, "2"))
        return false;
    if (!scan_number(&at, &value) || *at || strchr(node->text, '.')) {
        diag_add(load->diags, MESSAGE_NOT_WHOLE, node->where,
                 load_shown(load->arena, node->text), range->words);
        return false;
    }
    if (!load_quantity(load, node, range, &value))
        return false;
    *out = (int)value;
    return true;
}

static int digits_at(const char *text, int from, int count)
{
    int value = 0;
    for (int i = from; i < from + count; i++) {
        if (text[i] < '0' || text[i] > '9')
            return -1;
        value = value * 10 + (text[i] - '0');
    }
    return value;
}

bool load_date(struct load *load, const struct node *node, const char **out)
{
    if (!load_is(load, node, NODE_TEXT, "2026-11-25"))
        return false;
    const char *text = node->text;
    bool shape = strlen(text) == 10 && text[4] == '-' && text[7] == '-';
    int month = shape ? digits_at(text, 5, 2) : -1,
        day = shape ? digits_at(text, 8, 2) : -1;
    if (shape && digits_at(text, 0, 4) >= 0 && month >= 1 && month <= 12 && day >= 1 &&
        day <= 31) {
        *out = text;
        return true;
    }
    diag_add(load->diags, MESSAGE_DATE, node->where, load_shown(load->arena, text));
    return false;
}

bool load_choice(struct load *load, const struct node *node, const char *const *words,
                 int *out)
{
    if (!load_is(load, node, NODE_TEXT, words[0]))
        return false;
    struct choices choices = {.count = 0};
    for (int i = 0; words[i]; i++) {
        if (strcmp(words[i], node->text) == 0) {
            *out = i;
            return true;
        }
        choices_add(&choices, words[i]);
    }
    diag_add(load->diags, MESSAGE_NOT_A_CHOICE, node->where,
             load_shown(load->arena, node->text),
             choices_advice(&choices, node->text, "choose from", "", load->arena));
    return false;
}
