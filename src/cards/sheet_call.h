/* When to call a manoeuvre, as text and JSON. */
#ifndef CARDS_SHEET_CALL_H
#define CARDS_SHEET_CALL_H

#include "base/text.h"
#include "base/units.h"
#include "bill/call_times.h"
#include "model/crew.h"

/* Everything that is said of a call. */
struct call_sheet {
    const struct procedure *procedure;
    const struct bill *bill;
    const struct call_times *times;
    const struct call_now *now;
    const struct call_plan *plan;
    enum units units; /* of the text */
};

void sheet_call(const struct call_sheet *sheet, struct text *out);

/* The same as one JSON object. */
void sheet_call_json(const struct call_sheet *sheet, struct text *out);

#endif
