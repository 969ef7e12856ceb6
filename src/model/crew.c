#include "model/crew.h"

#include <string.h>

enum grade hand_grade(const struct hand *hand, const char *role)
{
    for (int i = 0; i < hand->knows_count; i++)
        if (strcmp(hand->knows[i].role, role) == 0)
            return hand->knows[i].grade;
    return GRADE_NONE;
}

const char *grade_name(enum grade grade)
{
    static const char *const names[] = {"none", "new", "able", "sure"};
    return names[grade];
}
