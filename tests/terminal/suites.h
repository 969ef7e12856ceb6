/* The suites of the program `terminal`: each file of this folder has one, main.c runs
 * them all.  CANVAS_DEMO and FOREGUY_PROGRAM are the paths of the two programs. */
#ifndef TERMINAL_SUITES_H
#define TERMINAL_SUITES_H

#include <check.h>

Suite *terminal_suite(void);
Suite *program_suite(void);

#endif
