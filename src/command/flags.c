#include "command/flags.h"

#include <getopt.h>
#include <stdio.h>
#include <string.h>

int flags_next(int argc, char **argv, const struct flag *flags, const char **value)
{
    struct option options[FLAGS_MAX + 2] = {0};
    int count = 0;
    for (; flags[count].name && count < FLAGS_MAX; count++)
        options[count] = (struct option){
            flags[count].name, flags[count].value ? required_argument : no_argument, NULL,
            flags[count].letter};
    options[count] = (struct option){"help", no_argument, NULL, FLAGS_HELP};
    int letter = getopt_long(argc, argv, "", options, NULL);
    *value = optarg;
    return letter;
}

int flags_operands(void)
{
    return optind;
}

void flags_print(const struct flag *flags)
{
    for (; flags->name; flags++) {
        char left[40];
        snprintf(left, sizeof left, "--%s%s%s", flags->name, flags->value ? " " : "",
                 flags->value ? flags->value : "");
        printf("  %-26s %s\n", left, flags->help);
    }
    printf("  %-26s %s\n", "--help", "this");
}
