/* Whole sheets as text and JSON: the procedure, the station bill, the debrief, the list
 * of procedures and of runs.  Text is appended to `out`. */
#ifndef CARDS_SHEETS_H
#define CARDS_SHEETS_H

#include "base/text.h"
#include "base/units.h"
#include "bill/bill_pins.h"
#include "bill/bill_reason.h"
#include "bill/what_if.h"
#include "debrief/debrief.h"
#include "logbook/logbook.h"
#include "model/crew.h"
#include "vet/slips.h"

/* The signal words with their meaning, and whom the program defers to. */
void sheet_cautions(struct text *out);

/* The procedure as written, and which of its steps must not be missed: FORGOTTEN has the
 * omissions tried on RIG, both NULL where they were not. */
void sheet_procedure(const struct procedure *procedure, const struct rig *rig,
                     const struct slips *forgotten, enum units units, struct text *out);
void sheet_procedure_json(const struct procedure *procedure,
                          const struct slips *forgotten, struct text *out);

/* The station bill as lanes over time, one a hand. */
void sheet_bill(const struct procedure *procedure, const struct crew *crew,
                const struct bill *bill, struct text *out);

/* "proved shortest" or "within 4 % of the best possible". */
void sheet_bill_proof(const struct bill *bill, struct text *out);

/* What the pins of WISH cost: "costs 3.0 s", "costs nothing"; where they leave no bill
 * (NULL), which of them clash and why. */
void sheet_pins(const struct procedure *procedure, const struct crew *crew,
                const struct bill_wish *wish, const struct bill *bill,
                const struct pins *pins, struct text *out);
void sheet_pins_json(const struct procedure *procedure, const struct crew *crew,
                     const struct bill_wish *wish, const struct bill *bill,
                     const struct pins *pins, struct json *json);

/* "costs 3.0 s", "costs nothing", "saves 1.0 s". */
void sheet_cost(int32_t more_ms, struct text *out);

/* Why the bill takes that long: the chain that decides it, what may be late, who is busy.
 */
void sheet_reasons(const struct procedure *procedure, const struct crew *crew,
                   const struct bill *bill, const struct bill_reasons *reasons,
                   enum units units, struct text *out);

/* What is proved of the bill besides its time; and of roles shared out who has them. */
void sheet_claims(const struct procedure *procedure, const struct crew *crew,
                  const struct bill *bill, const struct bill_reasons *reasons,
                  enum units units, struct text *out);
void sheet_claims_json(const struct procedure *procedure, const struct bill *bill,
                       const struct bill_reasons *reasons, struct json *json);

/* What holds a step back, as it follows on its name. */
void sheet_reason(const struct procedure *procedure, const struct crew *crew,
                  const struct bill *bill, const struct bill_reason *reason,
                  struct text *out);

/* Bill and reasons as members of the object that is open. */
void sheet_bill_json(const struct procedure *procedure, const struct crew *crew,
                     const struct bill *bill, const struct bill_reasons *reasons,
                     struct json *json);

/* What would be different: BILL is the bill as things are, NULL where there is none. */
void sheet_what_if(const struct procedure *procedure, const struct crew *crew,
                   const struct bill *bill, const struct what_if *what_if,
                   struct text *out);
void sheet_what_if_json(const struct procedure *procedure, const struct crew *crew,
                        const struct what_if *what_if, struct json *json);

/* Debrief of a run: splits, plan, what was found. */
void sheet_debrief(const struct run *run, const struct crew *crew,
                   const struct debrief *debrief, struct text *out);

/* One line of the list of procedures. */
void sheet_list_line(const struct procedure *procedure, struct text *out);
void sheet_list_json(const struct procedure *procedure, struct json *json);

/* One run of the logbook. */
void sheet_run_line(const struct logbook_run *record, struct text *out);
void sheet_run_json(const struct logbook_run *record, struct json *json);

/* Unix time as "2026-11-25 10:36 UTC". */
void sheet_time(int64_t wall_ms, struct text *out);

#endif
