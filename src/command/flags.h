/* Long options from one table that also prints their help.  getopt_long does the work,
 * so abbreviations and options behind operands are allowed, and "--" ends them. */
#ifndef COMMAND_FLAGS_H
#define COMMAND_FLAGS_H

enum { FLAGS_MAX = 24, FLAGS_END = -1, FLAGS_WRONG = '?', FLAGS_HELP = 'h' };

struct flag {
    char letter; /* what flags_next returns; not an option of its own */
    const char *name;
    const char *value; /* what stands for its value in the help; NULL: takes none */
    const char *help;
};

/* The next option's letter with its value in *VALUE; FLAGS_END, then *VALUE is the index
 * of the first operand by flags_operands; FLAGS_WRONG after a message.  FLAGS ends with
 * a zero entry; --help is always known. */
int flags_next(int argc, char **argv, const struct flag *flags, const char **value);

/* Index of the first operand in argv, after FLAGS_END. */
int flags_operands(void);

/* Prints a line for each flag. */
void flags_print(const struct flag *flags);

#endif
