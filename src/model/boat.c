#include "model/boat.h"

const char *sail_kind_name(enum sail_kind kind)
{
    static const char *const names[] = {"symmetric", "asymmetric", "code", "main", "jib"};
    return names[kind];
}

const char *pole_ends_name(enum pole_ends ends)
{
    static const char *const names[] = {"none", "end-for-end", "dip"};
    return names[ends];
}
