#include <check.h>
#include <stdlib.h>

#include "suites.h"

int main(void)
{
    SRunner *runner = srunner_create(terminal_suite());
    srunner_add_suite(runner, program_suite());
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
