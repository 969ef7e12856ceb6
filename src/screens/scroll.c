#include "screens/scroll.h"

#include "base/text.h"
#include "screens/glyphs.h"

enum { AIRY_ROWS = 20 };

int roll_line(struct roll *roll)
{
    int line = roll->count++ - roll->first;
    return line >= 0 && line < roll->area.rows ? roll->area.row + line : -1;
}

void roll_head(struct roll *roll, const char *text)
{
    if (roll->count && roll->airy)
        roll_line(roll);
    if (roll->head_count < ROLL_HEADS_MAX)
        roll->heads[roll->head_count++] = roll->count;
    roll_wrap(roll, 0, STYLE_STRONG, text);
}

int roll_wrap(struct roll *roll, int indent, enum style style, const char *text)
{
    int columns = roll->area.columns - indent, begin = -1;
    bool is_first = true;
    while (text && *text && columns > 0) {
        size_t length;
        const char *next = glyph_break_line(text, columns, &length);
        struct text line = {0};
        text_add_bytes(&line, text, length);
        int row = roll_line(roll);
        if (line.at)
            canvas_put_cut(roll->canvas, row, roll->area.column + indent, columns, style,
                           line.at);
        text_free(&line);
        begin = is_first ? row : begin;
        is_first = false;
        text = next;
    }
    return begin;
}

/* Where the next heading begins; the top again from the end of the list. */
static int next_head(const struct roll *counted, int first, int most)
{
    for (int i = 0; i < counted->head_count && first < most; i++)
        if (counted->heads[i] > first)
            return counted->heads[i];
    return 0;
}

static void settle(struct scroll *scroll, const struct roll *counted, int rows)
{
    int most = counted->count > rows ? counted->count - rows : 0;
    int page = rows > 1 ? rows - 1 : 1; /* one line stays in sight */
    scroll->first += scroll->by_pages * page;
    for (; scroll->by_heads > 0; scroll->by_heads--)
        scroll->first = next_head(counted, scroll->first, most);
    scroll->by_pages = 0;
    if (counted->keep_from < counted->keep_to) {
        int top = counted->keep_from, end = counted->keep_to - rows;
        int least = top < end ? top : end, greatest = top < end ? end : top;
        if (scroll->first < least)
            scroll->first = least;
        if (scroll->first > greatest)
            scroll->first = greatest;
    }
    if (scroll->first > most)
        scroll->first = most;
    if (scroll->first < 0)
        scroll->first = 0;
}

static void draw_sign(const struct scroll *scroll, const struct roll *roll, int total,
                      int row)
{
    const char *down = scroll->down ? scroll->down : "Down";
    const char *up = scroll->up ? scroll->up : "Up";
    int behind = roll->first + roll->area.rows;
    struct text sign = {0};
    if (behind == total)
        text_printf(&sign, "More above: %s", up);
    else if (!roll->first)
        text_printf(&sign, "More below: %s", down);
    else
        text_printf(&sign, "More: %s, %s", down, up);
    text_printf(&sign, " (%d-%d of %d)", roll->first + 1, behind, total);
    canvas_put_cut(roll->canvas, row, roll->area.column, roll->area.columns, STYLE_STRONG,
                   sign.at);
    text_free(&sign);
}

void scroll_draw(struct scroll *scroll, struct canvas *canvas, struct area area,
                 void (*fill)(const struct app *app, struct roll *roll),
                 const struct app *app)
{
    if (area.rows <= 0)
        return;
    bool airy = area.rows >= AIRY_ROWS;
    struct roll roll = {.canvas = canvas, .area = area, .airy = airy};
    roll.area.rows = 0;
    fill(app, &roll);
    int total = roll.count;
    int rows = total > area.rows ? area.rows - 1 : area.rows;
    settle(scroll, &roll, rows);
    roll = (struct roll){
        .canvas = canvas, .area = area, .airy = airy, .first = scroll->first};
    roll.area.rows = rows;
    fill(app, &roll);
    if (total > area.rows)
        draw_sign(scroll, &roll, total, area.row + area.rows - 1);
}
