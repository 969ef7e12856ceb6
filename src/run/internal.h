/* Shared by the files of run/. */
#ifndef RUN_INTERNAL_H
#define RUN_INTERNAL_H

#include "run/run.h"

/* The view before any event. */
void run_fold_start(const struct run *run, struct run_view *view);

/* Folds event I into VIEW; an undone event changes nothing. */
void run_fold(const struct run *run, int i, struct run_view *view);

/* An event after which everything is folded again from the start: it changes what
 * earlier events mean. */
bool run_looks_back(enum run_kind kind);

bool run_can_be_undone(enum run_kind kind);

/* How long STEP, which is running, is over its slow time, ms, in any mode; negative while
 * it is not. */
int64_t run_over_slow_ms(const struct run *run, int step, int64_t now_ms);

#endif
