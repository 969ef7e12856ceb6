/* Where the time comes from: the real clock lives in command/, tests and key scripts
 * bring their own.  Milliseconds; `now` counts suspend and never goes back within one
 * boot, `wall` is Unix time. */
#ifndef BASE_CLOCK_H
#define BASE_CLOCK_H

#include <stdint.h>

struct clock {
    int64_t (*now_ms)(void *self);
    int64_t (*wall_ms)(void *self);
    void *self;
};

#endif
