/* Reading mappings by table: which keys there are, which must be there, what each may
 * hold and where it goes.  Everything wrong with a mapping is reported here, so that the
 * code behind it reads plain structs.  A member whose field is missing or wrong keeps the
 * value the caller gave it. */
#ifndef LOAD_FIELDS_H
#define LOAD_FIELDS_H

#include "load/scalars.h"

enum field_kind {                 /* the member it is read into */
                  FIELD_NAME,     /* const char * */
                  FIELD_LABEL,    /* const char *: text of at most 40 characters */
                  FIELD_TEXT,     /* const char *: text of at most 400 */
                  FIELD_DATE,     /* const char * */
                  FIELD_YES,      /* bool */
                  FIELD_WHOLE,    /* int */
                  FIELD_QUANTITY, /* double */
                  FIELD_CHOICE,   /* int: place in WORDS */
                  FIELD_SCALAR,   /* const struct node *, one value */
                  FIELD_LIST,     /* const struct node * */
                  FIELD_MAP,      /* const struct node * */
                  FIELD_ANY       /* const struct node *, read by its owner */
};

enum { REQUIRED = true, OPTIONAL = false };

struct field {
    const char *key;
    enum field_kind kind;
    bool required;
    size_t offset;
    const struct range *range; /* of FIELD_WHOLE and FIELD_QUANTITY */
    const char *const *words;  /* of FIELD_CHOICE, NULL at the end */
};

/* A kind of mapping; WHAT names it in messages: "a step". */
struct shape {
    const char *what;
    const struct field *fields;
    size_t count;
};

/* Reads the mapping NODE into the struct OUT; false where it is no mapping. */
bool load_fields(struct load *load, const struct node *node, const struct shape *shape,
                 void *out);

#endif
